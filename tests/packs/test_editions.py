"""Two editions of one region stand side by side: the second folder holds only what differs, pinned to the first."""

from __future__ import annotations

import shutil

import pytest

from checker.core import pack as packs_in_use
from checker.core.errors import BadRequest
from checker.dev.rulebook.compile import compile_pack
from checker.dev.rulebook.faults import RuleFaults
from checker.dev.rulebook.lint import lint
from checker.dev.rulebook.resolve import region_folders, resolved
from checker.dev.rulebook.rulefiles import RULES, pin
from tests.packs.conftest import install

HEAD = 'edition = "2"\ntitle = "South Africa, the edition before"\nvalid_from = 2012-01-01\nvalid_until = 2020-09-16\n'


@pytest.fixture
def older(tmp_path):
    """A copy of base and one region with an edition of our own invention: 6 A breakers unknown, one rule told otherwise."""
    for name in ("base", "za", "schema"):
        shutil.copytree(RULES / name, tmp_path / name)
    folder = tmp_path / "za/editions/2"
    (folder / "parameters").mkdir(parents=True)
    (folder / "pack.toml").write_text(HEAD, encoding="utf-8")
    region, _ = resolved(tmp_path / "za", tmp_path)
    item = region.items["parameter", "minimum_copper_mm2"]
    text = item.path.read_text(encoding="utf-8").replace("value = 1.5", "value = 2.5")
    pinned = f'\n[override]\nagainst = "{pin(item)}"\nwhy = "The older book asked for more."\n'
    (folder / "parameters/minimum_copper_mm2.toml").write_text(text + pinned, encoding="utf-8")
    return tmp_path


def test_an_edition_is_a_pack_of_its_own_made_of_the_region_and_its_differences(older):
    now, then = compile_pack(older / "za", older), compile_pack(older / "za/editions/2", older)
    assert (then["pack"]["id"], then["pack"]["edition"], then["pack"]["valid_until"]) == ("za", "2", "2020-09-16")
    assert now["pack"]["valid_until"] is None
    assert then["rules"] == now["rules"]
    changed = {p["id"] for p, q in zip(then["parameters"], now["parameters"], strict=True) if p != q}
    assert changed == {"minimum_copper_mm2"}
    assert older / "za/editions/2" in region_folders(older)
    assert lint(older) == []


def test_the_date_chooses_the_edition_and_a_name_wins_over_the_date(older, monkeypatch):
    install(monkeypatch, compile_pack(older / "za", older), compile_pack(older / "za/editions/2", older))
    assert packs_in_use.choose("za", None, "2019-01-01").about["edition"] == "2"
    assert packs_in_use.choose("za", None, "2026-01-01").about["edition"] == "3"
    assert packs_in_use.choose("za", "2", "2026-01-01").about["edition"] == "2"
    with pytest.raises(BadRequest, match="no edition of 'za' is in force on 2001-01-01"):
        packs_in_use.choose("za", None, "2001-01-01")


def test_a_region_that_changed_under_its_edition_stops_the_build(older):
    file = older / "base/parameters/minimum_copper_mm2.toml"
    file.write_text(file.read_text(encoding="utf-8").replace("value = 1.5", "value = 1"), encoding="utf-8")
    with pytest.raises(RuleFaults, match="the region is now"):
        compile_pack(older / "za/editions/2", older)


def test_an_edition_may_not_say_what_is_the_regions(older):
    (older / "za/editions/2/pack.toml").write_text(HEAD + 'language = "en"\n', encoding="utf-8")
    assert any("language" in str(fault) for fault in lint(older))
