"""The need: a brief with its containers looked up and every default filled in.

This is what the rules, the search and the assessments work from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from lineconfig.brief import Brief, FormatNeed, View
from lineconfig.containers import Container, SupplyForm

MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True)
class Format:
    """One format with its figures settled."""

    container: Container
    annual_cans: float
    needed_cpm: float
    supply: SupplyForm | None
    rehandled: bool
    open_storage: bool
    label: str

    @property
    def id(self) -> str:
        """The container's id."""
        return self.container.id


@dataclass(frozen=True)
class Need:
    """Everything the client needs, in numbers."""

    brief: Brief
    formats: tuple[Format, ...]
    hours_per_week: float
    weeks_per_year: float
    changeovers_per_week: float
    wage_per_h: float
    horizon_years: float
    discount_rate: float
    carbonation_vol: float
    fill_temperature_degc: float
    currency: str
    view: View
    defaults_used: tuple[str, ...]

    @cached_property
    def available_hours(self) -> float:
        """Hours of a year in which the line may run or be changed over [h]."""
        return self.hours_per_week * self.weeks_per_year

    @cached_property
    def annual_cans(self) -> float:
        """Containers of all formats in a year."""
        return sum(fmt.annual_cans for fmt in self.formats)

    @cached_property
    def main_format(self) -> Format:
        """The format with the largest yearly volume; the first of equals."""
        return max(self.formats, key=lambda fmt: fmt.annual_cans)

    @cached_property
    def changeovers_per_year(self) -> float:
        """Format changes in a year; none with a single format."""
        return self.changeovers_per_week * self.weeks_per_year if len(self.formats) > 1 else 0.0


def main_volume_ml(formats: Sequence[tuple[FormatNeed, Container]]) -> float:
    """Fill volume of the format with the largest stated yearly volume [ml]."""
    return max(formats, key=lambda pair: pair[0].annual_cans or 0)[1].volume_ml
