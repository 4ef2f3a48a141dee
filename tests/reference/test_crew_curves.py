"""Staffing over whole curves: it rises with speed and falls with automation.

Facts of the trade, all `common practice`; figures are the shipped catalogue's, asked of the same
functions that plan a crew.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import pytest
import yaml

from lineconfig.assess.crew import Habits, people_needed, posts
from lineconfig.brief import Brief
from lineconfig.catalog import Function
from lineconfig.catalog_loading import load_catalog
from lineconfig.connect.stations import StationBuilder
from lineconfig.layout import Layout, Station
from lineconfig.locate import examples_dir
from lineconfig.need_reading import settle
from lineconfig.session import Study, open_study

HABITS = Habits(allowed=0.85, most_stations=6)
EXAMPLES = ("startup", "growing-brewery", "mobile-canner", "co-packer", "high-speed-plant")
ALWAYS_ATTENDED = ("hand-loading-shelf", "gravity-trough", "gravity-trough-raised")
UNLOADING = (
    "hand-loading-shelf", "single-filing-table", "half-height-depalletizer",
    "full-height-depalletizer", "layer-grip-depalletizer", "bulk-depalletizer",
)  # fmt: skip
PACKING = (
    "hand-pack", "press-on-carriers", "carrier-applicator", "tray-packer", "wrap-around-packer",
)  # fmt: skip
PALLETIZING = ("hand-palletizing", "collaborative-palletizer", "row-palletizer")
"""Each from the least automatic to the most."""
CURVE = range(5, 1001, 5)
"""Speeds in cans a minute, each class up to its own limit."""


@cache
def plain_study(form: str) -> Study:
    brief = {
        "brief": 1,
        "name": "Test Lane Drinks",
        "speed": "30 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": 200_000, "supply": form}],
        "site": {"ceiling": "7 m"},
        "operation": {"hours_per_week": 80},
        "staff": {"ladder_work": True},
    }
    catalog = load_catalog()
    return Study(
        settle(Brief.model_validate(yaml.safe_load(yaml.safe_dump(brief))), catalog), catalog
    )


@cache
def stations(function: Function) -> dict[str, Station]:
    """The classes of one function as stations, whichever way of supply brings them least work."""
    found: dict[str, Station] = {}
    for form in ("full-pallet", "half-stack"):
        study = plain_study(form)
        builder = StationBuilder(study.inquiry)
        for schemes in study.schemes.values():
            for scheme in schemes:
                for slot in builder.slots(scheme):
                    for station in slot.stations if slot.function == function else ():
                        before = found.get(station.option.id)
                        if before is None or station.minutes_per_can < before.minutes_per_can:
                            found[station.option.id] = station
    return found


def most_cpm(station: Station) -> float:
    return station.rated_cpm[0]


def attended(station: Station, speed_cpm: float) -> float:
    """Share of one person that a station takes at a speed."""
    return 1.0 if station.always else station.minutes_per_can[0] * speed_cpm


def people(line: Sequence[Station], speed_cpm: float, index: int = 0) -> int:
    workloads = [station.minutes_per_can[index] * speed_cpm for station in line]
    return people_needed(workloads, [station.always for station in line], HABITS).people


# --- speed -------------------------------------------------------------------------------------


@pytest.mark.parametrize("class_id", [one for one in UNLOADING if one not in ALWAYS_ATTENDED])
def test_attendance_of_an_unloader_grows_with_speed_all_along(class_id: str) -> None:
    station = stations("unload")[class_id]
    curve = [attended(station, v) for v in CURVE if v <= most_cpm(station)]
    assert len(curve) >= 10
    assert all(before < after for before, after in pairwise(curve))
    # No unloader runs unattended, at any speed.
    assert curve[0] > 0


@pytest.mark.parametrize("class_id", ALWAYS_ATTENDED)
def test_loading_by_hand_takes_one_whole_person_at_every_speed(class_id: str) -> None:
    study = plain_study("half-stack")
    station = stations("unload").get(class_id) or stations_without_rinse()[class_id]
    helper = stations("fill")["inline-4-6-head"]
    for speed_cpm in CURVE:
        if speed_cpm > most_cpm(station):
            break
        workloads = [each.minutes_per_can[0] * speed_cpm for each in (station, helper)]
        first, *others = posts(workloads, [True, False], HABITS)
        assert (first.stations, first.always) == ((0,), True)
        assert first.workload >= 1
        assert all(0 not in post.stations for post in others)
    assert study.inquiry.habits.allowed_utilisation == pytest.approx(HABITS.allowed)


@cache
def stations_without_rinse() -> dict[str, Station]:
    """The low trough has no rinse: its brief takes none."""
    catalog = load_catalog()
    brief = plain_study("half-stack").need.brief.model_copy(update={"rinse": "none-accepted"})
    study = Study(settle(brief, catalog), catalog)
    builder = StationBuilder(study.inquiry)
    return {
        station.option.id: station
        for scheme in study.schemes["empties"]
        for slot in builder.slots(scheme)
        if slot.function == "unload"
        for station in slot.stations
    }


@cache
def first_of_each_kind(name: str) -> tuple[Layout, ...]:
    return tuple(open_study(examples_dir() / f"{name}.yaml").arrangements())


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_whole_line_never_takes_fewer_people_when_it_runs_faster(name: str) -> None:
    risen = 0
    for layout in first_of_each_kind(name):
        curve = [
            people(layout.stations, layout.speed.rated[0] * share / 40) for share in range(1, 61)
        ]
        assert curve == sorted(curve), layout.id
        assert curve[39] <= layout.crew.people, layout.id
        risen += curve[-1] > curve[0]
    assert risen


# --- automation --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("function", "ladder"),
    [("unload", UNLOADING), ("pack", PACKING), ("palletize", PALLETIZING)],
)
def test_attendance_falls_from_each_class_to_the_next_more_automatic_one(
    function: Function, ladder: tuple[str, ...]
) -> None:
    known = stations(function) | _automatic_packing(function)
    for plain, automatic in pairwise(ladder):
        one, other = known[plain], known[automatic]
        speeds = [v for v in CURVE if v <= min(most_cpm(one), most_cpm(other))]
        assert len(speeds) >= 8, (plain, automatic)
        for speed_cpm in speeds:
            assert attended(other, speed_cpm) < attended(one, speed_cpm), (plain, automatic)


@cache
def _automatic_packing(function: Function) -> dict[str, Station]:
    """Classes that a slow brief has no use for, from the fast examples."""
    found: dict[str, Station] = {}
    for name in ("high-speed-plant", "co-packer"):
        study = open_study(examples_dir() / f"{name}.yaml")
        builder = StationBuilder(study.inquiry)
        for scheme in study.schemes["packing"]:
            for slot in builder.slots(scheme):
                if slot.function == function:
                    found |= {station.option.id: station for station in slot.stations}
    return found


@pytest.mark.parametrize("speed_cpm", range(5, 61, 5))
def test_the_same_line_takes_no_more_people_with_a_more_automatic_unloader(speed_cpm: int) -> None:
    (base,) = (
        layout for layout in first_of_each_kind("startup")
        if layout.station("unload").option.id == "hand-loading-shelf"
    )  # fmt: skip
    at = base.stations.index(base.station("unload"))
    crews = []
    for class_id in UNLOADING:
        station = stations("unload")[class_id]
        line = [*base.stations[:at], station, *base.stations[at + 1 :]]
        crews.append(people(line, speed_cpm))
    # The first is the one that takes a whole person; whole people come in steps.
    assert crews == sorted(crews, reverse=True)
    assert crews[0] > crews[-1]
