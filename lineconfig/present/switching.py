"""Switching values as text and JSON: which layout is first on which stretch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from lineconfig.layout import Layout
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.sentences import lowered
from lineconfig.switching import Parameter, Stretch, Switching

WORDS: Mapping[Parameter, str] = {
    "wage": "Wage",
    "volume": "Yearly volume",
    "horizon": "Horizon",
    "discount_rate": "Discount rate",
    "speed": "Speed asked for, as rated speed",
}
DIGITS: Mapping[Parameter, int] = {
    "wage": 2, "volume": 0, "horizon": 2, "discount_rate": 4, "speed": 1,
}  # fmt: skip
"""Decimals to which switching values are given out."""


def value_text(parameter: Parameter, value: float) -> str:
    """A value as it is printed, without its unit."""
    if parameter == "discount_rate":
        return f"{value * 100:.2f}"
    return f"{value:,.{DIGITS[parameter]}f}"


def _unit(found: Switching) -> str:
    return "%" if found.parameter == "discount_rate" else found.unit


def switching_lines(traced: Iterable[Switching], title: str) -> list[str]:
    """Which layout is first on which stretch, parameter by parameter."""
    traced = list(traced)
    if not traced:
        return []
    lines = [*heading(title)]
    named: dict[str, Layout] = {}
    for found in traced:
        unit, key = _unit(found), found.parameter
        now, low, high = (value_text(key, value) for value in (found.now, found.low, found.high))
        about = f" {found.ends}" if found.ends else ""
        within = "" if found.exact else " (found in steps)"
        lines += wrapped(
            f"{WORDS[key]}, now {now} {unit}; looked at from {low} to {high}{about}{within}:", 2
        )
        for stretch in found.stretches:
            lines += wrapped(_stretch(key, stretch), 4, 6)
            if stretch.layout is not None:
                named.setdefault(stretch.layout.id, stretch.layout)
    lines.append("")
    for layout in named.values():
        lines += wrapped(f"{layout.id}: {_short_title(layout)}", 2, 4)
    return lines


def change_lines(traced: Iterable[Switching]) -> list[str]:
    """For each parameter, what comes first just beyond the stretch that the brief is in."""
    lines = [*heading("What changes the answer")]
    for found in traced:
        lines += wrapped(_nearby(found), 0, 2)
    return lines


def _nearby(found: Switching) -> str:
    key, unit = found.parameter, _unit(found)
    now = value_text(key, found.now)
    place = found.stretches.index(found.current)
    said = []
    for step, word in ((-1, "below"), (1, "above")):
        if 0 <= place + step < len(found.stretches):
            beyond = found.stretches[place + step]
            at = value_text(key, found.current.low if step < 0 else found.current.high)
            said.append(f"{word} {at} {beyond.id or 'no layout fits'}")
    start = f"{WORDS[key]} (now {now} {unit})"
    if said:
        return f"{start}: {', '.join(said)}"
    low, high = value_text(key, found.low), value_text(key, found.high)
    return f"{start}: the first stays first from {low} to {high}"


def _stretch(parameter: Parameter, stretch: Stretch) -> str:
    low, high = (value_text(parameter, value) for value in (stretch.low, stretch.high))
    return f"{low} to {high}: {stretch.id or 'no layout fits'}"


def _short_title(layout: Layout) -> str:
    names = [
        station.option.equipment.name
        for station in layout.stations
        if station.function in ("unload", "lower", "fill", "gather", "pack", "palletize")
    ]
    return "; ".join([names[0], *map(lowered, names[1:])])


def switching_record(traced: Iterable[Switching]) -> dict[str, Any]:
    """The same as data, by parameter."""
    return {
        found.parameter: {
            "field": found.field,
            "unit": found.unit,
            "now": _rounded(found, found.now),
            "from": _rounded(found, found.low),
            "to": _rounded(found, found.high),
            "exact": found.exact,
            "ends": found.ends or None,
            "stretches": [
                {
                    "from": _rounded(found, stretch.low),
                    "to": _rounded(found, stretch.high),
                    "layout": stretch.id,
                    "title": None if stretch.layout is None else stretch.layout.title,
                }
                for stretch in found.stretches
            ],
        }
        for found in traced
    }


def _rounded(found: Switching, value: float) -> float:
    return round(value, DIGITS[found.parameter])
