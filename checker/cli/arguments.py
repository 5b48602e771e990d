"""The arguments of the command, with its help."""

from __future__ import annotations

import argparse
import sys
import textwrap

from checker.cli.look import look_of
from checker.cli.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import NoReturn

_ABOUT = (
    "Tells whether a time switch or a contactor may go into an existing circuit of a distribution board: who may do "
    "it, whether it is sized right, and what must change."
)
_CODES = """\
exit codes:
  0   fits on paper, by the rule set
  1   something must change, or a licensed person must do it, or nobody should go on
  2   something must be found out first
  64  the answers or the arguments cannot be used
  70  a fault of Spareway itself: there is no verdict
  130 stopped with Ctrl-C"""
_ASK_MORE = (
    "Type the number or letter of a choice, or the value itself. Also: ? (why we ask), dk (I don't know), "
    "ns (the label does not say), back, change, verdict, quit.\n\n"
    "Standard input may be a pipe: one answer a line. A line that is no answer ends the run with exit code 64, since "
    "the lines after it could land on the wrong questions. When the lines end early, the report on what is known is "
    f"shown and its exit code given; 64 if there was no answer at all.\n\n{_CODES}"
)
_REST = (
    "Also at the top: edition, as_of (a date), confirmed (a list of table cells). A worked case with title, story and "
    "expect can be read too. What is not answered is reported as something to find out."
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

_COMPARE = (
    "Judges one job under several packs or editions, what differs first. An answer that a pack does not take, such as a "
    "size that its list lacks, is left out under it and said so: nothing is translated."
)


class _Help(argparse.HelpFormatter):
    """Help as wide as the rest of our output, indented lines kept apart.

    (Left to find the width itself, argparse loads modules for archives each time.)
    """

    def __init__(self, prog: str, **settings: object) -> None:
        super().__init__(prog, **{**settings, "width": look_of(sys.stdout).width})

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


def parser() -> argparse.ArgumentParser:
    """The parser of the whole command."""
    shape = {"formatter_class": _Help, "allow_abbrev": False}
    whole = _Parser(prog="spareway", description=_ABOUT, epilog=_CODES, **shape)
    whole.add_argument("--version", action="store_true", help="show the versions of Spareway and of its rule packs")
    commands = whole.add_subparsers(title="commands", dest="command", metavar="COMMAND", prog="spareway")

    ask = commands.add_parser(
        "ask", help="ask one question at a time", description="Asks one question at a time.", epilog=_ASK_MORE, **shape
    )
    ask.add_argument("--from", dest="start", metavar="FILE", help="go on from the answers in this file")
    ask.add_argument("--save", metavar="FILE", help="write the answers to this file, for `spareway check`")

    check = commands.add_parser(
        "check", help="judge an answers file", description="Judges an answers file.", epilog=_CHECK_MORE, **shape
    )
    check.add_argument("file", metavar="FILE", help="the answers, TOML or JSON; - reads standard input")
    check.add_argument("--job", action="store_true", help="with steps, connections and tests even if it does not fit")
    form = check.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="the report as JSON")
    form.add_argument("--markdown", action="store_true", help="the report as Markdown")
    compare = commands.add_parser(
        "compare", help="judge an answers file under several packs", description=_COMPARE, epilog=_CODES, **shape
    )
    compare.add_argument("file", metavar="FILE", help="the answers, TOML or JSON; - reads standard input")
    compare.add_argument("--packs", metavar="LIST", required=True, help="two packs or more, such as iec,za or za@3,iec")
    form = compare.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="the comparison as JSON")
    form.add_argument("--markdown", action="store_true", help="the comparison as Markdown")

    for command in (check, compare):
        command.add_argument(
            "--confirm",
            metavar="CELL",
            action="append",
            default=[],
            help="your own copy of the standard says the same for this table cell; may be given again",
        )
    for command in (ask, check):
        command.add_argument(
            "--pack", metavar="ID", help="the rule pack to judge by, ID@EDITION for one edition (see `spareway packs`)"
        )
    for command in (ask, check, compare):
        command.add_argument(
            "--as-of", metavar="DATE", help="judge as of this date, such as 2026-11-25 (default: today)"
        )

    packs = commands.add_parser("packs", help="list the rule packs", description="Lists the rule packs.", **shape)
    packs.add_argument("--json", action="store_true", help="the list as JSON")
    return whole
