"""Cautions of whole layouts: worst first, each once, none that concerns other containers."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from lineconfig.findings.whole import findings_of
from lineconfig.harm import HARMS, TOPICS, harm_of
from lineconfig.hazards import LOCAL_CODES, LayoutCaution, cautions_for, layout_cautions
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.cautions import caution_lines
from lineconfig.session import Study, open_study
from tests.findings.lines import formats, line, shipped

MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip


@cache
def example(name: str) -> tuple[Study, Layout]:
    study = open_study(examples_dir() / f"{name}.yaml")
    return study, study.best(1)[0]


def cautions(name: str) -> tuple[LayoutCaution, ...]:
    study, layout = example(name)
    return layout_cautions(study.inquiry, layout)


def test_every_caution_of_the_catalogue_is_weighed() -> None:
    codes = {item.code for entry in shipped().classes.values() for item in entry.cautions}
    assert codes <= set(HARMS)
    assert {topic for _, topic in HARMS.values()} <= set(TOPICS)


@pytest.mark.parametrize("name", MEETABLE)
def test_what_follows_from_the_figures_comes_first_and_the_worst_first(name: str) -> None:
    items = cautions(name)
    assert [item.own for item in items] == sorted((item.own for item in items), reverse=True)
    for own in (True, False):
        weights = [item.weight for item in items if item.own is own]
        assert weights == sorted(weights)
    assert all(item.caution.code in HARMS and item.caution.basis for item in items)
    study, layout = example(name)
    assert cautions_for(study.inquiry, layout)[0] == LOCAL_CODES


@pytest.mark.parametrize("name", MEETABLE)
def test_each_caution_is_said_once(name: str) -> None:
    texts = Counter(item.caution.text for item in cautions(name))
    assert set(texts.values()) == {1}


def test_gas_that_kills_weighs_more_than_a_wet_floor() -> None:
    # Asphyxiation by carbon dioxide in cellars kills (common practice).
    assert harm_of("carbon-dioxide") < harm_of("wet-floor")
    assert harm_of("fall-protection") < harm_of("knife")
    assert harm_of("an-overlays-own") < harm_of("wet-can")


def test_glass_is_named_only_where_glass_is_run() -> None:
    shown = {name: {item.caution.code for item in cautions(name)} for name in MEETABLE}
    assert [name for name in MEETABLE if "glass-breakage" in shown[name]] == ["mixed-containers"]


def test_a_line_for_glass_alone_has_no_open_rims_and_no_seamer() -> None:
    found, layout = line(formats=formats("bottle-500"), speed="40 cpm")
    codes = {item.caution.code for item in layout_cautions(found.inquiry, layout)}
    assert "glass-breakage" in codes
    assert not codes & {"sharp-rims", "seamer"}


def test_the_heights_of_one_station_are_one_caution_with_every_basis() -> None:
    _, layout = example("growing-brewery")
    unload = layout.stations.index(layout.station("unload"))
    heights = [
        item.caution for item in cautions("growing-brewery")
        if item.stations == (unload,) and item.topic == "falls and falling loads" and item.own
    ]  # fmt: skip
    (caution,) = heights
    assert caution.code == "platform"
    # 29 CFR 1910.29(b)(1): top edge at 42 in; 1910.28: fall protection from 4 ft.
    assert "42 in" in caution.text and "4 ft (1.2 m)" in caution.text
    assert caution.text.count("Local codes and licensed practice") == 1
    for source in ("1910.28(a)(2)(i)", "1910.23(e)", "NIOSH 94-110"):
        assert source in caution.basis


def test_people_past_the_same_limit_are_named_together() -> None:
    codes = Counter(item.caution.code for item in cautions("growing-brewery"))
    assert codes["lifting-raised"] <= 1 and codes["lifting-high"] <= 1
    raised = next(i for i in cautions("growing-brewery") if i.caution.code == "lifting-raised")
    assert raised.caution.text.count("person ") > 1
    # The general advice to check lifts gives way to the figures.
    assert "manual-lifting" not in codes


def test_leaving_out_the_rinse_is_one_caution() -> None:
    found, layout = line(
        formats=formats("can-355-standard", supply="half-stack"), rinse="none-accepted",
        require=["gravity-trough"], speed="40 cpm",
    )  # fmt: skip
    codes = [item.caution.code for item in layout_cautions(found.inquiry, layout)]
    assert codes.count("rinse-advised") == 1 and "no-rinse" not in codes


def test_the_text_counts_stations_from_one() -> None:
    study, layout = example("growing-brewery")
    lines = caution_lines(study, layout, findings_of(study.inquiry, layout))
    (carbon,) = [text for text in lines if "Carbon dioxide" in text]
    fill = layout.stations.index(layout.station("fill"))
    assert carbon.strip().startswith(f"- ({fill + 1}) ")


def test_noise_worked_out_for_people_takes_the_place_of_the_general_advice() -> None:
    codes = {item.caution.code for item in cautions("high-speed-plant")}
    assert any(code.startswith("noise-") for code in codes) == ("noise" not in codes)
