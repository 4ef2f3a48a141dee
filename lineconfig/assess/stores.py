"""Stores: pallets that wait, and the floor that they take in block stacks.

Pallets stand behind one another in lanes that face an aisle, and on one another. A lane holds one
kind of goods, so a lane that is not full is floor that nothing else uses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.inputs import require_not_negative, require_positive

MM2_PER_M2 = 1e6
DAYS_PER_WEEK = 7.0
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Block:
    """How pallets are stacked in blocks."""

    depth: int
    """Pallets behind one another in a lane. [-]"""
    high: int
    """Pallets on one another. [-]"""
    gap_mm: float
    """Free between neighbours. [mm]"""
    aisle_mm: float
    """Between two rows of lanes, so that half of it belongs to each. [mm]"""

    @property
    def lane_holds(self) -> int:
        """Pallets in a full lane. [pallets]"""
        return self.depth * self.high


def pallets_per_week(cans_per_week: float, cans_per_pallet: float) -> float:
    """Give the pallets that a week's containers come or go on.

    Parameters
    ----------
    cans_per_week : float
        Containers in a week. [containers]
    cans_per_pallet : float
        Containers on one pallet. [containers]

    Returns
    -------
    float
        Pallets, as an average. [pallets]

    Raises
    ------
    ValueError
        If the number per week is negative or the number on a pallet is not above zero.

    References
    ----------
    Arithmetic.

    Examples
    --------
    >>> pallets_per_week(81_690, 8169)
    10.0
    """
    require_not_negative(cans_per_week=cans_per_week)
    require_positive(cans_per_pallet=cans_per_pallet)
    return cans_per_week / cans_per_pallet


def pallets_for_cover(pallets_a_week: float, cover_days: float) -> int:
    """Give the pallets in store that last for some days.

    Parameters
    ----------
    pallets_a_week : float
        Pallets used or made in a week. [pallets]
    cover_days : float
        Calendar days that they are to last. [day]

    Returns
    -------
    int
        Whole pallets. [pallets]

    Raises
    ------
    ValueError
        If an argument is negative or not finite.

    References
    ----------
    Days of supply: stock / use per day, any textbook of stock keeping.

    Examples
    --------
    >>> pallets_for_cover(10.0, 10)
    15
    """
    require_not_negative(pallets_a_week=pallets_a_week, cover_days=cover_days)
    return math.ceil(pallets_a_week * cover_days / DAYS_PER_WEEK - _SLACK)


def stacked_high(pallet_height_mm: float, clear_height_mm: float, most: int) -> int:
    """Give how many pallets stand on one another.

    Parameters
    ----------
    pallet_height_mm : float
        Height of one loaded pallet. [mm]
    clear_height_mm : float
        Height that the stack may take. [mm]
    most : int
        Most that the goods bear. [pallets]

    Returns
    -------
    int
        At least 1, since one pallet was brought in somehow. [pallets]

    Raises
    ------
    ValueError
        If the pallet's height is not above zero, or another argument is negative.

    References
    ----------
    Arithmetic.

    Examples
    --------
    >>> stacked_high(2700, 4800, 2)
    1
    """
    require_positive(pallet_height_mm=pallet_height_mm)
    require_not_negative(clear_height_mm=clear_height_mm, most=most)
    return max(1, min(most, math.floor(clear_height_mm / pallet_height_mm + _SLACK)))


def block_lanes(pallets: int, block: Block) -> int:
    """Give the lanes that pallets of one kind take.

    Parameters
    ----------
    pallets : int
        Pallets of one kind. [pallets]
    block : Block
        How they are stacked.

    Returns
    -------
    int
        Lanes, the last of them perhaps not full. [lanes]

    Raises
    ------
    ValueError
        If the number of pallets is negative.

    References
    ----------
    Bartholdi and Hackman, Warehouse & Distribution Science: pallets in lanes (from memory).
    """
    require_not_negative(pallets=pallets)
    return -(-pallets // block.lane_holds)


def block_floor_m2(
    pallets: int, pallet_length_mm: float, pallet_width_mm: float, block: Block
) -> float:
    """Give the floor of block stacks of one kind of goods, half of the aisle before them included.

    Parameters
    ----------
    pallets : int
        Pallets of one kind. [pallets]
    pallet_length_mm, pallet_width_mm : float
        Pallet on the floor; the length lies along the lane. [mm]
    block : Block
        How they are stacked.

    Returns
    -------
    float
        Floor. [m2]

    Raises
    ------
    ValueError
        If a dimension is not above zero, or a number is negative.

    References
    ----------
    Bartholdi and Hackman, Warehouse & Distribution Science (from memory): a lane of k positions and
    half the aisle before it takes k + a / 2 pallet positions.

    Examples
    --------
    >>> block = Block(depth=3, high=2, gap_mm=100, aisle_mm=3000)
    >>> round(block_floor_m2(12, 1422.4, 1117.6, block), 1)
    14.8
    """
    require_positive(pallet_length_mm=pallet_length_mm, pallet_width_mm=pallet_width_mm)
    lane_mm = block.depth * (pallet_length_mm + block.gap_mm) + block.aisle_mm / 2.0
    return block_lanes(pallets, block) * lane_mm * (pallet_width_mm + block.gap_mm) / MM2_PER_M2
