"""`spareway check`: one answers file in, one report out."""

from __future__ import annotations

import sys

from checker.cli import files
from checker.cli.client import Client, exit_code
from checker.terminal import output
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace
    from typing import Any

    from checker.cli.client import Inputs
    from checker.cli.files import AnswersFile
    from checker.terminal.blocks import Document

_OPTIONS = {"pack": "--pack", "edition": "--pack", "as_of": "--as-of", "confirmed": "--confirm"}


def run(options: Namespace) -> int:
    """Judge the file that the options name. Nothing is written unless the whole report could be made."""
    client = Client()
    report, reply = judged(options, "check", client, **({"suppose": True} if options.suppose else {}))
    code = exit_code(report)
    if options.json:
        output.write_json(reply)
    elif options.suppose:
        output.write(rendered(_short(report, client), options))
    elif options.long or options.job:
        from checker.terminal.report import build

        output.write(rendered(build(report, options.job), options))
    else:
        from checker.terminal.onepage import build as build_one_page

        output.write(rendered(build_one_page(report), options))
    return code


def judged(options: Namespace, ask: str, client: Client | None = None, **more: Any) -> tuple[dict[str, Any], str]:
    """The reply to `ask` about the file that the options name, as data and as text; `more` goes into the request."""
    file, inputs, given = read_inputs(options)
    try:
        return (client or Client()).about(ask, inputs, **more)
    except Problem as problem:
        raise complaint(problem, file, given, options) from None


def read_inputs(options: Namespace) -> tuple[AnswersFile, Inputs, set[str]]:
    """The file, the case in it as the options change it, and the keys they replaced. Raises Problem unless a rule set is named."""
    file = files.read(options.file)
    inputs = file.inputs()
    given = override(inputs, options)
    inputs.confirmed += options.confirm
    if not inputs.pack:
        raise Problem(
            file.name,
            "The file does not name a rule pack.",
            "Limits differ from country to country, so you must choose one.",
            'Add a line such as pack = "iec" at the top, or use --pack. `spareway packs` lists them.',
        )
    return file, inputs, given


def complaint(problem: Problem, file: AnswersFile, given: set[str], options: Namespace) -> Problem:
    """The problem, its place named as the person wrote it: in the file, or on the command line."""
    key = problem.where.partition(".")[0]
    if key in given or (key == "confirmed" and options.confirm):
        problem.where = f"{_OPTIONS[key]} on the command line"
    else:
        problem.where = file.place(problem.where)
    return problem


def override(inputs: Inputs, options: Namespace) -> set[str]:
    """Put the options in the place of what the file says; the keys that were replaced.

    Another pack than the file's leaves the file's edition behind: it belongs to the file's pack.
    """
    given = set()
    if options.pack is not None:
        pack, _, edition = options.pack.partition("@")
        if edition or pack != inputs.pack:
            inputs.edition = edition or None
        inputs.pack = pack
        given |= {"pack", "edition"}
    if options.as_of is not None:
        inputs.as_of = options.as_of
        given.add("as_of")
    inputs.as_of = inputs.as_of or files.today()
    return given


def _short(report: dict[str, Any], client: Client) -> Document:
    from checker.cli.client import Inputs
    from checker.cli.short import build

    pack = report["pack"]
    described = client.describe(Inputs(pack["id"], report["as_of"], edition=pack["edition"]))
    return build(report, described["questions"])


def rendered(document: Document, options: Namespace) -> str:
    """The document as text for standard output, or as Markdown."""
    from checker.terminal.display import display_of

    display = display_of(sys.stdout)
    if options.markdown:
        from checker.terminal import markdown

        return markdown.render(document, display)
    from checker.terminal import text

    return text.render(document, display)
