"""`spareway plan`: one answers file with a plan in, the judged schedule out."""

from __future__ import annotations

import sys

from checker.cli import saving
from checker.cli.check import complaint, read_inputs
from checker.cli.client import Client, exit_code
from checker.cli.plan_file import place, read_plan
from checker.terminal import output
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace


def run(options: Namespace) -> int:
    """Judge the plan in the file that the options name, and write what they ask for."""
    file, inputs, given = read_inputs(options)
    plan = read_plan(file)
    for path in (options.ical, options.svg):
        if path is not None:
            saving.check_place(path, what="calendar or picture")
    if options.ical is not None and options.ical == options.svg:
        raise Problem(
            "--ical and --svg on the command line",
            "Both name the same file.",
            "One would overwrite the other.",
            "Give two different names.",
        )
    try:
        reply, text = Client().plan(inputs, plan)
    except Problem as problem:
        if problem.where.startswith("plan"):
            problem.where = place(file, problem.where)
            raise
        raise complaint(problem, file, given, options) from None
    code = exit_code(reply)
    if options.ical is not None:
        saving.save(options.ical, reply["calendar"], what="calendar")
    if options.svg is not None:
        from checker.cli.svg import picture

        saving.save(options.svg, picture(reply["drawing"]), what="picture")
    if options.json:
        output.write_json(text)
    else:
        from checker.terminal.display import display_of
        from checker.terminal.schedule import build

        document, display = build(reply), display_of(sys.stdout)
        if options.markdown:
            from checker.terminal.markdown import render
        else:
            from checker.terminal.text import render
        output.write(render(document, display))
    return code
