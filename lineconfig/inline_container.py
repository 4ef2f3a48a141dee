"""A container that the catalogue does not list: its pallet and its mass are estimated."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.pallets import layers_within, nested_count
from lineconfig.brief import InlineContainer
from lineconfig.containers import CLOSING_OF_KIND, Container
from lineconfig.quantities import span_words

PALLET_LENGTH_IN = 56
PALLET_WIDTH_IN = 44
EDGE_IN = 0.5
"""Kept free along the pallet's sides: with it the geometry meets the trade's counts within 4 %."""

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class _Material:
    """What follows from what a container is made of; all from memory."""

    stack_mm: float
    """Height of the layers on a full pallet."""
    base_mm: float
    sheet_mm: float
    grams_per_ml: float


_CAN = _Material(stack_mm=2650, base_mm=120, sheet_mm=0.9, grams_per_ml=0.035)
_MATERIALS = {
    "two-piece-can": _CAN,
    "threaded-can-bottle": _Material(2650, 120, 0.9, 0.062),
    "glass-bottle": _Material(2100, 145, 3.0, 0.65),
}


def inline_id(inline: InlineContainer) -> str:
    """An id for a container described in place: `inline-355-66x122`."""
    return f"inline-{inline.volume_ml:.0f}-{inline.diameter_mm:.0f}x{inline.height_mm:.0f}"


def container_of(inline: InlineContainer, container_id: str) -> Container:
    """The container with an estimated pallet.

    Raises ValueError for sizes that cannot be: too small, too large, or less than the volume.
    """
    for what, value, least, most, unit in (
        ("diameter", inline.diameter_mm, 30, 200, "mm"),
        ("height", inline.height_mm, 30, 500, "mm"),
        ("volume", inline.volume_ml, 20, 5000, "ml"),
    ):
        if not least <= value <= most:
            words = span_words(value.text, least, most, unit)
            raise ValueError(f"{what} {value.text} is out of range: {words} is possible")
    holds_ml = math.pi / 4 * inline.diameter_mm**2 * inline.height_mm / 1000
    if holds_ml < inline.volume_ml:
        raise ValueError(
            f"{inline.diameter_mm.text} by {inline.height_mm.text} holds less than "
            f"{holds_ml:.0f} ml, so not {inline.volume_ml.text}"
        )
    material = _MATERIALS[inline.kind]
    per_layer = nested_count(
        inline.diameter_mm,
        PALLET_LENGTH_IN * MM_PER_INCH,
        PALLET_WIDTH_IN * MM_PER_INCH,
        edge_allowance_mm=EDGE_IN * MM_PER_INCH,
    )
    layers = layers_within(
        material.stack_mm, inline.height_mm, sheet_mm=material.sheet_mm, base_mm=0.0
    )
    estimate = "estimated from the container's size"
    return Container.model_validate(
        {
            "id": container_id,
            "name": inline.name or f"{inline.volume_ml.text} {inline.kind.replace('-', ' ')}",
            "kind": inline.kind,
            "closing": inline.closing or CLOSING_OF_KIND[inline.kind],
            "volume": inline.volume_ml,
            "diameter": inline.diameter_mm,
            "height": inline.height_mm,
            "end": inline.end,
            "empty_mass": f"{inline.volume_ml * material.grams_per_ml:.1f} g",
            "pallet": {
                "length": f"{PALLET_LENGTH_IN} in",
                "width": f"{PALLET_WIDTH_IN} in",
                "base": f"{material.base_mm:g} mm",
                "sheet": f"{material.sheet_mm:g} mm",
                "per_layer": per_layer,
                "layers": layers,
                "half_stack_layers": (layers + 1) // 2,
            },
            "basis": {
                "default": "the brief",
                "empty_mass": f"{estimate}: {material.grams_per_ml:g} g per ml, from memory",
                "pallet": "from memory",
                "pallet.per_layer": f"{estimate}: nested rows on {PALLET_WIDTH_IN} x "
                f"{PALLET_LENGTH_IN} in with {EDGE_IN} in kept free",
                "pallet.layers": f"{estimate}: layers within {material.stack_mm / 1000:g} m, "
                "from memory",
                "pallet.half_stack_layers": f"{estimate}: half of the full pallet's layers",
            },
        }
    )
