"""`spareway rules`: for maintainers of a rule set. The work is done by `checker.dev`, which only a source checkout has."""

from __future__ import annotations

from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

ABOUT = "Tools for maintainers of a rule set, in a checkout of the source. Type spareway rules COMMAND --help for more."


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
            "It is installed without rule files and without what builds them.",
            "Rule sets are maintained in the source, where every change has a history.",
            "Get the source of the project and call the command there, from its virtual environment (make setup).",
        )
    return Problem(
        "this Python",
        f"It lacks the library {module}, which maintaining rule sets needs.",
        "Rule files could not be checked whole.",
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
    lint.add_argument("path", metavar="PATH", nargs="?", help="tell only what is wrong below this file or folder")
    lint.add_argument("--json", action="store_true", help="a list for editors: file, line, severity, what, why, fix")
    _dated(lint, "tell what is stale on this day")

    new = add("new", "begin the rule set of a region", _NEW)
    new.add_argument("region", metavar="REGION", help="its id, two to eight small letters, such as fr")
    new.add_argument(
        "--like", metavar="ID", required=True, help="the rule set whose words and list of things to find it takes"
    )
    new.add_argument("--title", metavar="TEXT", help='how it is called, such as "France (NF C 15-100)"')
    _dated(new, "the day from which it is valid")

    diff = add("diff", "tell what changed between two rule sets, editions or revisions, and for whom", _DIFF)
    diff.add_argument("old", metavar="OLD", help="a rule set (gb@2018-A2) or a revision of Git (HEAD~5)")
    diff.add_argument("new", metavar="NEW", help="the same kind; - stands for the files as they are now")
    diff.add_argument("--markdown", action="store_true", help="as Markdown: the release note")
    _dated(diff, "judge both as of this day in place of the day of each case")

    why = add("why", "tell where a cell or rule comes from, who reads it and which cases rest on it")
    why.add_argument("name", metavar="CELL|RULE", help="a rule, parameter, table or cell, such as breaker-ratings/10")
    why.add_argument(
        "--pack", metavar="ID", default="iec", help="the rule set, ID@EDITION for one edition (default: iec)"
    )

    due = add("due", "list what must be looked at again, and by when")
    due.add_argument("--by", metavar="DATE", help="only what is due by this day")
    due.add_argument("--pack", metavar="ID", help="only this rule set")

    for name, what, more in (
        ("import", "take a table from a spreadsheet saved as CSV: size down, method across", _IMPORT),
        ("export", "write a table as such a spreadsheet", _EXPORT),
    ):
        sheet = add(name, what, more)
        sheet.add_argument("table", metavar="TABLE", help="the rule set and the table, such as gb/cable-current")
        if name == "import":
            sheet.add_argument("file", metavar="FILE", help="the spreadsheet as CSV")
            for option, told in (
                ("source", "id of the source the figures were read in"),
                ("clause", "table and column in it"),
            ):
                sheet.add_argument(f"--{option}", metavar="TEXT", required=True, help=told)
            sheet.add_argument(
                "--status", metavar="STATUS", default="one-source", help="status of what is new or changed"
            )
            sheet.add_argument("--note", metavar="TEXT", default="", help="note of what is new or changed")
            sheet.add_argument("--second", action="store_true", help="hold it against the cells that are there")
            _dated(sheet, "the day you looked")
        sheet.add_argument("--down", metavar="AXIS", help="the axis that runs down (default: the last)")
        sheet.add_argument("--across", metavar="AXIS", help="the axis that runs across (default: the last one free)")
        sheet.add_argument(
            "--at",
            metavar="AXIS=KEY",
            action="append",
            default=[],
            help="where to stay on another axis; may be given again",
        )
        if name == "export":
            sheet.add_argument(
                "--statuses", action="store_true", help="with the status behind each figure, as in 23 [memory]"
            )
    return whole


def _dated(command: argparse.ArgumentParser, what: str) -> None:
    command.add_argument("--as-of", metavar="DATE", help=f"{what}, such as 2026-11-25")


_LINT = (
    "Exit code 1 when a fault is found. Stale figures and missing cases are told as warnings: they change no exit code, "
    "since they come with the calendar."
)
_NEW = (
    "What the other rule set has of its own is not copied: a figure of another country would be a guess. Figures are left "
    "out or asked for, the law counts as not known, and the rule set says that it is a preview."
)
_DIFF = (
    "First come the changed items with their sources, then the worked cases and boundary paths whose outcome changes, "
    "failed to passed first. Exit code 1 when such a change has no named source."
)
_IMPORT = (
    "The first line holds the keys across, the first column those down; commas or semicolons, 17.5 or 17,5, 2.5 mm2 or 2.5. "
    "An empty field, - or n/a says that there is no such cell. A cell whose value stays keeps its source, status and "
    "note. A status in brackets behind a figure, 23 [memory], counts before --status. With --second the figures are another "
    "source's: no value changes; a cell that agrees becomes two-sources, one that differs becomes conflict and passes nobody."
)
_EXPORT = "The spreadsheet goes to standard output and can be imported again."
