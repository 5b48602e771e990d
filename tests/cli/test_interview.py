"""The interview against a stand-in for the core that has three questions."""

from __future__ import annotations

import pytest

from checker.terminal.problem import Problem
from tests.cli.standin import PACKS, Session


@pytest.fixture
def talk(report):
    report["find_out"][1]["cell"] = "t/1"

    def make(*lines: str, patient: bool = True, packs: list[dict] = PACKS, **more) -> Session:
        return Session(report, "".join(f"{line}\n" for line in lines), patient, packs, **more)

    return make


@pytest.mark.parametrize("patient", [True, False])
def test_the_answers_typed_are_the_answers_judged(talk, patient):
    session = talk("1", "yes", "16 A", *[""] * 2 * patient, patient=patient).run()
    assert session.inputs.answers == {"board": "sound", "lock": True, "rating": 16}
    assert session.code == 0
    assert "FITS ON PAPER" in session.shown


def test_each_question_shows_help_choices_range_and_what_may_be_typed(talk):
    shown = talk("1", "y", "16").run().shown
    for part in (
        "Is the board sound?",
        "  Some help.",
        "  1) Sound",
        "  2) Damaged",
        "     Heat marks.",
        "a number, 1 to 125 A",
    ):
        assert part in shown
    assert shown.count("ns the label does not say") == 1
    assert shown.count("dk I don't know") == 3


def test_an_answer_is_echoed_as_it_was_understood(talk):
    shown = talk("sound", "n", "2,5").run().shown
    assert "  = Sound\n" in shown
    assert "  = no\n" in shown
    assert "  = 2.5 A\n" in shown


def test_not_knowing_and_a_silent_label_are_answers(talk):
    assert talk("dk", "dk", "ns").run().inputs.answers == {
        "board": "dont-know",
        "lock": "dont-know",
        "rating": "not-stated",
    }


def test_why_explains_and_asks_again(talk):
    session = talk("?", "1", "y", "16").run()
    shown = session.shown
    assert "Why: It matters." in shown
    assert "How to find out: Look." in shown
    assert "It decides: The board is sound." in shown
    assert session.inputs.answers["board"] == "sound"


def test_back_asks_the_last_question_again_and_enter_keeps_its_answer(talk):
    session = talk("1", "yes", "back", "no", "16").run()
    assert session.inputs.answers == {"board": "sound", "lock": False, "rating": 16}
    session = talk("1", "yes", "back", "", "16").run()
    assert session.inputs.answers["lock"] is True
    assert "Enter keeps: yes" in session.shown


def test_back_twice_goes_back_two_questions(talk):
    assert talk("1", "yes", "back", "back", "2", "16").run().inputs.answers == {
        "board": "damaged",
        "lock": True,
        "rating": 16,
    }


def test_back_at_the_first_question_says_that_there_is_none(talk):
    session = talk("back", "1", "y", "16").run()
    assert "You have not answered anything yet." in session.shown
    assert session.code == 0


def test_change_lists_the_answers_and_asks_the_chosen_question(talk):
    session = talk("1", "yes", "change", "1", "2", "16").run()
    assert "  1) Is the board sound? Sound\n  2) Can it be locked? yes\n" in session.shown
    assert session.inputs.answers == {"board": "damaged", "lock": True, "rating": 16}


def test_change_can_be_left_with_enter(talk):
    assert talk("1", "yes", "change", "", "16").run().inputs.answers["board"] == "sound"


def test_a_wrong_number_in_the_list_is_asked_again(talk):
    session = talk("1", "yes", "change", "9", "1", "2", "16").run()
    assert "Type a number from 1 to 2." in session.shown
    assert session.inputs.answers["board"] == "damaged"


def test_what_is_settled_is_told_once_and_the_questions_go_on(talk):
    session = talk("2", "yes", "16").run()
    assert session.shown.count("Already settled: STOP") == 1
    assert session.shown.count("  - The board is damaged.") == 1
    assert session.inputs.answers["rating"] == 16
    assert session.code == 1


def test_a_changed_answer_can_open_the_verdict_again(talk):
    assert "the verdict is open again" in talk("2", "yes", "change", "1", "1", "16").run().shown


def test_verdict_shows_the_report_and_asks_on(talk):
    session = talk("1", "verdict", "yes", "16").run()
    assert "FIND OUT" in session.shown
    assert "FITS ON PAPER" in session.shown
    assert session.shown.count("Can it be locked?") == 2


@pytest.mark.parametrize("line", ["3", "perhaps", ""])
def test_a_line_that_is_no_answer_is_asked_again_of_a_person(talk, line):
    session = talk(line, "1", "y", "16").run()
    assert "! " in session.shown
    assert session.inputs.answers["board"] == "sound"


def test_a_line_that_is_no_answer_ends_a_pipe(talk):
    session = talk("1", "perhaps", "16", patient=False)
    with pytest.raises(Problem) as refused:
        session.run()
    assert refused.value.where == "standard input, line 2"


def test_an_answer_that_the_core_refuses_is_asked_again(talk):
    session = talk("1", "y", "13", "16").run()
    assert "! unlucky. Take 16." in session.shown
    assert session.inputs.answers["rating"] == 16


def test_an_error_about_something_else_ends_the_interview(talk):
    with pytest.raises(Problem, match="withdrawn"):
        talk("1", "y", "14", "16").run()


def test_a_refused_change_leaves_the_answer_as_it_was(talk):
    session = talk("1", "y", "16", "back", "13", "", "").run()
    assert session.inputs.answers["rating"] == 16


@pytest.mark.parametrize("patient", [True, False])
def test_the_end_of_the_input_gives_the_report_on_what_is_known(talk, patient):
    session = talk("1", patient=patient).run()
    assert session.code == 2
    assert "The answers end here" in session.shown
    assert "FIND OUT" in session.shown


def test_the_end_of_the_input_after_a_stop_is_still_a_stop(talk):
    assert talk("2", patient=False).run().code == 1


@pytest.mark.parametrize("lines", [[], ["quit"], ["?"]])
@pytest.mark.parametrize("pack", ["xx", ""])
def test_without_any_answer_there_is_nothing_to_judge(talk, lines, pack):
    with pytest.raises(Problem) as refused:
        talk(*lines, pack=pack).run()
    assert "You answered no question" in refused.value.what


def test_the_pack_is_asked_for_first_when_there_are_several(talk):
    session = talk("yy", "1", "y", "16", pack="").run()
    assert session.inputs.pack == "yy"
    assert session.shown.index("1) Nowhere (xx)") < session.shown.index("Is the board sound?")


def test_a_pack_that_is_the_only_one_is_taken(talk):
    session = talk("1", "y", "16", pack="", packs=PACKS[:1]).run()
    assert session.inputs.pack == "xx"
    assert "Whose rules" not in session.shown


def test_two_editions_of_one_pack_are_one_choice(talk):
    session = talk("1", "y", "16", pack="", packs=[PACKS[0], PACKS[0] | {"edition": "6"}]).run()
    assert session.inputs.pack == "xx"


def test_quit_gives_the_verdict_in_short_and_saves_if_a_name_is_given(talk, tmp_path):
    path = tmp_path / "kept.toml"
    session = talk("1", "quit", str(path)).run()
    assert session.code == 2
    assert "FIND OUT" in session.shown
    assert "Take care" not in session.shown
    assert 'board = "sound"' in path.read_text("utf-8")


def test_quit_asks_for_another_name_when_the_file_is_there(talk, tmp_path):
    taken, free = tmp_path / "taken.toml", tmp_path / "free.toml"
    taken.write_text("mine", "utf-8")
    talk("1", "quit", str(taken), str(free)).run()
    assert taken.read_text("utf-8") == "mine"
    assert free.exists()


@pytest.mark.parametrize(("reply", "confirmed"), [("yes", ["t/1"]), ("no", []), ("", []), ("quit", [])])
def test_at_the_end_the_reader_may_confirm_a_figure(talk, reply, confirmed):
    session = talk("1", "y", "16", "", reply).run()
    assert "Does your own copy say the same?" in session.shown
    assert session.inputs.confirmed == confirmed


def test_figures_on_which_sources_disagree_cannot_be_confirmed(talk, report):
    report["find_out"][1]["kind"] = "conflict"
    assert "Does your own copy" not in talk("1", "y", "16", "").run().shown


def test_a_pipe_is_not_asked_to_confirm(talk):
    assert "Does your own copy" not in talk("1", "y", "16", patient=False).run().shown


def test_before_the_report_the_last_answer_can_still_be_changed(talk):
    assert talk("1", "y", "16", "back", "20", "", "").run().inputs.answers["rating"] == 20


def test_answers_that_are_there_already_are_not_asked_again(talk):
    session = talk("16", patient=False, answers={"board": "sound", "lock": True}).run()
    assert "Is the board sound?" not in session.shown
    assert session.code == 0


def test_what_is_typed_comes_back_without_its_control_characters(talk):
    assert "\x1b" not in talk("\x1b[2J", "1", "y", "16").run().shown


def test_after_a_settled_verdict_the_questions_that_are_left_are_offered(talk):
    session = talk("2", "no", "more", "16", "").run()
    assert "The verdict is settled." in session.shown
    assert "at most 1 more question, some about sizes" in session.shown
    assert session.inputs.answers == {"board": "damaged", "lock": False, "rating": 16}


def test_after_a_settled_verdict_enter_shows_the_report_at_once(talk):
    session = talk("2", "no", "").run()
    assert session.inputs.answers == {"board": "damaged", "lock": False}
    assert session.code == 1


def test_where_nothing_is_left_there_is_nothing_to_go_on_with(talk):
    session = talk("1", "yes", "16", "more", "", "").run()
    assert "more asks" not in session.shown
    assert "There are no more questions." in session.shown


def test_lines_that_are_piped_in_end_at_the_settled_verdict(talk):
    """A line too many could land on a question that nobody expected."""
    session = talk("2", "no", patient=False).run()
    assert session.inputs.answers == {"board": "damaged", "lock": False}
