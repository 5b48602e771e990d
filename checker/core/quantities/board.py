"""Space on the rail. Source: IEC 60715 (rail), module of 17.5 to 18 mm: common practice, no source."""

from __future__ import annotations

from decimal import Decimal

from ..values import CONTEXT
from .kind import quantity


@quantity("modules")
def modules_needed(read) -> Decimal:
    """Width of everything that goes on the rail, in modules."""
    kind = read("device_kind")
    if kind == "time-switch":
        return read("device_modules")
    if kind == "contactor":
        return read("contactor_modules")
    return CONTEXT.add(*read.all("device_modules", "contactor_modules"))
