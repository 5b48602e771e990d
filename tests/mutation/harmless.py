"""Mistakes that take nothing from anybody, each with the reason; for rules the solver gives it."""

from __future__ import annotations

from functools import cache
from typing import Any

import z3

from checker.core.pack import Pack
from tests.mutation.mutants import Mutant
from tests.proofs.judged import Judged
from tests.proofs.model import Model, solver, tree_names
from tests.proofs.summaries import Book, NotEncodable

_WEAK = ("memory", "conflict")
# No answer can tell these from the truth.
EQUIVALENT = {
    "iec parameter minimum_copper_mm2: 1.5 -> 1.4 (last digit down)": "no size lies between 1 and 1.5 mm2",
    # 0.55 ohm over the resistance of a size is a length without end in decimals; an answer ends after twelve places.
    "za rule earth-continuity-within-limit: requires: <= -> <": "no length that can be answered gives the limit itself",
    # Of a size that is not known the rule is decided because each would do: dropping the clause says so at once.
    "gb rule smallest-size: requires: clause 2 of and dropped": "every size of the list is thick enough for lamps",
}


def harmless(pack: Pack, mutant: Mutant) -> str | None:
    """Why a mutant that nobody notices takes nothing from anybody, or None."""
    if f"{pack.id} {mutant.id}" in EQUIVALENT:
        return EQUIVALENT[f"{pack.id} {mutant.id}"]
    if mutant.kind == "parameter":
        return _unconfirmed(mutant.changed)
    if mutant.kind == "cell":
        cell = next((cell for cell in mutant.changed["cells"] if tuple(cell["keys"]) == mutant.at), {})
        return _unconfirmed(cell)
    if "requires" in mutant.changed and _same(pack, mutant.changed):
        return "proved: no answers tell it from the truth"
    return None


def _unconfirmed(figure: dict[str, Any]) -> str | None:
    weak = figure.get("status") in _WEAK
    return "recalled: it gives no pass until the reader confirms it" if weak else None


@cache
def _judged(name: str, pack: Pack) -> Judged:
    return Judged(Model(Book(pack)))


def _same(pack: Pack, changed: dict[str, Any]) -> bool:
    """Whether a rule passes, fails and stays out of it for the same answers as the one that stands.

    It has to decide as before and be as well known: it may leave out figures that need no confirming, and read no others.
    """
    sound = next(rule for rule in pack.content["rules"] if rule["id"] == changed["id"])
    if (sound["weight"] == "advice") != (changed["weight"] == "advice") or _names(changed) - _names(sound):
        return False
    left_out = _names(sound) - _names(changed)
    if not all(name in pack.parameters and pack.parameters[name].status not in _WEAK for name in left_out):
        return False
    if sound["status"] in _WEAK:
        return False
    if all(sound[part] == changed[part] for part in ("applies", "requires")):
        return True
    try:
        held = _judged(f"{pack.id}@{pack.about['edition']}", pack)
        other = Judged(held.model)
        other.rules = {**other.rules, changed["id"]: changed}
        one, two = held.finding(changed["id"]), other.finding(changed["id"])
        apart = z3.Or(one.passed != two.passed, one.failed != two.failed, one.absent != two.absent)
        return solver(*held.facts([changed["id"]]), apart).check() == z3.unsat
    except NotEncodable:
        return False


def _names(rule: dict[str, Any]) -> set[str]:
    return tree_names(rule["applies"]) | tree_names(rule["requires"])
