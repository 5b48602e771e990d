"""Width, colours and characters of an output."""

from __future__ import annotations

import io

import pytest

from checker.terminal.display import NARROWEST, WIDEST, Display, clean, display_of, shorten


class Screen(io.StringIO):
    """A stream that says whether it is a terminal, and of which encoding."""

    def __init__(self, terminal: bool, encoding: str = "utf-8") -> None:
        super().__init__()
        self._terminal, self._encoding = terminal, encoding

    def isatty(self) -> bool:
        return self._terminal

    @property
    def encoding(self) -> str:
        return self._encoding


@pytest.mark.parametrize(
    ("terminal", "environ", "colour"),
    [
        (True, {}, True),
        (False, {}, False),
        (True, {"NO_COLOR": "1"}, False),
        (True, {"NO_COLOR": ""}, True),  # https://no-color.org: "when present and not an empty string"
        (True, {"TERM": "dumb"}, False),
    ],
)
def test_colours_are_for_terminals_that_want_them(terminal, environ, colour):
    assert display_of(Screen(terminal), environ).colour is colour


@pytest.mark.parametrize(
    ("columns", "width"), [("60", 60), ("200", WIDEST), ("10", NARROWEST), ("", 80), ("x", 80), ("-5", 80), ("0", 80)]
)
def test_the_width_is_the_terminals_within_bounds(columns, width):
    assert display_of(Screen(False), {"COLUMNS": columns}).width == width


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("2.5 mm² at 30 °C, 1.37 Ω", "2.5 mm2 at 30 C, 1.37 ohm"),
        ("“yes” – it’s ≤ 5 … →", '"yes" - it\'s <= 5 ... ->'),
        ("é ﬁ 漢", "e fi ?"),
    ],
)
def test_what_ascii_cannot_show_is_replaced(text, shown):
    assert Display(encoding="ascii").plain(text) == shown


def test_what_the_encoding_can_show_stays():
    assert Display(encoding="latin-1").plain("2.5 mm² – 1 Ω") == "2.5 mm² - 1 ohm"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\x1b[31mb", "a\\x1b[31mb"),
        ("a\x07\x7f\x9b", "a\\x07\\x7f\\x9b"),
        ("a\u202eb\u2066", "a\\u202eb\\u2066"),
        ("a\u2028b", "a\\u2028b"),
        ("\ud800", "\\ud800"),
        (" a\n\tb ", "a b"),
    ],
)
def test_control_characters_are_escaped(text, shown):
    assert clean(text) == shown


def test_long_text_is_cut_for_quoting_back():
    assert shorten("x" * 100, 10) == "xxxxxxx..."


@pytest.mark.parametrize("width", [40, 60, 80, 88])
def test_no_line_is_wider_than_the_screen(width):
    lines = Display(width).wrap("word " * 200, "  1. ")
    assert max(map(len, lines)) <= width
    assert " ".join(" ".join(lines).split()) == "1. " + "word " * 199 + "word"


def test_text_to_be_copied_stands_letter_for_letter_in_plain_text_too():
    from checker.terminal.blocks import Code, Document, Section
    from checker.terminal.text import render

    shown = render(Document("fits", "FITS", "It fits.", [], [Section("Replay", [Code("a = 1\n  b = 2")])]), Display())
    assert "\na = 1\n  b = 2\n" in f"{shown}\n"
