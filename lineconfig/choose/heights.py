"""Heights of the empties side: deck, drop, frame top, and the layers that fit.

Everything here follows from geometry. A sweep unloader lifts the pallet until its top layer is
level with the deck, so its deck stands at least as high as the stack below that layer; so does a
table or trough onto which a person pushes whole layers from a stack that a lift table or stacker
raises, since these raise a stack and never lower it below the floor. What is loaded by handfuls is
taken from every layer where it stands. The lowering device needs its drop between deck and filler;
the frame's head stands above the can on the deck.
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
    """Highest point of any stack of empties: as delivered, and as it is put to the unloader."""
    foot_mm: float
    """Height at which the pallet of a stack stands before it is raised; 0 on the floor."""
    hands_mm: float
    """Highest point that hands reach in routine work at the unloader."""
    layers_at_once: tuple[int, ...]
    """Layers of one load that reach no higher than the deck with the top one's foot, by format."""
    loads_per_pallet: tuple[int, ...]
    """Loads that one delivered pallet or stack makes, by format."""
    taken_mm: tuple[tuple[float, ...], ...]
    """Height of the foot of each layer of a load as it is taken, the bottom one first, by format.

    Where handfuls are taken the whole stack is one load, layers above the deck among them.
    """
    top_frame_mm: tuple[float, ...]
    """Height at which the top frame comes off a stack, by format."""
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
    return _stack_top_mm(container, stack_layers(container, form))


def _stack_top_mm(container: Container, layers: int) -> float:
    pallet = container.pallet
    return stack_height_mm(
        layers, container.height_mm, sheet_mm=pallet.sheet_mm, base_mm=pallet.base_mm
    )


def deck_for_layers_mm(container: Container, layers: int, foot_mm: float = 0.0) -> float:
    """Least deck height for a stack of so many layers to lie no higher than it [mm].

    foot + pallet base + (layers - 1) * (container height + tier sheet); the foot is where the
    pallet stands before it is raised, 0 for the floor.
    """
    pallet = container.pallet
    return foot_mm + pallet.base_mm + (layers - 1) * (container.height_mm + pallet.sheet_mm)


def layers_under_deck(container: Container, deck_mm: float, foot_mm: float = 0.0) -> int:
    """Largest number of layers of a stack of which none stands above this deck."""
    pallet = container.pallet
    pitch_mm = container.height_mm + pallet.sheet_mm
    return max(0, math.floor((deck_mm - foot_mm - pallet.base_mm) / pitch_mm + 1e-9) + 1)


Taking = Literal["swept", "pushed", "gripped", "handfuls"]
"""How layers leave the stack: swept off by a machine that lifts the pallet; pushed or tipped by a
person, level with the deck; gripped from above, pallet on the floor; by handfuls, as they stand."""


def taking_of(unload: EquipmentClass) -> Taking:
    """How an unloader takes the layers of a stack."""
    if "sweeps-layers" in unload.traits:
        return "swept"
    if "needs-level-supply" in unload.traits:
        return "pushed"
    return "gripped" if "powered-unloader" in unload.traits else "handfuls"


def _lowest_deck_mm(
    stacks: Sequence[tuple[Container, int]], foot_mm: float, lowest_mm: float, most_mm: float
) -> float:
    """The lowest deck on which the stacks make the fewest loads [mm]."""
    asked_mm = [
        deck_for_layers_mm(can, math.ceil(layers / parts), foot_mm)
        for can, layers in stacks
        for parts in range(1, MOST_LOADS + 1)
    ]

    def loads(deck_mm: float) -> float:
        under = [layers_under_deck(can, deck_mm, foot_mm) for can, _ in stacks]
        pairs = zip(stacks, under, strict=True)
        return sum(math.ceil(layers / count) if count else math.inf for (_, layers), count in pairs)

    decks_mm = [lowest_mm, *(mm for mm in asked_mm if lowest_mm < mm <= most_mm)]
    return min(decks_mm, key=lambda deck_mm: (loads(deck_mm), deck_mm))


def plan_heights(
    supply: EquipmentClass,
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
    higher than the class, the lowering device or the ceiling allow. Where a person pushes layers,
    it is the lowest with the fewest loads, and no stack makes it so high that hands come overhead.
    `ceiling_mm` may be infinite.
    """
    taking = taking_of(unload)
    sweeps = taking == "swept"
    level = "keeps-layer-level" in supply.traits
    # A machine that lifts the pallet itself takes it from the floor.
    foot_mm = float(supply.heights.lowered_mm or 0.0) if level and not sweeps else 0.0
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
        sheet_mm = max(container.pallet.sheet_mm for container in containers)
        head_mm = max(tallest_mm + sheet_mm, built_mm)
    lip_mm = float(unload.heights.lip_mm or 0.0)
    hands_above_mm = lip_mm + habits.tipping_rise * widest_mm if tips else tallest_mm

    stacks = [(can, stack_layers(can, form)) for can, form in zip(containers, forms, strict=True)]
    ceiling_deck_mm = ceiling_mm - habits.ceiling_clearance_mm - head_mm
    wanted_mm = lowest_mm
    if taking in ("swept", "pushed"):
        wanted_mm = max(deck_for_layers_mm(can, layers, foot_mm) for can, layers in stacks)
    if taking == "pushed":
        in_reach_mm = habits.overhead_mm - hands_above_mm
        most_mm = max(lowest_mm, min(highest_mm, ceiling_deck_mm, in_reach_mm))
        wanted_mm = _lowest_deck_mm(stacks, foot_mm, lowest_mm, most_mm)
    deck_mm = max(lowest_mm, min(wanted_mm, highest_mm, ceiling_deck_mm))

    at_once, loads, tops = [], [], []
    taken: list[tuple[float, ...]] = []
    for container, stack in stacks:
        under = min(stack, layers_under_deck(container, deck_mm, foot_mm))
        at_once.append(stack if taking == "gripped" else under)
        if taking in ("swept", "pushed"):
            loads.append(math.ceil(stack / under) if under else 0)
            taken.append((deck_mm,) * under)
        else:
            loads.append(1)
            stands_mm = (deck_for_layers_mm(container, k, foot_mm) for k in range(1, stack + 1))
            taken.append(tuple(max(deck_mm, mm) if level else mm for mm in stands_mm))
        # Before a stack is split its frame comes off on the floor.
        whole = loads[-1] <= 1
        top_mm = (foot_mm if whole else 0.0) + _stack_top_mm(container, stack)
        tops.append(max(deck_mm + container.height_mm, top_mm) if level and not sweeps else top_mm)
    if taking == "handfuls":
        hands_above_mm += max(0.0, max(map(max, taken)) - deck_mm)

    fewest_mm = lowest_mm
    if taking in ("swept", "pushed"):
        halves = [(can, math.ceil(layers / MOST_LOADS)) for can, layers in stacks]
        fewest_mm = max(
            lowest_mm, *(deck_for_layers_mm(can, layers, foot_mm) for can, layers in halves)
        )
    # As low as it can stand: what is pushed may be split, and then does.
    standing_mm = max(_stack_top_mm(can, layers) for can, layers in stacks)
    if taking == "handfuls":
        standing_mm += foot_mm
    stack_mm = max(tops)
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
        foot_mm=foot_mm,
        hands_mm=deck_mm + hands_above_mm if not sweeps else 0.0,
        layers_at_once=tuple(at_once),
        loads_per_pallet=tuple(loads),
        taken_mm=tuple(taken),
        top_frame_mm=tuple(tops),
        least_drop_mm=drop_mm,
        deck_for_drop_mm=deck_for_drop_mm,
        ceiling_needed_mm=max(fewest_mm + head_mm, standing_mm) + habits.ceiling_clearance_mm,
        obstruction=obstruction,
    )
