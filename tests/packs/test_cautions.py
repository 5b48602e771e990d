"""Cautions that every rule set has to give, and to whom."""

from __future__ import annotations

import pytest

from tests.core.asking import PACKS, ask, sound

each_pack = pytest.mark.parametrize("pack", PACKS)
# Common practice, no source: what has a thermostat, a limiter, a pressure or a float switch, and what has none.
GUARDED = ("heater", "water-heater", "motor", "pool-pump")
PLAIN = ("filament-lamps", "led-lamps", "discharge-lamps", "transformer")


def cautioned(pack: str, **answers) -> dict[str, str]:
    return {item["id"]: item["text"] for item in ask(sound(pack) | answers, pack)["cautions"]}


@each_pack
@pytest.mark.parametrize("kind", GUARDED)
def test_a_clock_never_takes_the_place_of_a_thermostat_or_limiter(pack, kind):
    text = cautioned(pack, load_kind=kind)["limits-stay-in"]
    assert "thermostat" in text
    assert "ahead of" in text


@each_pack
@pytest.mark.parametrize("kind", PLAIN)
def test_lamps_and_transformers_have_no_limiter_to_speak_of(pack, kind):
    assert "limits-stay-in" not in cautioned(pack, load_kind=kind)


@each_pack
def test_two_feeds_are_a_caution_only_where_there_are_two(pack):
    feeds = ("same-breaker", "own-fuse", "other-breaker", "dont-know")
    given = ["two-feeds-in-one-device" in cautioned(pack, clock_supply=feed) for feed in feeds]
    assert given == [False, False, True, True]
