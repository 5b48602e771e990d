"""What notices a mistake in the data: second copies, the lint, the tests of the tables, and every case with a known result.

The cases are those of the other tests: worked scenarios, the cases of each rule, the knife edges, published examples. Each
is run once on the pack as it is, rule by rule, and remembers the cells, parameters and rules that each rule touched; a
mutant meets only the cases that touch it, and of those only the rules that do.
"""

from __future__ import annotations

import copy
import importlib
import inspect
from collections.abc import Callable, Container, Iterator
from decimal import Decimal
from functools import cache, cached_property, partial
from itertools import product
from pathlib import Path
from typing import Any, NamedTuple

from checker.core import findings, quantities, verdict
from checker.core.answers import check_answers
from checker.core.findings import Gate
from checker.core.pack import Pack, _rule, choose
from checker.core.situation import Situation
from checker.core.tables import Cell, Table
from checker.core.values import plain
from checker.core.whatif import any_answer, trials
from checker.dev.cases import scenarios
from checker.dev.cases.published import untold
from checker.dev.rulebook.lint_tables import tables as lint_tables
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import RULES, Folder
from tests.core import asking
from tests.core.test_exactness import COMPARISONS, edges, of, serves
from tests.mutation.mutants import Mutant
from tests.proofs.model import quantities_of, tree_names
from tests.proofs.summaries import Book
from tests.published.held import EXAMPLES
from tests.published.test_published import rounded
from tests.rules.test_cases import CASES, OLDER, only_advises
from tests.scenarios.comparing import _LISTS
from tests.tables import conftest
from tests.tables.conftest import ROOT, _key, _rows
from tests.tables.test_second_transcription import CAUTIOUS, judge

AS_OF = asking.AS_OF


class Judged(NamedTuple):
    situation: Situation
    found: dict[str, findings.Finding]
    verdict: verdict.Verdict


class Probe(NamedTuple):
    """One case: `holds` says whether what the checker finds is what is known. `only`: the one rule it looks at."""

    killer: str
    answers: dict[str, Any]
    confirmed: frozenset[str]
    as_of: str
    holds: Callable[[Judged], bool]
    only: str = ""  # NO_RULE: it looks at what is computed


NO_RULE = "(none)"


def run(probe: Probe, pack: Pack, touched: set | None = None) -> Judged:
    """What the checker finds: of every rule, or of the one that the probe looks at."""
    if probe.only:
        pack = _with_rules(pack, {probe.only})
    situation = _situation(probe, pack, touched)
    found = any_answer.judge(situation, trials.Bench(Gate(probe.as_of, frozenset(probe.confirmed))))
    reached = verdict.reach(found, situation.answers.get("worker"))
    return Judged(situation, {finding.rule.id: finding for finding in found}, reached)


def _situation(probe: Probe, pack: Pack, touched: set | None) -> trials.Trial:
    given = {name: _exact(value) for name, value in probe.answers.items()}
    situation = trials.Trial(pack, check_answers(given, pack.questions))
    if touched is not None:
        situation.memory = _Noted(situation.memory, touched)
    return situation


def _with_rules(pack: Pack, wanted: Container[str]) -> Pack:
    """The pack with no other rules: a rule is judged by itself, whatever stands beside it."""
    less = copy.copy(pack)
    less.rules = [rule for rule in pack.rules if rule.id in wanted]
    return less


class _Noted(dict):
    """The memory of a situation, that writes down what is looked up in it."""

    def __init__(self, held: dict, touched: set) -> None:
        super().__init__(held)
        self.touched = touched

    def get(self, name: str, default: Any = None) -> Any:
        self.touched.add(name)
        return super().get(name, default)


def _exact(value: Any) -> Any:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return Decimal(str(value)) if number else value


def in_force(pack: Pack) -> bool:
    """Whether this edition is the one that a request gets which names none: the cases are for that one."""
    return choose(pack.id, None, AS_OF) is pack


def probes(pack: Pack) -> Iterator[Probe]:
    """Every case with a known result, of this pack."""
    for case in scenarios.every():
        if choose(*(case.request[key] for key in ("pack", "edition", "as_of"))) is pack:
            confirmed = frozenset(case.request["confirmed"])
            yield Probe("scenario", case.request["answers"], confirmed, case.request["as_of"], _scenario(case.expect))
    sound, confirmed = asking.sound(pack.id), frozenset()
    for case in CASES if in_force(pack) else OLDER:
        if case.pack in (pack.id, f"{pack.id}@{pack.about['edition']}"):
            yield Probe("case", sound | case.told["with"], confirmed, AS_OF, _case(case.rule, case.told), case.rule)
    if not in_force(pack):
        return
    for edge in edges(pack.id):
        if serves(edge, pack.id) and (pack.id, *of(edge)) in COMPARISONS:
            for more, outcome in ({}, edge.get("at", "passed")), (edge["over"], edge.get("outcome", "failed")):
                answers = sound | edge["equal"] | more
                sure = frozenset(edge.get("confirmed", ()))
                yield Probe("knife edge", answers, sure, AS_OF, _outcome(edge["rule"], outcome), edge["rule"])
    for example in EXAMPLES:
        if example.get("pack", "iec") == pack.id:
            for claim in example.get("quantity", ()):
                answers = untold(pack.id) | example["answers"] | claim.get("with", {})
                yield Probe("published", answers, frozenset(), AS_OF, _printed(claim), NO_RULE)
            for claim in example.get("finding", ()):
                answers = untold(pack.id) | example["answers"] | claim.get("with", {})
                holds = _outcome(claim["rule"], claim["outcome"])
                yield Probe("published", answers, frozenset(), AS_OF, holds, claim["rule"])


def _scenario(expect: dict[str, Any]) -> Callable[[Judged], bool]:
    def holds(case: Judged) -> bool:
        reached = (case.verdict.headline, case.verdict.who.outcome, case.verdict.sizing.outcome)
        lists = {
            claim: sorted(f.rule.id for f in case.found.values() if f.rule.decides and f.outcome == outcome)
            for claim, outcome in _LISTS.items()
        }
        wanted = (expect["headline"], expect["who"], expect["sizing"])
        return reached == wanted and all(sorted(expect[claim]) == lists[claim] for claim in _LISTS)

    return holds


def _case(rule: str, told: dict[str, Any]) -> Callable[[Judged], bool]:
    def holds(case: Judged) -> bool:
        finding = case.found[rule]
        because = [f"{reason.kind} {reason.id}" for reason in finding.reasons]
        return finding.outcome == told["outcome"] and because == told.get("because", [])

    return holds


def _outcome(rule: str, outcome: str) -> Callable[[Judged], bool]:
    return lambda case: case.found[rule].outcome == outcome


def _printed(claim: dict[str, Any]) -> Callable[[Judged], bool]:
    def holds(case: Judged) -> bool:
        value = case.situation.known(claim["name"]).value
        if isinstance(value, Decimal):
            return rounded(plain(value), claim) == claim["printed"]
        return value == claim["printed"]

    return holds


class Held:
    """A probe on the sound pack: what it found, and what it touched."""

    def __init__(self, probe: Probe, pack: Pack) -> None:
        self.probe, self._pack = probe, pack
        touched: set = set()
        case = run(probe, _watched(pack, touched), touched)
        self.fit = probe.holds(case)  # which may look at more
        self._found = case.found
        self.touched = frozenset({*touched, *case.found})

    def notices(self, mutant: Mutant, changed: Pack) -> bool:
        """Whether it no longer holds; asked only of what it touches."""
        try:
            if self.probe.only:
                return not self.probe.holds(run(self.probe, changed))
            again = {rule for rule, touched in self._by_rule.items() if _meets(mutant, touched)}
            fresh = run(self.probe, _with_rules(changed, again))
            found = {rule: fresh.found.get(rule, finding) for rule, finding in self._found.items()}
            reached = verdict.reach(list(found.values()), fresh.situation.answers.get("worker"))
            return not self.probe.holds(Judged(fresh.situation, found, reached))
        except Exception:  # a pack that cannot be judged by is noticed
            return True

    @cached_property
    def _by_rule(self) -> dict[str, frozenset]:
        """What each rule of a worked case touches by itself."""
        by_rule = {}
        for rule in self._found:
            own: set = set()
            run(self.probe._replace(only=rule), _watched(self._pack, own), own)
            by_rule[rule] = frozenset({rule, *own})
        return by_rule


def _meets(mutant: Mutant, touched: frozenset) -> bool:
    """Whether what was touched may come out differently: a table read whole, one of its cells, a parameter, a rule."""
    if mutant.item in touched:
        return True
    if mutant.kind == "override":
        return (mutant.item, "asked") in touched
    # A row that is gone may turn a look-up that found no cell into one that finds the next.
    gone = mutant.kind == "cell" and len(mutant.changed["cells"]) < mutant.rows
    return mutant.kind == "cell" and (mutant.cell in touched or (gone and (mutant.item, "none") in touched))


class Bench:
    """A pack, its probes with what each touches, and the mistakes made in it."""

    def __init__(self, pack: Pack) -> None:
        self.pack = pack
        self.probes: list[Held] = []
        self.unfit: list[Probe] = []
        for probe in probes(pack):
            held = Held(probe, pack)
            if held.fit:
                self.probes.append(held)
            else:
                self.unfit.append(probe)
        self.probes.sort(key=lambda held: not held.probe.only)  # one rule is judged sooner than all
        self.folder, self.origin = _folder(pack.id)
        self.own = "base" if self.origin is None else self.folder.path.name
        self.tests = _table_tests()
        self.book = Book(pack)
        self._behind: dict[str, set[str]] = {}

    def killer(self, mutant: Mutant) -> str | None:
        """Who notices, or None."""
        figures = mutant.kind == "parameter" or "cells" in mutant.changed
        if figures and self._second(mutant):
            return "second transcription"
        if mutant.kind == "cell" and self._lint(mutant):
            return "lint"
        if "weight" in mutant.changed:
            decides = mutant.changed["weight"] != "advice"
            if decides == only_advises(self.pack.id, mutant.item):
                return "list of advice"
        try:
            changed = self._changed(mutant)
        except Exception:  # a pack that cannot even be loaded is noticed by the build
            return "build"
        for place, held in enumerate(self.probes):
            if _meets(mutant, held.touched) and held.notices(mutant, changed):
                # Whoever noticed this one is likely to notice the next: the same figure, another slip.
                self.probes.insert(0, self.probes.pop(place))
                return held.probe.killer
        return "tests of the tables" if "cells" in mutant.changed and self._physics(mutant) else None

    def weights(self, item: str) -> list[str]:
        """The weights of the rules that rest on an item, strictest first."""
        order = ["law", "standard", "practice", "advice"]
        found = set()
        for rule in self.pack.content["rules"]:
            names = tree_names(rule["applies"]) | tree_names(rule["requires"])
            if item == rule["id"] or item in names or (_computed_with(item) and item in self._rests(rule["id"], names)):
                found.add(rule["weight"])
        return sorted(found, key=order.index)

    def _rests(self, rule: str, names: set[str]) -> set[str]:
        """The tables and parameters behind the quantities that a rule reads."""
        if rule not in self._behind:
            computed = quantities_of(self.book, sorted(names))
            ways = [way for name in computed for way in self.book.of(name).ways]
            self._behind[rule] = {cell.partition("/")[0] for way in ways for cell in way.cells}
        return self._behind[rule]

    def _changed(self, mutant: Mutant) -> Pack:
        """The pack with the mistake; everything else is shared with the sound one."""
        pack = copy.copy(self.pack)
        pack.known_parameters = None
        kind = mutant.at[0] if mutant.kind == "override" else {"cell": "table"}.get(mutant.kind, mutant.kind)
        if kind == "table":
            pack.tables = {**pack.tables, mutant.item: Table(mutant.changed)}
        elif kind == "parameter":
            pack.parameters = {
                **pack.parameters,
                mutant.item: Cell.of(mutant.item, mutant.changed, mutant.changed["unit"]),
            }
        else:
            parts = {stage["id"]: stage["part"] for stage in pack.stages}
            made = _rule(mutant.changed, parts[mutant.changed["stage"]])
            pack.rules = [made if rule.id == mutant.item else rule for rule in pack.rules]
        return pack

    def _second(self, mutant: Mutant) -> bool:
        """Whether the second transcription (in `rules/<pack>/second`) says otherwise."""
        if "value" in mutant.changed and "cells" not in mutant.changed:
            copy_ = parameters(self.own).get(mutant.item)
            return copy_ is not None and Decimal(copy_) != Decimal(mutant.changed["value"])
        copies, cautious = second(self.own, mutant.item), CAUTIOUS.get(mutant.item, min)
        cells = {tuple(map(_number, cell["keys"])): cell for cell in mutant.changed["cells"]}
        if mutant.kind == "cell":
            asked = [tuple(map(_number, mutant.at))]
        else:
            sound = next(table for table in self.pack.content["tables"] if table["id"] == mutant.item)
            asked = [tuple(map(_number, cell["keys"])) for cell in sound["cells"]]
        for keys in asked:
            if keys in copies:  # every second copy has to stand for a shipped cell
                cell = cells.get(keys)
                value = cell and {**cell, "value": _number(cell["value"])}
                if value is None or judge(value, copies[keys], cautious) == "wrong":
                    return True
        return False

    def _physics(self, mutant: Mutant) -> bool:
        """Whether one of the tests of the tables alone fails on the table with the mistake."""
        kept = {tuple(cell["keys"]): cell["value"] for cell in mutant.changed["cells"]}
        table = (self.own, mutant.item)
        return any(table in asked and not _still_holds(test, _cells(table, kept)) for test, asked in self.tests)

    def _lint(self, mutant: Mutant) -> bool:
        item = self.folder.items["table", mutant.item]
        kept = {tuple(map(_number, cell["keys"])) for cell in mutant.changed["cells"]}
        left = [cell for cell in item.data["cells"] if tuple(_number(str(key)) for key in cell["keys"]) in kept]
        data = {**item.data, "cells": left}
        folder = Folder(
            self.folder.path, self.folder.pack, {**self.folder.items, ("table", mutant.item): item._replace(data=data)}
        )
        content = {**self.pack.content, "tables": [mutant.changed]}
        return next(iter(lint_tables(folder, content, RULES)), None) is not None


def _cells(
    changed: tuple[str, str] | None = None, kept: dict[tuple, str] | None = None, asked: set | None = None
) -> Callable:
    """What the tests of the tables are handed as `cells`: the sheets as they stand, but for the one that is `changed`."""

    def read(pack: str, table: str) -> dict[tuple, dict]:
        if asked is not None:
            asked.add((pack, table))
        found = _sheet(pack, table)
        if (pack, table) == changed:
            values = {tuple(_number(key) for key in keys): _number(value) for keys, value in kept.items()}
            some = next(iter(found.values()))
            found = {key: {**found.get(key, some), "value": value} for key, value in values.items()}
        return found

    return read


@cache
def _sheet(pack: str, table: str) -> dict[tuple, dict]:
    """Read once: no test changes the cells it is handed."""
    rows = _rows(ROOT / "rules" / pack / "tables" / f"{table}.csv")
    return {_key(row): {**row, "value": _number(row["value"])} for row in rows}


@cache
def _computed_with(item: str) -> bool:
    """Whether any quantity names the item: what is told on the job sheet alone needs no look at what the rules rest on."""
    folder = Path(quantities.__file__ or "").parent
    return any(item in path.read_text(encoding="utf-8") for path in folder.glob("*.py"))


_FIXTURES = ("second", "places", "annex_d")
# Tests of a test's own sharpness: they make slips of their own in every table, and say nothing of the cells.
_LEFT_OUT = ("test_a_slipped_digit_would_be_noticed",)


@cache
def _table_tests() -> list[tuple[Callable, frozenset[tuple[str, str]]]]:
    """The tests that need nothing but the cells and their second copies, each with the tables it reads."""
    found = []
    for path in sorted((ROOT / "tests" / "tables").glob("test_*.py")):
        for name, test in vars(importlib.import_module(f"tests.tables.{path.stem}")).items():
            if name.startswith("test_") and name not in _LEFT_OUT and inspect.isfunction(test):
                found += [(one, frozenset(asked)) for one, asked in _bound(test) if asked]
    return found


def _bound(test: Callable) -> Iterator[tuple[Callable, set[tuple[str, str]]]]:
    """One function of `cells` for each set of parameters that holds as the sheets stand."""
    marks = [mark for mark in getattr(test, "pytestmark", ()) if mark.name == "parametrize"]
    ways = [[_named(mark.args[0], values) for values in mark.args[1]] for mark in marks]
    wanted = set(inspect.signature(test).parameters)
    for chosen in product(*ways):
        given = {name: value for part in chosen for name, value in part.items()}
        rest = wanted - given.keys() - {"cells"}
        if "cells" not in wanted or not rest <= set(_FIXTURES):
            return
        given |= {name: cache(held) if callable(held := _fixture(name)) else held for name in rest}
        one, asked = partial(_call, test, given), set()
        if _still_holds(one, _cells(asked=asked)):
            yield one, asked


def _fixture(name: str) -> Any:
    return getattr(conftest, name)._get_wrapped_function()()


def _named(names: str | tuple, values: Any) -> dict[str, Any]:
    names = [name.strip() for name in names.split(",")] if isinstance(names, str) else list(names)
    values = getattr(values, "values", values)
    return dict(zip(names, values if len(names) > 1 or isinstance(values, tuple) else (values,), strict=True))


def _call(test: Callable, given: dict[str, Any], cells: Callable) -> None:
    test(cells=cells, **given)


def _still_holds(test: Callable, cells: Callable) -> bool:
    try:
        test(cells)
    except Exception:  # a missing cell stops a test as surely as a wrong one
        return False
    return True


@cache
def _number(text: str) -> str | Decimal:
    try:
        return Decimal(text)
    except ArithmeticError:
        return text


def _watched(pack: Pack, touched: set) -> Pack:
    """The pack with tables that write down which cell answered, and that none did."""

    class Watched(Table):
        @property
        def cells(self):
            touched.add(self.id)
            return pack.tables[self.id].cells  # not its own: made anew, they would count as looked up one by one

        def find(self, *keys):
            cell = super().find(*keys)
            note(self.id, [cell])
            return cell

        def between(self, *keys):
            cells = super().between(*keys)
            touched.add(self.id)  # which rows a stretch takes in hangs on the keys of all
            note(self.id, cells or [None])
            return cells

    def note(table: str, cells: list[Cell | None]) -> None:
        touched.add((table, "asked"))
        touched.update((table, "none") if cell is None else cell.id for cell in cells)

    watched = copy.copy(pack)
    watched.tables = {}
    for name, table in pack.tables.items():
        made = watched.tables[name] = copy.copy(table)
        made.__class__ = Watched
    return watched


@cache
def _folder(pack_id: str) -> tuple[Folder, str | None]:
    for path in region_folders():
        folder, _ = resolved(path)
        if folder.pack["id"] == pack_id:
            return folder, folder.pack.get("extends")
    raise KeyError(pack_id)


@cache
def parameters(origin: str) -> dict[str, str]:
    path = ROOT / "rules" / origin / "second" / "parameters.csv"
    return {row["id"]: row["value"] for row in _rows(path)} if path.exists() else {}


@cache
def second(origin: str, table: str) -> dict[tuple, list[dict]]:
    found: dict[tuple, list[dict]] = {}
    for place in ("base", origin):
        path = ROOT / "rules" / place / "second" / f"{table}.csv"
        rows: dict[tuple, list[dict]] = {}
        for row in _rows(path) if path.exists() else []:
            rows.setdefault(_key(row), []).append({**row, "value": _number(row["value"])})
        found.update(rows)
    return found
