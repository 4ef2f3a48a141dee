"""Facts of the trade, asked of the engine as a client would: all of them `common practice`.

Where a fact follows from geometry or arithmetic, the test checks that the derivation lands on it.
The facts that the catalogue states as figures are checked in tests/test_catalog_data.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import yaml

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.connect.stations import StationBuilder
from lineconfig.explain import why_class
from lineconfig.layout import Layout
from lineconfig.need_reading import settle
from lineconfig.session import Study

CANS = [
    "can-355-standard", "can-473-standard", "can-330-sleek", "can-250-slim", "can-568-standard",
    "can-500-standard",
]  # fmt: skip
ALWAYS_ATTENDED = ["hand-loading-shelf", "gravity-trough", "gravity-trough-raised"]
BY_AUTOMATION = [
    "hand-loading-shelf", "single-filing-table", "half-height-depalletizer",
    "full-height-depalletizer", "layer-grip-depalletizer", "bulk-depalletizer",
]  # fmt: skip
"""From the cheapest unloader to the dearest."""


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def study(catalog: Catalog, **changes: Any) -> Study:
    """A study of a plain 60 cpm brief with some keys changed; None takes a key out."""
    brief: dict[str, Any] = {
        "brief": 1,
        "name": "Test Lane Drinks",
        "speed": "60 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": 800_000}],
        "site": {"ceiling": "7 m"},
        "operation": {"hours_per_week": 80},
    }
    brief |= changes
    return Study(
        settle(Brief.model_validate(yaml.safe_load(yaml.safe_dump(brief))), catalog), catalog
    )


def formats(count: int, **more: Any) -> list[dict[str, Any]]:
    return [{"container": can, "annual_cans": 400_000, **more} for can in CANS[:count]]


def lowering(found: Study) -> dict[str, set[str]]:
    """Lowering classes that the rules let each unloader have."""
    pairs: dict[str, set[str]] = {}
    for unload, lower in found.families():
        pairs.setdefault(unload, set()).add(lower)
    return pairs


def unloaders(found: Study) -> Iterator[tuple[str, float]]:
    """Unloaders that the rules allow, with their work per can of the first format."""
    builder = StationBuilder(found.inquiry)
    for scheme in found.joined["empties"]:
        for slot in builder.slots(scheme):
            if slot.function == "unload":
                for station in slot.stations:
                    yield station.option.id, station.minutes_per_can[0]


# --- 1. unloading and labour -------------------------------------------------------------------


def test_no_unloader_runs_unattended(catalog: Catalog) -> None:
    for form in ("full-pallet", "half-stack", "loose"):
        found = study(catalog, formats=formats(1, supply=form), staff={"ladder_work": True})
        for class_id, minutes in unloaders(found):
            assert minutes > 0, class_id


@pytest.mark.parametrize("speed_cpm", [20, 40, 60])
def test_spending_more_on_unloading_buys_labour_back(catalog: Catalog, speed_cpm: int) -> None:
    """Work per can falls from each class to the next dearer one, on the whole curve."""
    work: dict[str, float] = {}
    for form in ("full-pallet", "half-stack"):
        found = study(catalog, speed=f"{speed_cpm} cpm", formats=formats(1, supply=form))
        for class_id, minutes in unloaders(found):
            work[class_id] = min(minutes, work.get(class_id, minutes))
    attended = [
        1.0 if class_id in ALWAYS_ATTENDED else work[class_id] * speed_cpm
        for class_id in BY_AUTOMATION
    ]
    assert attended == sorted(attended, reverse=True)
    assert len(set(attended)) == len(attended)
    prices = [catalog.classes[class_id].price for class_id in BY_AUTOMATION]
    typical = [float(price.typical) for price in prices if price]
    assert typical == sorted(typical)


def test_attendance_of_a_depalletizer_grows_with_speed(catalog: Catalog) -> None:
    shares = []
    for speed_cpm in (40, 80, 120):
        found = study(catalog, speed=f"{speed_cpm} cpm", require=["full-height-depalletizer"],
                      formats=formats(1, supply="full-pallet"))  # fmt: skip
        shares.append(min(minutes for _, minutes in unloaders(found)) * speed_cpm)
    assert shares == sorted(shares) and shares[0] < shares[-1]


# --- 2. always attended, and what they work from -----------------------------------------------


@pytest.mark.parametrize("class_id", ALWAYS_ATTENDED)
@pytest.mark.parametrize("speed_cpm", [10, 30, 55])
def test_hand_fed_unloaders_take_one_person_at_any_speed(
    catalog: Catalog, class_id: str, speed_cpm: int
) -> None:
    found = study(catalog, speed=f"{speed_cpm} cpm", require=[class_id], rinse="none-accepted",
                  formats=formats(1, supply="half-stack"), staff={"ladder_work": True})  # fmt: skip
    layout = found.best(1)[0]
    place = layout.stations.index(layout.station("unload"))
    (post,) = [post for post in layout.crew.posts if place in post.stations]
    assert post.always and post.stations == (place,)


@pytest.mark.parametrize("class_id", [*ALWAYS_ATTENDED, "single-filing-table"])
def test_they_do_not_work_from_full_pallets(catalog: Catalog, class_id: str) -> None:
    found = study(catalog, formats=formats(1, supply="full-pallet"), rinse="none-accepted",
                  staff={"ladder_work": True})  # fmt: skip
    answer = why_class(found, class_id, found.best(3))
    assert (answer.status, answer.field) == ("ruled-out", "formats.supply")


def test_only_the_shelf_and_the_rotary_table_work_from_loose_cans(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(1, supply="loose"), staff={"ladder_work": True})
    assert set(lowering(found)) <= {"hand-loading-shelf", "rotary-unscrambling-table"}
    assert "hand-loading-shelf" in lowering(found)


# --- 4. the smallest and cheapest --------------------------------------------------------------


@pytest.mark.parametrize("view", ["first-cost", "floor"])
def test_the_low_trough_is_smallest_and_cheapest_of_all(catalog: Catalog, view: str) -> None:
    found = study(catalog, rinse="none-accepted", formats=formats(1))
    assert found.best(1, view)[0].station("unload").option.id == "gravity-trough"  # type: ignore[arg-type]


@pytest.mark.parametrize("view", ["first-cost", "floor"])
def test_the_shelf_with_a_short_twist_is_smallest_and_cheapest_that_rinses(
    catalog: Catalog, view: str
) -> None:
    found = study(catalog, rinse="required", formats=formats(1))
    first = found.best(1, view)[0]  # type: ignore[arg-type]
    assert first.family == "hand-loading-shelf + short-twist-rinser"


def test_a_low_trough_has_no_rinse(catalog: Catalog) -> None:
    found = study(catalog, rinse="required", formats=formats(1, supply="half-stack"))
    assert why_class(found, "gravity-trough", found.best(1)).status == "ruled-out"


def test_a_low_trough_lets_go_at_forty_inches(catalog: Catalog) -> None:
    found = study(catalog, rinse="none-accepted", require=["gravity-trough"])
    layout = found.best(1)[0]
    lip_mm = layout.heights.deck_mm + float(catalog.classes["gravity-trough"].heights.lip_mm or 0)
    assert layout.heights.deck_mm == pytest.approx(40 * 25.4, abs=60)
    assert 44 * 25.4 - 25 <= lip_mm <= 46 * 25.4 + 25


def test_a_raised_trough_means_ladder_work(catalog: Catalog) -> None:
    plain = study(catalog, formats=formats(1, supply="half-stack"))
    answer = why_class(plain, "gravity-trough-raised", plain.best(1))
    assert (answer.status, answer.rule) == ("ruled-out", "ladder-work")
    ladder = study(catalog, formats=formats(1, supply="half-stack"), staff={"ladder_work": True})
    assert ladder.with_class("gravity-trough-raised") is not None


@pytest.mark.parametrize("speed_cpm", [15, 30, 60, 70, 78])
@pytest.mark.parametrize("wage", ["8 USD/h", "24 USD/h", "60 USD/h"])
@pytest.mark.parametrize("volume", [100_000, 1_500_000])
def test_a_raised_trough_is_never_first_beside_another_of_similar_cost(
    catalog: Catalog, speed_cpm: int, wage: str, volume: int
) -> None:
    """Similar: within a tenth of its life-cycle cost."""
    found = study(
        catalog, speed=f"{speed_cpm} cpm", staff={"ladder_work": True, "wage": wage},
        formats=[{"container": "can-355-standard", "annual_cans": volume, "supply": "half-stack"}],
    )  # fmt: skip
    arrangements = found.arrangements("life-cycle-cost")
    first = arrangements[0]
    if first.station("unload").option.id == "gravity-trough-raised":
        others = [
            item.money.life_cycle_cost.typical
            for item in arrangements
            if item.station("unload").option.id != "gravity-trough-raised"
        ]
        assert min(others) > 1.1 * first.money.life_cycle_cost.typical


# --- 5. and 6. what travels --------------------------------------------------------------------


def test_packed_away_lines_have_the_table_and_the_half_height_frame(catalog: Catalog) -> None:
    for mobility in ("stowed", "mobile"):
        kinds = lowering(study(catalog, mobility=mobility, formats=formats(2)))
        assert {"single-filing-table", "half-height-depalletizer"} <= set(kinds)
        assert not set(kinds) & {
            "full-height-depalletizer", "tall-depalletizer", "layer-grip-depalletizer",
            "bulk-depalletizer",
        }  # fmt: skip


def test_half_height_frames_take_half_stacks(catalog: Catalog) -> None:
    full = study(catalog, formats=formats(1, supply="full-pallet"))
    answer = why_class(full, "half-height-depalletizer", full.best(1))
    assert (answer.status, answer.field) == ("ruled-out", "formats.supply")
    half = study(catalog, formats=formats(1, supply="half-stack"))
    layout = half.with_class("half-height-depalletizer")
    assert layout is not None and layout.heights.loads_per_pallet == (1,)


# --- 7. speeds of sweep depalletizers ----------------------------------------------------------


@pytest.mark.parametrize(("speed_cpm", "standard", "bulk"), [(250, True, True), (260, False, True)])
def test_standard_depalletizers_reach_250_cpm(
    catalog: Catalog, speed_cpm: int, standard: bool, bulk: bool
) -> None:
    kinds = lowering(
        study(
            catalog, speed=f"{speed_cpm} cpm", formats=formats(1), operation={"hours_per_week": 100}
        )
    )
    assert ("full-height-depalletizer" in kinds) == standard
    assert ("bulk-depalletizer" in kinds) == bulk


def test_no_fork_truck_is_needed(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(1, supply="full-pallet"))
    assert found.best(1)[0].station("supply").option.id == "full-pallet-jack"


# --- 8. twists by number of formats ------------------------------------------------------------


@pytest.mark.parametrize(
    ("count", "twist"),
    [
        (1, "twist-rinser"),
        (2, "twist-rinser-pair"),
        (3, "twist-rinser-row"),
        (4, "twist-rinser-quad"),
    ],
)
def test_full_height_frames_hang_one_twist_for_each_format(
    catalog: Catalog, count: int, twist: str
) -> None:
    found = study(catalog, formats=formats(count, supply="full-pallet"), rinse="required")
    kinds = lowering(found)["full-height-depalletizer"]
    assert {kind for kind in kinds if kind.startswith("twist")} == {twist}
    layout = found.with_class(twist)
    assert layout is not None
    assert layout.station("lower").quantity == count


@pytest.mark.parametrize("count", [5, 6])
def test_beyond_four_formats_the_adjustable_lowerator(catalog: Catalog, count: int) -> None:
    found = study(catalog, formats=formats(count, supply="full-pallet"), rinse="required")
    assert lowering(found)["full-height-depalletizer"] == {"gripper-lowerator"}


def test_below_a_full_height_frame_one_twist_hangs_at_a_time(catalog: Catalog) -> None:
    for count in (1, 2, 4):
        found = study(catalog, formats=formats(count, supply="half-stack"), rinse="required")
        assert lowering(found)["half-height-depalletizer"] == {"short-twist-rinser"}
        layout = found.with_class("half-height-depalletizer")
        assert layout is not None
        assert layout.station("lower").quantity == count  # one to own for each format
        assert layout.station("rinse").quantity == 1  # but one place to rinse
        assert layout.heights.deck_mm <= found.inquiry.habits.within_reach_mm


def test_one_set_of_seamer_height_parts_for_each_height(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(4, supply="full-pallet"), rinse="required")
    fill = found.best(1)[0].station("fill")
    heights = {fmt.container.height_mm for fmt in found.need.formats}
    owned = sum(parts.count for parts in fill.parts if "eight" in parts.part)
    assert owned == len(heights) - 1  # the first set comes with the filler


# --- 9. the adjustable lowerator ---------------------------------------------------------------


def test_a_lowerator_never_fits_a_half_height_frame(catalog: Catalog) -> None:
    """Derived: its drop above any filler infeed is more than the frame's deck can give."""
    for can in catalog.containers:
        found = study(catalog, speed="20 cpm", formats=[{"container": can, "annual_cans": 90_000}])
        assert "gripper-lowerator" not in lowering(found).get("half-height-depalletizer", set())


def test_a_lowerator_takes_everything_without_parts(catalog: Catalog) -> None:
    mixed = [
        {"container": can, "annual_cans": 100_000, "supply": "full-pallet"}
        for can in (
            "can-250-slim",
            "can-330-sleek",
            "can-355-standard",
            "threaded-473",
            "bottle-500",
        )
    ]
    found = study(catalog, speed="40 cpm", formats=mixed)
    layout = found.with_class("gripper-lowerator")
    assert layout is not None and layout.station("lower").parts == ()


# --- 10. headers -------------------------------------------------------------------------------


@pytest.mark.parametrize(("count", "ionized"), [(1, 1), (2, 1), (3, 2), (4, 2)])
def test_one_ionized_header_slides_between_two_twists(
    catalog: Catalog, count: int, ionized: int
) -> None:
    pieces: dict[str, float] = {}
    found = study(catalog, formats=formats(count, supply="full-pallet"), rinse="required",
                  require=["full-height-depalletizer"])  # fmt: skip
    twists = [lower for lower in lowering(found)["full-height-depalletizer"] if "twist" in lower]
    for rinse in ("water-rinse", "sanitizer-rinse", "ionized-air-rinse"):
        only = {"rinse": frozenset({rinse}), "lower": frozenset(twists)}
        layout: Layout = next(found.layouts(None, only))
        pieces[rinse] = layout.station("rinse").quantity
    assert pieces == {"water-rinse": count, "sanitizer-rinse": count, "ionized-air-rinse": ionized}


# --- 11. guards, 12. coder, 13. rinse ----------------------------------------------------------


def test_a_light_curtain_and_doors_are_alternatives(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(1, supply="full-pallet"))
    for guard in ("light-curtain", "interlocked-doors"):
        layout = found.with_class(guard)
        assert layout is not None and layout.station("unload").option.has("powered-unloader")


def test_hand_fed_unloaders_have_no_guard(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(1, supply="loose"))
    assert all("no-guard" in layout.classes for layout in found.best(20))


def test_a_coder_fits_on_a_rail_after_single_filing(catalog: Catalog) -> None:
    """Dry, steady, almost no floor."""
    found = study(catalog, formats=formats(1, supply="full-pallet"))
    rail = found.with_class("rail-ink-jet")
    assert rail is not None
    assert rail.station("unload").option.has("steady-single-file")
    assert rail.station("code").area_m2 == 0
    shelf = study(catalog, formats=formats(1, supply="loose"), require=["hand-loading-shelf"])
    assert why_class(shelf, "rail-ink-jet", shelf.best(1)).status == "ruled-out"


@pytest.mark.parametrize("handled", [{"rehandled": True}, {"open_storage": True}])
def test_handled_cans_must_be_rinsed(catalog: Catalog, handled: dict[str, bool]) -> None:
    found = study(catalog, formats=formats(1, supply="half-stack", **handled))
    assert all("no-rinse" not in layout.classes for layout in found.best(30))
    answer = why_class(found, "gravity-trough", found.best(1))
    assert answer.status == "ruled-out"


def test_rinsing_is_advised_where_it_is_left_out(catalog: Catalog) -> None:
    from lineconfig.hazards import cautions_for

    found = study(catalog, rinse="none-accepted", require=["gravity-trough"])
    codes = {caution.code for caution in cautions_for(found.inquiry, found.best(1)[0])}
    assert "rinse-advised" in codes


def test_loose_cans_were_handled(catalog: Catalog) -> None:
    found = study(catalog, formats=formats(1, supply="loose"))
    assert all("no-rinse" not in layout.classes for layout in found.best(10))
