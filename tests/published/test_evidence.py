"""The page of evidence says what the tests of this folder hold: no figure more, none less, and no disagreement hidden."""

from __future__ import annotations

import copy
import re

import pytest

from checker.dev.cases import published
from checker.dev.site import evidence, pages
from tests import sampling
from tests.published.held import EXAMPLES, HELD, WRONG
from tests.published.test_lengths import MISPRINTS, PLAIN
from tests.published.test_published import DERATING, LAMPS, MOTORS, differing, figures

STATUSES = ("published", "memory", "own")


@pytest.fixture(scope="module")
def found() -> list[published.Line]:
    return evidence.judged()


@pytest.fixture(scope="module")
def page() -> str:
    ((name, text),) = evidence.pages()
    assert name == "evidence.md"
    return text


def test_counts_are_those_of_the_tests(found: list[published.Line]) -> None:
    expected = {(status, published.AGREES): figures(status) for status in STATUSES}
    expected["published", published.AGREES] += len(DERATING) + len(LAMPS) + len(PLAIN)
    expected |= {(status, published.DIFFERS): differing(status) for status in STATUSES}
    expected["published", published.DIFFERS] += len(MOTORS)
    expected["wrong", published.REFUSED] = len(WRONG) + len(MISPRINTS)
    assert dict(evidence.counts(found)) == expected


def test_the_page_opens_with_those_counts(found: list[published.Line], page: str) -> None:
    total = evidence.counts(found)
    for group, title in evidence.STATUS.items():
        results = (published.AGREES, published.DIFFERS, published.REFUSED, published.APART)
        assert f"| {title} | {' | '.join(str(total[group, result]) for result in results)} |" in page


def test_every_example_and_every_undecided_one_is_on_the_page(page: str) -> None:
    for example in (*EXAMPLES, *WRONG):
        assert example["published"].replace("|", "\\|") in page, example["id"]
    for example in HELD["undecided"]:
        assert example["source"].replace("|", "\\|") in page and example["why"] in page
    assert f"do not cover: {len(HELD['undecided'])}," in page


def test_every_row_has_the_cells_of_its_head(page: str) -> None:
    head = None
    for line in page.splitlines():
        cells = len(re.findall(r"(?<!\\)\|", line)) if line.startswith("|") else None
        assert cells is None or head in (None, cells), line
        head = cells


def test_a_disagreement_is_shown_as_one() -> None:
    """Each kind of claim, with a false figure put in: the page must not call it agreement."""
    data = copy.deepcopy(published.held())
    data |= {part: sampling.share(data[part], 5) for part in ("example", "lengths")}
    for example in (*data["example"], *data["wrong"]):
        for claim in (*example.get("quantity", ()), *example.get("needs", ())):
            claim["printed"] = (
                "999 mm2" if "mm2" in claim["printed"] else "16" if claim["rounding"] == "size-up" else "999.5"
            )
        for claim in example.get("differs", ()):
            claim["printed"] = "999.5"
        for claim in (*example.get("finding", ()), *example.get("must", ())):
            claim["outcome"] = "failed" if claim["outcome"] == "passed" else "passed"
    data["derating"]["row"] = [row | {"printed": [99] * 5} for row in data["derating"]["row"]]
    for table in data["lengths"]:
        table["misprints"] = []
        table["row"] = [row | {"printed": ["9999" for _ in row["printed"]]} for row in table["row"]]
    wrong = [line for line in published.lines(data) if line.result in (published.AGREES, published.DIFFERS)]
    kept = {line.compared.split(",")[0] for line in wrong}
    assert {name for name in kept if not name.startswith("lamps of")} <= {"`design_current_a`"}, kept
    assert all(
        "motors" in line.source or "NFPA" in line.source for line in wrong if line.compared == "`design_current_a`"
    )


def test_the_page_is_written_and_the_index_leads_to_it(page: str) -> None:
    written = dict(pages.all_pages())
    assert written["evidence.md"] == page
    assert "(evidence.md)" in written["index.md"]
