"""What can be in a brief but seldom is: values that look like a slip of unit, key or digit.

They are notes, not problems: the answer is given all the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from lineconfig.brief import Brief
from lineconfig.brief_checks import Finding, values_at

PLAIN_CURRENCIES = frozenset({"USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF"})
"""Currencies in which an hour's wage is a number of one or two digits, or little more."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What a figure of a brief usually lies within (from memory)."""

    name: str
    """Dotted path of YAML keys."""
    least: float
    most: float
    words: str
    money: bool = False


USUAL: tuple[Usual, ...] = (
    Usual("speed", 5, 2500, "5 to 2,500 cpm"),
    Usual("formats.speed", 5, 2500, "5 to 2,500 cpm"),
    Usual("formats.annual_cans", 1000, 500e6, "1,000 to 500,000,000"),
    Usual("product.carbonation", 0, 4.5, "0 to 4.5 vol"),
    Usual("product.fill_temperature", -2, 95, "-2 to 95 degC"),
    Usual("operation.hours_per_week", 2, 144, "2 to 144 hours: machines need cleaning and upkeep"),
    Usual("operation.weeks_per_year", 4, 52, "4 to 52 weeks"),
    Usual("operation.changeovers_per_week", 0, 100, "up to 100 a week"),
    Usual("site.ceiling", 6 * 304.8, 60 * 304.8, "6 to 60 ft (1.8 to 18.3 m)"),
    Usual("site.length", 3000, 300_000, "3 to 300 m"),
    Usual("site.width", 2000, 200_000, "2 to 200 m"),
    Usual("site.door.width", 700, 10_000, "0.7 to 10 m"),
    Usual("site.door.height", 1800, 10_000, "1.8 to 10 m"),
    Usual("site.power.volts", 100, 690, "100 to 690 V"),
    Usual("site.power.amperes", 10, 5000, "10 to 5,000 A"),
    Usual("staff.per_shift", 1, 60, "1 to 60 people"),
    Usual("staff.wage", 3, 200, "3 to 200 an hour", money=True),
    Usual("budget", 1000, 500e6, "1,000 to 500,000,000", money=True),
    Usual("horizon", 1, 25, "1 to 25 years"),
    Usual("discount_rate", 0, 0.30, "up to 30 %"),
    Usual("existing.infeed_height", 500, 2500, "0.5 to 2.5 m"),
)


def improbable_findings(brief: Brief) -> Iterator[Finding]:
    """Values outside what is usual, with their paths; none of them is refused."""
    for usual in USUAL:
        for path, value in values_at(brief, usual.name.split(".")):
            if value is None or (usual.money and value.currency not in PLAIN_CURRENCIES):
                continue
            if not usual.least * (1 - 1e-9) <= value <= usual.most * (1 + 1e-9):
                said = getattr(value, "text", None) or _number(value)
                yield path, f"{said} is improbable (usual: {usual.words}); is it meant?"


def _number(value: Any) -> str:
    return f"{value:,.10g}"
