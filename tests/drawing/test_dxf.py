"""The DXF file opens clean, at real size, with layers, blocks and real dimensions."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

import pytest
from ezdxf import bbox
from ezdxf.filemanagement import read

from lineconfig.drawing.files import drawing_bytes
from lineconfig.drawing.sheet import What
from lineconfig.drawing.styles import STYLES
from tests.drawing.drawings import NAMES, drawn_line, example, example_sheet, renamed

HOSTILE = "%%c\\U+0041^J\\P\n0\nEOF\x00 done"


@cache
def document(name: str, what: What = "both") -> Any:
    study, layout, _ = example(name)
    data, _ = drawing_bytes(study, layout, ".dxf", what)
    return read(io.StringIO(data.decode("utf-8")))


@pytest.mark.parametrize(
    ("name", "what"),
    [*((name, "both") for name in NAMES), ("startup", "plan"), ("startup", "elevation")],
)
def test_an_audit_finds_nothing(name: str, what: What) -> None:
    auditor = document(name, what).audit()
    assert not auditor.errors and not auditor.fixes


def test_units_are_millimetres() -> None:
    header = document("startup").header
    assert header["$INSUNITS"] == 4  # millimetres: DXF reference, $INSUNITS
    assert header["$MEASUREMENT"] == 1  # metric


@pytest.mark.parametrize("name", NAMES)
def test_each_class_on_the_floor_has_a_block_of_its_size(name: str) -> None:
    _, layout, drawn = example(name)
    found = document(name)
    for index, station in enumerate(layout.stations):
        pieces = [
            piece
            for piece in drawn.plan.rectangles
            if piece.station == index and piece.what == "machine"
        ]
        if not pieces:
            continue
        class_id = station.option.equipment.id
        block = found.blocks.get(class_id)
        assert block is not None, class_id
        outline = next(entity for entity in block if entity.dxftype() == "LWPOLYLINE")
        size = bbox.extents([outline]).size
        first = sorted((pieces[0].length_mm, pieces[0].width_mm))
        assert sorted((size.x, size.y)) == pytest.approx(first)


@pytest.mark.parametrize("name", NAMES)
def test_inserts_stand_where_the_plan_puts_them(name: str) -> None:
    _, layout, drawn = example(name)
    inserts = document(name).modelspace().query("INSERT")
    wanted = sorted(
        (round(p.x_mm), round(p.y_mm), round(p.far_x_mm), round(p.far_y_mm))
        for p in drawn.plan.rectangles
        if p.what in ("machine", "conveyor") and p.station is not None
    )
    found = []
    for insert in inserts:
        outline = next(e for e in insert.virtual_entities() if e.dxftype() == "LWPOLYLINE")
        box = bbox.extents([outline])
        low, high = box.extmin, box.extmax
        found.append((round(low.x), round(low.y), round(high.x), round(high.y)))
        number = int(insert.get_attrib_text("STATION"))
        assert insert.get_attrib_text("CLASS") == layout.stations[number - 1].option.equipment.id
        assert insert.dxf.name.startswith(insert.get_attrib_text("CLASS"))
    assert sorted(found) == wanted


def test_there_is_a_layer_for_each_role_and_nothing_lies_elsewhere() -> None:
    found = document("growing-brewery")
    layers = {f"LINE-{role.upper()}" for role in STYLES}
    assert layers <= {layer.dxf.name for layer in found.layers}
    assert {e.dxf.layer for e in found.modelspace()} <= layers


@pytest.mark.parametrize("name", NAMES)
def test_dimensions_measure_the_model(name: str) -> None:
    sheet = example_sheet(name)
    wanted = sorted(round(p.measure.length_mm) for v in sheet.views for p in v.dimensions)
    dimensions = document(name).modelspace().query("DIMENSION")
    assert sorted(round(d.get_measurement()) for d in dimensions) == wanted
    written = {p.words.text for v in sheet.views for p in v.dimensions}
    assert {d.dxf.text for d in dimensions} == written


def test_plan_and_elevation_lie_apart_in_model_space() -> None:
    space = document("growing-brewery").modelspace()
    room = bbox.extents(e for e in space if e.dxf.layer == "LINE-WALL")
    ceiling = bbox.extents(e for e in space if e.dxf.layer == "LINE-CEILING")
    floor = bbox.extents(e for e in space if e.dxf.layer == "LINE-FLOOR")
    assert ceiling.extmax.y < room.extmin.y
    study, _, _ = example("growing-brewery")
    height = ceiling.extmax.y - floor.extmax.y
    assert height == pytest.approx(study.need.brief.site.ceiling_mm)


def test_the_sheet_shows_each_view_to_its_scale() -> None:
    sheet = example_sheet("startup")
    layout = document("startup").layouts.get("Sheet")
    ports = [port for port in layout.query("VIEWPORT") if port.dxf.id != 1]
    scales = sorted(port.dxf.view_height / port.dxf.height for port in ports)
    assert scales == pytest.approx(sorted(view.scale for view in sheet.views))
    texts = {text.dxf.text for text in layout.query("TEXT")}
    assert "Fen Lane Ginger" in texts


def test_hostile_text_stays_text() -> None:
    study, layout, _ = example("startup")
    data, _ = drawing_bytes(renamed(study, HOSTILE), layout, ".dxf")
    found = read(io.StringIO(data.decode("utf-8")))
    assert not found.audit().errors
    texts = [text.dxf.text for text in found.layouts.get("Sheet").query("TEXT")]
    (name,) = [text for text in texts if "done" in text]
    assert "%%" not in name and "\\" not in name and "^" not in name and "\n" not in name


def test_the_library_is_left_as_it_was() -> None:
    import ezdxf

    options: Any = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    study, layout, _ = example("startup")
    drawing_bytes(study, layout, ".dxf", "plan")
    assert options.write_fixed_meta_data_for_testing is before


def test_open_floor_is_drawn_as_well() -> None:
    study, layout, _ = drawn_line()
    data, remarks = drawing_bytes(study, layout, ".dxf")
    assert not read(io.StringIO(data.decode("utf-8"))).audit().errors
    assert any("states no room" in remark for remark in remarks)


def test_hatches_have_the_colour_of_their_layer() -> None:
    hatches = document("startup").modelspace().query("HATCH")
    assert {hatch.dxf.color for hatch in hatches} == {256}  # by layer: DXF reference, group 62


def test_a_door_is_a_gap_between_pieces_of_wall() -> None:
    _, _, drawn = example("startup")
    (door,) = drawn.plan.doors
    assert door.wall == "west"
    walls = document("startup").modelspace().query("LWPOLYLINE[layer=='LINE-WALL']")
    assert len(walls) == 5
    for wall in walls:
        box = bbox.extents([wall])
        if box.extmax.x <= 0.0:
            assert box.extmax.y <= door.start_mm or box.extmin.y >= door.end_mm


@pytest.mark.parametrize("name", NAMES)
def test_figures_of_dimensions_stand_where_the_page_has_them(name: str) -> None:
    found = document(name).modelspace().query("DIMENSION")
    middles = {entity.dxf.text: entity.dxf.text_midpoint for entity in found}
    shown = example_sheet(name).views
    plan = shown[0]
    for dimension in plan.dimensions:
        x, y = plan.in_figure(dimension.words.box.middle)
        at = middles[dimension.words.text]
        if sum(d.words.text == dimension.words.text for view in shown for d in view.dimensions) < 2:
            assert (at.x, at.y) == pytest.approx((x, y), abs=plan.scale)
