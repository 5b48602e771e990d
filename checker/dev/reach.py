"""Which questions a rule can read once the kind of load and the kind of device are known.

`reads` follows every name that a quantity's source mentions; here the same source is followed with those answers given
(`reach_given`, `reach_source`). The bound on the questions still to come is made from it, so it may mention too much,
never too little.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from typing import Any

from ..core.pack import Pack
from ..core.quantities import QUANTITIES
from ..core.situation import DONT_KNOW
from .reach_given import UNKNOWN, Given
from .reach_source import Walk
from .reads import axes_of, tree_names

# How many questions are told apart, those first that most rules read.
HUBS = 2


def add_reach(content: dict[str, Any]) -> None:
    """Puts `hubs` into a pack's content and `reach` into its rules: for every mix of hub answers a mask of questions.

    The mixes go through the hubs' choices in order, the last hub fastest; the last place of each hub stands for an
    answer that is not known. Bit n of a mask is question n of the pack.
    """
    hubs = _hubs(content)
    content["hubs"] = [hub["id"] for hub in hubs]
    pack = Pack(content, "")
    places = {question["id"]: 1 << place for place, question in enumerate(content["questions"])}
    axes = axes_of(content["tables"])
    masks: dict[str, list[str]] = {rule["id"]: [] for rule in content["rules"]}
    for mix in itertools.product(*([*(choice["value"] for choice in hub["choices"]), None] for hub in hubs)):
        known = {hub["id"]: value or DONT_KNOW for hub, value in zip(hubs, mix, strict=True)}
        followed = _Followed(Given(pack, known), axes)
        for rule in content["rules"]:
            names = followed.rule(rule["applies"], rule["requires"])
            masks[rule["id"]].append(format(sum(places[name] for name in names if name in places), "x"))
    for rule in content["rules"]:
        distinct = list(dict.fromkeys(masks[rule["id"]]))
        rule["reach"] = {"masks": distinct, "of": [distinct.index(mask) for mask in masks[rule["id"]]]}


def _hubs(content: dict[str, Any]) -> list[dict]:
    read = {q["id"]: sum(q["id"] in rule["reads"] for rule in content["rules"]) for q in content["questions"]}
    choices = [q for q in content["questions"] if q["kind"] == "choice" and "default" not in q]
    return sorted(choices, key=lambda q: -read[q["id"]])[:HUBS]


class _Followed:
    """Rules and the quantities they name, followed with some answers given and nothing else."""

    def __init__(self, given: Given, axes: Mapping[str, Iterable[str]]) -> None:
        self._given, self._axes = given, axes
        self._mentioned: dict[str, frozenset[str]] = {}

    def rule(self, applies: list, requires: list) -> set[str]:
        """Every name that the rule may come to read."""
        if self._given.decided(applies) is False:
            return set()
        found: set[str] = set()
        waiting = [*self._of_tree(applies), *self._of_tree(requires)]
        while waiting:
            name = waiting.pop()
            if name in found:
                continue
            found.add(name)
            if name in QUANTITIES and self._given.value(name) is UNKNOWN:
                waiting.extend(self._of_quantity(name))
            waiting.extend(self._axes.get(name, ()))
        return found

    def _of_tree(self, tree: list) -> set[str]:
        if tree[0] not in ("and", "or"):
            return tree_names(tree)
        names: set[str] = set()
        for part in tree[1:]:
            names |= self._of_tree(part)
            if self._given.decided(part) is (tree[0] == "or"):
                break
        return names

    def _of_quantity(self, name: str) -> frozenset[str]:
        if name not in self._mentioned:
            function, walk = QUANTITIES[name].work_out, Walk(self._given)
            walk.function(function.__module__, function.__name__, {})
            self._mentioned[name] = frozenset(walk.strings)
        return self._mentioned[name]
