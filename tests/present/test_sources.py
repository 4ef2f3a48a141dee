"""Where figures come from: grouped as printed, counted from 1, and no more than they use."""

from __future__ import annotations

import re
from functools import cache

import pytest

from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.basis import COMPUTED, layout_basis
from lineconfig.present.sources import basis_text, label_of_figure
from lineconfig.session import Study, open_study


@cache
def shown(name: str) -> tuple[Study, Layout, str]:
    study = open_study(examples_dir() / f"{name}.yaml")
    layout = study.best(1)[0]
    return study, layout, basis_text(study, layout)


def in_a_row(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", ["growing-brewery", "startup", "mixed-containers"])
def test_stations_count_from_one_with_their_names(name: str) -> None:
    _, layout, text = shown(name)
    for number, station in enumerate(layout.stations, 1):
        equipment = station.option.equipment
        assert f"{number} {equipment.name} ({equipment.id})" in text
    assert "stations." not in text
    assert max(map(len, text.splitlines())) <= 80


def test_the_data_count_stations_from_nought() -> None:
    study, layout, _ = shown("growing-brewery")
    basis = layout_basis(study, layout)
    unload = layout.stations.index(layout.station("unload"))
    assert basis[f"stations.{unload}.price.typical"]["formula"].startswith("full-height")
    assert f"stations.{len(layout.stations)}.price.typical" not in basis


def test_formulas_stand_before_the_inputs_that_they_use() -> None:
    _, _, text = shown("growing-brewery")
    formulas, inputs = text.split("Inputs that these figures use")
    assert "rated = slowest station" in formulas and "runs at up to" not in formulas
    assert "runs at up to" in inputs and "typically" in inputs
    for path in ("life_cycle_cost", "guarding.distance_mm", "rinsing.drain_s"):
        assert f"{label_of_figure(path)} = " in formulas
        assert in_a_row(COMPUTED[path][1]) in in_a_row(formulas)


def test_figures_that_nothing_printed_uses_are_left_to_the_catalogue() -> None:
    study, layout, text = shown("growing-brewery")
    words = in_a_row(text)
    for unused in ("two-piece-can", "largest part", "operator sides", "castered"):
        assert unused not in words
    entries = layout_basis(study, layout)
    assert len(text.splitlines()) < len(entries)


def test_sections_of_what_is_not_there_are_left_out() -> None:
    _, layout, text = shown("startup")
    functions = {station.function for station in layout.stations}
    assert not functions & {"guard", "pasteurize"}
    assert not re.search(r"^(Guarding|Pasteurizing)$", text, re.MULTILINE)
    _, _, plant = shown("high-speed-plant")
    assert re.search(r"^Pasteurizing$", plant, re.MULTILINE)


def test_no_task_of_a_station_is_dropped() -> None:
    study, layout, text = shown("growing-brewery")
    basis = layout_basis(study, layout)
    for place, station in enumerate(layout.stations):
        for task in station.option.equipment.attendance.tasks:
            assert task.task in basis[f"stations.{place}.attendance.tasks"]["formula"]
            assert in_a_row(task.task) in in_a_row(text)


def test_containers_have_a_basis_too() -> None:
    study, layout, text = shown("growing-brewery")
    entry = layout_basis(study, layout)["formats.can-355-standard.diameter"]
    assert entry["formula"] == "66.09 mm" and entry["source"] in in_a_row(text)


def test_labels_drop_units_and_what_the_heading_says() -> None:
    assert label_of_figure("rinsing.drain_s") == "drain"
    assert label_of_figure("intervals_min.layer") == "interval of a layer"
    assert label_of_figure("pressure.warm_kpa") == "warm kpa"
    assert label_of_figure("life_cycle_cost") == "life cycle cost"


@pytest.mark.parametrize("name", ["growing-brewery", "startup", "mixed-containers"])
def test_figures_are_told_in_sentences_with_units(name: str) -> None:
    _, layout, text = shown(name)
    words = in_a_row(text)
    for dump in ("True", "False", "None", "{", "}", "['", "every cans", "minutes 0", "deg 3",
                 "first included", " USD/9", "weeks 8.0", "persons 1"):  # fmt: skip
        assert dump not in words, dump
    # No path of the JSON or of the brief stands for what it means.
    assert not re.search(r"\b(?:habits|site|product|operation|utilities)\.[a-z_]+", words)
    fill = layout.station("fill").option.equipment
    assert fill.speed is not None and fill.size is not None
    assert f"runs at up to {fill.speed.most_cpm:,.0f} cpm" in words
    sides = (fill.size.length_mm, fill.size.width_mm, fill.size.height_mm)
    long, wide, high = (f"{side:,.0f}" for side in sides)
    assert f"{long} mm long, {wide} mm wide, {high} mm high" in words


def test_the_catalogue_is_told_in_the_same_sentences(capsys: pytest.CaptureFixture[str]) -> None:
    from lineconfig.cli import main

    assert main(["catalog", "full-height-depalletizer"]) == 0
    told = in_a_row(capsys.readouterr().out)
    assert "task: Take away the sheet of an empty layer: 0.35 min for every layer" in told
    assert "lift: Empty pallet onto a heap: empties pallet from the foot of the stack" in told
    assert "change part: Set of lane guides: one for each diameter, 720 USD to 1200 USD" in told
    assert "True" not in told
