"""What a `Reader` hands on: a lower bound of one name never becomes that of what is worked out from it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from checker.core.pack import choose
from checker.core.situation import Reader, Situation
from checker.core.values import NotKnown, Unknown
from tests.core import asking

# 13.04 A at least, and what else hangs on the circuit is not known.
DOUBT = {"circuit_dedicated": False, "other_load_a": "dont-know"}


def reader() -> Reader:
    numbers = {
        k: Decimal(str(v)) if isinstance(v, (int, float)) and not isinstance(v, bool) else v
        for k, v in asking.FITS.items()
    }
    return Reader(Situation(choose("iec", None, asking.AS_OF), numbers | DOUBT))


def test_a_lower_bound_is_there_for_a_comparison():
    value = reader().value("circuit_current_a")
    assert isinstance(value, Unknown)
    assert value.at_least is not None and value.at_least > 13


def test_a_lower_bound_in_amperes_does_not_become_one_in_volts():
    with pytest.raises(NotKnown) as missing:
        reader()("circuit_current_a")
    assert missing.value.unknown.at_least is None
    drop = reader().value("voltage_drop_v")
    assert isinstance(drop, Unknown)
    assert drop.at_least is None


def test_a_limit_that_the_known_part_alone_is_beyond_is_told_as_at_least():
    """What else hangs on the circuit is not known, and 26 A are too many whatever it is: no figure stands as the whole."""
    report = asking.ask(asking.FITS | DOUBT | {"load_power_w": 6000})
    finding = asking.found(report, "breaker-carries-load")
    assert finding["outcome"] == "failed"
    assert "at least 26.09 A" in finding["message"]
