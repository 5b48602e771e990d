"""How easy the texts are that a homeowner reads: US school grade and reading age of each, the hardest first.

    python benchmarks/reading.py [--all]

Read from the rule files themselves: questions with their help, headlines, cautions, what a failure of danger or law says
and how to put it right; and the home page. The grade is that of Flesch and Kincaid, worked out by `scireadability`; the
reading age is five more. The measure knows only the length of words and sentences: a low figure is no proof of a good
text, a high one is a reason to read it again.
"""

from __future__ import annotations

import argparse
import re
import statistics
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

import scireadability  # type: ignore[import-untyped]  # noqa: E402

from checker.dev.rulebook.faults import place  # noqa: E402
from checker.dev.rulebook.resolve import is_edition, region_folders  # noqa: E402
from checker.dev.rulebook.rulefiles import RULES, Folder, read_folder, read_once  # noqa: E402

AIM = 12  # years
_HOMEOWNER = ("danger", "who")
_HOLE = re.compile(r"\{(\w+)(?:\|([^}]*))?\}")
_MARKUP = re.compile(r"\{[^}]*\}|<[^>]+>|\]\([^)]*\)|[*`\[\]#]")


class Text(NamedTuple):
    """One text as somebody reads it, and where it stands."""

    kind: str
    file: str
    id: str
    text: str

    @property
    def grade(self) -> float:
        return scireadability.flesch_kincaid_grade(self.text)

    @property
    def age(self) -> float:
        return self.grade + 5


def texts(rules: Path = RULES) -> Iterator[Text]:
    """Every text of the rule files and of the home page that the measure is about."""
    with read_once():
        base = read_folder(rules / "base")
        for path in region_folders(rules):
            own = read_folder(path)
            below = read_folder(path.parents[1]) if is_edition(path) else base
            words = {**base.pack["words"], **below.pack.get("words", {}), **own.pack.get("words", {})}
            yield from _of_folder(own, base, words, rules)
    yield from _paragraphs(ROOT / "docs" / "index.md")


def _of_folder(folder: Folder, base: Folder, words: Mapping[str, str], rules: Path) -> Iterator[Text]:
    parts = {stage["id"]: stage["part"] for stage in (*base.pack["stages"], *folder.pack.get("stages", ()))}
    for (kind, item_id), item in folder.items.items():
        file, data = place(item.path, rules), item.data

        def text(what: str, *said: str, file: str = file, item_id: str = item_id) -> Text:
            return Text(what, file, item_id, " ".join(filled(one, words) for one in said if one))

        if kind == "question":
            yield text("question", data["text"], data.get("help", ""))
        elif kind == "phrase" and item_id.startswith("headline."):
            yield text("headline", data["text"])
        elif kind == "text" and item_id.startswith("cautions/"):
            yield text("caution", data["text"])
        elif kind == "rule" and parts.get(data["stage"]) in _HOMEOWNER:
            yield text("failure", data["say"]["failed"], data.get("fix", ""))


def filled(text: str, words: Mapping[str, str]) -> str:
    """A template as a reader sees it: words of the region, and a figure where a value stands."""

    def put(found: re.Match[str]) -> str:
        name, forms = found.groups()
        return words.get(name) or (forms.rpartition("|")[2].replace("#", "3") if forms else "16 A")

    return _HOLE.sub(put, text)


def _paragraphs(page: Path) -> Iterator[Text]:
    prose = page.read_text(encoding="utf-8").split("---\n", 2)[2]
    for number, block in enumerate(re.split(r"\n\s*\n", prose), 1):
        text = " ".join(_MARKUP.sub("", block).split())
        if not block.startswith(("```", "#")) and len(text.split()) > 3:
            yield Text("home page", place(page, ROOT / "docs"), f"paragraph {number}", text)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--all", action="store_true", help="every text, not only the ten hardest")
    options = parser.parse_args()
    found = sorted(texts(), key=lambda one: -one.grade)
    print(f"{'':12}{'texts':>7}{'median grade':>14}{'hardest':>9}{'at most age ' + str(AIM):>17}")
    for kind in (*dict.fromkeys(one.kind for one in found), ""):
        some = [one for one in found if kind in (one.kind, "")]
        grades = [one.grade for one in some]
        easy = sum(one.age <= AIM for one in some)
        print(f"{kind or 'all':12}{len(some):>7}{statistics.median(grades):>14.1f}{max(grades):>9.1f}"
              f"{f'{easy} ({easy * 100 // len(some)} %)':>17}")  # fmt: skip
    print()
    for one in found if options.all else found[:10]:
        print(f"grade {one.grade:.1f}, age {one.age:.0f}: {one.file} {one.id}\n    {one.text}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
