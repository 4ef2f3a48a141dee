"""Whole amounts: each amount of money is rounded once, the same way in every output.

Prices end in halves often enough that rounding to cents first (as JSON has amounts) and then to
even would give one amount two faces.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

CENTS = 2
"""Decimals of an amount as data."""


def fixed(value: float, decimals: int, kept: int) -> str:
    """A figure with so many decimals, thousands parted: half away from zero.

    Parameters
    ----------
    value : the figure, or what is kept of it as data
    decimals : to print
    kept : decimals that the figure has as data, more than `decimals`: both print alike
    """
    exact = Decimal(repr(round(float(value), kept)))
    text = f"{exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP):,f}"
    return text.removeprefix("-") if not text.strip("-0.,") else text


def whole(amount: float) -> int:
    """An amount, or what else has two decimals as data, as a whole number [currency, h, m2]."""
    return int(fixed(amount, 0, CENTS).replace(",", ""))


def amount_text(amount: float) -> str:
    """An amount in whole units of the currency: `619,880`."""
    return fixed(amount, 0, CENTS)


def difference(amount: float, other: float) -> int:
    """How much two amounts differ as they are printed, so that a reader's subtraction agrees
    [currency]."""
    return whole(amount) - whole(other)


def cpm_text(speed_cpm: float) -> str:
    """A speed in whole containers a minute: `1,300`."""
    return fixed(speed_cpm, 0, 3)


def hours_text(hours: float) -> str:
    """Hours of a year, whole."""
    return fixed(hours, 0, 2)


def minutes_text(minutes: float) -> str:
    """Whole minutes, or person-minutes."""
    return fixed(minutes, 0, 2)


def area_text(area_m2: float) -> str:
    """An area in whole square metres."""
    return fixed(area_m2, 0, 2)


def mm_text(length_mm: float) -> str:
    """A length in whole millimetres: `3,299`."""
    return fixed(length_mm, 0, 1)


def tenths_text(value: float) -> str:
    """Kilowatts, or litres of water a minute, to a tenth."""
    return fixed(value, 1, 2)


def air_text(air_l_min: float) -> str:
    """Whole litres of free air a minute."""
    return fixed(air_l_min, 0, 1)


def amperes_text(current_a: float) -> str:
    """Whole amperes."""
    return fixed(current_a, 0, 1)
