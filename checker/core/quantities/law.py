"""What the authority of a place wants to hear of the work. The law itself is the pack's table, each cell with its source."""

from __future__ import annotations

from checker.core.quantities.quantity import quantity
from checker.core.values import no_cell


@quantity(choices=("none", "ask", "notify"))
def notification(read) -> str:
    """Whether the authority has to be told before the work: "none", "notify", or "ask" where only it can say.

    From the table `notification`, by the questions that its axes name. Whoever may certify their own work is judged by
    the rule that reads this. A region without the table has no answer here.
    """
    if not read.has("notification"):
        raise no_cell("notification")
    return read.row("notification")
