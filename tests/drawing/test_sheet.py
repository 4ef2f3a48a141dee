"""A page that a draughtsman would sign: to scale, complete, and nothing on top of anything."""

from __future__ import annotations

from itertools import combinations

import pytest

from lineconfig.drawing.paper import Line, PaperName, Sheet, Words, scale_text
from lineconfig.drawing.setting import NUMBER_RADIUS_MM
from lineconfig.drawing.shapes import Box, box_round
from lineconfig.drawing.sheet import MARGIN_MM, What, sheet_of, wanted_of
from lineconfig.drawing.styles import HATCHES, LEGEND, STYLES
from lineconfig.quantities import feet_and_inches, parse_number
from tests.drawing.drawings import NAMES, PAPERS, drawn_line, example, example_sheet, renamed

LEAST_CAPITAL_MM = 1.8
"""The smallest height of capitals on a technical drawing: ISO 3098-1 (from memory)."""

every_page = pytest.mark.parametrize(
    ("name", "paper"), [(name, paper) for name in NAMES for paper in PAPERS]
)
pages = pytest.mark.parametrize(
    ("name", "paper"), [(name, paper) for name in NAMES for paper in ("letter", "a3")]
)


def keyed(sheet: Sheet, beginning: str) -> list[Words]:
    return [words for words in sheet.words if words.key.startswith(beginning)]


def boxes_of(sheet: Sheet) -> list[tuple[str, Box]]:
    """Paper that is written on; a number takes its whole disc."""
    r = NUMBER_RADIUS_MM
    found = []
    for words in sheet.words:
        x, y = words.box.middle
        disc = Box(x - r, y - r, x + r, y + r)
        found.append((words.text, disc if words.key.startswith("number") else words.box))
    return found


def check_page(sheet: Sheet) -> None:
    page = Box(MARGIN_MM, MARGIN_MM, sheet.width - MARGIN_MM, sheet.height - MARGIN_MM)
    for text, box in boxes_of(sheet):
        assert page.holds(box), text
    for (text, box), (other, other_box) in combinations(boxes_of(sheet), 2):
        assert not box.meets(other_box), (text, other)
    for view in sheet.views:
        assert page.holds(view.place)
        for shape in view.figure.shapes:
            points = [view.on_paper(point) for point in shape.points]
            assert view.place.holds(box_round(points), 0.01), shape
        lines = [item.points for item in view.items if isinstance(item, Line)]
        lines += [line.points for part in view.dimensions for line in part.lines]
        for points in lines:
            assert page.holds(box_round(points)), points


@every_page
def test_text_stays_apart_and_everything_on_the_page(name: str, paper: PaperName) -> None:
    check_page(example_sheet(name, "both", paper))


@pytest.mark.parametrize("what", ["plan", "elevation"])
@pytest.mark.parametrize("name", NAMES)
def test_single_views_are_no_smaller_than_together(name: str, what: What) -> None:
    alone, together = example_sheet(name, what), example_sheet(name, "both")
    check_page(alone)
    (view,) = alone.views
    (same,) = [other for other in together.views if other.figure.name == what]
    assert view.scale <= same.scale


@pages
def test_every_station_is_keyed_once(name: str, paper: PaperName) -> None:
    _, layout, _ = example(name)
    sheet = example_sheet(name, "both", paper)
    wanted = [str(number) for number in range(1, len(layout.stations) + 1)]
    assert [words.text for words in keyed(sheet, "key-")] == wanted
    for view in sheet.views:
        numbers = [
            item.text
            for item in view.items
            if isinstance(item, Words) and item.key.startswith("number-")
        ]
        assert sorted(numbers, key=int) == wanted, view.figure.name


@pages
def test_dimensions_say_what_they_measure(name: str, paper: PaperName) -> None:
    for view in example_sheet(name, "both", paper).views:
        for part in view.dimensions:
            figure, _, rest = part.words.text.partition(" (")
            assert parse_number(figure) == pytest.approx(part.measure.length_mm, abs=0.5)
            if rest:
                assert rest == f"{feet_and_inches(part.measure.length_mm)})"
            start, end = part.line
            on_paper = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
            assert on_paper * view.scale == pytest.approx(part.measure.length_mm)


@pages
def test_the_scale_that_is_stated_is_the_scale_that_is_used(name: str, paper: PaperName) -> None:
    _, layout, _ = example(name)
    sheet = example_sheet(name, "both", paper)
    stated = [words.text for words in keyed(sheet, "scale")]
    headings = [words.text for words in keyed(sheet, "view")]
    for view, text, heading in zip(sheet.views, stated, headings, strict=True):
        assert text.endswith(scale_text(view.scale)) and heading.endswith(scale_text(view.scale))
        fill = next(k for k, s in enumerate(layout.stations) if s.function == "fill")
        (shape,) = [s for s in view.figure.shapes if s.role == "machine" and s.station == fill]
        box = box_round(view.on_paper(point) for point in shape.points)
        across = layout.stations[fill].length_mm
        longest = max(box.width, box.height) if view.figure.name == "plan" else box.width
        assert longest * view.scale == pytest.approx(across, abs=1.0)


def test_the_room_is_dimensioned_as_in_the_brief() -> None:
    study, _, _ = example("startup")
    plan = example_sheet("startup", "plan").views[0]
    lengths = {round(part.measure.length_mm) for part in plan.dimensions}
    site = study.need.brief.site
    assert site.length_mm is not None and site.width_mm is not None
    # The room is taken down to whole millimetres.
    assert {int(site.length_mm), int(site.width_mm)} <= lengths


@pages
def test_no_type_is_too_small_to_read(name: str, paper: PaperName) -> None:
    for words in example_sheet(name, "both", paper).words:
        assert words.size * 0.7 >= LEAST_CAPITAL_MM, words.text


def test_nothing_hangs_on_colour() -> None:
    looks = {}
    for role, _ in LEGEND:
        style = STYLES[role]
        looks[role] = HATCHES[style.hatch] if style.hatch else (style.fill, style.dash_mm)
    assert len(set(looks.values())) == len(looks)


def test_hatches_differ_in_more_than_their_names() -> None:
    assert len(set(HATCHES.values())) == len(HATCHES)


@pages
def test_every_hatch_on_the_page_is_explained(name: str, paper: PaperName) -> None:
    sheet = example_sheet(name, "both", paper)
    used = {
        shape.role
        for view in sheet.views
        for shape in view.figure.shapes
        if shape.closed and STYLES[shape.role].hatch
    }
    explained = {words.text for words in keyed(sheet, "legend")}
    texts = dict(LEGEND)
    assert {texts[role] for role in used} <= explained


def test_title_block_names_project_layout_units_and_caveat() -> None:
    _, layout, _ = example("growing-brewery")
    sheet = example_sheet("growing-brewery")
    (project,) = keyed(sheet, "project")
    assert project.text == "Harrow Weir Brewing"
    (ident,) = keyed(sheet, "id")
    assert layout.id in ident.text
    assert any("Millimetres" in words.text for words in keyed(sheet, "fact"))
    remarks = " ".join(words.text for words in keyed(sheet, "remark"))
    assert "not for construction" in remarks and "local codes" in remarks


def test_north_is_shown_where_the_room_is_known() -> None:
    assert keyed(example_sheet("startup"), "north")
    open_floor = sheet_of(*drawn_line())
    assert not keyed(open_floor, "north")


def test_the_flow_has_arrows_in_both_views() -> None:
    for view in example_sheet("startup").views:
        assert any(isinstance(item, Line) and item.name == "flow" for item in view.items)


def test_a_brief_without_a_room_is_drawn_stretched_out() -> None:
    sheet = sheet_of(*drawn_line())
    check_page(sheet)
    assert sheet.views[0].figure.title == "Plan, stretched out"
    assert "states no room" in " ".join(words.text for words in keyed(sheet, "remark"))


def test_doors_and_obstacles_are_named() -> None:
    study, layout, drawn = drawn_line(
        site={
            "ceiling": "7 m", "length": "40 m", "width": "20 m",
            "door": {"width": "4 m", "height": "4 m"},
            "obstacles": [
                {"name": "column", "x": "20 m", "y": "15 m", "length": "400 mm",
                 "width": "400 mm"}
            ],
        }
    )  # fmt: skip
    assert drawn.placed
    sheet = sheet_of(study, layout, drawn, "plan", "tabloid")
    check_page(sheet)
    labels = [words.text for words in keyed(sheet, "label")]
    assert "column" in labels
    assert any("door" in text and "13'-1 1/2\"" in text for text in labels)


@pytest.mark.parametrize("length", ["60 m", "600 m"])
def test_a_small_line_in_a_large_room_still_has_its_numbers_apart(length: str) -> None:
    study, layout, drawn = drawn_line(
        site={"ceiling": "7 m", "length": length, "width": "50 m"}, speed="30 cpm"
    )
    check_page(sheet_of(study, layout, drawn))


@pytest.mark.parametrize("name", ["W" * 400, "漢" * 200, "a b " * 100, "x"])
def test_long_names_stay_in_their_box(name: str) -> None:
    study, layout, drawn = example("startup")
    check_page(sheet_of(renamed(study, name), layout, drawn))


def test_unknown_papers_and_parts_are_refused() -> None:
    from lineconfig.drawing.sheet import draw

    study, layout, _ = example("startup")
    with pytest.raises(ValueError, match="unknown paper"):
        draw(study, layout, "both", "b5")  # type: ignore[arg-type]


def test_a_line_that_is_stowed_is_drawn_packed_away_as_well() -> None:
    study, layout, drawn = drawn_line(
        mobility="stowed",
        speed="30 cpm",
        site={"ceiling": "5 m", "length": "25 m", "width": "12 m"},
    )
    assert drawn.packed is not None
    sheet = sheet_of(study, layout, wanted_of(drawn, "stowed"), "stowed")
    check_page(sheet)
    (view,) = sheet.views
    assert view.figure.title == "Plan, packed away"
    assert len(keyed(sheet, "number-")) == len(layout.stations)
    stations = {s.station for s in view.figure.shapes if s.role == "machine"}
    fill = [k for k, station in enumerate(layout.stations) if station.function == "fill"]
    assert set(fill) <= stations


def test_a_line_that_stays_is_not_packed_away() -> None:
    _, _, drawn = example("startup")
    with pytest.raises(ValueError, match="mobility: stowed"):
        wanted_of(drawn, "stowed")


def test_a_line_that_travels_is_drawn_on_its_vehicle() -> None:
    study, layout, drawn = drawn_line(
        mobility="mobile",
        speed="30 cpm",
        vehicle={"length": "8 m", "width": "2.4 m", "height": "2.4 m"},
    )
    sheet = sheet_of(study, layout, wanted_of(drawn, "stowed"), "stowed")
    check_page(sheet)
    (view,) = sheet.views
    assert view.figure.title == "Plan, on the vehicle"
    assert not keyed(sheet, "north")
    assert any(words.text == "Bed 8,000 × 2,400" for words in keyed(sheet, "fact"))
    fill = [k for k, station in enumerate(layout.stations) if station.function == "fill"]
    assert set(fill) <= {s.station for s in view.figure.shapes if s.role == "machine"}


@pytest.mark.parametrize("name", NAMES)
def test_heights_are_written_in_both_units(name: str) -> None:
    """The drop and what is left to the ceiling as well as the heights."""
    study, layout, _ = example(name)
    for paper in ("letter", "tabloid"):
        sheet = example_sheet(name, "elevation", paper)  # type: ignore[arg-type]
        measures = {words.text for words in keyed(sheet, "measure")}
        spare_mm = study.inquiry.ceiling_mm - layout.highest.height_mm
        for height_mm in (layout.heights.drop_mm, spare_mm):
            both = f"{height_mm:,.0f} ({feet_and_inches(height_mm)})"
            assert height_mm <= 0 or both in measures, (height_mm, measures)


def test_the_door_is_dimensioned() -> None:
    _, _, drawn = example("startup")
    (door,) = drawn.plan.doors
    measures = {words.text.split(" ")[0] for words in keyed(example_sheet("startup"), "measure")}
    for length_mm in (door.start_mm, door.width_mm, drawn.plan.room_width_mm - door.end_mm):
        assert f"{length_mm:,.0f}" in measures
