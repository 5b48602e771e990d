"""What has to change names what keeps the sizing from fitting, and nothing else."""

from __future__ import annotations

from tests.core import asking


def test_advice_is_not_something_that_has_to_change():
    report = asking.ask(asking.FITS | {"device_short_circuit_ka": "not-stated"})
    assert asking.outcomes(report)["device-short-circuit-stated"] == "failed"
    assert report["sizing"]["outcome"] == "fits"
    assert report["changes"] == []


def test_a_failure_that_decides_is():
    report = asking.ask(asking.FITS | {"spare_modules": 0})
    assert [change["rule"] for change in report["changes"]] == ["room-on-rail"]
    assert all(change["text"] for change in report["changes"])
