"""`spareway rules`: for maintainers of a rule set. The work is done by `checker.dev`, which only a source checkout has."""

from __future__ import annotations

from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

ABOUT = "Tools for looking after a rule set in a checkout of the source. For more, type spareway rules COMMAND --help."


def run(argv: Sequence[str]) -> int:
    """Run a maintainer's command; the exit code: 0 nothing to mend, 1 something to mend, 64 bad arguments."""
    options = parser().parse_args(argv)
    try:
        from checker.dev.maintain import run as work
    except ModuleNotFoundError as missing:
        raise _not_here(missing.name or "") from None
    return work(options)


def _not_here(module: str) -> Problem:
    if module.startswith("checker"):
        return Problem(
            "this copy of Spareway",
            "It has no rule files and no tools to build them.",
            "You look after a rule set in the source, where every change has a history.",
            "Get the project's source and run the command there, from its virtual environment (make setup).",
        )
    return Problem(
        "this Python",
        f"The library {module} is missing, and this command needs it.",
        "Without it, rule files are only half checked.",
        "Run make setup, then .venv/bin/spareway rules.",
    )


def parser() -> argparse.ArgumentParser:
    """The parser of `spareway rules`."""
    from checker.cli.arguments import new_parser, shape

    whole = new_parser("spareway rules", ABOUT)
    commands = whole.add_subparsers(title="commands", dest="do", metavar="COMMAND", required=True)

    def add(name: str, what: str, more: str = "") -> argparse.ArgumentParser:
        return commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.", epilog=more, **shape)

    lint = add("lint", "check every rule file and table", _LINT)
    lint.add_argument("path", metavar="PATH", nargs="?", help="show only what is wrong in this file or folder")
    lint.add_argument(
        "--json", action="store_true", help="the list as JSON for editors: file, line, severity, what, why, fix"
    )
    _dated(lint, "show what is stale on this day")

    new = add("new", "start the rule set of a region", _NEW)
    new.add_argument("region", metavar="REGION", help="its id: two to eight small letters, such as fr")
    new.add_argument(
        "--like", metavar="ID", required=True, help="the rule set to copy words and the list of things to find out from"
    )
    new.add_argument("--title", metavar="TEXT", help='its title, such as "France (NF C 15-100)"')
    _dated(new, "the day it comes into force")

    diff = add("diff", "show what changed between two rule sets, editions or revisions, and for whom", _DIFF)
    diff.add_argument("old", metavar="OLD", help="a rule set (gb@2018-A2) or a revision of Git (HEAD~5)")
    diff.add_argument("new", metavar="NEW", help="the same kind; - means the files as they are now")
    diff.add_argument("--markdown", action="store_true", help="write it as Markdown, for the release note")
    _dated(diff, "judge both as of this day, not the day of each case")

    why = add("why", "show where a cell or rule comes from, who reads it and which cases rest on it")
    why.add_argument("name", metavar="CELL|RULE", help="a rule, parameter, table or cell, such as breaker-ratings/10")
    why.add_argument(
        "--pack", metavar="ID", default="iec", help="the rule set; ID@EDITION picks an edition (default: iec)"
    )

    due = add("due", "list what needs another look, and by when")
    due.add_argument("--by", metavar="DATE", help="only what is due by this day")
    due.add_argument("--pack", metavar="ID", help="only this rule set")

    for name, what, more in (
        ("import", "read a table from a spreadsheet saved as CSV: size down, method across", _IMPORT),
        ("export", "write a table as such a spreadsheet", _EXPORT),
    ):
        sheet = add(name, what, more)
        sheet.add_argument("table", metavar="TABLE", help="the rule set and the table, such as gb/cable-current")
        if name == "import":
            sheet.add_argument("file", metavar="FILE", help="the spreadsheet as CSV")
            for option, told in (
                ("source", "id of the source you read the figures in"),
                ("clause", "table and column in that source"),
            ):
                sheet.add_argument(f"--{option}", metavar="TEXT", required=True, help=told)
            sheet.add_argument(
                "--status", metavar="STATUS", default="one-source", help="status of new or changed cells"
            )
            sheet.add_argument("--note", metavar="TEXT", default="", help="note for new or changed cells")
            sheet.add_argument("--second", action="store_true", help="compare with the cells already there")
            _dated(sheet, "the day you looked")
        sheet.add_argument("--down", metavar="AXIS", help="the axis that runs down (default: the last)")
        sheet.add_argument("--across", metavar="AXIS", help="the axis that runs across (default: the last other one)")
        sheet.add_argument(
            "--at",
            metavar="AXIS=KEY",
            action="append",
            default=[],
            help="the key to use on another axis; you can repeat it",
        )
        if name == "export":
            sheet.add_argument(
                "--statuses", action="store_true", help="add the status after each figure, as in 23 [memory]"
            )
    return whole


def _dated(command: argparse.ArgumentParser, what: str) -> None:
    command.add_argument("--as-of", metavar="DATE", help=f"{what}, such as 2026-11-25")


_LINT = (
    "The exit code is 1 when there is a fault. Stale figures and missing cases are only warnings: they come with the "
    "calendar and do not change the exit code."
)
_NEW = (
    "Nothing that belongs to the other country is copied: its figures would be guesses. The new rule set leaves figures "
    "out or asks for them, treats the law as not known, and calls itself a preview."
)
_DIFF = (
    "Shows the changed items with their sources, then the worked cases and boundary paths whose outcome changes, failed "
    "to passed first. The exit code is 1 when a change to passed names no source."
)
_IMPORT = (
    "Put the keys across in the first line and the keys down in the first column. Use commas or semicolons, 17.5 or 17,5, "
    "2.5 mm2 or 2.5. An empty field, - or n/a means there is no such cell. A cell that keeps its value keeps its source, "
    "status and note. A status in brackets after a figure, 23 [memory], overrides --status. With --second, the figures "
    "come from another source and no value changes: a cell that agrees becomes two-sources; a cell that differs becomes "
    "conflict and cannot give a pass."
)
_EXPORT = "Writes the spreadsheet to standard output. You can import it again."
