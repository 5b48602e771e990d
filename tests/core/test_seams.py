"""At every row of every table, and a step to each side, a worse number never makes a rule come out better.

Through the one door, with figures as they are: a row that is only recalled between firm ones shows here as well.

Beyond the last row a table has no figure. Then a rule cannot tell where it failed before; that counts as no better.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests import sampling
from tests.core import asking

# Numbers of which more is worse, as far as the cable and the board go.
WORSE_UP = ("ambient_c", "board_ambient_c", "grouped_circuits", "insulation_length_mm", "breaker_neighbours")
RANK = {"failed": 0, "cannot-tell": 1, "passed": 2}
SEAMS = [(pack, name) for pack in asking.PACKS for name in WORSE_UP]


def rank(finding: dict) -> int:
    off_the_table = finding["outcome"] == "cannot-tell" and any(r["kind"] == "no-cell" for r in finding["reasons"])
    return RANK["failed"] if off_the_table else RANK[finding["outcome"]]


def rows(pack: str, name: str) -> list[Decimal]:
    """Every row of every table of the pack on the axis of this name."""
    found = set()
    for table in asking.contents()[pack]["tables"]:
        for place, axis in enumerate(table["axes"]):
            if axis["name"] == name:
                found |= {Decimal(cell["keys"][place]) for cell in table["cells"]}
    return sorted(found)


def numbers(pack: str, name: str) -> list[Decimal]:
    question = next((q for q in asking.contents()[pack]["questions"] if q["id"] == name), None)
    if question is None:
        return []
    step, low, high = (Decimal(str(question[key])) for key in ("step", "minimum", "maximum"))
    near = {row + side for row in rows(pack, name) for side in (-step, Decimal(0), step)}
    return sorted(value for value in near if low <= value <= high)


@pytest.mark.parametrize(("pack", "name"), SEAMS)
@pytest.mark.parametrize("breaker", [10, 16, 20])
def test_worse_by_a_step_never_fits_better(pack, name, breaker):
    values = sampling.share(numbers(pack, name), 2) if len(numbers(pack, name)) > 12 else numbers(pack, name)
    before: dict[str, int] = {}
    for value in values:
        report = asking.ask(asking.sound(pack) | {name: value, "breaker_rating_a": breaker}, pack)
        now = {f["rule"]: rank(f) for f in report["findings"] if f["outcome"] in RANK}
        better = [rule for rule, at in now.items() if at > before.get(rule, 2)]
        assert not better, f"{name} {value}: {better}"
        before = now
