"""One side of a conversation in a terminal: lines out, wrapped and styled; lines in."""

from __future__ import annotations

from checker.terminal import output
from checker.terminal.display import shorten
from checker.terminal.problem import Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TextIO

    from checker.terminal.display import Display


_LONGEST = 10_000  # characters of one line; no answer has a hundred


class Ended(Exception):
    """No more answers come: the person wants to leave (`wanted`), or the input has ended."""

    def __init__(self, wanted: bool) -> None:
        super().__init__()
        self.wanted = wanted


class Talk:
    """Reads from `source`, writes to `sink`.

    `patient`: a person is there, who can type a line again. A source that is no terminal has no such person.
    """

    def __init__(self, source: TextIO, sink: TextIO, display: Display, patient: bool | None = None) -> None:
        self._source, self._sink, self.display = source, sink, display
        self.patient = source.isatty() if patient is None else patient
        self._lines = 0

    def read(self) -> str:
        """The next line. Raises Ended at the end of the input."""
        output.write("> ", self._sink)
        try:
            line = self._source.readline(_LONGEST)
        except OSError as error:
            raise Problem(
                "standard input",
                f"Spareway cannot read it: {shorten(error.strerror)}.",
                "Your answers come from there.",
                "Type them in a terminal, or put them in a file, one a line.",
            ) from None
        self._lines += 1
        if not line:
            output.write("\n", self._sink)
            raise Ended(wanted=False)
        if not self.patient:
            output.write("\n", self._sink)  # nobody pressed Enter on this screen
        return line

    def refuse(self, text: str) -> None:
        """Say that the last line was no answer. Raises Problem when nobody is there to type another one."""
        if not self.patient:
            raise Problem(
                f"standard input, line {self._lines}",
                text,
                "The lines after it could land on the wrong questions.",
                "Correct the line. To see what you can type: spareway ask --help",
            )
        self.say(text, "! ")

    def say(self, text: str, lead: str = "") -> None:
        """A sentence or two, wrapped; `lead` before the first line, the others below the text or, if it is long, indented."""
        self._put(self.display.wrap(text, lead, " " * (len(lead) if len(lead) < 8 else 4)))

    def strong(self, text: str) -> None:
        self._put([self.display.style("bold", line) for line in self.display.wrap(text)])

    def faint(self, text: str) -> None:
        self._put([self.display.style("dim", line) for line in self.display.wrap(text, "  ")])

    def echo(self, text: str) -> None:
        """What an answer was understood as."""
        self._put(self.display.wrap(text, "  = "))

    def heading(self, text: str) -> None:
        rule = self.display.plain("─")
        line = f"{rule * 2} {self.display.plain(text)} "
        self._put(["", self.display.style("bold", line + rule * (self.display.width - len(line)))])

    def gap(self) -> None:
        self._put([""])

    def raw(self, text: str) -> None:
        """Text that is already laid out."""
        output.write(text, self._sink)

    def _put(self, lines: list[str]) -> None:
        output.write("\n".join(lines) + "\n", self._sink)
