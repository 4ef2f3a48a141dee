"""Stores: pallets of empties and of full goods, their floor, and what half stacks cost more."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.pallets import stack_height_mm
from lineconfig.assess.stores import (
    Block,
    block_floor_m2,
    pallets_for_cover,
    pallets_per_week,
    stacked_high,
)
from lineconfig.choose.heights import stack_layers
from lineconfig.choose.inquiry import Inquiry
from lineconfig.containers import Container, SupplyForm
from lineconfig.findings.lifts import case_kg
from lineconfig.layout import Layout
from lineconfig.need import Format

MM_PER_INCH = 25.4
SHIPPING_LENGTH_MM = 48 * MM_PER_INCH
SHIPPING_WIDTH_MM = 40 * MM_PER_INCH
"""The pallet for full goods, one of the six of ISO 6780:2003. [mm]"""
PALLET_CARRIES_KG = 2500 * 0.45359237
"""What a common wooden pallet of that size carries: 2,500 lb, from memory. [kg]"""


@dataclass(frozen=True, slots=True)
class Pallets:
    """Pallets of one kind in store."""

    cans_each: int
    per_week: float
    in_store: int
    """For the days of cover. [pallets]"""
    height_mm: float
    high: int
    """Pallets on one another. [pallets]"""
    area_m2: float
    """In block stacks with half of the aisle. [m2]"""


@dataclass(frozen=True, slots=True)
class FormatStores:
    """The stores of one format."""

    format_id: str
    form: SupplyForm
    """How its empties come on this line."""
    empties: Pallets
    goods: Pallets
    goods_kg: float
    """Mass of one pallet of full goods. [kg]"""
    half_stack_extra: float
    """What a year's empties cost more in half stacks than on full pallets [currency/year]."""
    half_stacks_per_week: float
    full_pallets_per_week: float


@dataclass(frozen=True, slots=True)
class Stores:
    """The stores of a layout."""

    cover_days: float
    assumed: bool
    """Whether the brief left the days open."""
    formats: tuple[FormatStores, ...]
    lane_depth: int
    aisle_mm: float

    @property
    def empties_m2(self) -> float:
        """Floor of the empties. [m2]"""
        return sum(row.empties.area_m2 for row in self.formats)

    @property
    def goods_m2(self) -> float:
        """Floor of the full goods. [m2]"""
        return sum(row.goods.area_m2 for row in self.formats)

    @property
    def area_m2(self) -> float:
        """Floor of both. [m2]"""
        return self.empties_m2 + self.goods_m2


def stores_of(inquiry: Inquiry, layout: Layout) -> Stores:
    """The stores of a layout."""
    asked = inquiry.need.brief.operation.cover_days
    stores = inquiry.catalog.economics.stores
    cover_days = stores.cover_days if asked is None else asked
    forms = inquiry.forms(layout.station("supply").option)
    return Stores(
        cover_days=cover_days,
        assumed=asked is None,
        formats=tuple(
            _format_stores(inquiry, fmt, form, cover_days, index)
            for index, (fmt, form) in enumerate(zip(inquiry.need.formats, forms, strict=True))
        ),
        lane_depth=stores.lane_depth,
        aisle_mm=float(stores.aisle_mm),
    )


def stores_cautions(inquiry: Inquiry, stores: Stores) -> list[Caution]:
    """Full pallets that weigh more than common ones carry."""
    heavy = [row for row in stores.formats if row.goods_kg > PALLET_CARRIES_KG]
    if not heavy:
        return []
    names = {fmt.id: fmt.container.name for fmt in inquiry.need.formats}
    each = ", ".join(f"{names[row.format_id]} {row.goods_kg:,.0f} kg" for row in heavy)
    text = (
        f"A full pallet of {inquiry.habits.cases_per_full_pallet} cases: {each}. A wooden pallet "
        f"of 48 x 40 in carries about 2,500 lb ({PALLET_CARRIES_KG:,.0f} kg): stack fewer cases, "
        "or check pallet, truck and floor for the load."
    )
    return [Caution("heavy-pallet", text, "common practice; the pallet's load from memory")]


def _format_stores(
    inquiry: Inquiry, fmt: Format, form: SupplyForm, cover_days: float, index: int
) -> FormatStores:
    can, habits, economics = fmt.container, inquiry.habits, inquiry.catalog.economics
    week = fmt.annual_cans / inquiry.need.weeks_per_year
    pallet = can.pallet
    layers = stack_layers(can, form)
    cases = habits.cases_per_full_pallet
    empties_mm = stack_height_mm(
        layers, can.height_mm, sheet_mm=float(pallet.sheet_mm), base_mm=float(pallet.base_mm)
    )
    half = pallet.per_layer * pallet.half_stack_layers
    return FormatStores(
        format_id=fmt.id,
        form=form,
        empties=_pallets(
            inquiry, week, pallet.per_layer * layers, empties_mm, economics.stores.empties_high,
            (float(pallet.length_mm), float(pallet.width_mm)), cover_days,
        ),
        goods=_pallets(
            inquiry, week, habits.cans_per_case * cases, _goods_height_mm(inquiry, can),
            economics.stores.goods_high, (SHIPPING_LENGTH_MM, SHIPPING_WIDTH_MM), cover_days,
        ),
        goods_kg=cases * case_kg(inquiry, index) + economics.handling.shipping_pallet_kg,
        half_stack_extra=fmt.annual_cans / 1000 * economics.tariffs.half_stack_premium_per_1000,
        half_stacks_per_week=pallets_per_week(week, half),
        full_pallets_per_week=pallets_per_week(week, pallet.count),
    )  # fmt: skip


def _goods_height_mm(inquiry: Inquiry, can: Container) -> float:
    handling = inquiry.catalog.economics.handling
    layers = math.ceil(inquiry.habits.cases_per_full_pallet / handling.cases_per_layer)
    return handling.shipping_pallet_height_mm + layers * (can.height_mm + handling.case_board_mm)


def _pallets(
    inquiry: Inquiry,
    cans_per_week: float,
    cans_each: int,
    height_mm: float,
    most_high: int,
    footprint_mm: tuple[float, float],
    cover_days: float,
) -> Pallets:
    stores = inquiry.catalog.economics.stores
    clear_mm = inquiry.ceiling_mm - inquiry.habits.ceiling_clearance_mm
    high = stacked_high(height_mm, max(0.0, clear_mm), most_high)
    per_week = pallets_per_week(cans_per_week, cans_each)
    in_store = pallets_for_cover(per_week, cover_days)
    block = Block(stores.lane_depth, high, float(stores.pallet_gap_mm), float(stores.aisle_mm))
    return Pallets(
        cans_each, per_week, in_store, height_mm, high,
        block_floor_m2(in_store, *footprint_mm, block),
    )  # fmt: skip
