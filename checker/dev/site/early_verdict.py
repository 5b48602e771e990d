"""What the page can say of danger and law before Python is there: one small table a rule set, made by asking the core.

`build` asks the core about each deciding rule of the parts danger and who, for the answers to the questions it reads,
and keeps what it said as a tree. The page only walks the trees (`checker/web/spareway/early-verdict.mjs`): it can say stop,
call, or which question comes next. Everything else waits for the core.
"""

from __future__ import annotations

import json
from decimal import localcontext
from pathlib import Path

from checker.core import findings, report
from checker.core.findings import CANNOT_TELL, FAILED, Gate
from checker.core.interview import question_shown
from checker.core.messages import fill
from checker.core.pack import Pack, Rule, choose
from checker.core.situation import DONT_KNOW, NOT_STATED, Reader
from checker.core.values import CONTEXT, ReasonKind, Value
from checker.core.whatif import any_answer
from checker.core.whatif.trials import Bench, Trial

PARTS = ("danger", "who")
SCREENS = ("who", "before")  # of the short run: where danger and law are asked
MOST_QUESTIONS = 5  # of a rule that reads more, only those of danger and law: the table stays small, and soon made
REST = ""  # decided, or in doubt with nothing to ask: for the core to judge
Tree = str | dict


def build(pack_id: str, edition: str, as_of: str) -> dict:
    """The table of one edition, as JSON data.

    `questions`: as in a `next` reply, in the order they are asked; `early` where one is asked with the dangers.
    `also`: questions that sizing waits for beside them.
    `rules`: `rule part title failures tree`. A tree is `!0` (failed, with the words of that place in `failures`),
    `?question` (waits for it), `""` (neither), or `{"of": question, "is": {answer: tree}, "else": tree}`, an answer
    written as in the page's address, none as `""`.
    """
    with localcontext(CONTEXT):
        pack = choose(pack_id, edition, as_of)
        rules = [rule for rule in pack.rules if rule.part in PARTS and rule.decides]
        also = _for_sizing(pack, as_of)
        names = {name for rule in rules for name in read(pack, rule)} | set(also)
        early = {stage["id"] for stage in pack.stages if stage["part"] == "danger"}
        keep = (
            *("id", "kind", "stage", "stage_title", "text", "label", "screen", "help", "why", "find_out"),
            *("choices", "default", "dont_know", "not_stated"),
        )
        shown = [question_shown(pack, name) for name in sorted(names, key=lambda name: order(pack, name))]
        return {
            **{key: pack.about[key] for key in ("id", "edition", "valid_from", "valid_until")},
            "questions": [{key: q[key] for key in keep} | {"early": q["stage"] in early} for q in shown],
            "rules": [_row(pack, rule, as_of) for rule in rules],
            "also": also,
        }


def _for_sizing(pack: Pack, as_of: str) -> list[str]:
    """What sizing waits for from the start on the screens of danger and law: asked there, so that nobody is led back."""
    judged = any_answer.judge(Trial(pack, {}), Bench(Gate(as_of)))
    reasons = [reason for one in judged if one.rule.part == "sizing" and one.rule.decides for reason in one.reasons]
    waits = {reason.id for reason in reasons if reason.kind is ReasonKind.NOT_ASKED}
    on = [name for name in waits if pack.questions[name]["screen"] in SCREENS]
    return sorted((name for name in on if pack.questions[name]["usual"] is None), key=lambda name: order(pack, name))


def order(pack: Pack, name: str) -> int:
    return pack.questions[name]["order"]


def read(pack: Pack, rule: Rule) -> list[str]:
    """The questions of `rule` that the table knows: no numbers, and none with a default, which an answer may overturn."""
    reads = next(row["reads"] for row in pack.content["rules"] if row["id"] == rule.id)
    known = [
        name for name in reads if pack.questions[name]["kind"] != "number" and "default" not in pack.questions[name]
    ]
    if len(known) > MOST_QUESTIONS:
        stages = {stage["id"] for stage in pack.stages if stage["part"] in PARTS}
        known = [name for name in known if pack.questions[name]["stage"] in stages]
    return sorted(known, key=lambda name: order(pack, name))


def values(question: dict) -> dict[str, Value]:
    """Every answer to a question of the table: as the address of the page writes it, and as the core reads it."""
    if question["kind"] == "yes-no":
        held: dict[str, Value] = {"true": True, "false": False}
    else:
        held = {choice["value"]: choice["value"] for choice in question["choices"]}
    held[DONT_KNOW] = DONT_KNOW
    return held | {NOT_STATED: NOT_STATED} if question["unanswered"] == NOT_STATED else held


def _row(pack: Pack, rule: Rule, as_of: str) -> dict:
    told: list[dict[str, str]] = []
    case = Trial(pack, {})
    tree = _tree(rule, case, Bench(Gate(as_of)), read(pack, rule), told)
    return {"rule": rule.id, "part": rule.part, "title": fill(case, rule.title), "failures": told, "tree": tree}


def _tree(rule: Rule, trial: Trial, bench: Bench, names: list[str], told: list[dict[str, str]]) -> Tree:
    """What the core says of `rule`, by the answers to `names`. What is decided stays so (tests try what else is said)."""
    finding = findings.weigh(rule, Reader(trial), bench.gate)[0]
    finding = any_answer.settle(finding, trial, bench)
    waits = [reason.id for reason in finding.reasons if reason.kind is ReasonKind.NOT_ASKED]
    if finding.outcome == CANNOT_TELL and names:
        name, rest = names[0], names[1:]
        branches = {"": _tree(rule, trial, bench, rest, told)}
        for key, value in values(trial.pack.questions[name]).items():
            branches[key] = _tree(rule, trial.with_answers({name: value}), bench, rest, told)
        return _short(name, branches)
    if finding.outcome == CANNOT_TELL:
        return f"?{waits[0]}" if waits else REST
    if finding.outcome == FAILED:
        row = report.finding_shown(trial, finding)
        words = {"message": row["message"], "fix": row["fix"]}
        if words not in told:
            told.append(words)
        return f"!{told.index(words)}"
    return REST


def _short(name: str, branches: dict[str, Tree]) -> Tree:
    """The node without branches that say the same."""
    written = [json.dumps(tree, sort_keys=True) for tree in branches.values()]
    common = max(dict.fromkeys(written), key=written.count)
    if written.count(common) == len(written):
        return branches[""]
    different = {key: tree for (key, tree), text in zip(branches.items(), written, strict=True) if text != common}
    return {"of": name, "is": different, "else": json.loads(common)}


def write(packs: dict[str, dict], as_of: str, folder: Path) -> None:
    """One file a rule set into `folder`; `packs` as `check_page.rule_sets` gives them."""
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.json"):
        old.unlink()
    for name, pack in packs.items():
        table = build(pack["id"], pack["edition"], as_of)
        text = json.dumps(table, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        (folder / f"{name}.json").write_text(text, encoding="utf-8")
