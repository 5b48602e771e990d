"""The requests on which every runtime must give the same reply, byte for byte."""

from __future__ import annotations

import json
import random
import subprocess
from decimal import Decimal
from pathlib import Path

from checker.core.api import handle
from checker.dev.cases import scenarios as worked_cases
from tests import sampling

ROOT = Path(__file__).resolve().parents[2]

Batch = dict[str, str]  # a name to find the request by, and its text


# Every kind of request is asked in each run: of a kind with many, one in so many unless the run is deep.
ONE_IN = 6


def requests() -> Batch:
    few = described() | compared() | bad_requests()
    return few | _share(scenarios()) | _share(plans()) | _share(random_answers())


def _share(batch: Batch) -> Batch:
    return {name: batch[name] for name in sampling.share(batch, ONE_IN)}


def scenarios() -> Batch:
    """Each worked case, judged, the question that would come next, and its job sheet."""
    return {
        f"{case.id}: {ask}": json.dumps(case.request | {"ask": ask})
        for case in worked_cases.every()
        for ask in ("check", "next", "sheet")
    }


def plans() -> Batch:
    """Each worked schedule, and one near a pole, where the sun is the hardest to work out."""
    batch = {f"plan {case.id}": case.request_json for case in worked_cases.every_plan()}
    south = {"on": "sunset+00:10", "off": "sunrise-00:10", "on_without_sun": "15:00", "off_without_sun": "09:00"}
    plan = {"zone": "UTC", "latitude_deg": "-77.846", "longitude_deg": "166.676", "programme": [south]}
    request = {"format": 1, "ask": "plan", "pack": "iec", "as_of": "2027-02-28", "answers": {}, "plan": plan}
    return batch | {"plan in the far south": json.dumps(request)} | random_plans()


def random_plans(count: int = 24, seed: int = 20261126) -> Batch:
    """Schedules drawn by chance, with answers of any kind to the questions of schedule and check."""
    chance, batch = random.Random(seed), {}
    for number in range(count):
        pack = chance.choice(_packs())
        described = _reply(_described_request(pack))
        answers = {q["id"]: _any_answer(q, chance) for q in described["questions"] if chance.random() < 0.5}
        answers["load_kind"] = chance.choice(("water-heater", "pool-pump", "led-lamps", "heater"))
        plan = {q["id"]: _any_answer(q, chance) for q in described["plan"]["questions"] if chance.random() < 0.6}
        plan |= {"latitude_deg": chance.choice((50, -34, 68)), "longitude_deg": 20}
        plan["zone"] = chance.choice(("Europe/Paris", "America/New_York"))
        times = ("05:10", "06:00", "22:15", "sunset", "sunrise-00:30", "dusk+01:00")
        plan["programme"] = [dict(zip(("on", "off"), chance.sample(times, 2), strict=True)) for _ in range(2)]
        plan["tariff"] = [{"price": "0.3"}, {"price": "0.123456789", "from": "22:00", "until": "06:00"}]
        request = {"format": 1, "ask": "plan", "pack": pack["id"], "edition": pack["edition"], "as_of": "2026-11-25"}
        batch[f"plan by chance {number}"] = json.dumps(request | {"answers": answers, "plan": plan})
    return batch


def compared() -> Batch:
    """A few worked cases under every rule set at once."""
    packs = list(dict.fromkeys(pack["id"] for pack in _packs()))
    batch = {}
    for case in worked_cases.every()[::20]:
        about = {key: case.request[key] for key in ("format", "as_of", "answers")}
        batch[f"{case.id}: compare"] = json.dumps(about | {"ask": "compare", "packs": packs})
    return batch


def described() -> Batch:
    batch = {"describe": json.dumps({"format": 1, "ask": "describe"})}
    for pack in _packs():
        batch[f"describe {pack['id']} {pack['edition']}"] = json.dumps(_described_request(pack))
    return batch


def random_answers(each: int = 40, seed: int = 20261125) -> Batch:
    """Answers drawn from the questions each pack asks: most parts of the rules are met, many in odd company."""
    chance = random.Random(seed)
    batch = {}
    for pack in _packs():
        questions = _reply(_described_request(pack))["questions"]
        for number in range(each):
            share = chance.random()
            answers = {q["id"]: _any_answer(q, chance) for q in questions if chance.random() < share}
            request = {"format": 1, "ask": chance.choice(("check", "check", "next", "sheet")), "pack": pack["id"]}
            request |= {"edition": pack["edition"], "as_of": "2026-11-25", "answers": answers}
            batch[f"random {pack['id']} {pack['edition']} {number}"] = json.dumps(request)
    return batch


def _any_answer(question: dict, chance: random.Random) -> object:
    if question["dont_know"] and chance.random() < 0.1:
        return "dont-know"
    if question["kind"] == "yes-no":
        return chance.random() < 0.5
    if question["kind"] == "choice":
        return chance.choice(question["choices"])["value"]
    # Twelve places, the most an answer may have, are past what a float holds: a detour through one would show.
    low, high = Decimal(str(question["minimum"])), Decimal(str(question["maximum"]))
    share = Decimal(chance.randrange(10**20)) / 10**20
    value = max(low, round(low + (high - low) * share**3, chance.choice((0, 1, 2, 12))))
    return f"{value:f}"


def bad_requests() -> Batch:
    good = {"format": 1, "ask": "check", "pack": "iec", "as_of": "2026-11-25", "answers": {}}
    texts = {
        "nothing": "",
        "no JSON": "pack = 'iec'",
        "cut short": '{"format": 1, "ask": ',
        "comma left over": '{"format": 1,}',
        "a list": "[]",
        "a number": "1",
        "null": "null",
        "NaN": '{"format": NaN}',
        "a key twice": '{"format": 1, "format": 1}',
        "nested deeply": "[" * 3000 + "]" * 3000,
        "nested beyond reason": "[" * 200_000,
        "a byte order mark": "\ufeff{}",
        "half a character": '{"format": 1, "ask": "\\ud800"}',
        "a zero byte": '{"format": 1, "ask": "check\\u0000"}',
        "an emoji as pack": json.dumps(good | {"pack": "\U0001f50c"}, ensure_ascii=False),
        "no format": json.dumps({key: good[key] for key in good if key != "format"}),
        "another format": json.dumps(good | {"format": 2}),
        "format true": json.dumps(good | {"format": True}),
        "unknown ask": json.dumps(good | {"ask": "approve"}),
        "unknown part": json.dumps(good | {"anwsers": {}}),
        "unknown pack": json.dumps(good | {"pack": "atlantis"}),
        "unknown edition": json.dumps(good | {"edition": "1066"}),
        "no date": json.dumps({key: good[key] for key in good if key != "as_of"}),
        "no such day": json.dumps(good | {"as_of": "2026-02-30"}),
        "a date before any pack": json.dumps(good | {"as_of": "0001-01-01"}),
        "answers as a list": json.dumps(good | {"answers": ["tester"]}),
        "confirmed as text": json.dumps(good | {"confirmed": "all"}),
    }
    answers = {
        "unknown question": {"breaker_rating": 16},
        "unknown choice": {"tester": "finger"},
        "text for a number": {"breaker_rating_a": "sixteen"},
        "infinity": {"breaker_rating_a": "Infinity"},
        "below the bounds": {"breaker_rating_a": -16},
        "beyond the bounds": {"breaker_rating_a": "1e999999999"},
        "very many digits": {"breaker_rating_a": "16." + "0" * 100_000 + "1"},
        "number for a choice": {"tester": 1},
        "text for yes or no": {"lock_off": "yes"},
        "null": {"lock_off": None},
        "a table": {"lock_off": {}},
    }
    texts |= {f"answer: {name}": json.dumps(good | {"answers": given}) for name, given in answers.items()}
    return {f"bad: {name}": text for name, text in texts.items()}


def ask(command: list[str], batch: Batch) -> dict[str, str]:
    """Send the batch to a process that speaks the lines of handle.mjs and handle.py; the replies by name.

    A request on which `handle` raised fails here, with its name.
    """
    lines = "".join(json.dumps(text) + "\n" for text in batch.values())
    done = subprocess.run(command, input=lines, cwd=ROOT, capture_output=True, text=True, timeout=3000, check=False)
    assert done.returncode == 0, f"{' '.join(command)} failed:\n{done.stderr[-3000:]}"
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(batch), f"{len(batch)} requests, {len(answers)} replies:\n{done.stderr[-3000:]}"
    named = dict(zip(batch, answers, strict=True))
    raised = {name: answer["raised"] for name, answer in named.items() if "raised" in answer}
    assert not raised, f"handle raised: {raised}"
    return {name: answer["reply"] for name, answer in named.items()}


def differences(batch: Batch, here: dict[str, str], there: dict[str, str]) -> str:
    """The requests with unequal replies, each with the place where the two part; empty when there is none."""
    rows = []
    for name in batch:
        one, other = here[name], there[name]
        if one != other:
            at = next(
                (i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other))
            )
            rows.append(
                f"{name}\n  here  ...{one[max(0, at - 60) : at + 80]}\n  there ...{other[max(0, at - 60) : at + 80]}"
            )
    return "\n".join(rows)


def _described_request(pack: dict) -> dict:
    return {"format": 1, "ask": "describe", "pack": pack["id"], "edition": pack["edition"], "as_of": "2026-11-25"}


def _packs() -> list[dict]:
    reply = _reply({"format": 1, "ask": "describe"})
    assert reply.get("packs"), f"no pack to ask: {reply}"
    return reply["packs"]


def _reply(request: dict) -> dict:
    return json.loads(handle(json.dumps(request)))
