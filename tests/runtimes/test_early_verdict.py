"""What the page says of danger and law before Python is there, against what the checker itself says.

The verdict of a case follows from the outcomes of its rules. So each rule is tried with every combination of the answers
it reads, and whole cases (all single answers, and a seeded sample) are compared with the replies to `check` and `next`.
"""

from __future__ import annotations

import itertools
import json
import random
import subprocess
from decimal import localcontext

import pytest

from checker.core import findings
from checker.core.api import handle
from checker.core.findings import Gate
from checker.core.pack import Pack, every
from checker.core.situation import Reader
from checker.core.values import CONTEXT
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial
from checker.dev.site import early_verdict
from tests.runtimes.batch import ROOT

pytestmark = [pytest.mark.node, pytest.mark.sampled(one_in=4, by="made")]

AS_OF = "2026-11-25"
SAMPLE = 20
PACKS = {f"{pack.id}@{pack.about['edition']}": pack for pack in every()}


def as_page(pack: Pack, table: dict, cases: list[dict]) -> list[dict]:
    """What the page's own script says, the answers written as in its address."""
    text = json.dumps({"table": table, "cases": cases})
    command = ["node", "tests/runtimes/walk.mjs"]
    done = subprocess.run(command, input=text, cwd=ROOT, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def reply(pack: Pack, ask: str, case: dict) -> dict:
    answers = {name: early_verdict.values(pack.questions[name])[key] for name, key in case.items()}
    asked = {"format": 1, "ask": ask, "pack": pack.id, "edition": pack.about["edition"], "as_of": AS_OF}
    counsel = {"counsel": False} if ask == "check" else {}
    return json.loads(handle(json.dumps(asked | counsel | {"answers": answers})))


def combinations(pack: Pack, names: list[str]) -> list[dict]:
    """Every answer to every one of `names`, and none."""
    each = [[None, *early_verdict.values(pack.questions[name])] for name in names]
    return [
        {name: key for name, key in zip(names, keys, strict=True) if key is not None}
        for keys in itertools.product(*each)
    ]


@pytest.fixture(params=PACKS, scope="module")
def made(request) -> tuple[Pack, dict]:
    pack = PACKS[request.param]
    return pack, early_verdict.build(pack.id, pack.about["edition"], AS_OF)


def test_each_rule_fails_for_the_very_combinations_for_which_the_checker_fails_it(made):
    pack, table = made
    bench = Bench(Gate(AS_OF))
    tried = 0
    for rule in (rule for rule in pack.rules if rule.part in early_verdict.PARTS and rule.decides):
        cases = combinations(pack, early_verdict.read(pack, rule))
        tried += len(cases)
        for case, said in zip(cases, as_page(pack, table, cases), strict=True):
            answers = {name: early_verdict.values(pack.questions[name])[key] for name, key in case.items()}
            with localcontext(CONTEXT):
                trial = Trial(pack, answers)
                finding = any_answer.settle(findings.weigh(rule, Reader(trial), bench.gate)[0], trial, bench)
            fails = finding.outcome == "failed"
            assert said["rules"][rule.id].startswith("!") is fails, f"{rule.id}: {case}"
    assert tried > 100, "there have to be combinations to try"


def sample(pack: Pack, table: dict) -> list[dict]:
    names = [question["id"] for question in table["questions"]]
    cases = [{}, *({name: key} for name in names for key in early_verdict.values(pack.questions[name]))]
    chance = random.Random(f"{pack.id} {pack.about['edition']}")
    for _ in range(SAMPLE):
        some = [name for name in names if chance.random() < chance.choice((0.3, 0.7, 1))]
        cases.append({name: chance.choice([*early_verdict.values(pack.questions[name])]) for name in some})
    return cases


def test_whole_cases_get_the_headline_the_words_and_the_next_question_of_the_checker(made):
    pack, table = made
    cases = sample(pack, table)
    early = 0
    for case, said in zip(cases, as_page(pack, table, cases), strict=True):
        report = reply(pack, "check", case)
        of_core = report["headline"] if report["headline"] in ("stop", "call") else None
        assert said["headline"] == of_core, case
        part = {"stop": "danger", "call": "who", None: None}[of_core]
        failed = [
            f for f in report["findings"] if f["part"] == part and f["outcome"] == "failed" and f["weight"] != "advice"
        ]
        assert said["failed"] == [{key: f[key] for key in ("rule", "title", "message", "fix")} for f in failed], case
        early += of_core is not None
        if said["question"] is not None:
            assert said["question"] == reply(pack, "next", case)["question"]["id"], case
    assert early > 10, "the sample has to reach verdicts"


def test_an_answer_that_the_table_does_not_hold_is_left_to_the_checker(made):
    pack, table = made
    for case in ({"isolation": "none", "load_power_w": "2000"}, {"isolation": "no such answer"}, {"__proto__": "none"}):
        (said,) = as_page(pack, table, [case])
        assert (said["headline"], said["question"]) == (None, None), case
