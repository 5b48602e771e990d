"""What the rules of a plan can name beside answers and the quantities of the check, and the case they are asked about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from checker.core.pack import Pack
from checker.core.quantities import QUANTITIES, Quantity
from checker.core.schedule.tariff import Tariff
from checker.core.schedule.timetable import Timetable
from checker.core.situation import Silent
from checker.core.values import Value

PLANNED: dict[str, Quantity] = {}


def planned(unit: str = "", choices: tuple[str, ...] = ()) -> Callable:
    """Registers the decorated function under its own name, as `quantity` does for the check."""

    def register(function: Callable[[Any], Value]) -> Callable[[Any], Value]:
        PLANNED[function.__name__] = Quantity(function.__name__, unit, choices, function)
        return function

    return register


class PlanSituation(Silent):
    """A case with its timetable. The pack is the plan's own view of a rule set (`Pack.plan`).

    A plan is filled in on one form, with nothing asked one by one: a field left empty is a label that does not say.
    """

    quantities: Mapping[str, Quantity] = PLANNED  # with those of the check, once `complete` was called

    def __init__(self, pack: Pack, answers: dict[str, Value], timetable: Timetable, tariff: Tariff | None) -> None:
        super().__init__(pack, answers)
        self.timetable, self.tariff = timetable, tariff

    def number(self, name: str) -> Decimal | None:
        """The number of this name, or None while it is not known."""
        value = self.known(name).value
        return value if isinstance(value, Decimal) else None

    def figure(self, name: str) -> Decimal:
        """A number that every plan has, such as the hours it runs: not known would be our own fault."""
        value = self.known(name).value
        assert isinstance(value, Decimal), f"{name} is not known"
        return value


def complete() -> None:
    """Lets plans see both kinds of quantities."""
    PlanSituation.quantities = QUANTITIES | PLANNED
