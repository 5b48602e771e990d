"""What was asked before does not matter: a reply is that of a checker which was never asked anything."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from checker.core.api import handle
from checker.core.pack import Pack
from checker.core.whatif import any_answer as possible
from tests.core import asking, strategies
from tests.sampling import examples

DATES = (asking.AS_OF, "2036-01-01")  # by the second every figure is due to be looked at again


@cache
def weak_figures(pack: str) -> list[str]:
    held = Pack(asking.contents()[pack], "")
    cells = [*held.parameters.values(), *(rule.own for rule in held.rules)]
    cells += [cell for table in held.tables.values() for cell in table.cells.values()]
    return [cell.id for cell in cells if cell.status == "memory"]


def fresh(request: str) -> str:
    possible._last.clear()
    return handle(request)


@examples(60)
@given(st.data())
def test_a_run_of_requests_gets_the_replies_of_single_ones(data):
    """Answers come and go one or two at a time, as in an interview where somebody goes back."""
    pack = data.draw(strategies.packs())
    names = sorted(strategies.questions(pack))
    answers = data.draw(strategies.cases(pack))
    requests = []
    for _ in range(data.draw(st.integers(2, 6))):
        for name in data.draw(st.lists(st.sampled_from(names), max_size=2, unique=True)):
            if answers.pop(name, None) is None or data.draw(st.booleans()):
                answers[name] = data.draw(strategies.answer(pack, name))
        confirmed = data.draw(st.sampled_from([[], weak_figures(pack)]))
        as_of = data.draw(st.sampled_from(DATES))
        asked = data.draw(st.sampled_from(["check", "next"]))
        requests.append(asking.text(answers, pack, ask=asked, confirmed=confirmed, as_of=as_of))
    possible._last.clear()
    in_a_row = [handle(request) for request in requests]
    assert in_a_row == [fresh(request) for request in requests]


def test_a_rule_is_settled_once_while_nothing_it_reads_changes(monkeypatch):
    """The answer that settles a rule of the neutral does not make those of the cable be tried again."""
    tried = []

    def watched(finding, *more, settle=possible._tried):
        tried.append(finding.rule.id)
        return settle(finding, *more)

    monkeypatch.setattr(possible, "_tried", watched)
    answers = asking.sound("iec") | {"neutral_bar": "dont-know", "run_length_m": "dont-know"}
    handle(asking.text(answers))
    assert "voltage-drop-within-limit" in tried
    tried.clear()
    handle(asking.text(answers | {"neutral_bar": "same-rcd"}))
    assert "voltage-drop-within-limit" not in tried
    handle(asking.text(answers | {"cable_size": "16 mm2"}))
    assert "voltage-drop-within-limit" in tried
