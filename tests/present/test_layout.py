"""What `show` prints of one layout: by format, item by item, and what is left out."""

from __future__ import annotations

import json
import re
from functools import cache

import pytest

from lineconfig.cli import main
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.layout import layout_text
from lineconfig.present.money import first_cost_of, hours_of, money_lines
from lineconfig.present.records import layout_record
from lineconfig.session import Study, open_study
from tests.findings.lines import formats, line

MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip


@cache
def shown(name: str) -> tuple[Study, Layout, str]:
    study = open_study(examples_dir() / f"{name}.yaml")
    layout = study.best(1)[0]
    return study, layout, layout_text(study, layout)


def section(text: str, title: str) -> str:
    return text.split(f"\n{title}\n", 1)[1].split("\n\n", 1)[0]


@pytest.mark.parametrize("name", MEETABLE)
def test_no_line_is_wider_than_80_columns_and_no_station_is_cut_short(name: str) -> None:
    _, layout, text = shown(name)
    assert max(map(len, text.splitlines())) <= 80
    stations = " ".join(section(text, "Stations in flow order").split())
    assert "…" not in stations
    for station in layout.stations:
        assert station.option.equipment.name in stations
        if station.first_cost.typical and not station.option.owned:
            assert f" {station.first_cost.typical:,.0f}" in stations


@pytest.mark.parametrize("name", ["growing-brewery", "mixed-containers"])
def test_layers_and_intervals_are_given_for_every_format(name: str) -> None:
    study, layout, text = shown(name)
    rows = section(text, "Empties, at rated speed")
    for index, fmt in enumerate(study.need.formats):
        assert fmt.container.name in rows
        assert f"{layout.heights.layers_at_once[index]} of " in rows
        # Cans per layer over cans per minute, by hand.
        minutes = fmt.container.pallet.per_layer / layout.speed.rated[index]
        assert f"{minutes:.1f} min" in rows
    record = layout_record(study, layout)["intervals_min"]["by_format"]
    assert set(record) == {fmt.id for fmt in study.need.formats}
    assert len({row["pallet"] for row in record.values()}) > 1


@pytest.mark.parametrize("name", MEETABLE)
def test_first_cost_is_the_sum_of_its_items(name: str) -> None:
    study, layout, text = shown(name)
    items = first_cost_of(study, layout)
    assert list(items) == [
        "equipment and parts", "freight", "installation", "training", "contingency",
    ]  # fmt: skip
    for end in ("low", "typical", "high"):
        parts = sum(getattr(item, end) for item in items.values())
        assert parts == pytest.approx(getattr(layout.money.first_cost, end))
    for name_of, item in items.items():
        told = re.search(rf"{name_of} +([\d,]+) ", text)
        assert told, name_of
        # To the nearest whole amount, a half either way.
        assert float(told[1].replace(",", "")) == pytest.approx(item.typical, abs=0.5 + 1e-6)
    record = layout_record(study, layout)
    typical = [item["typical"] for item in record["first_cost_items"].values()]
    assert sum(typical) == pytest.approx(record["first_cost"]["typical"], abs=0.05)


@pytest.mark.parametrize("name", MEETABLE)
def test_hours_of_a_year_add_up_with_cleaning_by_itself(name: str) -> None:
    study, layout, text = shown(name)
    hours = hours_of(study, layout)
    parts = hours["running"] + hours["start_up_and_cleaning"] + hours["changeover"]
    assert parts == pytest.approx(hours["together"]) == pytest.approx(layout.money.hours)
    # Cans over effective speeds, by hand.
    minutes = sum(
        fmt.annual_cans / speed
        for fmt, speed in zip(study.need.formats, layout.speed.effective, strict=True)
    )
    assert hours["running"] == pytest.approx(minutes / 60)
    assert (
        f"start-up and cleaning {hours['start_up_and_cleaning']:>12,.0f}".split()
        == next(
            text_line for text_line in text.splitlines() if "start-up and cleaning" in text_line
        ).split()
    )


def test_what_the_figures_leave_out_is_said() -> None:
    text = " ".join(shown("growing-brewery")[2].split())
    assert "The range of the cost of life varies the purchase price only" in text
    assert "no lead, quality control, breaks or cover" in text


def test_a_speed_below_the_need_is_flagged_beside_its_figure() -> None:
    study, layout = line(formats=formats("can-355-standard"), speed="30 cpm",
                         require=["hand-loading-shelf"])  # fmt: skip
    speed = layout.speed
    text = layout_text(study, layout)
    rows = section(text, "Speed (cpm)")
    needed = study.need.formats[0].needed_cpm
    assert (", below the 30 needed" in rows) == (speed.lower[0] < needed)
    assert ("! effective speed, " in rows) == (speed.effective[0] < needed)


def test_the_mobile_canners_slow_format_is_flagged() -> None:
    study, layout, text = shown("mobile-canner")
    record = layout_record(study, layout)["speed_cpm"]["by_format"]
    below = [name for name, row in record.items() if row["below_need"]]
    assert below
    assert len(re.findall(r"^    ! .* cpm, below the \d+ needed$", text, re.MULTILINE)) == len(
        below
    )


def test_a_page_says_whose_line_it_is() -> None:
    assert shown("startup")[2].splitlines()[:2] == ["Fen Lane Ginger", "==============="]


def test_prices_without_a_range_are_single_figures() -> None:
    study, layout = line()
    assert any(re.fullmatch(r"    labour +[\d,]+", row) for row in money_lines(study, layout))


def test_the_json_says_both_speeds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recommend", str(examples_dir() / "startup.yaml"), "--top", "1", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["speed_cpm"]["asked"] == 30
    assert 0 < answer["speed_cpm"]["by_volume"] < 30


@pytest.mark.parametrize("name", ["growing-brewery", "co-packer", "mixed-containers"])
def test_what_was_assumed_is_told_with_the_speed_of_larger_formats(name: str) -> None:
    study, _, text = shown(name)
    told = " ".join(section(text, "Assumed, for want of an answer").split())
    main_ml = study.need.main_format.container.volume_ml
    larger = [fmt for fmt in study.need.formats if fmt.container.volume_ml > main_ml]
    assert larger
    for fmt in larger:
        needed = study.need.speed_cpm * main_ml / fmt.container.volume_ml
        assert f"formats.{fmt.id}.speed: {needed:,.0f} cpm (" in told
    for assumption in study.need.defaults_used:
        assert " ".join(assumption.split()) in told


@pytest.mark.parametrize("name", ["growing-brewery", "mixed-containers"])
def test_every_speed_says_whether_it_is_rated_or_effective(name: str) -> None:
    _, _, text = shown(name)
    for sentence in re.split(r"(?<!\d)\.\s|\n\n|;", text):
        if "cpm" in sentence:
            assert re.search(r"rated|effective|simulated|asked", sentence), sentence


@pytest.mark.parametrize("name", MEETABLE)
def test_thousands_are_parted_in_every_table(name: str) -> None:
    _, _, text = shown(name)
    # Standards, years and formulas have numbers of their own; the tables have none of these.
    titles = ("Stations in flow order", "Heights", "Empties, at rated speed", "Speed (cpm)",
              "Change parts to own", "Stores", "Utilities, station by station")  # fmt: skip
    for title in titles:
        if f"\n{title}\n" in text:
            assert not re.search(r"(?<![\d.,])\d{4,}", section(text, title)), title
