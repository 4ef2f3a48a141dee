"""Lifts of whole lines: masses, pace, people, and the worked examples of the NIOSH manual."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.findings.lifts import LiftFinding, shares_of_work
from lineconfig.findings.whole import findings_of
from lineconfig.locate import examples_dir
from lineconfig.session import open_study
from tests.findings.lines import (
    at_speed,
    formats,
    lift_called,
    lifting,
    line,
    overlaid,
)

EXAMPLES = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip
BY_HAND = ["hand-pack", "hand-palletizing"]
ONTO_PALLET = "Case onto the pallet"
INCH_MM = 25.0
"""The manual's metric and US units correspond at 2.5 cm to the inch."""
KG_PER_LB = 23.0 / 51.0
"""And at a load constant of 23 kg to 51 lb."""


# --- the manual's worked examples, put in as a class of a catalogue ------------------------------


def worked_lift(tmp_path: Path, lift: str, lifts_per_min: float) -> LiftFinding:
    """A line on which one person does one of the manual's lifts at the manual's pace."""
    _, plain = line(require=["hand-palletizing"])
    cans = plain.speed.rated[0] / lifts_per_min
    catalog = overlaid(
        tmp_path,
        "classes:\n"
        "  - id: hand-palletizing\n"
        "    attendance:\n"
        "      tasks:\n"
        f"        - task: Worked example\n          every: cans\n          cans: {cans:.6f} cans\n"
        f"          minutes: 0.01 min\n          lifts:\n            - {lift}\n"
        "    basis: {attendance: invented}\n",
    )
    found, layout = line(catalog, require=["hand-palletizing"])
    assert layout.speed.rated == pytest.approx(plain.speed.rated)
    return lift_called(lifting(found, layout), "Worked example")


def lift_text(load_lb: float, origin: tuple[float, float], to: tuple[float, float],
              coupling: str, turn_deg: float = 0.0, placed: bool = True) -> str:  # fmt: skip
    """A lift of the manual as a catalogue writes it: H and V at both ends in inches."""
    return (
        f"{{lift: Worked example, load: {load_lb * KG_PER_LB:.6f} kg, "
        f"from: {origin[1] * INCH_MM:g} mm, to: {to[1] * INCH_MM:g} mm, "
        f"reach: {origin[0] * INCH_MM:g} mm, reach_to: {to[0] * INCH_MM:g} mm, "
        f"turn_deg: {turn_deg:g}, coupling: {coupling}, placed: {str(placed).lower()}, "
        "duration: short}"
    )


@pytest.mark.parametrize(
    ("lift", "lifts_per_min", "limit_lb", "index"),
    [
        # DHHS (NIOSH) 94-110: limits of Example 4 seen in a transcription of the manual, its loads
        # and indices and the other examples from memory.
        pytest.param(lift_text(26, (10, 22), (20, 59), "fair"), 3.0, 15.2, 1.7,
                     id="Ex 4 package inspection, p. 46, destination"),
        pytest.param(lift_text(26, (10, 22), (20, 59), "fair", placed=False), 3.0, 34.9, 0.7,
                     id="Ex 4, origin"),
        pytest.param(lift_text(35, (15, 27), (20, 10), "poor"), 0.15, 18.1, 1.9,
                     id="Ex 2 supply rolls, p. 39, destination"),
        pytest.param(lift_text(40, (18, 15), (10, 36), "fair", 45.0, placed=False), 0.15, 18.9,
                     2.1, id="Ex 3 bags into a hopper, p. 43, origin"),
    ],
)  # fmt: skip
def test_worked_examples_of_the_manual(
    tmp_path: Path, lift: str, lifts_per_min: float, limit_lb: float, index: float
) -> None:
    found = worked_lift(tmp_path, lift, lifts_per_min)
    assert found.lifts_per_min == pytest.approx(lifts_per_min)
    # The manual's worksheets multiply rounded multipliers: within 0.4 lb of their limits.
    assert found.recommended_kg / KG_PER_LB == pytest.approx(limit_lb, abs=0.4)
    assert found.lifting_index == pytest.approx(index, abs=0.1)
    assert found.lifting_index == pytest.approx(found.load_kg / found.recommended_kg)


# --- masses --------------------------------------------------------------------------------------


def test_a_case_of_24_cans_weighs_what_such_cases_weigh() -> None:
    # Common practice: a case of 24 12 oz cans weighs 20 lb or a little more.
    found, layout = line(require=BY_HAND)
    load_kg = lift_called(lifting(found, layout), ONTO_PALLET).load_kg
    assert load_kg == pytest.approx(24 * (0.355 + 0.0128) + 0.35)
    assert 20 <= load_kg / 0.45359237 <= 22


def test_a_tipped_layer_weighs_half_of_its_cans_and_sheet() -> None:
    found, layout = line(
        speed="40 cpm", rinse="none-accepted", require=["gravity-trough"],
        formats=formats("can-355-standard", supply="half-stack"),
    )  # fmt: skip
    lift = lift_called(lifting(found, layout), "Layer tipped over the lip")
    # 389 cans a layer (common practice) of 12.8 g.
    assert lift.load_kg == pytest.approx((389 * 0.0128 + 0.9) / 2)
    assert lift.lifts_per_min == pytest.approx(layout.speed.rated[0] / 389)
    # Hands go up from the lip by the tipping rise.
    deck_mm = layout.heights.deck_mm
    assert lift.hands_mm == (deck_mm + 130, layout.heights.hands_mm)


def test_trays_of_an_overlay_are_lifted() -> None:
    catalog = load_catalog([examples_dir() / "overlay-quotes"])
    found, layout = line(
        catalog, speed="40 cpm", rinse="none-accepted", require=["compact-tray-table"],
        formats=formats("can-355-standard", supply="loose"),
    )  # fmt: skip
    lift = lift_called(lifting(found, layout), "Tray of cans onto the table")
    assert lift.load_kg == pytest.approx(24 * 0.0128 + 0.3)
    assert lift.lifts_per_min == pytest.approx(layout.speed.rated[0] / 24)


def test_the_index_rises_with_the_mass_of_the_case(tmp_path: Path) -> None:
    found, layout = line(require=BY_HAND)
    syrup = overlaid(
        tmp_path,
        "economics: {handling: {fill_density_kg_per_l: 1.3}, "
        "basis: {handling.fill_density_kg_per_l: invented}}\n",
    )
    heavier_found, heavier = line(syrup, require=BY_HAND)
    assert heavier.classes == layout.classes
    light = lift_called(lifting(found, layout), ONTO_PALLET)
    heavy = lift_called(lifting(heavier_found, heavier), ONTO_PALLET)
    assert heavy.load_kg > light.load_kg
    assert heavy.lifting_index / light.lifting_index == pytest.approx(heavy.load_kg / light.load_kg)
    assert heavy.recommended_kg == pytest.approx(light.recommended_kg)


def test_larger_cans_make_heavier_cases() -> None:
    found: list[Any] = []
    for can in ("can-250-slim", "can-355-standard", "can-473-standard", "can-568-standard"):
        one, layout = line(require=BY_HAND, formats=formats(can))
        found.append(lift_called(lifting(one, layout), ONTO_PALLET))
    assert [lift.load_kg for lift in found] == sorted(lift.load_kg for lift in found)
    indices = [lift.lifting_index for lift in found]
    assert indices == sorted(indices)


# --- pace and people -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_index_rises_with_the_speed_of_the_line(name: str) -> None:
    found = open_study(examples_dir() / f"{name}.yaml")
    layout = found.best(1)[0]
    slow, fast = (lifting(found, at_speed(layout, factor)) for factor in (0.5, 1.5))
    assert slow.lifts
    for lift in slow.lifts:
        (faster,) = [x for x in fast.lifts if (x.station, x.lift) == (lift.station, lift.lift)]
        assert faster.lifts_per_min > lift.lifts_per_min
        assert faster.lifting_index >= lift.lifting_index
    slowly = {post.post: post.composite_index for post in slow.posts}
    rises = [post.composite_index > slowly[post.post] for post in fast.posts]
    assert all(post.composite_index >= slowly[post.post] for post in fast.posts)
    assert any(rises)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_crew_shares_all_the_work_and_no_more(name: str) -> None:
    found = open_study(examples_dir() / f"{name}.yaml")
    for layout in found.arrangements():
        crew = layout.crew
        shares = shares_of_work(crew)
        for place, station in enumerate(layout.stations):
            if crew.workloads[place] > 1e-9 and not station.always:
                assert math.fsum(by.get(place, 0.0) for by in shares) == pytest.approx(1.0)
        for post, by_station in zip(crew.posts, shares, strict=True):
            assert set(by_station) == set(post.stations)
            if not post.always:
                work = math.fsum(share * crew.workloads[k] for k, share in by_station.items())
                assert work == pytest.approx(post.workload)


def test_cases_are_lifted_as_often_as_the_line_fills_them() -> None:
    found, layout = line(require=BY_HAND)
    lift = lift_called(lifting(found, layout), ONTO_PALLET)
    shares = [by[lift.station] for by in shares_of_work(layout.crew) if lift.station in by]
    assert lift.lifts_per_min == pytest.approx(layout.speed.rated[0] / 24 * max(shares))


def test_two_people_at_the_pallet_lift_less_often_than_one() -> None:
    found, layout = line(require=BY_HAND)
    lift = lift_called(lifting(found, layout), ONTO_PALLET)
    people = [by for by in shares_of_work(layout.crew) if lift.station in by]
    assert len(people) == 2  # 4 to 5 cases a minute at 0.15 min each, and the pallets
    assert lift.lifts_per_min < layout.speed.rated[0] / 24


@pytest.mark.parametrize(
    ("hours", "duration"), [(1, "short"), (2, "moderate"), (3, "long"), (80, "long")]
)
def test_the_hours_of_a_week_bound_the_duration(hours: int, duration: str) -> None:
    # 94-110, pp. 13-14: up to 1 h short, up to 2 h moderate, up to 8 h long.
    found, layout = line(
        require=BY_HAND, operation={"hours_per_week": hours}, formats=[
            {"container": "can-355-standard", "annual_cans": 60_000}
        ],
    )  # fmt: skip
    lifts = lifting(found, layout)
    assert lift_called(lifts, ONTO_PALLET).duration == duration
    # p. 15: rarer than one lift in ten minutes rests enough for the short class.
    rare = lift_called(lifts, "Empty shipping pallet off the heap")
    assert rare.lifts_per_min < 0.1 and rare.duration == "short"


def test_a_vacuum_tube_takes_the_weight_off() -> None:
    by_hand, assisted = (
        max(
            lift.lifting_index
            for lift in lifting(*line(require=["hand-pack", class_id])).lifts
            if lift.lift.startswith("Case")
        )
        for class_id in ("hand-palletizing", "vacuum-lift-assist")
    )
    assert assisted < 0.5 < 1 < by_hand


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_person_lifts_no_less_than_the_hardest_lift_alone(name: str) -> None:
    found = open_study(examples_dir() / f"{name}.yaml")
    for layout in found.arrangements():
        result = lifting(found, layout)
        assert [x.lifting_index for x in result.lifts] == sorted(
            (x.lifting_index for x in result.lifts), reverse=True
        )
        together = {post.post: post.composite_index for post in result.posts}
        for lift in result.lifts:
            assert together[lift.post] >= lift.lifting_index * (1 - 1e-9)


# --- where no weight is recommended, and cautions ------------------------------------------------


def test_a_pallet_of_bottles_is_stacked_higher_than_the_equation_goes() -> None:
    # 94-110, p. 9: above 175 cm no weight is recommended. Eight layers of cases of 260 mm bottles
    # on a pallet pass it.
    found, layout = line(
        formats=formats("bottle-500"), require=BY_HAND, speed="40 cpm",
    )  # fmt: skip
    lift = lift_called(lifting(found, layout), ONTO_PALLET)
    assert lift.hands_mm[1] > 1750
    assert math.isinf(lift.lifting_index) and lift.recommended_kg == 0
    assert "above 175 cm" in lift.note
    codes = {caution.code for caution in findings_of(found.inquiry, layout).cautions}
    assert "lifting-no-limit" in codes


def test_a_line_palletized_by_hand_at_100_cpm_gets_a_lifting_caution() -> None:
    found, layout = line(require=BY_HAND)
    result = findings_of(found.inquiry, layout)
    said = [caution for caution in result.cautions if caution.code.startswith("lifting-")]
    assert any("Palletizing by hand" in caution.text for caution in said)
    assert all("NIOSH 94-110" in caution.basis for caution in said)
    worst = max(post.composite_index for post in result.lifting.posts)
    assert worst > 1
    assert ("lifting-high" in {caution.code for caution in said}) == (worst > 3)


def test_a_person_without_a_raised_index_gets_no_caution() -> None:
    found = open_study(examples_dir() / "co-packer.yaml")
    layout = found.best(1)[0]
    result = findings_of(found.inquiry, layout)
    raised = [post for post in result.lifting.posts if post.composite_index > 1]
    said = [caution for caution in result.cautions if caution.code.startswith("lifting-")]
    assert 0 < len(raised) < len(result.lifting.posts)
    assert len(said) == len(raised)


@pytest.mark.parametrize("name", EXAMPLES)
def test_cautions_name_a_basis_and_certify_nothing(name: str) -> None:
    found = open_study(examples_dir() / f"{name}.yaml")
    for layout in found.arrangements():
        for caution in findings_of(found.inquiry, layout).cautions:
            assert caution.basis and caution.code
            assert not re.search(
                r"\b(safe|safely|compliant|complies|compliance)\b", caution.text, re.IGNORECASE
            )
