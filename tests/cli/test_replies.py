"""What a typed line means."""

from __future__ import annotations

import pytest

from checker.cli.replies import NotUnderstood, answer_shown, keys, parse


def choice(*values: str, **more) -> dict:
    return {"kind": "choice", "choices": [{"value": v, "label": v.capitalize()} for v in values], "unit": None, **more}


CURVE = choice("B", "C", "D")
SIZE = {
    "kind": "choice",
    "unit": None,
    "choices": [{"value": f"{s} mm2", "label": f"{s} mm²"} for s in ("1", "1.5", "2.5", "4", "6", "10")],
}
AWG = {
    "kind": "choice",
    "unit": None,
    "choices": [{"value": f"{s} AWG", "label": f"{s} AWG"} for s in ("14", "1", "1/0")],
}
MIXED = choice("1 mm2", "1 AWG")
YES_NO = {"kind": "yes-no", "choices": [], "unit": None}
AMPERES = {"kind": "number", "choices": [], "unit": "A", "minimum": "1", "maximum": "125"}
WATTS = {"kind": "number", "choices": [], "unit": "W", "minimum": "1", "maximum": "30000"}
FACTOR = {"kind": "number", "choices": [], "unit": "1", "minimum": "0", "maximum": "1"}


@pytest.mark.parametrize(
    ("question", "typed", "value"),
    [
        (choice("heater", "motor"), "2", "motor"),
        (choice("heater", "motor"), " Motor \n", "motor"),
        (CURVE, "c", "C"),
        (CURVE, "B", "B"),
        (CURVE, "3", "D"),
        (SIZE, "c", "2.5 mm2"),
        (SIZE, "2.5", "2.5 mm2"),
        (SIZE, "2,5", "2.5 mm2"),
        (SIZE, "2.5 mm²", "2.5 mm2"),
        (SIZE, "2.5mm2", "2.5 mm2"),
        (AWG, "14", "14 AWG"),
        (AWG, "1/0 awg", "1/0 AWG"),
        (AWG, "1", "1 AWG"),
        (YES_NO, "y", True),
        (YES_NO, "NO", False),
        (AMPERES, "16", 16),
        (AMPERES, "16 A", 16),
        (AMPERES, "16a", 16),
        (AMPERES, "2,5", "2.5"),
        (AMPERES, "2.50", "2.50"),
        (AMPERES, "016", 16),
        (WATTS, "3 kW", 3000),
        (WATTS, "2,2 kW", 2200),
        (WATTS, "0.0015 kW", "1.5000"),
        (WATTS, "3 000", 3000),
        (FACTOR, "0,375", "0.375"),
    ],
)
def test_an_answer_is_understood(question, typed, value):
    assert parse(question, typed) == ("value", value)


# With numbers before the sizes, "6" for 6 mm² would pick the sixth, 10 mm².
def test_sizes_are_lettered_so_that_a_figure_is_always_a_size():
    assert keys(SIZE["choices"]) == ["a", "b", "c", "d", "e", "f"]
    assert parse(SIZE, "6") == ("value", "6 mm2")
    assert keys(CURVE["choices"]) == ["1", "2", "3"]


def test_a_letter_that_is_itself_an_answer_is_no_sign():
    assert keys(choice("100", "a", "b")["choices"]) == ["c", "d", "e"]


@pytest.mark.parametrize("typed", ["dk", "DK", "don't know", "I don’t know", "dont-know"])
@pytest.mark.parametrize("question", [CURVE, YES_NO, AMPERES])
def test_not_knowing_is_an_answer_everywhere(question, typed):
    assert parse(question, typed) == ("value", "dont-know")


def test_not_knowing_is_refused_where_the_question_says_so():
    with pytest.raises(NotUnderstood):
        parse({**CURVE, "dont_know": False}, "dk")


def test_a_silent_label_is_an_answer_only_where_a_label_is_asked_about():
    assert parse({**AMPERES, "not_stated": True}, "ns") == ("value", "not-stated")
    with pytest.raises(NotUnderstood):
        parse(AMPERES, "ns")


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("?", "why"),
        ("why", "why"),
        ("Back", "back"),
        ("change", "change"),
        ("verdict", "verdict"),
        ("quit", "quit"),
        ("exit", "quit"),
    ],
)
@pytest.mark.parametrize("question", [CURVE, YES_NO, AMPERES])
def test_a_command_is_understood_everywhere(question, typed, name):
    assert parse(question, typed) == ("command", name)


def test_an_answer_wins_over_a_command_of_the_same_name():
    assert parse(choice("back", "front"), "back") == ("value", "back")


@pytest.mark.parametrize(
    ("question", "typed"),
    [
        (CURVE, "4"),
        (CURVE, "0"),
        (CURVE, "E"),
        (CURVE, ""),
        (SIZE, "3"),
        (SIZE, "25"),
        (MIXED, "1"),
        (YES_NO, "perhaps"),
        (YES_NO, "1"),
        (AMPERES, ""),
        (AMPERES, "sixteen"),
        (AMPERES, "0.5"),
        (AMPERES, "126"),
        (AMPERES, "-16"),
        (AMPERES, "1e2"),
        (AMPERES, "16 V"),
        (AMPERES, "16 mA"),
        (AMPERES, "0.016 kA"),
        (AMPERES, "nan"),
        (AMPERES, "inf"),
        (AMPERES, "1٦"),
        (AMPERES, "1.2.3"),
        (AMPERES, "9" * 10000),
        (WATTS, "1,500"),
    ],
    ids=lambda value: value[:10] if isinstance(value, str) else "",
)
def test_what_is_no_answer_is_refused(question, typed):
    with pytest.raises(NotUnderstood) as refused:
        parse(question, typed)
    assert len(str(refused.value)) < 400


def test_a_comma_that_can_be_read_in_two_ways_is_asked_about():
    with pytest.raises(NotUnderstood, match=r"Type 1500 or 1\.500"):
        parse(WATTS, "1,500")


def test_a_number_out_of_range_names_the_range_and_the_unit():
    with pytest.raises(NotUnderstood, match="126 A is outside 1 to 125 A"):
        parse(AMPERES, "126")


@pytest.mark.parametrize(
    ("question", "value", "shown"),
    [
        (SIZE, "2.5 mm2", "2.5 mm²"),
        (YES_NO, False, "no"),
        (AMPERES, 16, "16 A"),
        (FACTOR, "0.8", "0.8"),
        (AMPERES, "dont-know", "I don't know"),
        (AMPERES, "not-stated", "the label does not say"),
    ],
)
def test_an_answer_is_shown_in_words(question, value, shown):
    assert answer_shown(question, value) == shown
