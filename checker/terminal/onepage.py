"""A report in short: the verdict and why, what to do next, what stands against it. `--long` gives the whole (report.py)."""

from __future__ import annotations

from decimal import Decimal

from checker.terminal.blocks import Document, Item, Listing, Paragraph, Section, Table
from checker.terminal.report import DANGER, MARKS, WHO, WORDS, compared, reasons, shaky, to_find_out

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    Finding = dict[str, Any]

_SHOWN = 5  # entries of a list; the others are counted
_TIGHTEST = 3


def build(report: dict[str, Any]) -> Document:
    """The document of a `check` reply. A missing key raises: no report is better than half of one."""
    failed = [finding for finding in report["findings"] if finding["outcome"] == "failed"]
    barred = [f for f in failed if f["stage"] in (DANGER, WHO) and f["weight"] != "advice"]
    sized = _tightest_first([f for f in failed if f not in barred and f["weight"] != "advice"])
    sections = [
        _first(report, barred, sized),
        Section("Put this right too" if barred else "", [Listing([_bar(f) for f in barred[1:]])] if barred[1:] else []),
        Section("What to change", [*_listed(sized), *_sets(report, sized)]),
        _find_out(report),
        _tightest(report),
        _rest(report),
    ]  # fmt: skip
    return Document(
        report["headline"],
        WORDS[report["headline"]],
        report["headline_text"],
        reasons(report),
        [section for section in sections if section.blocks],
    )


def _first(report: dict[str, Any], barred: list[Finding], sized: list[Finding]) -> Section:
    preview, notice = report["pack"]["preview"], report["pack"]["notice"]
    step = _next(report, barred, sized)
    blocks = [
        *([Paragraph(preview, "Preview:")] if preview else []),
        Paragraph(report["who"]["text"], "Who may do it:"),
        Paragraph(report["sizing"]["text"], "Sizing:"),
        Paragraph(step, "What to do next:"),
        *([Paragraph(notice, "Edition:")] if notice else []),
    ]
    return Section("", blocks)


def _next(report: dict[str, Any], barred: list[Finding], sized: list[Finding]) -> str:
    headline = report["headline"]
    if headline in ("stop", "call"):
        fixes = [f["fix"] for f in barred if f["rule"] in report["who"]["because"] and f["fix"]]
        return fixes[0] if fixes else "Leave the work alone."
    if headline == "change":
        sets = [change["text"] for change in report["changes"] if change["answers"]]
        fixes = [f["fix"] for f in sized if f["fix"]]
        return (sets or fixes or ["Change what is listed below."])[0]
    if headline == "find-out" and report["find_out"]:
        entry = report["find_out"][0]
        return " ".join(filter(None, (entry["text"], entry["how"])))
    if headline == "fits":
        n = len(report["cautions"])
        read = "Read the caution" if n == 1 else f"Read the {n} cautions"
        return f"{read} (--long). Then print the job sheet: spareway sheet FILE."
    return "Answer what is open."


def _margin(finding: Finding) -> Decimal:
    margin = finding["margin_percent"]
    return Decimal("Infinity") if margin is None else Decimal(margin)


def _tightest_first(findings: list[Finding]) -> list[Finding]:
    return sorted(findings, key=_margin)


def _failure(finding: Finding) -> Item:
    """A failure with its figures, or with its message where it has none; then what to do."""
    if finding["left"] and finding["right"]:
        have, sign, limit = compared(finding)
        margin = finding["margin_percent"]
        said = f"{have} {sign} {limit}" + ("" if margin is None else f", margin {margin} %")
    else:
        said = finding["message"]
    lines = [said, *([f"What to do: {finding['fix']}"] if finding["fix"] else [])]
    return Item(finding["title"], [*lines, *shaky(finding)], MARKS[finding["outcome"]])


def _bar(finding: Finding) -> Item:
    """A further bar to the work: the reasons under the headline have its message."""
    return Item(finding["title"], [finding["fix"] or finding["message"]], MARKS[finding["outcome"]])


def _listed(findings: list[Finding]) -> list[Listing | Paragraph]:
    shown = [Listing([_failure(finding) for finding in findings[:_SHOWN]])] if findings else []
    return [*shown, *_more(findings)]


def _more(entries: list[dict[str, Any]]) -> list[Paragraph]:
    """How many entries of a list are not shown here."""
    return [Paragraph(f"And {len(entries) - _SHOWN} more: --long.")] if entries[_SHOWN:] else []


def _sets(report: dict[str, Any], sized: list[Finding]) -> list[Listing | Paragraph]:
    """The sets of changes, each of which clears the sizing; or that there is none."""
    if not sized:
        return []
    sets = [change for change in report["changes"] if change["answers"]]
    if not sets:
        return [Paragraph(change["text"]) for change in report["changes"]]
    return [Paragraph("Any one of these makes the sizes fit:"), Listing([Item(change["text"]) for change in sets])]


def _find_out(report: dict[str, Any]) -> Section:
    entries = report["find_out"]
    shown = [Listing([to_find_out(entry)]) for entry in entries[:_SHOWN]]
    return Section("What to find out", [*shown, *_more(entries)])


def _tightest(report: dict[str, Any]) -> Section:
    passed = _tightest_first(
        [f for f in report["findings"] if f["outcome"] == "passed" and f["left"] and f["margin_percent"] is not None]
    )[:_TIGHTEST]
    rows = [[f["title"], *compared(f), f"{f['margin_percent']} %"] for f in passed]
    table = Table(["what", "have", "", "limit", "margin"], rows, [MARKS["passed"]] * len(rows))
    return Section("Tightest numbers", [table] if rows and report["headline"] not in ("stop", "call") else [])


def _rest(report: dict[str, Any]) -> Section:
    """How much there is that this page does not show, and how to see it."""
    passed = sum(finding["outcome"] == "passed" for finding in report["findings"])
    advice = sum(f["outcome"] == "failed" and f["weight"] == "advice" for f in report["findings"])
    counts = [(passed, "rule", "passed"), (advice, "piece of advice", ""), (len(report["cautions"]), "caution", ""),
              (len(report["not_checked"]), "thing", "not checked")]  # fmt: skip
    said = ", ".join(f"{n} {_many(what, n)} {more}".strip() for n, what, more in counts if n)
    who = " ".join(item["text"] for item in report["defers_to"][:1])
    text = f"{said}; every number, source and answer: spareway check --long."
    return Section("", [*([Paragraph(who)] if who else []), Paragraph(text, "The rest:")])


def _many(what: str, n: int) -> str:
    return what if n == 1 else "pieces of advice" if what == "piece of advice" else f"{what}s"
