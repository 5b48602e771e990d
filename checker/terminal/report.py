"""A report as a document: a verdict and sections of plain blocks, the same for text and for Markdown."""

from __future__ import annotations

from decimal import Decimal

from checker.terminal.blocks import Document, Item, Listing, Paragraph, Section, Table
from checker.terminal.references import References
from checker.terminal.units import named, value_of, with_unit

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

DANGER, WHO = "before-touching", "who-may"  # stages whose failures mean stop, and call

WORDS = {"stop": "STOP", "call": "CALL", "change": "CHANGE", "find-out": "FIND OUT", "fits": "FITS ON PAPER"}
SHAKY = {  # a failure stands on such a figure too, but has to say so; other weak ones have their star
    "memory": "This rests on a figure from memory. Confirm it in your copy.",
    "conflict": "This rests on a figure that sources disagree on. Confirm it in your copy.",
}
_REASONS = 3  # below the headline
_IN_FULL = 10  # open questions; a file with three answers would else give pages of them
MARKS = {"passed": "ok", "failed": "NO", "cannot-tell": "?"}


def build(report: dict[str, Any], job: bool = False) -> Document:
    """The document of a `check` reply. A missing key raises: no report is better than half of one.

    `job`: with the job sheet (steps, connections, tests) whatever the verdict; else only when it fits.
    """
    refs = References(report["findings"])
    by: dict[str, list[dict[str, Any]]] = {outcome: [] for outcome in (*MARKS, "not-applicable")}
    for finding in report["findings"]:
        by[finding["outcome"]].append(finding)
    sections = [
        _preview(report),
        _who(report),
        *_failures(by["failed"], report, refs),
        _find_out(report, by["cannot-tell"]),
        _numbers(report),
        _passed(by["passed"], len(by["not-applicable"]), refs),
        texts_section("Take care", report["cautions"]),
        *_job(report, job),
        texts_section("Who has the last word", report["defers_to"]),
        texts_section("Not checked", report["not_checked"]),
        *refs.sections(),
        assumed_section(report["assumed"]),
        answers_section(report),
        versions_section(report),
    ]
    return Document(
        report["headline"],
        WORDS[report["headline"]],
        report["headline_text"],
        reasons(report),
        [s for s in sections if s.blocks],
    )


def reasons(report: dict[str, Any]) -> list[str]:
    """Why the headline is what it is: the messages of the rules that brought it about."""
    headline = report["headline"]
    part = report["sizing"] if headline in ("change", "find-out", "fits") else report["who"]
    because = set(part["because"])
    failed = [f for f in report["findings"] if f["outcome"] == "failed"]
    messages = [f["message"] for f in failed if f["rule"] in because and headline in ("stop", "call", "change")]
    if len(messages) > _REASONS:
        messages[_REASONS:] = [f"And {len(messages) - _REASONS} more, below."]
    return messages


def _preview(report: dict[str, Any]) -> Section:
    """A thin rule set says so before anything else is read."""
    why = report["pack"]["preview"]
    return Section("", [Paragraph(why, "Preview:")] if why else [])


def _who(report: dict[str, Any]) -> Section:
    notice = report["pack"]["notice"]
    blocks = [
        Paragraph(report["who"]["text"], "Who may do it:"),
        Paragraph(report["sizing"]["text"], "Sizing:"),
        *([Paragraph(notice, "Edition:")] if notice else []),
    ]
    return Section("", blocks)


def _failures(failed: list[dict[str, Any]], report: dict[str, Any], refs: References) -> list[Section]:
    groups: dict[str, list[Item]] = {"danger": [], "who": [], "sizing": [], "advice": []}
    for finding in failed:
        part = {DANGER: "danger", WHO: "who"}.get(finding["stage"], "sizing")
        part = "advice" if finding["weight"] == "advice" else part
        lines = [finding["message"] + refs.mark(finding)]
        if finding["fix"]:
            lines.append(f"What to do: {finding['fix']}")
        lines += shaky(finding)
        groups[part].append(Item(finding["title"], lines, "NO" if part != "advice" else "!"))
    titles = {
        "danger": "Put this right first",
        "who": "Why a licensed person is needed",
        "sizing": "What to change",
        "advice": "Advice (does not change the verdict)",
    }
    sections = [Section(titles[part], [Listing(items)] if items else []) for part, items in groups.items()]
    sections.insert(3, _changes(report["changes"] or []))
    return sections


def _changes(changes: list[dict[str, Any]]) -> Section:
    """Sets of changes, each of which clears the sizing; or that there is none."""
    if any(change["answers"] for change in changes):
        return Section(
            "Any one of these would make the sizes fit", [Listing([Item(change["text"]) for change in changes])]
        )
    return Section("What would make the sizes fit", [Paragraph(change["text"]) for change in changes])


def shaky(finding: dict[str, Any]) -> list[str]:
    """What to say of a failure that rests on a rule or a figure that is not well known."""
    statuses = {finding["status"], *(cell["status"] for cell in finding["cells"])}
    return [SHAKY[status] for status in SHAKY if status in statuses]


def to_find_out(entry: dict[str, Any]) -> Item:
    """One thing to find out, with how, and with the option that confirms it where that settles it."""
    code = f"--confirm {entry['cell']}" if entry["cell"] and entry["kind"] == "confirm" else ""
    return Item(entry["text"], [entry["how"]] if entry["how"] else [], "?", code)


def _find_out(report: dict[str, Any], open_: list[dict[str, Any]]) -> Section:
    """What settles most in full; the rest of a long list of plain questions in short."""
    items: list[Item] = []
    more: list[str] = []
    for entry in report["find_out"]:
        if len(items) >= _IN_FULL and entry["kind"] == "not-asked":
            more.append(entry["text"])
        else:
            items.append(to_find_out(entry))
    blocks: list[Paragraph | Listing | Table] = [Listing(items)] if items else []
    if more:
        blocks.append(Paragraph(" ".join(more), f"And {len(more)} more:"))
    if open_:
        blocks.append(Paragraph("; ".join(f["title"] for f in open_) + ".", f"Not known until then ({len(open_)}):"))
    return Section("What to find out", blocks)


def _numbers(report: dict[str, Any]) -> Section:
    rows, marks = [], []
    for finding in report["findings"]:
        if finding["left"] and finding["right"]:
            margin = finding["margin_percent"]
            marks.append(MARKS[finding["outcome"]])
            rows.append([finding["title"], *compared(finding), "" if margin is None else f"{margin} %"])
    head = ["what", "have", "", "limit", "margin"]
    blocks: list[Paragraph | Listing | Table] = [Table(head, rows, marks)] if rows else []
    if report["flips"]:
        blocks.append(
            Table(["how far from another verdict", "you have", "holds", "then"], [_flip(f) for f in report["flips"]])
        )
    worked = [[named(n), with_unit(q["value"], q["unit"])] for n, q in report["quantities"].items()]
    if worked:
        blocks.append(Table(["worked out", "value"], worked))
    return Section("The numbers", blocks)


def _flip(flip: dict[str, Any]) -> list[str]:
    """Up or down to where the verdict stays as it is, and what it is from the next step on."""
    way = "up to" if flip["toward"] == "up" else "down to"
    now, holds = (with_unit(flip[key], flip["unit"]) for key in ("now", "holds_to"))
    return [flip["label"], now, f"{way} {holds}", WORDS[flip["after"]].lower()]


def compared(finding: dict[str, Any]) -> list[str]:
    """What there is, the sign that holds between the two, the limit. The sign is read off the exact figures."""
    left, right = finding["left"], finding["right"]
    have, limit = Decimal(left["exact"]), Decimal(right["exact"])
    sign = "=" if have == limit else "<" if have < limit else ">"
    return [with_unit(left["value"], left["unit"]), sign, with_unit(right["value"], right["unit"])]


def _passed(passed: list[dict[str, Any]], idle: int, refs: References) -> Section:
    blocks: list[Paragraph | Listing | Table] = []
    if passed:
        # What danger and law turn on is said in full; the table of numbers has the rest.
        said = [f["message"] if f["stage"] in (DANGER, WHO) else f["title"] for f in passed]
        blocks.append(Listing([Item(text + refs.mark(f), mark="ok") for text, f in zip(said, passed, strict=True)]))
    if idle:
        blocks.append(Paragraph(f"{idle} more {'rule does' if idle == 1 else 'rules do'} not apply here."))
    return Section(f"Passed ({len(passed)})", blocks)


def _job(report: dict[str, Any], wanted: bool) -> list[Section]:
    sheet = [
        texts_section("The job, step by step", report["steps"], numbered=True),
        texts_section("Connections", report["connections"]),
        texts_section("Tests", report["tests"], numbered=True),
    ]
    if wanted or report["headline"] == "fits" or not any(section.blocks for section in sheet):
        return sheet
    hint = "To see steps, connections and tests, use: spareway check --job"
    return [Section("The job", [Paragraph(hint)])]


def texts_section(title: str, entries: list[dict[str, Any]], numbered: bool = False) -> Section:
    return Section(title, [Listing([Item(entry["text"]) for entry in entries], numbered)] if entries else [])


def assumed_section(assumed: dict[str, Any]) -> Section:
    items = [Item(f"{named(key)}: {value_of(key, entry['value'])}", [entry["why"]]) for key, entry in assumed.items()]
    return Section("Assumed, because you did not say", [Listing(items)] if items else [])


def answers_section(report: dict[str, Any]) -> Section:
    words = {True: "yes", False: "no"}
    given = [
        f"{key} = {words[value] if isinstance(value, bool) else value}"
        for key, value in report["answers"].items()
        if key not in report["assumed"]
    ]
    blocks: list[Paragraph | Listing | Table] = [Paragraph("; ".join(given) + ".")] if given else []
    blocks += [Paragraph(entry["why"], f"Not used here, {entry['question']}:") for entry in report["unread"]]
    return Section("Your answers", blocks)


def versions_section(report: dict[str, Any], more: str = "") -> Section:
    pack = report["pack"]
    text = (
        f"Spareway {report['engine']}; pack {pack['id']}, {pack['title']}, edition {pack['edition']}, "
        f"version {pack['version']} (review by {pack['review_by']}; sha256 {pack['sha256'][:16]}); "
        f"judged as of {report['as_of']}{more}."
    )
    return Section("Versions", [Paragraph(text)])
