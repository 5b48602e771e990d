"""A compiled pack, ready to be asked: questions, rules as closures, tables, parameters, words, texts.

The compiled form is JSON made by `checker.dev.rulebook.compile` from `rules/`. It is resolved (a region already holds what it
inherits) and canonical, so equal rule files give equal bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cached_property
from typing import Any, NamedTuple

from checker import packs
from checker.core.errors import BadRequest, PackFault, told
from checker.core.expressions import Closure, compile_tree
from checker.core.tables import Cell, Table

FORMAT = 1


class Comparison(NamedTuple):
    """One numeric `left <= right` (or kin) of a rule's requirement, kept so that the report can show the margin."""

    symbol: str
    left: Closure
    right: Closure
    left_name: str
    right_name: str
    unit: str


class Rule(NamedTuple):
    id: str
    title: str
    stage: str
    part: str  # danger, who, sizing, after: what a failure leads to
    weight: str
    applies: Closure
    requires: Closure
    comparisons: tuple[Comparison, ...]
    say: dict[str, str]
    fix: str
    own: Cell  # the rule's own source, clause and status, in the shape of a cell
    any_answer: bool = (
        True  # whether it may be decided for every possible answer; not where it asks for a fact to be known
    )

    @property
    def decides(self) -> bool:
        """Whether a verdict may rest on it. Advice is shown and changes nothing."""
        return self.weight != "advice"


class _Tables(Mapping):
    """Tables by id, each made when it is first looked at: a case looks at a third of them."""

    def __init__(self, contents: dict[str, dict]) -> None:
        self._contents = contents
        self._made: dict[str, Table] = {}

    def __getitem__(self, name: str) -> Table:
        made = self._made.get(name)
        if made is None:
            made = self._made[name] = Table(self._contents[name])
        return made

    def __contains__(self, name: object) -> bool:
        return name in self._contents

    def __iter__(self) -> Iterator[str]:
        return iter(self._contents)

    def __len__(self) -> int:
        return len(self._contents)


class Pack:
    """One edition of one region's rules."""

    def __init__(self, content: dict[str, Any], sha256: str) -> None:
        if content.get("format") != FORMAT:
            raise PackFault(f"compiled pack has format {content.get('format')!r}, this engine reads {FORMAT}")
        self.content = content
        self.sha256 = sha256
        self.about: dict[str, Any] = content["pack"]
        self.id: str = self.about["id"]
        self.stages: list[dict] = content["stages"]
        self.questions: dict[str, dict] = {q["id"]: q for q in content["questions"]}
        self.sizes: dict[str, dict[str, Decimal]] = {
            q["id"]: {choice["value"]: Decimal(choice["mm2"]) for choice in q["choices"]}
            for q in content["questions"]
            if q.get("choices") and all("mm2" in choice for choice in q["choices"])
        }
        # What base has and this region goes without: known by name, never known by value.
        self.removed = frozenset(content.get("removed", ()))
        self.unread: dict[str, str] = content.get("unread", {})
        self.phrases: dict[str, str] = content["phrases"]
        self.words: dict[str, str] = content["words"]
        self.pictures: list[dict] = content["pictures"]
        self.sources: dict[str, dict] = {s["id"]: s for s in content["sources"]}
        self.parameters = {p["id"]: Cell.of(p["id"], p, p["unit"]) for p in content["parameters"]}
        self.known_parameters: dict[str, Any] | None = None  # see `situation`
        self.tables = _Tables({t["id"]: t for t in content["tables"]})
        self.names = frozenset((*self.tables, *self.parameters, *self.questions))
        self.units: dict[str, str] = content["units"]
        parts = {stage["id"]: stage["part"] for stage in self.stages}
        self.rules = [_rule(rule, parts[rule["stage"]]) for rule in content["rules"]]
        self.texts: dict[str, list[dict]] = {
            section: [{**item, "when": compile_tree(item["when"])} for item in items]
            for section, items in content["texts"].items()
        }

    @cached_property
    def plan(self) -> Pack:
        """The rule set as a plan sees it: its own rules and texts, with its questions beside those of the check."""
        own = self.content["plan"]
        questions = [*self.content["questions"], *own["questions"]]
        return Pack({**self.content, **own, "plan": own, "questions": questions}, self.sha256)


def _rule(rule: dict, part: str) -> Rule:
    return Rule(
        rule["id"],
        rule["title"],
        rule["stage"],
        part,
        rule["weight"],
        compile_tree(rule["applies"]),
        compile_tree(rule["requires"]),
        tuple(
            Comparison(
                c["symbol"],
                compile_tree(c["left"]),
                compile_tree(c["right"]),
                c["left_name"],
                c["right_name"],
                c["unit"],
            )
            for c in rule["comparisons"]
        ),
        rule["say"],
        rule["fix"],
        Cell.of(rule["id"], rule, ""),
        rule.get("any_answer", True),
    )


_loaded: dict[str, Pack] = {}


def _load(name: str) -> Pack:
    if name not in _loaded:
        held = json.loads(packs.read(name), parse_float=Decimal)
        _loaded[name] = Pack(held["content"], held["sha256"])
    return _loaded[name]


def _about(name: str) -> dict[str, Any]:
    """The head of a pack, without reading what follows: an edition beside the one in force is known by its dates alone."""
    if name in _loaded:
        return _loaded[name].about
    raw = packs.read(name)
    return json.loads(raw[: raw.index(b',"content":')] + b"}")["about"]


def every() -> list[Pack]:
    """Every pack there is, in the order of their ids and dates."""
    return sorted((_load(name) for name in packs.names()), key=lambda p: (p.id, p.about["valid_from"]))


def choose(pack_id: object, edition: object, as_of: str) -> Pack:
    """The pack of a request: by id, and by edition or else by the date of judgement.

    Raises `BadRequest` when the pack or edition does not exist or is not in force on that date.
    """
    names = packs.names()
    ids = sorted({name.partition("@")[0] for name in names})
    if not isinstance(pack_id, str) or pack_id not in ids:
        given = "no rule set is named" if pack_id is None else f"there is no rule set {told(pack_id)}"
        raise BadRequest(
            "pack", given, "Limits and laws differ from region to region.", f"Name one of: {', '.join(ids)}."
        )
    editions = _editions(pack_id)
    if edition is not None:
        for name, about in editions.items():
            if about["edition"] == edition:
                return _load(name)
        known = ", ".join(repr(about["edition"]) for about in editions.values())
        raise BadRequest(
            "edition",
            f"the rule set {pack_id!r} has no edition {told(edition)}",
            "Limits differ between editions.",
            f"Name one of: {known}. Or leave it out: the date then decides.",
        )
    in_force = [name for name, about in editions.items() if _in_force(about, as_of)]
    if not in_force:
        spans = "; ".join(f"{about['edition']} from {about['valid_from']}" for about in editions.values())
        raise BadRequest(
            "as_of",
            f"no edition of {pack_id!r} is in force on {as_of}",
            "A verdict from rules that are not in force would mislead you.",
            f"Editions: {spans}. Change the date or name an edition.",
        )
    return _load(max(in_force, key=lambda name: editions[name]["valid_from"]))


def _editions(pack_id: str) -> dict[str, dict[str, Any]]:
    """The heads of a pack's editions, by name."""
    return {name: _about(name) for name in packs.names() if name.partition("@")[0] == pack_id}


def _in_force(about: dict[str, Any], as_of: str) -> bool:
    return about["valid_from"] <= as_of <= (about["valid_until"] or "9999-12-31")


def named(pack: Pack, as_of: str) -> dict[str, Any]:
    """How a reply names the pack it judged by.

    `notice` is what whoever judges by it has to learn: that the edition is not in force on that date, or that another
    one is in force beside it, for then a place decides and not the date; and that its review is overdue. Else None.
    """
    about = pack.about
    beside = (other for other in _editions(pack.id).values() if other["edition"] != about["edition"])
    others = ", ".join(other["edition"] for other in beside if _in_force(other, as_of))
    valid = _in_force(about, as_of)
    key = None if valid and not others else "beside" if valid else "past" if others else "none"
    put = {"edition": about["edition"], "as_of": as_of, "others": others, **pack.words}
    put |= {"valid_from": about["valid_from"], "valid_until": about["valid_until"] or pack.phrases["edition.open"]}
    keys = [*([key] if key else []), *(["overdue"] if about["review_by"] < as_of else [])]
    put["review_by"] = about["review_by"]
    return {
        **{key: about[key] for key in ("id", "title", "edition", "version", "review_by", "preview")},
        "sha256": pack.sha256,
        "in_force": valid,
        "notice": " ".join(pack.phrases[f"edition.{key}"].format_map(put) for key in keys) or None,
    }
