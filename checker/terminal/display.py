"""How text looks on one output: its width, its colours, the characters it can show."""

from __future__ import annotations

import os
import re
import textwrap

WIDEST = 88
NARROWEST = 40

_STYLES = {"bold": "1", "dim": "2", "red": "1;31", "green": "1;32", "yellow": "1;33", "blue": "1;36"}

# Control and format characters: they could move the cursor, hide text or turn its direction.
_HIDDEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff\ufff9-\ufffb]"
)
_BLANKS = re.compile("[ \t\r\n]+")

_PLAIN = {  # the signs of texts and rule files, for an output that has fewer
    "²": "2", "³": "3", "°": "", "\u03a9": "ohm", "\u2126": "ohm", "\xb5": "u", "\u03bc": "u", "×": "x", "·": ".", "•": "-",
    "–": "-", "—": "-", "−": "-", "\u2010": "-", "\u2011": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "…": "...",
    "≤": "<=", "≥": ">=", "≠": "!=", "≈": "about ", "→": "->", "±": "+/-", "√": "sqrt ", "½": "1/2", "§": "section ",
    "Δ": "delta ", "φ": "phi", "∞": "infinity", "\xa0": " ", "\u202f": " ", "\u2009": " ",
    "─": "-", "═": "=", "│": "|", "┌": "+", "┐": "+", "└": "+", "┘": "+", "✓": "ok", "✗": "no",
}  # fmt: skip


def clean(text: object) -> str:
    """One line of harmless text: blanks joined, control and direction characters written as escapes."""
    line = _BLANKS.sub(" ", str(text)).strip()
    return _HIDDEN.sub(_escape, line)


def _escape(match: re.Match[str]) -> str:
    code = ord(match.group())
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}"


def shorten(text: object, most: int = 60) -> str:
    """`text` for quoting back: cleaned, and cut when it is long."""
    line = clean(text)
    return line if len(line) <= most else line[: most - 3] + "..."


class Display:
    """Width in columns, colours or none, and the encoding of an output."""

    def __init__(self, width: int = 80, colour: bool = False, encoding: str = "utf-8") -> None:
        self.width = max(NARROWEST, min(width, WIDEST))
        self.colour = colour
        self.encoding = encoding

    def plain(self, text: object) -> str:
        """`text` cleaned, with every character that this output cannot show replaced by ones it can."""
        line = clean(text)
        try:
            line.encode(self.encoding)
        except UnicodeEncodeError:
            return "".join(map(self._shown, line))
        return line

    def _shown(self, character: str) -> str:
        try:
            character.encode(self.encoding)
        except UnicodeEncodeError:
            if character in _PLAIN:
                return _PLAIN[character]
            import unicodedata

            bare = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode("ascii")
            return bare or "?"
        return character

    def wrap(self, text: object, first: str = "", rest: str | None = None, less: int = 0) -> list[str]:
        """Lines of at most the width (less `less`): `first` before the first line, `rest` before the others.

        `first` and `rest` are plain text of the caller's own.
        """
        line = self.plain(text)
        if len(first) + len(line) <= self.width - less:  # most lines; textwrap would take as long as for a paragraph
            return [f"{first}{line}".rstrip(" ")]
        rest = " " * len(first) if rest is None else rest
        lines = textwrap.wrap(
            line,
            self.width - less,
            initial_indent=first,
            subsequent_indent=rest,
            break_on_hyphens=False,
            break_long_words=False,  # ids and paths are there to be copied
        )
        return lines or [first.rstrip()]

    def style(self, name: str, text: str) -> str:
        """`text` in a style of `_STYLES`; unchanged where there are no colours."""
        return f"\x1b[{_STYLES[name]}m{text}\x1b[0m" if self.colour and text else text


def display_of(stream: object, environ: dict[str, str] | os._Environ[str] | None = None) -> Display:
    """The look of a text stream: colours only on a terminal and never with NO_COLOR set."""
    environ = os.environ if environ is None else environ
    encoding = getattr(stream, "encoding", None) or "ascii"
    try:
        terminal = bool(stream.isatty())  # type: ignore[attr-defined]
    except (AttributeError, ValueError):
        terminal = False
    colour = terminal and not environ.get("NO_COLOR") and environ.get("TERM") != "dumb"
    return Display(_width(stream, terminal, environ), colour, encoding)


def _width(stream: object, terminal: bool, environ: dict[str, str] | os._Environ[str]) -> int:
    columns = environ.get("COLUMNS", "")
    if columns.isascii() and columns.isdigit() and int(columns[:6]) > 0:
        return int(columns[:6])
    if terminal:
        try:
            return os.get_terminal_size(stream.fileno()).columns or 80  # type: ignore[attr-defined]
        except (AttributeError, OSError, ValueError):
            pass
    return 80
