"""The highest point of a line: of all machines and loads, and the same in every output.

A clear height that is told too small lets somebody order a line that does not stand in its room.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import pytest

from lineconfig.choose.rules import length_text
from lineconfig.compare import compare
from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.shapes import box_round
from lineconfig.drawing.sheet import draw
from lineconfig.drawing.svg import svg_text
from lineconfig.layout import Layout
from lineconfig.present.layout import layout_text
from lineconfig.present.records import layout_record
from lineconfig.report.sections.line import flow_section
from lineconfig.report.sections.order import site_section
from lineconfig.session import Study
from tests.drawing.drawings import NAMES, drawn_line, example
from tests.findings.lines import line
from tests.report.cases import subject_of

LOW_SHELF: dict[str, Any] = {
    "speed": "40 cpm",
    "formats": [{"container": "can-330-standard", "annual_cans": 350_000}],
    "require": ["hand-loading-shelf", "short-twist-rinser"],
}
"""A shelf that is loaded by hand beside a filler that stands higher than it. Invented."""


def tops_mm(study: Study, layout: Layout) -> list[float]:
    """Tops of all that stands there, from the record and the formats alone."""
    record = layout_record(study, layout)
    tops = [station["size_mm"]["height"] for station in record["stations"]]
    tops.append(record["heights_mm"]["frame_top"])
    forms = study.inquiry.forms(layout.station("supply").option)
    for fmt, form in zip(study.need.formats, forms, strict=True):
        pallet, can = fmt.container.pallet, fmt.container
        layers = pallet.layers if form == "full-pallet" else pallet.half_stack_layers
        tops.append(pallet.base_mm + layers * (can.height_mm + pallet.sheet_mm))
        tops.append(record["heights_mm"]["unload_deck"] + can.height_mm)
    return tops


def some_lines() -> list[tuple[Study, Layout]]:
    study = example("startup")[0]
    others = [(study, layout) for layout in study.arrangements()[:6]]
    return [*(example(name)[:2] for name in NAMES), *others, low_shelf()]


@cache
def low_shelf() -> tuple[Study, Layout]:
    return line(**LOW_SHELF)


def test_nothing_stands_higher_than_the_highest_point() -> None:
    for study, layout in some_lines():
        heights = layout_record(study, layout)["heights_mm"]
        assert heights["highest_point"] == pytest.approx(max(tops_mm(study, layout)), abs=0.1)
        spare_mm = study.inquiry.ceiling_mm - heights["highest_point"]
        assert heights["ceiling_spare"] == pytest.approx(spare_mm, abs=0.1)
        assert spare_mm >= study.inquiry.habits.ceiling_clearance_mm


def test_a_filler_above_a_shelf_is_the_highest_point_of_its_line() -> None:
    study, layout = low_shelf()
    filler = layout.station("fill")
    assert layout.heights.top_mm < filler.height_mm == layout.highest.height_mm
    assert layout.highest_name == filler.option.equipment.name
    record = layout_record(study, layout)
    assert record["stations"][record["highest"]["station"]]["function"] == "fill"


def test_the_line_stands_under_the_ceiling_that_it_is_said_to_need_and_not_under_less() -> None:
    _, layout = low_shelf()
    clearance_mm = 150  # economics.yaml
    needed_mm = layout.highest.height_mm + clearance_mm
    _, found = line(**LOW_SHELF, site={"ceiling": f"{needed_mm} mm"})
    assert found.highest.height_mm <= layout.highest.height_mm
    chosen = [*LOW_SHELF["require"], layout.station("fill").option.id]
    lower = LOW_SHELF | {"require": chosen, "site": {"ceiling": f"{needed_mm - 1} mm"}}
    with pytest.raises((IndexError, AssertionError)):
        line(**lower)


def test_a_delivered_pallet_must_stand_under_the_ceiling_too() -> None:
    """A frame that takes a split pallet may be lower than the pallet is as it comes."""
    study, layout = line(require=["layer-grip-depalletizer"])
    assert layout.highest.height_mm >= max(tops_mm(study, layout)) - 0.1
    # 21 layers of 122.2 mm cans with 0.9 mm sheets on a 120 mm pallet, as the catalogue has them
    assert layout.heights.stack_mm == pytest.approx(120 + 21 * (122.2 + 0.9))


def test_every_output_tells_the_same_highest_point() -> None:
    study, layout = low_shelf()
    told = length_text(layout.highest.height_mm)
    spare = f"{study.inquiry.ceiling_mm - layout.highest.height_mm:,.0f}"
    text = layout_text(study, layout)
    assert f"highest point   {told}, {spare} mm below the ceiling" in text
    assert told.replace(" ", "") in text.split("Elevation along the flow")[1].replace(
        "\n", ""
    ).replace(" ", "")
    (figure,) = [f for f in compare(study, [layout, layout]).figures if f.name == "highest point"]
    assert figure.values[0] == layout.highest.height_mm
    svg = svg_text(draw(study, layout))
    assert f"highest point {told}" in svg
    assert f">{spare} (" in svg


def test_the_report_asks_for_the_clear_height_of_the_highest_point() -> None:
    subject = subject_of(
        json.dumps(
            {
                "brief": 1,
                "name": "Low Loft Soda",  # invented
                "product": {"kind": "soda", "carbonation": "2.5 vol", "fill_temperature": "3 degC"},
                "site": {"ceiling": "3 m"},
                **LOW_SHELF,
            }
        )
    )
    layout = subject.first.layout
    assert layout.heights.top_mm < layout.highest.height_mm
    site = json.dumps([block.rows for block in site_section(subject).blocks[1:]])  # type: ignore[union-attr]
    assert json.dumps(length_text(layout.highest.height_mm + 150))[1:-1] in site
    assert layout.highest_name in site
    rows = {row[0]: row[1] for row in flow_section(subject).blocks[2].rows}  # type: ignore[union-attr]
    assert rows["Highest point of the line"] == f"{layout.highest.height_mm:,.0f}"
    assert rows["Free below the ceiling"] == f"{3000 - layout.highest.height_mm:,.0f}"


@pytest.mark.parametrize("name", [*NAMES, "shelf"])
def test_no_machine_and_no_stack_is_drawn_higher(name: str) -> None:
    study, layout, drawn = drawn_line(**LOW_SHELF) if name == "shelf" else example(name)
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    for shape in elevation.shapes:
        if shape.role not in ("figure", "ceiling", "zone"):
            assert box_round(shape.points).high <= layout.highest.height_mm + 0.5, shape
    x_mm = elevation.highest_x_mm
    assert elevation.extent.left <= x_mm <= elevation.extent.right
