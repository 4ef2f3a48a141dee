"""The room as a rule: lists hold only what fits, in the order in which it ranks."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import islice
from typing import Any

import pytest
import yaml
from shapely.geometry import box

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.errors import InputError
from lineconfig.explain import why_nothing
from lineconfig.floorplan.blocks import line_of
from lineconfig.floorplan.packed import bed_plan
from lineconfig.floorplan.place import stands
from lineconfig.floorplan.plan import NoPlan, Plan
from lineconfig.floorplan.room import FLOOR_PLAN, SUPERSEDED, stations_of
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text, settle
from lineconfig.present.placement import floor_lines, floor_record, passed_over_sentence
from lineconfig.rank import recommend
from lineconfig.session import Study
from tests.floorplan.judge import faults, polygon


@cache
def catalog() -> Catalog:
    return load_catalog()


def study_of(example: str, **changes: Any) -> Study:
    """An example with other values; the site's keys by themselves."""
    plain = yaml.safe_load((examples_dir() / f"{example}.yaml").read_text())
    for key, value in changes.items():
        where = plain["site"] if key in ("length", "width", "door", "obstacles") else plain
        if value is None:
            where.pop(key, None)
        else:
            where[key] = value
    return Study(settle(Brief.model_validate(plain), catalog()), catalog())


def test_the_list_is_the_whole_list_less_what_does_not_fit() -> None:
    study = study_of("startup", length="36 ft", width="24 ft")
    aside = study.varied(without=SUPERSEDED | {FLOOR_PLAN})
    lines = list(islice(aside.found(), 120))
    every = [found.order for found in lines]
    placed = [found for found in lines if stands(stations_of(found), study.inquiry)]
    assert 0 < len(placed) < len(every)
    # With the chain of their plans they cost more: those that nothing else can come before.
    room, view = study.room, study.need.view
    assert room is not None
    built = [line for found in placed if (line := room.built(found, study.search, view))]
    sure = sorted((line.key, line.order) for line in built if line.key <= lines[-1].key)
    fitting = [order for _, order in sure]
    assert len(fitting) > 10
    assert [found.order for found in islice(study.found(), len(fitting))] == fitting
    assert study.room is not None
    assert study.room.passed_over >= set(every[: every.index(fitting[-1])]) - {
        found.order for found in placed
    }


def test_a_page_says_how_many_were_passed_over() -> None:
    study = study_of("startup", length="36 ft", width="24 ft")
    answer = recommend(study)
    assert answer.layouts
    sentence = passed_over_sentence(study)
    assert sentence is not None and study.room is not None
    assert f"{len(study.room.passed_over):,} layouts were passed over" in sentence
    # Lines that stand alike are counted once, so that the search sees the end of them.
    assert answer.complete and not study.room.given_up
    assert all(isinstance(study.plan(item.layout), Plan) for item in answer.layouts)
    assert passed_over_sentence(study_of("co-packer")) is None


def test_without_a_room_nothing_is_said_of_fitting() -> None:
    for missing in ("length", "width"):
        study = study_of("startup", **{missing: None})
        layout = study.best(1)[0]
        assert study.room is None and study.plan(layout) is None
        record = floor_record(study, layout)
        assert record["fits"] is None and record["rectangles"] == []
        assert floor_lines(study, layout) == []


@pytest.mark.slow
def test_the_unbeaten_all_fit() -> None:
    study = study_of("startup", length="36 ft", width="24 ft")
    unbeaten = study.unbeaten()
    assert unbeaten
    assert all(isinstance(study.plan(layout), Plan) for layout in unbeaten)


def test_a_room_too_small_for_everything_is_explained_and_the_growth_opens_a_layout() -> None:
    study = study_of("startup", length="27 ft", width="24 ft")
    nothing = why_nothing(study)
    assert nothing is not None
    clash = nothing.conflict[0]
    assert clash.rule == FLOOR_PLAN and clash.field in ("site.length", "site.width")
    assert clash.shortfall is not None and clash.shortfall.short > 0
    assert nothing.openings and nothing.openings[0].layout is not None
    opened = study.varied(need=nothing.openings[0].need)
    assert opened.feasible
    assert isinstance(opened.plan(nothing.openings[0].layout), Plan)


def test_what_is_short_is_enough_and_a_little_less_is_not() -> None:
    study = study_of("startup", length="27 ft", width="24 ft")
    aside = study.varied(without=SUPERSEDED | {FLOOR_PLAN})
    layout = next(aside.layouts("floor"))
    why = study.plan(layout)
    assert isinstance(why, NoPlan)
    site = study.need.brief.site
    now = float(site.length_mm if why.dimension == "length" else site.width_mm)  # type: ignore[arg-type]
    for more, fits in ((why.short_by_mm, True), (why.short_by_mm - 5, False)):
        grown = study_of(
            "startup",
            **{"length": "27 ft", "width": "24 ft", why.dimension: f"{now + more:.1f} mm"},
        )
        assert isinstance(grown.plan(layout), Plan) is fits


def test_a_column_in_the_way_moves_the_line_and_a_drain_lies_under_free_floor() -> None:
    bare = study_of("growing-brewery")
    layout = bare.best(1)[0]
    plan = bare.plan(layout)
    assert isinstance(plan, Plan)
    filler = next(
        item
        for item in plan.rectangles
        if item.what == "machine" and layout.stations[item.station or 0].function == "fill"
    )
    at = {"x": f"{filler.x_mm + 500:.0f} mm", "y": f"{filler.y_mm + 500:.0f} mm"}
    for name in ("column", "drain"):
        study = study_of(
            "growing-brewery",
            obstacles=[{"name": name, **at, "length": "300 mm", "width": "300 mm"}],
        )
        moved = study.plan(layout)
        assert isinstance(moved, Plan)
        assert moved.rectangles != plan.rectangles
        assert faults(moved, 915, 150) == []


def test_nothing_stands_where_a_door_swings() -> None:
    """Leaves of 4 ft swing in over 4 ft of floor: the line makes way for a door in its place."""
    bare = study_of("startup")
    layout = bare.best(1)[0]
    plan = bare.plan(layout)
    assert isinstance(plan, Plan)
    low = min(
        (item for item in plan.rectangles if item.what == "machine"), key=lambda item: item.y_mm
    )
    assert low.y_mm < 1220
    door = {"width": "8 ft", "height": "7 ft", "wall": "south", "at": f"{low.x_mm:.0f} mm"}
    moved = study_of("startup", door=door).plan(layout)
    assert isinstance(moved, Plan)
    assert faults(moved, 915, 150) == []
    assert faults(replace(plan, doors=moved.doors, exits=moved.exits), 915, 150) != []


@pytest.mark.parametrize("wall", ["south", "east"])
def test_a_line_is_reached_from_the_door_where_the_brief_puts_it(wall: str) -> None:
    door = {"width": "8 ft", "height": "7 ft", "wall": wall, "at": "1 ft"}
    study = study_of("startup", door=door)
    plan = study.plan(study.best(1)[0])
    assert isinstance(plan, Plan)
    assert (plan.doors[0].wall, plan.doors[0].start_mm) == (wall, 305)
    assert plan.notes == ()
    assert faults(plan, 915, 150) == []


def test_a_stowed_line_is_packed_away_in_less_floor() -> None:
    study = study_of("startup", mobility="stowed")
    layout = study.best(1)[0]
    plan = study.plan(layout)
    assert isinstance(plan, Plan) and plan.stowed is not None
    assert plan.stowed.length_mm * plan.stowed.width_mm < plan.length_mm * plan.width_mm / 2
    packed = {item.station for item in plan.stowed.rectangles}
    assert packed == {
        place for place, station in enumerate(layout.stations)
        if station.length_mm > 0 and station.function != "convey"
    } | {next(n for n, s in enumerate(layout.stations) if s.function == "convey")}  # fmt: skip
    boxes = [polygon(item) for item in plan.stowed.rectangles]
    for place, one in enumerate(boxes):
        assert all(one.intersection(other).area == 0 for other in boxes[:place])
    record = floor_record(study, layout)["stowed"]
    assert len(record["rectangles"]) == len(boxes)


def test_a_vehicle_that_is_too_small_refuses_and_says_so() -> None:
    layout = study_of("mobile-canner").best(1)[0]
    beds = {
        "vehicle length": {"length": "8 ft", "width": "5 ft", "height": "7 ft"},
        "vehicle height": {"length": "40 ft", "width": "8 ft", "height": "3 ft"},
    }
    for dimension, bed in beds.items():
        study = study_of("mobile-canner", vehicle=bed)
        why = study.plan(layout)
        assert isinstance(why, NoPlan) and why.dimension == dimension
        assert stands(layout.stations, study.inquiry) is False
    roomy = study_of("mobile-canner", vehicle={"length": "40 ft", "width": "8 ft"})
    assert roomy.best(1)[0].id == layout.id


def test_a_loaded_vehicle_has_every_module_on_its_bed() -> None:
    bed = {"length": "24 ft", "width": "8 ft", "height": "7 ft"}
    study = study_of("mobile-canner", vehicle=bed)
    layout = study.best(1)[0]
    loaded = bed_plan(layout.stations, study.inquiry)
    assert loaded is not None
    edge = box(0, 0, 24 * 304.8, 8 * 304.8)
    boxes = [polygon(item) for item in loaded.rectangles]
    for place, one in enumerate(boxes):
        assert edge.covers(one)
        assert all(one.intersection(other).area == 0 for other in boxes[:place])
    carried = {item.station for item in loaded.rectangles}
    assert carried >= {
        place for place, station in enumerate(layout.stations)
        if station.length_mm > 0 and station.function != "convey"
    }  # fmt: skip
    assert bed_plan(layout.stations, study_of("mobile-canner", vehicle=None).inquiry) is None


def test_a_cramped_room_does_not_end_a_list_early() -> None:
    """Lines whose first machines alone are longer than the room are left out unseen."""
    study = study_of("growing-brewery", length="50 ft", width="30 ft")
    answer = recommend(study)
    assert answer.complete and len(answer.layouts) == 10
    sentence = passed_over_sentence(study)
    assert sentence is not None and "alone do not stand in the room" in sentence
    assert study.room is not None and study.room.left_out
    # None of them would stand: the rule left aside, they are found.
    aside = study.varied(without=SUPERSEDED | {FLOOR_PLAN})
    unseen = {"unload": frozenset({"layer-grip-depalletizer"}),
              "lower": frozenset({"gripper-elevator"})}  # fmt: skip
    assert next(study.found("first-cost", unseen), None) is None
    lines = list(islice(aside.found("first-cost", unseen), 5))
    assert len(lines) == 5
    assert not any(stands(stations_of(line), study.inquiry) for line in lines)


def test_equal_machines_are_placed_once() -> None:
    """Classes that only differ in what they cost or print share their geometry."""
    study = study_of("growing-brewery")
    lines = {line_of(stations_of(found), study.inquiry) for found in islice(study.found(), 40)}
    assert len(lines) < 40


def test_chain_is_counted_by_its_pieces() -> None:
    """By hand: metres and bends at the catalogue's prices, 14 cans a metre and 18 a bend."""
    study = study_of("startup")
    layout = study.best(1)[0]
    plan = study.plan(layout)
    assert isinstance(plan, Plan)
    record = floor_record(study, layout)["chain"]
    metres = (
        sum(max(item.length_mm, item.width_mm) for item in plan.rectangles if item.label == "chain")
        / 1000
    )
    assert (
        record["bends"]
        == len(plan.turns)
        == sum(item.label == "90-degree bend" for item in plan.rectangles)
    )
    assert record["straight_mm"] == pytest.approx(metres * 1000)
    assert record["price"] == pytest.approx(metres * 1800 + len(plan.turns) * 3200)
    assert record["holds_cans"] == round(metres * 14) + len(plan.turns) * 18
    text = " ".join(" ".join(floor_lines(study, layout)).split())
    assert f"{metres:,.1f} m straight" in text


def test_the_working_space_of_a_panel_is_kept() -> None:
    """3 ft deep and 30 in wide: NFPA 70 (NEC) 110.26(A), from memory."""
    study = study_of("co-packer")
    layout = study.best(1)[0]
    plan = study.plan(layout)
    assert isinstance(plan, Plan)
    spaces = [item for item in plan.rectangles if item.label == "panel working space"]
    assert spaces
    for space in spaces:
        assert max(space.length_mm, space.width_mm) >= 3 * 304.8
        assert min(space.length_mm, space.width_mm) >= 30 * 25.4 - 0.5


def test_a_guard_stands_as_far_off_as_its_finding_says() -> None:
    from lineconfig.findings.guards import guards_of

    for name in ("co-packer", "growing-brewery"):
        study = study_of(name)
        for layout in study.best(10):
            plan = study.plan(layout)
            assert isinstance(plan, Plan)
            for guard in guards_of(layout):
                depths = [
                    min(item.length_mm, item.width_mm)
                    for item in plan.rectangles
                    if item.station == guard.station and item.what == "clearance"
                ]
                assert guard.floor_mm is not None
                assert depths and max(depths) >= max(guard.floor_mm, guard.kept_free_mm) - 1


def test_a_need_with_more_room_keeps_what_fits() -> None:
    study = study_of("growing-brewery", length="60 ft", width="30 ft")
    for layout in study.best(5):
        site = study.need.brief.site
        for key in ("length_mm", "width_mm"):
            wider = site.model_copy(update={key: type(site.length_mm)(40_000.0, "40 m")})
            need = replace(study.need, brief=study.need.brief.model_copy(update={"site": wider}))
            assert isinstance(study.varied(need=need).plan(layout), Plan)


@pytest.mark.parametrize(
    ("door", "said"),
    [
        ("{width: 8 ft, height: 7 ft, wall: west}", "takes both wall and at"),
        ("{width: 8 ft, height: 7 ft, at: 3 ft}", "takes both wall and at"),
        ("{width: 8 ft, height: 7 ft, wall: west, at: 20 ft}", "beyond the west wall of 24 ft"),
        ("{width: 8 ft, height: 7 ft, wall: up, at: 2 ft}", "south, north, west"),
    ],
)
def test_a_door_that_cannot_be_is_refused(door: str, said: str) -> None:
    text = (examples_dir() / "startup.yaml").read_text()
    text = text.replace("{width: 8 ft, height: 7 ft}", door)
    with pytest.raises(InputError) as caught:
        need_of_text(text, "brief.yaml", catalog())
    assert said in str(caught.value)
