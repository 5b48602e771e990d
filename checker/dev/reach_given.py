"""What is known of a case once a few answers are given and nothing else, and which unknowns will stay."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import localcontext
from typing import Any

from ..core.errors import PackFault
from ..core.expressions import compile_tree
from ..core.pack import Pack
from ..core.quantities import QUANTITIES
from ..core.situation import DONT_KNOW, Situation
from ..core.values import CONTEXT, Reason, Unknown, Value

UNKNOWN = object()


class Given:
    """A case with these answers, choices or `dont-know`. Whatever hangs on further answers is `UNKNOWN`."""

    def __init__(self, pack: Pack, answers: Mapping[str, Value]) -> None:
        # What the pack assumes may be answered otherwise, so it counts as not known.
        assumed: dict[str, Value] = {
            name: DONT_KNOW for name, question in pack.questions.items() if "default" in question
        }
        self._pack, self._case = pack, Situation(pack, {**assumed, **answers})
        self._doubts = {Reason(DONT_KNOW, name) for name, value in answers.items() if value == DONT_KNOW}

    def value(self, name: Any) -> Any:
        return _certain(self._known(name))

    def never(self, name: Any) -> bool:
        """Whether `name` stays unknown whatever else is answered, for a given "don't know": reading it ends there."""
        value = self._known(name)
        return isinstance(value, Unknown) and bool(value.reasons) and self._doubts.issuperset(value.reasons)

    def has(self, name: Any) -> Any:
        """Whether the pack has this question, parameter or table."""
        return self._case.reader(self._case).has(name) if isinstance(name, str) else UNKNOWN

    def decided(self, tree: list) -> Any:
        """What an expression tree gives."""
        return _certain(_tried(lambda: compile_tree(tree)(self._case.reader(self._case))))

    def _known(self, name: Any) -> Value:
        pack = self._pack
        if isinstance(name, str) and (name in pack.questions or name in pack.parameters or name in QUANTITIES):
            return _tried(lambda: self._case.known(name).value)
        return Unknown([])


def _tried(work: Callable[[], Value]) -> Value:
    try:
        with localcontext(CONTEXT):
            return work()
    except (KeyError, PackFault):
        return Unknown([])  # the lint says what is missing; the bound only gets wider


def _certain(value: Value) -> Any:
    return UNKNOWN if isinstance(value, Unknown) else value
