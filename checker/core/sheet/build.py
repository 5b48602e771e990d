"""The job sheet of a case: which kind it is, and its sections.

Who may not do the work gets no step: `call` gives the brief for the electrician, `stop` says why, and whatever is not
decided says what is missing. Only a case that fits, for somebody who may do it, becomes a job.
"""

from __future__ import annotations

import json
from decimal import Decimal

from checker.core.findings import FAILED, Finding
from checker.core.sheet import blocks, brief, buy, short
from checker.core.situation import Situation
from checker.core.tables import NEVER_FIRM
from checker.core.values import NotKnown, plain
from checker.core.wiring import circuit, rail
from checker.core.wiring.connections import STAYS, Wire, wires
from checker.core.wiring.layout import Variant, style_of
from checker.core.wiring.words import Words, value_of

KINDS = {"fits": "job", "call": "brief", "stop": "stop", "change": "not-ready", "find-out": "not-ready"}


def build(
    situation: Situation, findings: list[Finding], report: dict, head: dict, engine: str, confirmed: list[str]
) -> dict:
    """The sheet as data. `report` is the report of the same case, `head` holds pack and date."""
    return Sheet(situation, findings, report, head, engine, confirmed).data()


class Sheet:
    """The sheet of one case: its sections, long and short, and the blocks that both use."""

    def __init__(self, situation, findings, report, head, engine, confirmed) -> None:
        self.situation, self.findings, self.report = situation, findings, report
        self.head, self.engine, self.confirmed = head, engine, confirmed
        self.words = Words(situation)
        self.kind = KINDS[report["headline"]]
        self.variant: Variant | None = None
        self.wires: list[Wire] = []
        self.needs: list[str] = []  # questions without whose answer there is no list
        self.drawings: dict[str, dict] = {}
        if self.kind == "job" or self._draft():
            self._plan()

    def _draft(self) -> bool:
        """Whether a skilled reader gets the wires of a case that is still open, to look at."""
        return self.report["headline"] == "find-out" and self._learnt()

    def _learnt(self) -> bool:
        return self.situation.answers.get("worker") in ("licensed", "supervised")

    def _plan(self) -> None:
        try:
            self.variant, self.wires = wires(self.situation)
        except NotKnown as missing:
            self.needs = [reason.id for reason in missing.unknown.reasons]
            return
        self.drawings = {
            "rail": rail.draw(self.situation, self.variant, self.wires),
            "circuit": circuit.draw(self.situation, self.variant, self.wires),
        }

    def data(self) -> dict:
        made = {"job": self._job, "brief": self._brief, "stop": self._stop, "not-ready": self._not_ready}
        sections = [section for section in [*made[self.kind](), *self._always()] if section]
        lead = "supervised" if self.kind == "job" and self.report["who"]["outcome"] == "supervised" else self.kind
        return {
            "kind": self.kind,
            "title": self.words(f"title-{self.kind}"),
            "lead": self.words(f"lead-{lead}"),
            "notice": " ".join(filter(None, map(self.head["pack"].get, ("notice", "preview")))) or None,
            "headline": self.report["headline"],
            "headline_text": self.report["headline_text"],
            "who": self.report["who"],
            "draft": bool(self.wires) and self.kind != "job",
            "connections": [wire.shown(self.words) for wire in self.wires],
            "needs": self.needs,
            "drawings": self.drawings,
            "sections": sections,
            "short": short.sections(self, sections),
            "replay": self._replay(),
        }

    # --- the kinds ---

    def _job(self) -> list[dict | None]:
        return [self._before(), self._connections(), self._drawing(), self._buy(), self._work(), self._after()]

    def _brief(self) -> list[dict | None]:
        words = self.words
        unknown = brief.unknown(self.situation, self.report["find_out"])
        return [
            blocks.section(
                "brief",
                words("wish"),
                blocks.text(brief.wish(words)),
                blocks.facts(brief.facts(self.situation, words), words("facts"))
                or blocks.text(words("facts-none"), words("facts")),
                blocks.listing(unknown, words("open")) or blocks.text(words("open-none"), words("open")),
                blocks.listing(self.said("brief_questions"), words("questions"), boxes=True),
                blocks.listing([*self._because("who"), *self.said("paper_before")], words("why")),
                blocks.listing(self.said("call_first"), words("until-then")),
            )
        ]

    def _stop(self) -> list[dict | None]:
        words = self.words
        return [
            blocks.section(
                "stop",
                words("why"),
                blocks.listing(self._because("danger")),
                blocks.listing(self.said("stop_first"), words("until-then")),
            )
        ]

    def _not_ready(self) -> list[dict | None]:
        words = self.words
        changes = [self._failure(row) for row in self._failed("sizing")]
        missing = [f"{item['text']} {item['how']}" if item["how"] else item["text"] for item in self.report["find_out"]]
        found = [
            blocks.section(
                "not-ready",
                words("missing"),
                blocks.text(self.report["who"]["text"], words("who")),
                blocks.listing(changes, words("changes"), boxes=True),
                blocks.listing(missing, words("missing") if changes else None, boxes=True),
            )
        ]
        draft = self._connections() if self.wires else None
        if draft is not None:
            draft["blocks"].insert(0, blocks.text(words("lead-draft")))
            found += [draft, self._drawing()]
        return found

    # --- parts of the job ---

    def _before(self) -> dict | None:
        words = self.words
        pairs = self.pairs()
        return blocks.section(
            "before",
            words("before"),
            blocks.text(self.report["who"]["text"], words("who")),
            blocks.listing(self.said("paper_before"), words("paper-before"), boxes=True),
            blocks.listing(self.steps("before", "work"), words("isolation"), numbered=True),
            blocks.table([words("pair"), words("reading")], [[pair, ""] for pair in pairs], words("pairs")),
            blocks.listing(self._cautions("live"), words("live")),
            blocks.listing([*self._cautions("stop"), *self.said("stop_if")], words("stop")),
        )

    def _connections(self) -> dict | None:
        words = self.words
        if not self.wires:
            remarks = [text["text"] for text in words.texts("connections")]
            return blocks.section(
                "connections", words("connections"), *self.wires_wanted(), blocks.listing(remarks, words("remarks"))
            )
        # What the list itself says, terminal for terminal, needs no sentence of its own.
        roles = {wire.link.role for wire in self.wires}
        remarks = [text["text"] for text in words.texts("connections") if text["id"] not in roles]
        return blocks.section(
            "connections",
            words("connections"),
            blocks.text(words("connections-lead")),
            self.wire_table(),
            blocks.text(self.ends_note()),
            blocks.listing(remarks, words("remarks")),
        )

    def wires_wanted(self) -> list[dict | None]:
        """That there is no list yet, and the answers it waits for."""
        words, questions = self.words, self.situation.pack.questions
        asked = [words("need", id=name, text=questions[name]["text"]) for name in self.needs]
        return [blocks.text(words("connections-none")), blocks.listing(asked, boxes=True)]

    def wire_table(self) -> dict | None:
        head = [self.words(f"column-{name}") for name in ("number", "from", "to", "wire", "colour", "end")]
        return blocks.table(head, [self._row(wire) for wire in self.wires])

    def ends_note(self) -> str:
        words = self.words
        weak = any(wire.colour_status in NEVER_FIRM for wire in self.wires)
        return f"{words('ends-note')} {words('colour-weak')}" if weak else words("ends-note")

    def _row(self, wire: Wire) -> list[str]:
        words = self.words
        star = "*" if wire.colour_status in NEVER_FIRM else ""
        function = words(f"function-{wire.link.function}")
        return [
            str(wire.number),
            wire.source.short,
            wire.target.short,
            f"{function}, {words(f'state-{wire.link.state}')}; {wire.size or words('size-unknown')}, {wire.kind}",
            wire.colours(words) + star,
            "; ".join(filter(None, (wire.strip, wire.ferrule, wire.torque))),
        ]

    def _drawing(self) -> dict | None:
        if not self.drawings:
            return None
        words = self.words
        shown = [blocks.drawing(drawn, words("in-words")) for drawn in self.drawings.values()]
        return blocks.section("drawing", words("drawing"), blocks.text(words("drawing-lead")), *shown)

    def _buy(self) -> dict | None:
        words = self.words
        device = blocks.listing(self.said("buy"), words("device"), boxes=True)
        return blocks.section("buy", words("buy"), device, self.bought())

    def bought(self) -> dict | None:
        words = self.words
        rows = [list(row) for row in buy.rows(words, self.variant, self.wires)] if self.wires and self.variant else []
        return blocks.table([words("column-what"), words("column-how-much")], rows)

    def _work(self) -> dict | None:
        words = self.words
        laid = [words("lay", number=w.number, it=w.sentence(words)) for w in self.wires if w.link.state != STAYS]
        steps = [
            *self.steps("work", "wires"),
            *(laid or self.steps("wires", "finish")),
            *self.steps("finish", "after"),
        ]
        return blocks.section("work", words("work"), blocks.listing(steps, numbered=True, boxes=True))

    def _after(self) -> dict | None:
        words = self.words
        reserved = self.tests_reserved()
        return blocks.section(
            "after",
            words("after-reserved") if reserved else words("after"),
            blocks.text(words("after-reserved-why")) if reserved else None,
            blocks.listing(self.said("inspection"), words("inspection"), boxes=True),
            self.results("results_dead", words("dead")),
            blocks.listing(self._said(words.part("tests", "dead", "live")), words("how-tested")),
            blocks.listing(self.steps("after", None), words("on-again"), numbered=True),
            self.results("results_live", words("live-tests")),
            blocks.listing(self._said(words.part("tests", "live", None)), words("how-tested")),
            blocks.listing(self.said("paper_after"), words("paper-after"), boxes=True),
            blocks.text(words("signature")),
        )

    def tests_reserved(self) -> bool:
        return not self._learnt() and style_of(self.situation)["tests"] == "reserved"

    def results(self, section: str, label: str) -> dict | None:
        """Tests with the value to expect and room for the one measured."""
        words = self.words
        rows = [[text, ""] for text in self.said(section)]
        return blocks.table([words("column-expected"), words("column-measured")], rows, label)

    def pairs(self) -> list[str]:
        table, phases = self.situation.pack.tables["test-pairs"], value_of(self.situation, "phases")
        return (table.find(phases) or table.find("three")).value.split("; ")

    # --- what stands on every sheet ---

    def _always(self) -> list[dict | None]:
        words, report = self.words, self.report
        # The job tells the cautions that have a place where they matter.
        placed = self.situation.pack.tables["caution-place"]
        cautions = [c["text"] for c in report["cautions"] if self.kind != "job" or placed.find(c["id"]) is None]
        others, unchecked = ([item["text"] for item in report[key]] for key in ("defers_to", "not_checked"))
        pack = self.head["pack"]
        return [
            blocks.section("cautions", words("cautions"), blocks.listing(cautions)),
            blocks.section("defers-to", words("defers-to"), blocks.listing(others)),
            blocks.section("not-checked", words("not-checked"), blocks.listing(unchecked)),
            blocks.section(
                "replay",
                words("replay"),
                blocks.text(self.versions()),
                blocks.text(words("hash", it=pack["sha256"])),
                blocks.text(words("replay-lead")),
                blocks.code(json.dumps(self._replay(), ensure_ascii=False, indent=1)),
            ),
        ]

    def versions(self) -> str:
        pack = self.head["pack"]
        named = {key: pack[key] for key in ("title", "id", "edition", "version", "review_by")}
        return self.words("versions", engine=self.engine, as_of=self.head["as_of"], **named)

    def _replay(self) -> dict:
        """An answers file that gives this sheet again."""
        pack = self.head["pack"]
        answers = {k: plain(v) if isinstance(v, Decimal) else v for k, v in self.situation.answers.items()}
        return {
            "pack": pack["id"],
            "edition": pack["edition"],
            "as_of": self.head["as_of"],
            "confirmed": self.confirmed,
            "answers": answers,
        }

    # --- small things ---

    def _said(self, texts: list[dict]) -> list[str]:
        """Texts as they are said; one that is reserved says so to whoever is not licensed."""
        licensed = self.situation.answers.get("worker") == "licensed"
        said = [self.words("reserved", it=t["text"]) if t["reserved"] and not licensed else t["text"] for t in texts]
        return [text[0].upper() + text[1:] for text in said]

    def steps(self, begins: str, ends: str | None) -> list[str]:
        return self._said(self.words.part("steps", begins, ends))

    def said(self, section: str) -> list[str]:
        return self._said(self.words.texts(section))

    def _cautions(self, place: str) -> list[str]:
        table = self.situation.pack.tables["caution-place"]
        return [
            item["text"]
            for item in self.report["cautions"]
            if (cell := table.find(item["id"])) is not None and cell.value == place
        ]

    def _failed(self, part: str) -> list[dict]:
        failed = {f.rule.id for f in self.findings if f.outcome == FAILED and f.rule.part == part and f.rule.decides}
        return [row for row in self.report["findings"] if row["rule"] in failed]

    def _failure(self, row: dict) -> str:
        return f"{row['message']} {self.words('what-to-do', it=row['fix'])}" if row["fix"] else row["message"]

    def _because(self, part: str) -> list[str]:
        """Why: for the brief the messages alone, for they speak to the reader; with a remedy where there is danger."""
        rows = self._failed(part)
        return [self._failure(row) if part == "danger" else row["message"] for row in rows]
