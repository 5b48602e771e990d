"""Every kind of wrong answers file: exit code 64, one message with four parts, no traceback, no output."""

from __future__ import annotations

import pytest

LINE = "breaker_rating_a = 16\n"


def refused(done) -> str:
    """The message of a refusal in one line, once everything that all refusals share has been checked."""
    assert done.returncode == 64, (done.returncode, done.stdout, done.stderr)
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr.count("spareway: ") == 1
    for part in ("where:", "what:", "why:", "fix:"):
        assert done.stderr.count(f"  {part}") == 1, done.stderr
    return " ".join(done.stderr.split())


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('breaker_rating_a = "sixteen"', ["not a number"]),
        ("breaker_rating_a = true", ["true or false"]),
        ("breaker_rating_a = [16]", ["a list"]),
        ("breaker_rating_a = {a = 1}", ["a table"]),
        ("breaker_rating_a = 2026-11-25", ["a date"]),
        ("breaker_rating_a = 5000", ["out of range", "A"]),
        ("breaker_rating_a = -16", ["out of range"]),
        ("breaker_rating_a = 1e30", ["number"]),
        ("breaker_rating_a = 1e999999999", ["digits"]),
        ("breaker_rating_a = 1e99999999999999999999", ["far too large"]),
        (f"breaker_rating_a = {'9' * 60}", ["digits"]),
        (f"breaker_rating_a = {'9' * 5000}", ["digits"]),
        ("breaker_rating_a = nan", ["not a number"]),
        ("breaker_rating_a = inf", ["not a number"]),
        ("breaker_rating_a = -inf", ["not a number"]),
        ("breaker_rating = 16", ["no such question", "breaker_rating_a"]),
        ('method = "Z9"', ["not one of the answers"]),
        ('lock_off = "yes"', ["true"]),
        ("breaker_rating_a = 2,5", ["point"]),
        ("breaker_rating_a 16", ["not TOML"]),
        ("breaker_rating_a = ", ["not TOML"]),
        ("breaker_rating_a = 16 A", ["not TOML"]),
        ("breaker_rating_a = 16\nbreaker_rating_a = 20", ["twice"]),
        ("breaker_rating_a = 16\n[answers]", ["twice"]),
    ],
    ids=lambda value: str(value)[:40] if isinstance(value, str) else "",
)
def test_a_wrong_answer_is_refused(spareway, write, fits, line, words):
    key = line.split()[0]
    text = "".join(row for row in fits().splitlines(keepends=True) if not row.startswith((key, "breaker_rating_a")))
    message = refused(spareway("check", write(text + line + "\n")))
    for word in words:
        assert word in message


def test_the_message_names_file_and_line_of_the_answer(spareway, write):
    path = write('pack = "iec"\n[answers]\n\nbreaker_rating_a = 5000\n')
    assert f"where: {path}, line 4: answers.breaker_rating_a what:" in refused(spareway("check", path, COLUMNS="88"))


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('pack = "iec"\n[answers]\nworker = "licensed\n', "line 3, column"),
        ('pack = "iec"\n[answers]\nworker =', "line 3, column 9"),
        ('{"pack": "iec",\n "answers": {"worker" "licensed"}}', "line 2, column 23"),
    ],
)
def test_broken_syntax_is_placed_by_line_and_column(spareway, write, text, place):
    assert place in refused(spareway("check", write(text)))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ('{"pack": "iec", "answers": {"breaker_rating_a": NaN}}', "NaN is not a number"),
        ('{"pack": "iec", "answers": {"breaker_rating_a": -Infinity}}', "-Infinity is not a number"),
        ('{"pack": "iec", "answers": {"breaker_rating_a": 1e500}}', "digits"),
        ('{"pack": "iec", "answers": {"breaker_rating_a": ' + "9" * 5000 + "}}", "digits"),
        ('{"pack": "iec", "answers": {"breaker_rating_a": null}}', "empty"),
        ('{"pack": "iec", "answers": {"worker": "licensed", "worker": "unlicensed"}}', "twice"),
        ('{"pack": "iec", "answers": []}', "not a table"),
        ('{"pack": "iec", "answers": ' + "[" * 100000 + "]" * 100000 + "}", "too many levels"),
        ('{"pack": "iec", "answers": {}', "not JSON"),
    ],
    ids=lambda value: value[:60],
)
def test_wrong_json_is_refused(spareway, write, text, word):
    assert word in refused(spareway("check", write(text, "answers.json")))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "no table of answers"),
        ('pack = "iec"\n', "no table of answers"),
        ('pack = "iec"\nanswers = 5\n', "not a table"),
        ("[answers]\n", "does not name a rule pack"),
        ("pack = 5\n[answers]\n", "not text"),
        ('pack = "atlantis"\n[answers]\n', "atlantis"),
        ('pack = "iec"\nas_of = "soon"\n[answers]\n', "date"),
        ('pack = "iec"\nas_of = 2026-11-25T10:00:00\n[answers]\n', "not a date"),
        ('pack = "iec"\nconfirmed = "x"\n[answers]\n', "list"),
        ('pack = "iec"\nbreaker_rating_a = 16\n[answers]\n', "has no such key"),
        ('pack = "iec"\nformat = 1\n[answers]\n', "has no such key"),
        ('pack = "iec"\n[answres]\nbreaker_rating_a = 16\n', "has no such key"),
        ('pack = "iec"\nx = ' + "[" * 3000 + "]" * 3000 + "\n[answers]\n", "too many levels"),
    ],
    ids=lambda value: value[:60],
)
def test_a_file_of_the_wrong_shape_is_refused(spareway, write, text, word):
    assert word in refused(spareway("check", write(text)))


@pytest.mark.parametrize(
    "data",
    [
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        b"PK\x03\x04\x14\0\x06\0",
        b"\xff\xfep\0a\0c\0k\0",
        b'pack = "\xe9\xe8"\n',
        bytes(range(256)),
    ],
    ids=["picture", "archive", "utf-16", "latin-1", "all bytes"],
)
def test_a_file_that_is_no_text_is_refused(spareway, write, data):
    assert "UTF-8" in refused(spareway("check", write(data)))


def test_a_missing_file_is_refused(spareway):
    assert "There is no such file" in refused(spareway("check", "nothing.toml"))


def test_a_folder_is_refused(spareway, tmp_path):
    assert "folder" in refused(spareway("check", str(tmp_path)))


def test_a_file_above_1_mb_is_refused(spareway, write):
    assert "1 MB" in refused(spareway("check", write("#" * 1_000_001)))


def test_an_endless_file_is_refused(spareway):
    assert "1 MB" in refused(spareway("check", "/dev/zero"))


def test_a_file_name_with_control_characters_does_no_harm(spareway):
    assert "\\x1b[31mred" in refused(spareway("check", "\x1b[31mred"))


def test_control_characters_in_an_answer_come_back_escaped(spareway, write, fits):
    message = refused(spareway("check", write(fits().replace('"copper"', '"\\u001b[2Jgone\\u202e"'))))
    assert "\x1b" not in message
    assert "\u202e" not in message
    assert "gone" in message


@pytest.mark.parametrize(
    ("option", "value"), [("--pack", "atlantis"), ("--as-of", "tomorrow"), ("--as-of", "2026-13-01")]
)
def test_a_wrong_option_is_named_as_one(spareway, write, fits, option, value):
    assert f"{option} on the command line" in refused(spareway("check", write(fits()), option, value))
