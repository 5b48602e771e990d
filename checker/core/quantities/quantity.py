"""How a function becomes a quantity that rules and reports can name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from checker.core.values import Value


class Quantity(NamedTuple):
    """`unit` is that of a number ("1" for a plain ratio), or "" for a choice among `choices`."""

    name: str
    unit: str
    choices: tuple[str, ...]
    work_out: Callable[[Any], Value]


QUANTITIES: dict[str, Quantity] = {}


def quantity(unit: str = "", choices: tuple[str, ...] = ()) -> Callable:
    """Registers the decorated function under its own name."""

    def register(function: Callable[[Any], Value]) -> Callable[[Any], Value]:
        QUANTITIES[function.__name__] = Quantity(function.__name__, unit, choices, function)
        return function

    return register
