"""What a worked case expects against what the checker gives, claim by claim."""

from __future__ import annotations

from typing import Any

CLAIMS = ("headline", "who", "sizing", "failed", "cannot_tell")
_LISTS = {"failed": "failed", "cannot_tell": "cannot-tell"}


def given(report: dict[str, Any]) -> dict[str, Any]:
    """The claims of a report, as a worked case writes them: rules that only advise are left out, lists are sorted."""
    if "error" in report:
        raise AssertionError(f"no verdict, but an error: {report['error']}")
    decides = [finding for finding in report["findings"] if finding["weight"] != "advice"]
    return {
        "headline": report["headline"],
        "who": report["who"]["outcome"],
        "sizing": report["sizing"]["outcome"],
        **{
            claim: sorted(finding["rule"] for finding in decides if finding["outcome"] == outcome)
            for claim, outcome in _LISTS.items()
        },
    }


def differences(expect: dict[str, Any], report: dict[str, Any]) -> dict[str, tuple[Any, Any]]:
    """The claims that do not hold: claim -> (expected, given). An expectation that leaves a claim out does not hold."""
    if set(expect) != set(CLAIMS):
        raise AssertionError(f"a worked case expects {', '.join(CLAIMS)}; this one has {', '.join(expect)}")
    found = given(report)
    wanted = {claim: sorted(value) if claim in _LISTS else value for claim, value in expect.items()}
    return {claim: (wanted[claim], found[claim]) for claim in CLAIMS if wanted[claim] != found[claim]}
