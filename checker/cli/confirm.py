"""The end of an interview: figures that the reader should compare with their own copy of a standard."""

from __future__ import annotations

from checker.cli import screens
from checker.cli.replies import NotUnderstood, parse

TYPE_CHECKING = False
if TYPE_CHECKING:
    from checker.cli.client import Client, Inputs
    from checker.cli.talk import Talk


def confirm(talk: Talk, client: Client, inputs: Inputs) -> None:
    """Ask about each figure that keeps a pass from standing; what the reader confirms is added to the case."""
    report = client.check(inputs)[0]
    open_ = [entry for entry in report["find_out"] if entry["kind"] == "confirm"]
    if open_:
        talk.heading("Figures to confirm")
    for entry in open_:
        talk.gap()
        talk.say(entry["text"])
        talk.say(entry["how"], "  ")
        reply = _same(talk)
        if reply == "yes":
            inputs.confirmed.append(entry["cell"])
        elif reply == "no":
            talk.say("Then go by your copy, not by this report. Please report the difference.", "! ")
        elif reply == "quit":
            return


def _same(talk: Talk) -> str:
    """ "yes", "no", "open" or "quit"."""
    screens.show_question(talk, screens.SAME)
    talk.faint("Enter leaves it open; quit shows the report")
    while True:
        line = talk.read()
        if not line.strip():
            return "open"
        try:
            name, value = parse(screens.SAME, line)
        except NotUnderstood as problem:
            talk.refuse(str(problem))
            continue
        if name == "value":
            return "yes" if value else "no"
        if value == "quit":
            return "quit"
        screens.explain(talk, screens.SAME, [])
