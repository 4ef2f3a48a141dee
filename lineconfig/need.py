"""The need: a brief with its containers looked up and every default filled in.

This is what the rules, the search and the assessments work from.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from lineconfig.brief import Brief, View
from lineconfig.containers import Container, SupplyForm
from lineconfig.errors import Problem

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
class Phase:
    """What a later year brings."""

    year: int
    volumes: tuple[tuple[Container, float], ...]
    """Every container of the phase, in the brief's order, and its yearly number."""

    @cached_property
    def annual_cans(self) -> float:
        """Containers of all formats in a year."""
        return sum(cans for _, cans in self.volumes)


@dataclass(frozen=True)
class Need:
    """Everything the client needs, in numbers."""

    brief: Brief
    formats: tuple[Format, ...]
    speed_cpm: float
    """The speed asked for, of the main format unless that asks for its own [cpm]."""
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
    phases: tuple[Phase, ...] = ()
    """The later years of the growth plan."""
    notes: tuple[Problem, ...] = field(default=(), compare=False)
    """What is improbable in the brief, but is taken as it stands."""

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
