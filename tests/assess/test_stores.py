"""Stores: what must hold for every number of pallets."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.assess.stores import (
    Block,
    block_floor_m2,
    block_lanes,
    pallets_for_cover,
    pallets_per_week,
    stacked_high,
)

blocks = st.builds(
    Block, st.integers(1, 8), st.integers(1, 4), st.floats(0, 300), st.floats(0, 5000)
)


@given(blocks, st.integers(0, 500), st.integers(0, 500))
def test_more_pallets_never_take_less_floor(block: Block, some: int, more: int) -> None:
    few = block_floor_m2(some, 1219.2, 1016, block)
    assert block_floor_m2(some + more, 1219.2, 1016, block) >= few


@given(blocks, st.integers(1, 500))
def test_every_pallet_has_its_place(block: Block, pallets: int) -> None:
    assert block_lanes(pallets, block) * block.lane_holds >= pallets
    bare_m2 = pallets / block.high * 1.2192 * 1.016
    assert block_floor_m2(pallets, 1219.2, 1016, block) >= bare_m2 - 1e-9


@given(st.floats(0, 500), st.floats(0, 365), st.floats(0, 60))
def test_more_days_never_take_fewer_pallets(a_week: float, days: float, more: float) -> None:
    assert pallets_for_cover(a_week, days + more) >= pallets_for_cover(a_week, days)


@given(st.floats(100, 4000), st.floats(0, 20_000), st.integers(1, 6))
def test_a_stack_never_passes_the_ceiling_unless_it_is_one_pallet(
    pallet_mm: float, clear_mm: float, most: int
) -> None:
    high = stacked_high(pallet_mm, clear_mm, most)
    assert 1 <= high <= most
    assert high == 1 or high * pallet_mm <= clear_mm * (1 + 1e-6)


def test_senseless_input_is_refused() -> None:
    with pytest.raises(ValueError, match="cans_per_pallet"):
        pallets_per_week(1000, 0)
    with pytest.raises(ValueError, match="cover_days"):
        pallets_for_cover(1.0, -1.0)
    with pytest.raises(ValueError, match="pallets"):
        block_lanes(-1, Block(1, 1, 0.0, 0.0))
    with pytest.raises(ValueError, match="pallet_length_mm"):
        block_floor_m2(1, 0.0, 1.0, Block(1, 1, 0.0, 0.0))
