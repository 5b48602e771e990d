"""The arguments of the command, with its help."""

from __future__ import annotations

import argparse
import sys
import textwrap

from checker.terminal.display import display_of
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, NoReturn

_ABOUT = (
    "Checks whether you may fit a time switch or contactor into an existing circuit of a distribution board: who may "
    "do it, whether everything is the right size, and what must change."
)
_CODES = """\
exit codes:
  0   fits on paper, by the rule set
  1   something must change, a licensed person must do it, or everybody must stop
  2   you must find something out first
  64  Spareway cannot use the answers or the arguments
  70  Spareway itself has a fault: there is no verdict
  130 you stopped it with Ctrl-C"""
_ASK_MORE = (
    "Type the number or letter of a choice, or the value itself. You can also type ? (why we ask), dk (I don't know), "
    "ns (the label does not say), back, change, verdict or quit.\n\n"
    "You can pipe in the answers, one a line. A line that Spareway cannot read as an answer ends the run with exit code "
    "64, because the lines after it could land on the wrong questions. If the lines end early, you get the report on "
    f"what is known so far, with its exit code; 64 if there was no answer at all.\n\n{_CODES}"
)
_SHEET_ABOUT = (
    "Writes the job sheet as HTML to print. If the work may go on: steps, connections, drawings and tests. If you must "
    "call an electrician: a page for them. If something is open: what is missing."
)
_REST = (
    "The top may also hold edition, as_of (a date) and confirmed (a list of table cells). A worked case with title, "
    "story and expect works too. The report lists what you have not answered as something to find out."
)
_CHECK_MORE = f"""\
An answers file is TOML or JSON:

  pack = "iec"
  [answers]
  worker = "licensed"
  load_power_w = 3000
  breaker_rating_a = "dont-know"

{_REST}

{_CODES}"""

_PLAN_MORE = f"""\
The file is an answers file as for `spareway check`, with a plan:

  [plan]
  zone = "Europe/London"
  latitude_deg = 51.5
  longitude_deg = -0.1
  [[plan.programme]]
  days = "every-day"
  on = "sunset-00:20"
  off = "22:30"
  [[plan.tariff]]
  price = 0.30

The plan covers twelve months, starting on the --as-of date. docs/schedule.md lists everything else a plan may hold.

{_CODES}"""

_COMPARE = (
    "Judges one job under several rule packs or editions and shows the differences first. Nothing is translated: if a "
    "pack does not take an answer, such as a size missing from its list, the answer is left out there and you are told."
)


class _Help(argparse.HelpFormatter):
    """Help as wide as the rest of our output, indented lines kept apart.

    (Left to find the width itself, argparse loads modules for archives each time.)
    """

    def __init__(self, prog: str, **settings: Any) -> None:
        super().__init__(prog, **{**settings, "width": display_of(sys.stdout).width})

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        lines: list[str] = []
        for line in text.split("\n"):
            if line.startswith("  "):
                lines += textwrap.wrap(line.strip(), width, initial_indent="  ", subsequent_indent=" " * 6)
            else:
                lines += textwrap.wrap(line, width) or [""]
        return "\n".join(lines)


class _Parser(argparse.ArgumentParser):
    """A parser whose errors are Problems: argparse itself would exit with 2, which here means "find out"."""

    def error(self, message: str) -> NoReturn:
        raise Problem(
            f"the command line, {self.prog}",
            f"{message[:1].upper()}{message[1:]}.",
            "Nothing was checked.",
            f"Type {self.prog} --help to see what it takes.",
        )


shape: dict[str, Any] = {"formatter_class": _Help, "allow_abbrev": False}


def new_parser(prog: str, about: str) -> argparse.ArgumentParser:
    """A parser in our shape: its errors are Problems, its help is as wide as the rest."""
    return _Parser(prog=prog, description=about, **shape)


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command."""
    whole = _Parser(prog="spareway", description=_ABOUT, epilog=_CODES, **shape)
    whole.add_argument("--version", action="store_true", help="show the versions of Spareway and of its rule packs")
    commands = whole.add_subparsers(title="commands", dest="command", metavar="COMMAND", prog="spareway")

    ask = commands.add_parser(
        "ask", help="ask one question at a time", description="Asks one question at a time.", epilog=_ASK_MORE, **shape
    )
    ask.add_argument("--from", dest="start", metavar="FILE", help="continue from the answers in this file")
    ask.add_argument("--save", metavar="FILE", help="save the answers to this file, for `spareway check`")
    ask.add_argument(
        "--suppose", action="store_true", help="ask only what has no usual answer, and end with the short form"
    )

    check = commands.add_parser(
        "check", help="judge an answers file", description="Judges an answers file.", epilog=_CHECK_MORE, **shape
    )
    check.add_argument("file", metavar="FILE", help="the answers, TOML or JSON; - reads standard input")
    length = check.add_mutually_exclusive_group()
    length.add_argument("--long", action="store_true", help="the whole report: every rule, number, caution and source")
    length.add_argument(
        "--job", action="store_true", help="the whole report, with steps, connections and tests even if it does not fit"
    )
    length.add_argument(
        "--suppose",
        action="store_true",
        help="the short form: what the verdict would be if everything still open were as usual; the verdict itself does not change",
    )
    sheet = commands.add_parser(
        "sheet", help="make the job sheet", description=_SHEET_ABOUT, epilog=_CHECK_MORE, **shape
    )
    sheet.add_argument("file", metavar="FILE", help="the answers, TOML or JSON; - reads standard input")
    sheet.add_argument(
        "--long", action="store_true", help="the whole sheet: every step, caution and source, and the answers"
    )
    compare = commands.add_parser(
        "compare", help="judge an answers file under several rule packs", description=_COMPARE, epilog=_CODES, **shape
    )
    compare.add_argument("file", metavar="FILE", help="the answers, TOML or JSON; - reads standard input")
    compare.add_argument(
        "--packs", metavar="LIST", required=True, help="two or more rule packs, such as iec,za or za@3,iec"
    )

    plan = commands.add_parser(
        "plan",
        help="judge when the load should run",
        description="Judges the schedule in an answers file: when the load is on, what that does, and what it costs.",
        epilog=_PLAN_MORE,
        **shape,
    )
    plan.add_argument("file", metavar="FILE", help="answers and plan, TOML or JSON; - reads standard input")
    plan.add_argument("--ical", metavar="FILE", help="save the schedule as a calendar (iCalendar) in this new file")
    plan.add_argument("--svg", metavar="FILE", help="save a picture of the week (SVG) in this new file")

    for command, what in ((check, "report"), (sheet, "sheet"), (plan, "report"), (compare, "comparison")):
        form = command.add_mutually_exclusive_group()
        form.add_argument("--json", action="store_true", help=f"the {what} as JSON")
        form.add_argument("--markdown", action="store_true", help=f"the {what} as Markdown")
        command.add_argument(
            "--confirm",
            metavar="CELL",
            action="append",
            default=[],
            help="say that your own copy of the standard has the same figure in this table cell; you can repeat it",
        )
    for command in (ask, check, sheet, plan):
        command.add_argument(
            "--pack", metavar="ID", help="the rule pack to judge by; ID@EDITION picks an edition (see `spareway packs`)"
        )
    for command in (ask, check, sheet, compare, plan):
        command.add_argument(
            "--as-of", metavar="DATE", help="judge as of this date, such as 2026-11-25 (default: today)"
        )

    packs = commands.add_parser("packs", help="list the rule packs", description="Lists the rule packs.", **shape)
    packs.add_argument("--json", action="store_true", help="the list as JSON")
    # Only for the list of commands: its own arguments are read by checker.cli.rules, which others need not load.
    commands.add_parser(
        "rules", help="look after a rule set (lint, new, diff, why, due, import, export)", add_help=False
    )
    return whole
