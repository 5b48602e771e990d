"""`spareway ask`: an interview on standard input and output."""

from __future__ import annotations

import os
import sys

from checker.cli import files, saving
from checker.cli.check import override
from checker.cli.client import Client, Inputs
from checker.cli.interview import Interview
from checker.cli.short_run import ShortRun
from checker.cli.talk import Talk
from checker.terminal.display import display_of
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from argparse import Namespace


def run(options: Namespace) -> int:
    """Run the interview that the options describe; the exit code of its report.

    With --save the answers are kept at the end, and when the person stops early; not after an error, since the file
    would stand in the way of the next attempt.
    """
    client = Client()
    inputs = _start(options, client)
    replaces = None not in (options.save, options.start) and _same(options.save, options.start)
    if options.save is not None:
        saving.check_place(options.save, replaces)
    if sys.stdin is None:
        raise Problem(
            "standard input", "It is closed.", "Spareway reads your answers from it.", "Open it, or use: spareway check"
        )
    if hasattr(sys.stdin, "reconfigure"):
        sys.stdin.reconfigure(errors="replace")  # a stray byte is a wrong answer, not a fault
    talk = Talk(sys.stdin, sys.stdout, display_of(sys.stdout))
    kind = ShortRun if options.suppose else Interview
    interview = kind(client, inputs, talk, offers_to_save=options.save is None, dated=options.as_of is not None)

    def keep() -> None:
        if options.save is not None and inputs.answers:
            saving.save(options.save, interview.as_toml(), replaces)
            talk.say(f"Your answers are in {options.save}.")

    try:
        code = interview.run()
    except KeyboardInterrupt:
        talk.gap()
        keep()
        raise
    keep()
    return code


def _same(path: str, other: str) -> bool:
    return os.path.realpath(path) == os.path.realpath(other)


def _start(options: Namespace, client: Client) -> Inputs:
    """An empty case, or the one in the file of --from; its answers are proved here, while their place is known."""
    if options.start is None:
        inputs = Inputs("", "")
        override(inputs, options)
        return inputs
    file = files.read(options.start)
    inputs = file.inputs()
    if "plan" in file.data and options.save is not None and _same(options.save, options.start):
        raise Problem(
            "--save on the command line",
            "This file holds a plan, and saving the answers here would overwrite it.",
            "You would lose the plan.",
            "Give another file name.",
        )
    override(inputs, options)
    if inputs.pack:
        try:
            client.next(inputs)
        except Problem as problem:
            problem.where = file.place(problem.where)
            raise
    return inputs
