"""Heights of the empties side: deck, drop, frame top, and the layers that fit.

Everything here follows from geometry: a sweep unloader lifts the pallet until its top layer is
level with the deck, so its deck stands at least as high as the stack below that layer; the
lowering device needs its drop between deck and filler; the frame's head stands above the can on
the deck.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lineconfig.assess.pallets import stack_height_mm
from lineconfig.catalog import DropNeeds, EquipmentClass
from lineconfig.containers import Container, SupplyForm
from lineconfig.economics import TradeHabits

Obstruction = Literal["drop", "ceiling", "layers"]


MOST_LOADS = 2
"""A delivered pallet is split into two loads at the most: beyond that nobody runs it for long."""


@dataclass(frozen=True, slots=True)
class HeightPlan:
    """The heights of one combination of unloader, lowering class and filler infeed [mm]."""

    deck_mm: float
    """Height at which the unloader lets containers go."""
    drop_mm: float
    """From the deck to the filler's infeed."""
    top_mm: float
    """Highest point of the unloader with a container on its deck."""
    stack_mm: float
    """Top of the highest stack of empties as it is delivered, on the floor."""
    hands_mm: float
    """Highest point that hands reach in routine work at the unloader."""
    layers_at_once: tuple[int, ...]
    """Layers of one load that the unloader takes, by format."""
    loads_per_pallet: tuple[int, ...]
    """Loads that one delivered pallet or stack makes, by format."""
    least_drop_mm: float
    """Drop that the lowering class needs for the most demanding format."""
    deck_for_drop_mm: float
    """Deck below which the lowering class lacks drop."""
    ceiling_needed_mm: float
    """Least ceiling under which this combination stands at all."""
    obstruction: Obstruction | None
    """What makes the combination impossible; None where it works."""


def least_drop_mm(drop: DropNeeds | None, containers: Sequence[Container]) -> float:
    """The drop that a lowering class needs for its most demanding container [mm]."""
    if drop is None:
        return 0.0
    tallest = max(container.height_mm for container in containers)
    return drop.base_mm + drop.container_heights * tallest


def stack_layers(container: Container, form: SupplyForm) -> int:
    """Layers of one load as delivered in this form."""
    pallet = container.pallet
    return pallet.layers if form == "full-pallet" else pallet.half_stack_layers


def delivered_stack_mm(container: Container, form: SupplyForm) -> float:
    """Top of a stack of empties as it is delivered, standing on the floor [mm]."""
    pallet = container.pallet
    return stack_height_mm(
        stack_layers(container, form), container.height_mm,
        sheet_mm=pallet.sheet_mm, base_mm=pallet.base_mm,
    )  # fmt: skip


def deck_for_layers_mm(container: Container, layers: int) -> float:
    """Least deck height of a sweep unloader for a stack of so many layers [mm].

    pallet base + (layers - 1) * (container height + tier sheet), for a pallet loaded at the floor.
    """
    pallet = container.pallet
    return pallet.base_mm + (layers - 1) * (container.height_mm + pallet.sheet_mm)


def layers_under_deck(container: Container, deck_mm: float) -> int:
    """Largest number of layers that a sweep unloader with this deck takes at once."""
    pallet = container.pallet
    pitch_mm = container.height_mm + pallet.sheet_mm
    return max(0, math.floor((deck_mm - pallet.base_mm) / pitch_mm + 1e-9) + 1)


def plan_heights(
    unload: EquipmentClass,
    lower: EquipmentClass,
    infeed_mm: float,
    containers: Sequence[Container],
    forms: Sequence[SupplyForm],
    habits: TradeHabits,
    ceiling_mm: float,
) -> HeightPlan:
    """The heights of one combination, or what obstructs it.

    The deck is set as high as the stack asks for, never lower than the drop asks for, and never
    higher than the class, the lowering device or the ceiling allow. `ceiling_mm` may be infinite.
    """
    sweeps = "sweeps-layers" in unload.traits
    tips = "tips-layers" in unload.traits
    deck_span = unload.heights.discharge_mm
    assert deck_span is not None, f"{unload.id} has no discharge height"
    tallest_mm = max(container.height_mm for container in containers)
    widest_mm = max(container.pallet.width_mm for container in containers)
    drop_mm = least_drop_mm(lower.heights.drop, containers)
    deck_for_drop_mm = infeed_mm + drop_mm
    lowest_mm = max(deck_span.least, deck_for_drop_mm)
    highest_mm = deck_span.most
    if lower.heights.drop is not None:
        highest_mm = min(highest_mm, infeed_mm + lower.heights.drop.most_mm)

    if sweeps:
        head_mm = float(unload.heights.head_mm or 0.0) + tallest_mm
    else:
        built_mm = (unload.size.height_mm if unload.size else 0.0) - deck_span.least
        head_mm = max(tallest_mm, built_mm)
    lip_mm = float(unload.heights.lip_mm or 0.0)
    hands_above_mm = lip_mm + habits.tipping_rise * widest_mm if tips else tallest_mm

    wanted_mm = lowest_mm
    stacks = [(can, stack_layers(can, form)) for can, form in zip(containers, forms, strict=True)]
    stack_mm = max(
        delivered_stack_mm(can, form) for can, form in zip(containers, forms, strict=True)
    )
    if sweeps:
        wanted_mm = max(lowest_mm, *(deck_for_layers_mm(can, layers) for can, layers in stacks))
    ceiling_deck_mm = ceiling_mm - habits.ceiling_clearance_mm - head_mm
    deck_mm = max(lowest_mm, min(wanted_mm, highest_mm, ceiling_deck_mm))

    at_once, loads = [], []
    for container, stack in stacks:
        taken = min(stack, layers_under_deck(container, deck_mm)) if sweeps else stack
        at_once.append(taken)
        loads.append(math.ceil(stack / taken) if taken else 0)

    fewest_mm = lowest_mm
    if sweeps:
        halves = [(can, math.ceil(layers / MOST_LOADS)) for can, layers in stacks]
        fewest_mm = max(lowest_mm, *(deck_for_layers_mm(can, layers) for can, layers in halves))
    obstruction: Obstruction | None = None
    if lowest_mm > highest_mm:
        obstruction = "drop"
    elif max(deck_mm + head_mm, stack_mm) + habits.ceiling_clearance_mm > ceiling_mm + 1e-9:
        obstruction = "ceiling"
    elif any(count == 0 or count > MOST_LOADS for count in loads):
        obstruction = "layers"
    return HeightPlan(
        deck_mm=deck_mm,
        drop_mm=deck_mm - infeed_mm,
        top_mm=deck_mm + head_mm,
        stack_mm=stack_mm,
        hands_mm=deck_mm + hands_above_mm if not sweeps else 0.0,
        layers_at_once=tuple(at_once),
        loads_per_pallet=tuple(loads),
        least_drop_mm=drop_mm,
        deck_for_drop_mm=deck_for_drop_mm,
        ceiling_needed_mm=max(fewest_mm + head_mm, stack_mm) + habits.ceiling_clearance_mm,
        obstruction=obstruction,
    )
