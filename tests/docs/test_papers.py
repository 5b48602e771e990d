"""The papers for developers name what is there: files, folders, commands, pages."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAPERS = ("DEVELOPERS.md", "docs/decisions.md", "benchmarks/README.md")
# Folders of the project; a word with a slash that begins otherwise is no path (`mV/A/m`).
TOPS = {path.name for path in ROOT.iterdir() if path.is_dir()} - {"site", "build", "dist"}
MADE = {"docs/reference", "checker/packs/"}  # only in a checkout where something was built


def text(paper: str) -> str:
    return (ROOT / paper).read_text(encoding="utf-8")


def named_paths(paper: str) -> set[str]:
    """Every path in backticks; `{a,b}` stands for several, and a `<name>` for any."""
    found = set()
    for held in re.findall(r"`([^`\n]+)`", text(paper)):
        for word in held.split():
            if word.split("/")[0] in TOPS and re.fullmatch(r"[\w./<>{},@*-]+", word):
                found |= set(_spread(word))
    return found


def _spread(word: str) -> list[str]:
    several = re.search(r"\{([^}]+)\}", word)
    if not several:
        return [re.sub(r"<[^>]+>", "*", word)]
    return [made for one in several[1].split(",") for made in _spread(word.replace(several[0], one, 1))]


def there(path: str) -> bool:
    return path.rstrip("/") in {made.rstrip("/") for made in MADE} or any(ROOT.glob(path))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_path_named_exists(paper):
    assert {path for path in named_paths(paper) if not there(path)} == set()


def test_a_path_that_is_gone_would_be_noticed():
    assert named_paths("DEVELOPERS.md") > {"checker/core/verdict.py", "checker/dev/rulebook"}
    assert not there("checker/core/nothing.py")


@pytest.mark.parametrize("paper", (*PAPERS, "README.md", "CONTRIBUTING.md"))
def test_every_link_to_a_file_leads_to_one_and_to_a_heading_in_it(paper):
    for target, anchor in re.findall(r"\]\((?!https?:)([^)#]*)#?([^)]*)\)", text(paper)):
        file = (ROOT / paper).parent / target if target else ROOT / paper
        if "reference/" in target:
            continue  # written before the site is built, and held by its strict build
        assert file.exists(), target
        if anchor:
            headings = re.findall(r"^#+ (.+)$", file.read_text("utf-8"), re.M)
            assert anchor in {_slug(heading) for heading in headings}, f"{target}#{anchor}"


def _slug(heading: str) -> str:
    named = re.search(r"\{ #(\w+) \}$", heading)
    return named[1] if named else re.sub(r"[^\w -]", "", heading.lower()).strip().replace(" ", "-")


@pytest.mark.parametrize("paper", (*PAPERS, "README.md", "CONTRIBUTING.md"))
def test_every_make_target_named_exists(paper):
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text("utf-8"), re.M))
    assert set(re.findall(r"(?:^|`)make ([a-z-]+)", text(paper), re.M)) <= targets


def test_the_guide_for_developers_is_short():
    assert len(text("DEVELOPERS.md").splitlines()) <= 150


def test_each_decision_gives_its_reason():
    """Two sentences at least, and no longer than a short paragraph or two: anything more is a page of its own."""
    decisions = re.split(r"^### ", text("docs/decisions.md"), flags=re.M)[1:]
    assert len(decisions) > 40
    for decision in decisions:
        title, _, body = decision.partition("\n")
        words = len(body.partition("\n## ")[0].split())
        assert 15 <= words <= 110, f"{title}: {words} words"
