"""Heights of the empties side, worked out by hand from the geometry."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.choose.heights import (
    HeightPlan,
    deck_for_layers_mm,
    layers_under_deck,
    least_drop_mm,
    plan_heights,
)

CAN = "can-355-standard"
USUAL = {
    "full-pallet": "full-pallet-jack",
    "half-stack": "half-stack-jack",
    "loose": "loose-trays-lift-table",
}
"""What brings a load in this form where a test does not say."""


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def plan(
    catalog: Catalog,
    unload: str,
    lower: str,
    *,
    can: str = CAN,
    form: str = "full-pallet",
    supply: str | None = None,
    infeed_mm: float = 1000.0,
    ceiling_mm: float = math.inf,
) -> HeightPlan:
    return plan_heights(
        catalog.classes[supply or USUAL[form]], catalog.classes[unload], catalog.classes[lower],
        infeed_mm,
        [catalog.containers[can]], [form],  # type: ignore[list-item]
        catalog.economics.habits, ceiling_mm,
    )  # fmt: skip


def test_deck_for_a_full_pallet(catalog: Catalog) -> None:
    """Base + (21 - 1) x (can + sheet): the pallet is loaded at the floor and lifted to the deck."""
    can = catalog.containers[CAN]
    pallet = can.pallet
    expected = pallet.base_mm + 20 * (can.height_mm + pallet.sheet_mm)
    assert pallet.layers == 21
    assert deck_for_layers_mm(can, 21) == pytest.approx(expected)
    found = plan(catalog, "full-height-depalletizer", "twist-rinser")
    assert found.deck_mm == pytest.approx(expected)
    assert (found.layers_at_once, found.loads_per_pallet) == ((21,), (1,))
    head_mm = catalog.classes["full-height-depalletizer"].heights.head_mm
    assert head_mm is not None
    assert found.top_mm == pytest.approx(expected + can.height_mm + head_mm)


def test_layers_and_decks_are_inverse(catalog: Catalog) -> None:
    for can in catalog.containers.values():
        for layers in range(1, can.pallet.layers + 1):
            deck_mm = deck_for_layers_mm(can, layers)
            assert layers_under_deck(can, deck_mm) == layers
            assert layers_under_deck(can, deck_mm - 1) == layers - 1


def test_a_low_ceiling_means_fewer_layers_then_none(catalog: Catalog) -> None:
    layers, works = [], []
    for ceiling_mm in range(4000, 2400, -50):
        found = plan(
            catalog, "full-height-depalletizer", "twist-rinser", ceiling_mm=float(ceiling_mm)
        )
        works.append(found.obstruction is None)
        if found.obstruction is None:
            layers.append(found.layers_at_once[0])
            clearance_mm = catalog.economics.habits.ceiling_clearance_mm
            assert found.top_mm + clearance_mm <= ceiling_mm + 1e-6
            assert ceiling_mm >= found.ceiling_needed_mm - 1e-6
        else:
            assert ceiling_mm < found.ceiling_needed_mm
    assert layers == sorted(layers, reverse=True) and len(set(layers)) > 2
    assert works == sorted(works, reverse=True) and not works[-1]
    assert min(layers) < 21 == max(layers)


def test_a_split_pallet_is_at_most_two_loads(catalog: Catalog) -> None:
    for unload in ("full-height-depalletizer", "tall-depalletizer", "bulk-depalletizer"):
        for ceiling_mm in (2700.0, 3000.0, 3300.0, 5000.0):
            found = plan(catalog, unload, "twist-rinser", ceiling_mm=ceiling_mm)
            if found.obstruction is None:
                assert found.loads_per_pallet[0] in (1, 2)


def test_the_drop_raises_the_deck(catalog: Catalog) -> None:
    drop_mm = least_drop_mm(
        catalog.classes["short-twist-rinser"].heights.drop, [catalog.containers[CAN]]
    )
    found = plan(catalog, "hand-loading-shelf", "short-twist-rinser", form="half-stack")
    assert found.deck_mm == pytest.approx(1000 + drop_mm)
    assert found.drop_mm == pytest.approx(drop_mm)


def test_too_little_drop_is_an_obstruction(catalog: Catalog) -> None:
    found = plan(catalog, "half-height-depalletizer", "gripper-lowerator", form="half-stack")
    assert found.obstruction == "drop"
    assert found.deck_for_drop_mm > 1830


def test_hands_at_a_tipped_trough(catalog: Catalog) -> None:
    low = plan(catalog, "gravity-trough", "level-run", form="half-stack")
    raised = plan(catalog, "gravity-trough-raised", "short-twist-rinser", form="half-stack")
    overhead_mm = catalog.economics.habits.overhead_mm
    assert low.hands_mm < overhead_mm < raised.hands_mm


def at_table(catalog: Catalog, unload: str, lower: str, **more: Any) -> HeightPlan:
    """A half stack of 11 layers of 122.2 mm cans with 0.9 mm sheets on a 120 mm pallet, on a lift
    table on which a pallet stands 85 mm above the floor before it is raised."""
    return plan(
        catalog, unload, lower, form="half-stack", **({"supply": "half-stack-lift-table"} | more)
    )


def test_a_lift_table_raises_layers_to_a_shelf_and_leaves_higher_ones_where_they_are(
    catalog: Catalog,
) -> None:
    found = at_table(catalog, "hand-loading-shelf", "level-run", infeed_mm=1016.0)
    assert found.deck_mm == 1016
    stand_mm = [85 + 120 + k * 123.1 for k in range(11)]  # feet of the layers, by hand
    assert [mm for mm in stand_mm if mm <= 1016] == stand_mm[:7]
    assert (found.layers_at_once, found.loads_per_pallet) == ((7,), (1,))
    assert found.taken_mm[0] == pytest.approx([1016.0] * 7 + stand_mm[7:])
    assert found.hands_mm == pytest.approx(stand_mm[10] + 122.2)
    assert found.stack_mm == pytest.approx(85 + 1474.1)


def test_handfuls_are_taken_from_every_layer_of_a_stack_on_the_floor(catalog: Catalog) -> None:
    found = at_table(
        catalog, "hand-loading-shelf", "level-run", infeed_mm=1016.0, supply="half-stack-jack"
    )
    # 120 + 7 x 123.1 = 982 lies below the deck, 120 + 8 x 123.1 = 1,105 above it.
    assert (found.layers_at_once, found.loads_per_pallet) == ((8,), (1,))
    assert found.taken_mm[0] == pytest.approx([120 + k * 123.1 for k in range(11)])
    tall = at_table(
        catalog, "hand-loading-shelf", "level-run", infeed_mm=1016.0, supply="half-stack-jack",
        can="can-473-standard",
    )  # fmt: skip
    # 8 layers at 120 + k x 158.1: 910.5 is the sixth.
    assert tall.layers_at_once == (6,)


@pytest.mark.parametrize("unload", ["gravity-trough", "rotary-unscrambling-table"])
def test_layers_are_not_pushed_down_onto_a_low_table(catalog: Catalog, unload: str) -> None:
    found = at_table(catalog, unload, "level-run", infeed_mm=1016.0)
    assert (found.layers_at_once, found.loads_per_pallet) == ((7,), (2,))
    assert found.taken_mm == ((1016.0,) * 7,)
    # Before it is split the stack stands on the floor as it came.
    assert found.stack_mm == pytest.approx(1474.1)


def test_a_table_within_reach_is_set_as_high_as_its_stack(catalog: Catalog) -> None:
    found = at_table(catalog, "single-filing-table", "short-twist-rinser", infeed_mm=965.0)
    assert found.least_drop_mm == pytest.approx(150 + 2 * 122.2)
    # Higher than the drop asks for, so that the top layer of the lowered stack is not above it.
    assert found.deck_mm == pytest.approx(85 + 120 + 10 * 123.1)
    assert (found.layers_at_once, found.loads_per_pallet) == ((11,), (1,))
    level = at_table(catalog, "single-filing-table", "level-run", infeed_mm=965.0)
    # A level run lets it be no higher; then it is as low as the filler, and the stack is split.
    assert (level.deck_mm, level.loads_per_pallet) == (965, (2,))


def test_no_stack_brings_hands_overhead(catalog: Catalog) -> None:
    overhead_mm = catalog.economics.habits.overhead_mm
    for can in ("can-355-standard", "can-950-wide", "can-250-slim"):
        for infeed_mm in range(750, 1300, 50):
            for unload in ("gravity-trough-raised", "single-filing-table", "gravity-trough"):
                found = at_table(
                    catalog, unload, "gravity-track", infeed_mm=float(infeed_mm), can=can
                )
                low = max(
                    catalog.classes[unload].heights.discharge_mm.least,  # type: ignore[union-attr]
                    found.deck_for_drop_mm,
                )
                assert found.deck_mm == low or found.hands_mm <= overhead_mm


@given(
    unload=st.sampled_from(["half-height-depalletizer", "full-height-depalletizer",
                            "tall-depalletizer", "bulk-depalletizer", "single-filing-table"]),
    lower=st.sampled_from(["short-twist-rinser", "twist-rinser", "gripper-lowerator",
                           "gravity-track", "level-run"]),
    can=st.sampled_from(["can-355-standard", "can-250-slim", "can-473-standard", "can-150-slim"]),
    form=st.sampled_from(["full-pallet", "half-stack"]),
    ceiling_mm=st.floats(2000, 6000),
    higher_mm=st.floats(0, 2000),
)  # fmt: skip
def test_a_higher_ceiling_never_loses_a_combination(
    unload: str, lower: str, can: str, form: str, ceiling_mm: float, higher_mm: float
) -> None:
    catalog = SHIPPED
    low = plan(catalog, unload, lower, can=can, form=form, ceiling_mm=ceiling_mm)
    high = plan(catalog, unload, lower, can=can, form=form, ceiling_mm=ceiling_mm + higher_mm)
    if low.obstruction is None:
        assert high.obstruction is None
        assert high.layers_at_once >= low.layers_at_once


SHIPPED = load_catalog()
