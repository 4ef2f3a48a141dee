"""Switching values as text and JSON: which layout is first on which stretch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from lineconfig.choose.rules import length_text
from lineconfig.layout import Layout
from lineconfig.present.text import differences
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.sentences import lowered
from lineconfig.session import Study
from lineconfig.switching import Parameter, Stretch, Switching
from lineconfig.switching_limits import Edge, LimitName, LimitSwitch

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


def change_lines(
    study: Study,
    traced: Iterable[Switching],
    limits: Iterable[LimitSwitch],
    shown: Sequence[Layout],
) -> list[str]:
    """For each parameter and limit, what comes first just beyond where the first stays first.

    `shown` are the layouts in the order of the list; others are told by what sets them apart from
    the first.
    """
    lines = [*heading("What changes the answer")]
    told = _Named(shown)
    for found in traced:
        lines += wrapped(_nearby(found, told), 0, 2)
    for limit in limits:
        lines += wrapped(_limit_text(limit, told), 0, 2)
    if told.others:
        lines.append("")
    for layout in told.others.values():
        text = f"Beside the first, {layout.id} has {differences(study, shown[0], layout)}."
        lines += wrapped(text, 0, 2)
    return lines


class _Named:
    """What layouts are called in a sentence; those that the list does not show are kept."""

    def __init__(self, shown: Sequence[Layout]) -> None:
        self._ranks = {layout.id: rank for rank, layout in enumerate(shown, 1)}
        self.others: dict[str, Layout] = {}

    def __call__(self, layout: Layout | None) -> str:
        if layout is None:
            return "no layout fits"
        if layout.id in self._ranks:
            return f"layout {self._ranks[layout.id]} ({layout.id})"
        self.others.setdefault(layout.id, layout)
        return layout.id


def _nearby(found: Switching, told: _Named) -> str:
    key, unit = found.parameter, _unit(found)
    now = value_text(key, found.now)
    place = found.stretches.index(found.current)
    said = []
    for step, word in ((-1, "below"), (1, "above")):
        if 0 <= place + step < len(found.stretches):
            beyond = found.stretches[place + step]
            at = value_text(key, found.current.low if step < 0 else found.current.high)
            said.append(f"{word} {at} {told(beyond.layout)}")
    start = f"{WORDS[key]} (now {now} {unit})"
    if said:
        return f"{start}: {', '.join(said)}"
    low, high = value_text(key, found.low), value_text(key, found.high)
    return f"{start}: the first stays first from {low} to {high}"


LIMIT_WORDS: Mapping[LimitName, str] = {
    "budget": "Budget", "people": "People on shift", "ceiling": "Ceiling",
}  # fmt: skip


CHANGES_NOTHING: Mapping[LimitName, str] = {
    "budget": "a larger one changes nothing",
    "people": "more change nothing",
    "ceiling": "a higher one changes nothing",
}


def limit_value_text(limit: LimitSwitch, value: float) -> str:
    """A value of a limit as it is printed."""
    if limit.limit == "ceiling":
        return length_text(value)
    return f"{value:,.0f}"


def _limit_text(found: LimitSwitch, told: _Named) -> str:
    unit = f" {found.unit}" if found.limit == "budget" else ""
    now = "none stated" if found.now is None else f"now {limit_value_text(found, found.now)}{unit}"
    said = []
    if found.below is not None:
        at = limit_value_text(found, found.below.value)
        said.append(f"below {at} {told(found.below.layout)}")
    if found.above is not None:
        about = "" if found.above.exact else "about "
        at = limit_value_text(found, found.above.value)
        said.append(f"from {about}{at} on {told(found.above.layout)}")
    elif found.now is not None:
        said.append(CHANGES_NOTHING[found.limit])
    return f"{LIMIT_WORDS[found.limit]} ({now}): {'; '.join(said)}"


def limits_record(limits: Iterable[LimitSwitch]) -> dict[str, Any]:
    """The same as data, by limit; null where the first stays first."""
    return {
        found.limit: {
            "field": found.field,
            "unit": found.unit,
            "now": found.now,
            "below": _edge_record(found.below),
            "from": _edge_record(found.above),
        }
        for found in limits
    }


def _edge_record(edge: Edge | None) -> dict[str, Any] | None:
    if edge is None:
        return None
    return {
        "value": edge.value,
        "layout": None if edge.layout is None else edge.layout.id,
        "title": None if edge.layout is None else edge.layout.title,
        "exact": edge.exact,
    }


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
