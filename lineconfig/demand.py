"""Demand: the speed asked for, what the yearly cans make of it, and which lines reach it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import SpeedFigures
from lineconfig.need import MINUTES_PER_HOUR, Need

Shortfall = Literal["effective", "bracket"]
"""What lies below the speed asked for: the effective speed itself, or only its lower bound."""


@dataclass(frozen=True, slots=True)
class Demand:
    """Speed of the main format [cpm]."""

    asked_cpm: float
    by_volume_cpm: float
    """Effective speed below which the yearly cans do not fit into the hours, format changes apart;
    the other formats scale with the main one."""
    annual_cans: float
    available_hours: float
    """In a year. [h]"""
    startup_share: float
    """Hours of start-up and cleaning as a share of running hours."""

    @property
    def forced(self) -> bool:
        """Whether the yearly cans ask for more than the brief's speed."""
        return self.by_volume_cpm > self.asked_cpm * (1 + 1e-9)


def demand_of(inquiry: Inquiry) -> Demand:
    """What a brief asks for.

    The cans at the speeds asked for, start-up and cleaning on top, take so many hours; where there
    are fewer, every format must run faster in the same proportion.
    """
    need, share = inquiry.need, float(inquiry.habits.startup_and_cleaning)
    minutes = sum(fmt.annual_cans / fmt.needed_cpm for fmt in need.formats) * (1 + share)
    faster = minutes / MINUTES_PER_HOUR / need.available_hours
    asked_cpm = need.main_format.needed_cpm
    return Demand(asked_cpm, asked_cpm * faster, need.annual_cans, need.available_hours, share)


def shortfalls(need: Need, speed: SpeedFigures) -> tuple[Shortfall | None, ...]:
    """By format: what of a line's speed lies below the speed asked for; None where nothing does."""
    return tuple(
        _shortfall(fmt.needed_cpm, effective, lower)
        for fmt, effective, lower in zip(need.formats, speed.effective, speed.lower, strict=True)
    )


def worst(found: Sequence[Shortfall | None]) -> Shortfall | None:
    """The worst of several shortfalls."""
    return "effective" if "effective" in found else "bracket" if "bracket" in found else None


def _shortfall(needed_cpm: float, effective_cpm: float, lower_cpm: float) -> Shortfall | None:
    least_cpm = needed_cpm * (1 - 1e-9)
    if effective_cpm < least_cpm:
        return "effective"
    return "bracket" if lower_cpm < least_cpm else None
