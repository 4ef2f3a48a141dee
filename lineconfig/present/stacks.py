"""Stacks of empties at the unloader: where their layers are taken, as a record and as text."""

from __future__ import annotations

from typing import Any

from lineconfig.choose.heights import delivered_stack_mm, stack_layers, taking_of
from lineconfig.choose.rules import length_text
from lineconfig.layout import Layout
from lineconfig.rounding import mm_text
from lineconfig.session import Study

_SAME_MM = 0.5


def stacks_record(study: Study, layout: Layout) -> dict[str, dict[str, Any]]:
    """By format: the delivered stack, its loads, and the heights at which layers are taken."""
    plan = layout.heights
    forms = study.inquiry.forms(layout.station("supply").option)
    found = {}
    for index, (fmt, form) in enumerate(zip(study.need.formats, forms, strict=True)):
        taken_mm = plan.taken_mm[index]
        found[fmt.id] = {
            "layers": stack_layers(fmt.container, form),
            "delivered_mm": round(delivered_stack_mm(fmt.container, form), 1),
            "foot_mm": round(plan.foot_mm, 1),
            "loads": plan.loads_per_pallet[index],
            "layers_above_deck": sum(mm > plan.deck_mm + _SAME_MM for mm in taken_mm),
            "taken_mm": {"lowest": round(min(taken_mm), 1), "highest": round(max(taken_mm), 1)},
        }
    return found


def stack_texts(study: Study, layout: Layout) -> list[str]:
    """What a person does with a stack that does not lie level with the deck; none where all is."""
    plan = layout.heights
    by_hand = taking_of(layout.station("unload").option.equipment) == "handfuls"
    on_table = f" on the lowered table ({mm_text(plan.foot_mm)} mm)" if plan.foot_mm else ""
    texts = []
    for fmt, stack in zip(study.need.formats, stacks_record(study, layout).values(), strict=True):
        start = f"{fmt.container.name}: a stack is {length_text(stack['delivered_mm'])} high"
        if stack["loads"] > 1:
            texts.append(
                f"{start} as delivered; set down{on_table} it reaches above the deck and cannot be "
                f"lowered to it, so it is split into {stack['loads']} loads."
            )
        elif by_hand:
            said = _by_handfuls(stack, plan.deck_mm)
            texts += [f"{start} and stands{on_table or ' on the floor'}: {said}."] if said else []
    return texts


def _by_handfuls(stack: dict[str, Any], deck_mm: float) -> str:
    """Where hands go above and below the deck; empty where they do not."""
    said = []
    above, highest = stack["layers_above_deck"], length_text(stack["taken_mm"]["highest"])
    if above == 1:
        said.append(f"its top layer is above the deck and taken down from {highest}")
    elif above:
        said.append(
            f"the upper {above} of {stack['layers']} layers are above the deck and taken down from "
            f"up to {highest}"
        )
    if stack["taken_mm"]["lowest"] < deck_mm - _SAME_MM:
        said.append(f"the lowest layer is taken up from {length_text(stack['taken_mm']['lowest'])}")
    elif 0 < above < stack["layers"]:
        said.append("the others are raised to it")
    return "; ".join(said)
