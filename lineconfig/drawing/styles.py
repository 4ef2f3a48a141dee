"""How each role looks on paper: line, tint and hatch.

No meaning hangs on colour: every area that is filled has a hatch or an outline of its own, so that
a print in black and white says the same. The colours are those that people of every kind of colour
vision tell apart: Okabe and Ito, Color Universal Design (2008).
"""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.drawing.shapes import Role

BLACK, GREY, WHITE = "#000000", "#595959", "#ffffff"
ORANGE, SKY, GREEN, BLUE, VERMILION = "#e69f00", "#56b4e9", "#009e73", "#0072b2", "#d55e00"
PURPLE = "#cc79a7"


@dataclass(frozen=True, slots=True)
class Hatch:
    """Lines that fill an area: each family by its angle [deg] and distance [mm on paper]."""

    families: tuple[tuple[float, float], ...]
    dash_mm: tuple[float, ...] = ()
    """Stroke and gap along each line; unbroken where empty."""
    width_mm: float = 0.13


@dataclass(frozen=True, slots=True)
class Style:
    """One role's look; widths and dashes in millimetres on paper."""

    stroke: str | None
    width_mm: float = 0.25
    dash_mm: tuple[float, ...] = ()
    fill: str | None = None
    hatch: str | None = None
    ink: str | None = None
    """Colour of the hatch; that of the outline where not given."""
    outlined: bool = True
    """Whether a hatched area has an outline of its own."""


HATCHES: dict[str, Hatch] = {
    "slant": Hatch(((45.0, 1.8),)),
    "back-slant-broken": Hatch(((135.0, 2.6),), (1.6, 1.2)),
    "upright": Hatch(((90.0, 1.3),)),
    "cross": Hatch(((45.0, 1.1), (135.0, 1.1)), width_mm=0.18),
    "square": Hatch(((0.0, 1.0), (90.0, 1.0))),
    "dots": Hatch(((0.0, 2.4),), (0.35, 2.05), width_mm=0.3),
    "fine-dots": Hatch(((45.0, 1.2),), (0.2, 1.0), width_mm=0.2),
    "level": Hatch(((0.0, 0.9),)),
}
"""Hatches by name; no two look alike."""

STYLES: dict[Role, Style] = {
    "wall": Style(BLACK, 0.25, fill=GREY),
    "opening": Style(BLACK, 0.25, fill=WHITE),
    "obstacle": Style(BLACK, 0.35, fill=WHITE, hatch="cross"),
    "break": Style(BLACK, 0.18, (5.0, 1.0, 1.0, 1.0)),
    "floor": Style(BLACK, 0.6),
    "ceiling": Style(BLACK, 0.6, (6.0, 1.5)),
    "clearance": Style(BLUE, 0.13, (1.5, 0.8), hatch="slant"),
    "swing": Style(BLACK, 0.2, (1.0, 0.6)),
    "walkway": Style(GREEN, 0.13, (3.0, 1.0), hatch="back-slant-broken", outlined=False),
    "person": Style(BLACK, 0.2, fill=WHITE, hatch="fine-dots"),
    "pallet": Style(VERMILION, 0.3, fill=WHITE, hatch="upright"),
    "machine": Style(BLACK, 0.45, fill="#fdf3dc"),
    "conveyor": Style(BLACK, 0.3, fill="#ececec"),
    "symbol": Style("#404040", 0.15),
    "path": Style(VERMILION, 0.5, (4.0, 0.8, 0.8, 0.8)),
    "stack": Style(GREY, 0.2, fill=WHITE),
    "inverted": Style(BLUE, 0.25, fill=WHITE, hatch="square"),
    "platform": Style(BLACK, 0.3, fill=WHITE, hatch="level"),
    "zone": Style(GREEN, 0.18, (2.0, 1.0), hatch="dots"),
    "figure": Style(BLACK, 0.3),
    "dimension": Style(BLACK, 0.18),
    "leader": Style(BLACK, 0.15),
    "number": Style(BLACK, 0.3, fill=WHITE),
    "text": Style(BLACK),
    "sheet": Style(BLACK, 0.35),
}
"""The look of each role."""

LEGEND: tuple[tuple[Role, str], ...] = (
    ("conveyor", "conveyor"),
    ("path", "flow of the cans"),
    ("clearance", "kept free for service"),
    ("swing", "doors and their swing"),
    ("walkway", "walkways, pallet routes"),
    ("person", "operators' side"),
    ("pallet", "pallets in and out"),
    ("obstacle", "obstacle"),
    ("inverted", "cans upside down"),
    ("platform", "platform"),
    ("zone", "light work; reach limit"),
)
"""What the list of hatches says of each role, in the order of the list."""
