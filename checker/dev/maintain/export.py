"""`spareway rules export`: a table as a spreadsheet."""

from __future__ import annotations

import csv
import io
from argparse import Namespace
from decimal import Decimal

from checker.dev.maintain.spreadsheet import Grid, table_named
from checker.terminal import output


def run(options: Namespace) -> int:
    """Writes the spreadsheet to standard output."""
    _, item = table_named(options.table)
    output.write_utf8(written(Grid(item, options), options.statuses))
    return 0


def written(grid: Grid, statuses: bool) -> str:
    """The cells as a spreadsheet."""
    here = grid.here()
    downs = list(dict.fromkeys(keys[grid.down] for keys in here))
    acrosses = ["value"] if grid.across is None else list(dict.fromkeys(keys[grid.across] for keys in here))
    if grid.axes[grid.down]["kind"] == "number":
        downs.sort(key=Decimal)
    held = io.StringIO()
    sheet = csv.writer(held, lineterminator="\n")
    sheet.writerow([grid.axes[grid.down]["name"], *acrosses])
    for down in downs:
        found = [here.get(tuple(grid.keys(down, across))) for across in acrosses]
        marks = [f"{c['value']} [{c['status']}]" if c and statuses else c["value"] if c else "" for c in found]
        sheet.writerow([down, *marks])
    return held.getvalue()
