"""Cautions: what can hurt somebody or spoil the product in one layout.

They are the cautions of its classes and those that follow from its figures: lifts, heights,
guards, rinse, pressure and heat.
Nothing here clears a layout: local codes and licensed practice decide.
"""

from __future__ import annotations

from lineconfig.assess.cautions import Caution
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import length_text
from lineconfig.findings.whole import Findings, findings_of
from lineconfig.layout import Layout

LOCAL_CODES = Caution(
    "local-codes",
    "Figures and cautions are a planner's aid: local codes, the makers' manuals and licensed "
    "practice decide on guarding, electrical work, gases, egress and structure.",
    "common practice",
)


def cautions_for(
    inquiry: Inquiry, layout: Layout, findings: Findings | None = None
) -> tuple[Caution, ...]:
    """Every caution of a layout, the general one first, each once.

    `findings` are those of the layout, where they have been worked out already.
    """
    findings = findings or findings_of(inquiry, layout)
    found = [LOCAL_CODES, *findings.cautions]
    found += [*_from_heights(inquiry, layout), *_from_supply(inquiry, layout)]
    for class_id in layout.classes:
        found += [
            Caution(item.code, item.text, item.basis)
            for item in inquiry.catalog.classes[class_id].cautions
        ]
    return tuple({(item.code, item.text): item for item in found}.values())


def _from_heights(inquiry: Inquiry, layout: Layout) -> list[Caution]:
    plan = layout.heights
    cautions = []
    if plan.hands_mm > inquiry.habits.overhead_mm:
        cautions.append(
            Caution(
                "ladder-work",
                f"Hands reach {length_text(plan.hands_mm)} at the unloader: plan a platform with "
                "guardrails rather than a ladder, and have it checked against local codes.",
                "NIOSH 94-110: no lifting above 175 cm",
            )
        )
    for index, loads in enumerate(plan.loads_per_pallet):
        if loads > 1:
            can = inquiry.containers[index]
            cautions.append(
                Caution(
                    "split-pallets",
                    f"{can.name}: the frame takes {plan.layers_at_once[index]} layers at once, so "
                    f"each delivered pallet is split into {loads} loads.",
                    "geometry",
                )
            )
    return cautions


def _from_supply(inquiry: Inquiry, layout: Layout) -> list[Caution]:
    if "no-rinse" not in layout.classes:
        return []
    handled = [fmt for fmt in inquiry.need.formats if fmt.rehandled or fmt.open_storage]
    text = (
        "Rinsing is needed here: the cans were handled or stored in the open since the can plant."
        if handled
        else "The empties are not rinsed: rinsing is advised nearly always."
    )
    return [Caution("rinse-advised", text, "common practice")]
