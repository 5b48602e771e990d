"""What would make the sizing fit: the smallest sets of changed answers, fewest things and least cost first.

A search over repairs: the first rule that is in the way names the answers it reads, and each that a person can change
(`change` in its question) is moved as little as clears that rule. What another rule then asks for is a further change,
or a longer move of the same. Every set is judged anew as a whole case before it is named.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from checker.core.bounds import Span
from checker.core.findings import CANNOT_TELL, FAILED, NOT_APPLICABLE, Finding
from checker.core.messages import fill
from checker.core.pack import Pack
from checker.core.values import ReasonKind, Value, plain
from checker.core.verdict import reach
from checker.core.whatif import any_answer
from checker.core.whatif.flips import crossing
from checker.core.whatif.nearest import nearest, next_row
from checker.core.whatif.trials import Bench, Judged, Trial, undecided

MOST_THINGS = 3
# Sets of one thing more than the smallest are named too while there are fewer than this.
ENOUGH_SETS = 2
MOST_SETS = 6
# Repairs looked at before the search is given up; what was found until then stands.
MOST_STEPS = 60


_ABOUT_AN_ANSWER = (ReasonKind.NOT_ASKED, ReasonKind.NOT_STATED, ReasonKind.DONT_KNOW)


class Repair(NamedTuple):
    """A case with some answers changed, and how its rules come out."""

    answers: dict[str, Value]
    trial: Trial
    judged: dict[str, Judged]

    def things(self) -> dict[str, int]:
        """What has to be changed, with what it costs at most."""
        things: dict[str, int] = {}
        for name in self.answers:
            change = self.trial.pack.questions[name]["change"]
            things[change["thing"]] = max(change["cost"], things.get(change["thing"], 0))
        return things

    @property
    def price(self) -> tuple[int, int, int]:
        things = self.things()
        return len(things), sum(things.values()), len(self.answers)


class Changes:
    """The sets for one case. `judged`: every rule that decides, as judged in `trial`."""

    def __init__(self, trial: Trial, bench: Bench, judged: dict[str, Judged]) -> None:
        self.bench = bench
        self.start = Repair({}, trial, judged)
        # What was in doubt before is not put right by a change, and does not count against one.
        self.doubts = {rule for rule, held in judged.items() if held.finding.outcome == CANNOT_TELL}
        self.failed = [
            rule
            for rule, held in judged.items()
            if held.finding.outcome == FAILED and held.finding.rule.part == "sizing"
        ]
        self.beyond = {
            rule for rule, held in judged.items() if held.finding.outcome == FAILED and rule not in self.failed
        }

    def all(self) -> list[dict]:
        if not self.failed:
            return []
        found: list[Repair] = []
        waiting: list[tuple[tuple[int, int, int], int, Repair]] = [(self.start.price, 0, self.start)]
        seen: set[frozenset] = set()
        count = steps = 0
        while waiting and len(found) < MOST_SETS and steps < MOST_STEPS:
            price, _, repair = heapq.heappop(waiting)
            if found and price[0] > found[0].price[0] + (len(found) < ENOUGH_SETS):
                break
            rule = self._in_the_way(repair)
            if rule is None:
                if not any(set(other.things()) <= set(repair.things()) for other in found):
                    found.append(repair)
                continue
            steps += 1
            for answers in self._repairs(repair, rule):
                key = frozenset(answers.items())
                if key in seen:
                    continue
                seen.add(key)
                more = self._with(repair, answers)
                if more.price[0] <= MOST_THINGS:
                    count += 1
                    heapq.heappush(waiting, (more.price, count, more))
        return [shown for repair in found if (shown := self._shown(repair))] or [self._impossible()]

    def _with(self, repair: Repair, answers: dict[str, Value]) -> Repair:
        new = {name: value for name, value in answers.items() if repair.answers.get(name) != value}
        trial = repair.trial.with_answers(new)
        return Repair(answers, trial, self.bench.again(repair.judged, trial, frozenset(new)))

    def _in_the_way(self, repair: Repair) -> str | None:
        """The first rule that has to be cleared: one that fails, or one that the change itself left open."""
        open_ = None
        for rule, held in repair.judged.items():
            if self._stands_in_the_way(rule, held.finding, repair):
                if held.finding.outcome == FAILED:
                    return rule
                open_ = open_ or rule
        return open_

    def _stands_in_the_way(self, rule: str, finding: Finding, repair: Repair) -> bool:
        if finding.outcome == FAILED:
            return rule not in self.beyond
        if finding.outcome != CANNOT_TELL or rule in self.doubts or finding.rule.part != "sizing":
            return False
        if self.start.judged[rule].finding.outcome != NOT_APPLICABLE:
            return True
        # A contactor brings a coil, wires and terminals that nobody was asked about. What can be bought with it is named,
        # and the rest is to be found out then.
        questions, things = repair.trial.pack.questions, repair.things()
        unasked = [questions[reason.id] for reason in finding.reasons if reason.kind is ReasonKind.NOT_ASKED]
        return all(_is_listed(question) and question["change"]["thing"] in things for question in unasked)

    def _repairs(self, repair: Repair, rule: str) -> Iterator[dict[str, Value]]:
        """Answers that clear `rule`, each with one answer more than `repair` or with one moved on."""
        held = repair.judged[rule]
        questions = repair.trial.pack.questions
        wanted = held.names
        if held.finding.outcome == CANNOT_TELL:
            missing = [r.id for r in held.finding.reasons if r.kind in _ABOUT_AN_ANSWER]
            wanted = held.names.union(missing)
        # A rule may ask whether a label states what this pack has no question about.
        for name in sorted(wanted.intersection(questions), key=lambda name: questions[name]["order"]):
            if "change" in questions[name]:
                for value in self._values(repair, name, held):
                    yield repair.answers | {name: value}

    def _values(self, repair: Repair, name: str, held: Judged) -> Iterator[Value]:
        """The nearest values, each way it may be moved, with which the rule is no longer in the way."""
        question = repair.trial.pack.questions[name]
        change, now = question["change"], repair.trial.answers.get(name)

        def clears(value: Value) -> bool:
            judged = self.bench.judge(held.finding.rule, repair.trial.with_answers({name: value}))
            return not self._stands_in_the_way(held.finding.rule.id, judged.finding, repair) or (
                held.finding.outcome == FAILED
                and judged.finding.outcome == CANNOT_TELL
                and any(reason.kind is ReasonKind.NOT_ASKED for reason in judged.finding.reasons)
            )

        if "to" in change:
            yield from (value for value in change["to"] if value != now and clears(value))
            return
        for toward in ("up", "down"):
            if change["toward"] not in (toward, "any"):
                continue
            if name in repair.answers and isinstance(now, Decimal):
                # Moved already: on in the same direction, never back.
                before = self.start.trial.answers.get(name)
                if isinstance(before, Decimal) and (now > before) != (toward == "up"):
                    continue
            if question["kind"] == "number" and "values" not in change and "table" not in change:
                found = self._on_the_grid(repair, name, now, toward == "up", held) if isinstance(now, Decimal) else None
                if found is not None:
                    yield found
                continue
            for value in _offered(repair.trial, question, now, toward):
                if clears(value):
                    yield value
                    break

    def _on_the_grid(self, repair: Repair, name: str, now: Decimal, upward: bool, held: Judged) -> Decimal | None:
        """The nearest number of the question's steps that clears the rule."""

        rows: list = []
        step = Decimal(repair.trial.pack.questions[name]["step"])

        def judge(value: Decimal | Span) -> bool | None:
            trial = repair.trial.with_answers({name: value})  # type: ignore[dict-item]
            judged = self.bench.judge(held.finding.rule, trial)
            if undecided(judged, trial):
                rows[:] = trial.spread
                return None
            return self._stands_in_the_way(held.finding.rule.id, judged.finding, repair)

        def guess(near: Decimal, far: Decimal) -> Decimal | None:
            place = crossing([held.finding], repair.trial, name, near, far)
            return next_row(rows, near, far, step) if place is None else place

        edge = nearest(repair.trial.pack, name, now, upward, judge, True, guess)
        return edge.breaks if edge else None

    def _shown(self, repair: Repair) -> dict | None:
        """A set as data, once the whole case has been judged with it; None where that says otherwise."""
        pack = repair.trial.pack
        case = Trial(pack, repair.trial.answers)
        judged = any_answer.judge(case, self.bench)
        verdict = reach(judged, case.answers.get("worker"))
        failed = {f.rule.id for f in judged if f.outcome == FAILED and f.rule.decides}
        if verdict.sizing.outcome == "change" or failed - self.beyond:
            return None
        said = []
        for name, value in repair.answers.items():
            said.append(fill(case, pack.questions[name]["change"]["text"], {"value": (name, value)}))
        if verdict.sizing.outcome == "find-out":
            said.append(fill(case, pack.phrases["change.then-find-out"]))
        if left := self._left_to_know(judged, pack):
            said.append(fill(case, pack.phrases["change.then-learn"]).replace("{it}", "; ".join(left)))
        return {
            "answers": {name: plain(v) if isinstance(v, Decimal) else v for name, v in repair.answers.items()},
            "rules": self.failed,
            "things": list(repair.things()),
            "cost": sum(repair.things().values()),
            "sizing": verdict.sizing.outcome,
            "text": " ".join(said),
        }

    def _left_to_know(self, judged: list[Finding], pack: Pack) -> list[str]:
        """What the change itself brings in that nobody was asked about."""
        new = [
            f for f in judged if f.outcome == CANNOT_TELL and f.rule.part == "sizing" and f.rule.id not in self.doubts
        ]
        unasked = {reason.id for finding in new for reason in finding.reasons if reason.kind is ReasonKind.NOT_ASKED}
        return [
            pack.questions[name]["label"] for name in sorted(unasked, key=lambda name: pack.questions[name]["order"])
        ]

    def _impossible(self) -> dict:
        pack = self.start.trial.pack
        titles = "; ".join(
            fill(self.start.trial, held.finding.rule.title)
            for rule, held in self.start.judged.items()
            if rule in self.failed
        )
        text = fill(self.start.trial, pack.phrases["change.none"]).replace("{it}", titles)
        return {"answers": {}, "rules": self.failed, "things": [], "cost": None, "sizing": "change", "text": text}


def _is_listed(question: dict) -> bool:
    """Whether its answers come from a list, of which one can be named although none was given."""
    return "change" in question and (
        question["kind"] != "number" or "values" in question["change"] or "table" in question["change"]
    )


def _offered(trial: Trial, question: dict, now: Value | None, toward: str) -> list[Value]:
    """What can be had beyond the answer there is, nearest first; all of it where there is no answer."""
    change = question["change"]
    if question["kind"] == "choice":
        values = [choice["value"] for choice in question["choices"]]
        at = values.index(now) if now in values else -1
        return values[at + 1 :] if toward == "up" else values[:at][::-1] if at > 0 else []
    if "table" in change:
        listed = {cell.value for cell in trial.pack.tables[change["table"]].cells.values()}
    else:
        listed = {Decimal(value) for value in change["values"]}
    listed = {value for value in listed if Decimal(question["minimum"]) <= value <= Decimal(question["maximum"])}
    if isinstance(now, Decimal):
        listed = {value for value in listed if (value > now if toward == "up" else value < now)}
    return sorted(listed, reverse=toward == "down")
