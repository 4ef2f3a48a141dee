"""Words and amounts that several outputs share."""

from __future__ import annotations

from collections.abc import Iterator

from lineconfig.assess.money import Range
from lineconfig.catalog import EquipmentClass
from lineconfig.layout import Layout
from lineconfig.rounding import amount_text
from lineconfig.sentences import lowered
from lineconfig.session import Study

THOUSAND, MILLION = 1e3, 1e6

VIEW_WORDS = {
    "life-cycle-cost": "lowest life-cycle cost first",
    "first-cost": "lowest first cost first",
    "people": "fewest people first",
    "floor": "least floor first",
    "changeover": "quickest changeover first",
}


def short_amount(value: float) -> str:
    """An amount in four or five characters: `620k`, `1.60M`."""
    if abs(value) >= MILLION * 0.9995:
        return f"{value / MILLION:.2f}M"
    return f"{value / THOUSAND:.0f}k"


def range_text(amounts: Range) -> str:
    """Typical amount with its range: `619,880 (520,000 to 740,000)`."""
    if amounts.high == amounts.low:
        return amount_text(amounts.typical)
    typical, low, high = map(amount_text, (amounts.typical, amounts.low, amounts.high))
    return f"{typical} ({low} to {high})"


def title_text(layout: Layout) -> str:
    """A layout's main machines by name; names may hold commas, so semicolons part them."""
    wanted = ("unload", "lower", "fill", "pack", "palletize")
    names = {station.function: station.option.equipment.name for station in layout.stations}
    return "; ".join(names[function] for function in wanted if function in names)


def differences(study: Study, base: Layout, other: Layout) -> str:
    """In which classes a layout differs from another, in words."""
    classes = study.catalog.classes
    changed = [
        f"{plain_name(classes[theirs])} instead of {plain_name(classes[ours])}"
        for ours, theirs in _aligned(study, base, other)
        if ours != theirs
    ]
    return "; ".join(changed) or "the same classes"


def _aligned(study: Study, base: Layout, other: Layout) -> Iterator[tuple[str, str]]:
    """Pairs of class ids of two layouts by function: a coder may stand in two places."""
    classes = study.catalog.classes
    ours = {classes[class_id].function: class_id for class_id in base.classes}
    theirs = {classes[class_id].function: class_id for class_id in other.classes}
    for function, class_id in ours.items():
        yield class_id, theirs[function]


def plain_name(equipment: EquipmentClass) -> str:
    """A class's name inside a sentence."""
    return lowered(equipment.name)
