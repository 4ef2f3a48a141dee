"""What `recommend` prints: whole names, both speeds, marks that are explained."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.demand import shortfalls, worst
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.present.recommendation import MARKS, recommendation_text
from lineconfig.present.wrapping import named_row
from lineconfig.rank import Recommendation, recommend
from lineconfig.session import Study, open_study

MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip


@cache
def answered(name: str) -> tuple[Study, Recommendation, str]:
    study = open_study(examples_dir() / f"{name}.yaml")
    answer = recommend(study, top=3)
    return study, answer, recommendation_text(study, answer)


def in_a_row(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", MEETABLE)
def test_names_are_whole_within_80_columns(name: str) -> None:
    _, answer, text = answered(name)
    assert "…" not in text and max(map(len, text.splitlines())) <= 80
    for item in answer.arrangements[:12]:
        for function in ("unload", "lower"):
            said = item.layout.station(function).option.equipment.name
            assert said.lower() in in_a_row(text).lower()


def test_arrangements_have_a_share_of_draws_of_their_own() -> None:
    _, answer, text = answered("growing-brewery")
    shares = [item.stays_first for item in answer.arrangements]
    assert sum(share or 0 for share in shares) == pytest.approx(1)
    block = text.split("The 3 best of all")[0]
    printed = [int(share) for share in re.findall(r" {2}(\d+)%$", block, flags=re.MULTILINE)]
    assert printed == [round((share or 0) * 100) for share in shares[:12]]
    assert "share of draws in which the layout costs least over its life" in in_a_row(text)


@pytest.mark.parametrize("name", MEETABLE)
def test_a_mark_stands_beside_speeds_below_the_need_and_is_explained(name: str) -> None:
    study, answer, text = answered(name)
    shown = [worst(shortfalls(study.need, item.layout.speed)) for item in answer.arrangements[:12]]
    for kind in ("effective", "bracket"):
        mark = MARKS[kind]
        rows = re.findall(rf"\d{re.escape(mark)} +\d", text)
        assert len(rows) == shown.count(kind)
        assert bool(re.search(rf"^{re.escape(mark)} ", text, re.MULTILINE)) == bool(rows)


def test_both_speeds_are_said_where_the_yearly_cans_force_more(tmp_path: Path) -> None:
    brief = tmp_path / "tight.yaml"
    brief.write_text(
        "brief: 1\nname: Test Lane Drinks\nspeed: 60 cpm\nsite: {ceiling: 16 ft}\n"
        "formats: [{container: can-355-standard, annual_cans: 3000000}]\n"
        "operation: {hours_per_week: 15, weeks_per_year: 40}\n",
        encoding="utf-8",
    )
    study = open_study(brief)
    answer = recommend(study, top=1)
    text = recommendation_text(study, answer)
    # 3,000,000 x 1.2 / (600 h x 60) by hand.
    assert text.splitlines()[0] == "Test Lane Drinks: 60 cpm asked, 100 cpm needed"
    assert "3,000,000 of them in 600 h a year" in in_a_row(text)
    assert answer.layouts[0].layout.speed.effective[0] >= 100


def test_a_speed_that_suffices_is_said_alone() -> None:
    text = answered("startup")[2]
    assert text.splitlines()[0] == "Fen Lane Ginger: 30 cpm"


def test_a_name_too_long_for_its_column_stands_above_its_figures() -> None:
    assert named_row("1  ", "short", 10, "  5") == ["1  short       5"]
    assert named_row("1  ", "a rather long name", 10, "  5") == [
        "1  a rather long name", "               5",
    ]  # fmt: skip


def test_one_valid_layout_is_told_as_one() -> None:
    """A brief so tight that one line is left. Invented."""
    brief = """\
brief: 1
name: Pump House Cold Brew
product: {kind: coffee, carbonation: 0 vol, fill_temperature: 4 degC}
speed: 60 cpm
formats:
  - {container: can-355-sleek, annual_cans: 700000, rehandled: true}
  - {container: can-250-slim, annual_cans: 500000}
operation: {hours_per_week: 30, weeks_per_year: 48, changeovers_per_week: 2}
site: {length: 60 ft, width: 30 ft, ceiling: 12 ft, door: {width: 8 ft, height: 8 ft}}
staff: {per_shift: 3, wage: 25 USD/h}
budget: 450000 USD
prefer: first-cost
"""
    catalog = load_catalog()
    study = Study(need_of_text(brief, "brief", catalog), catalog)
    answer = recommend(study)
    assert answer.valid_layouts == 1
    text = recommendation_text(study, answer)
    assert "\nThe only layout that is valid\n" in text
    assert "1 layout meets every rule and limit" in in_a_row(text)
