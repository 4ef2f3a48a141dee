"""The schedule of a line: order, campaigns, hours and stock, and what each format earns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from lineconfig.assess.finance import capital_recovery_factor
from lineconfig.catalog import ChangePart
from lineconfig.connect.stations import owned_parts
from lineconfig.connect.terms import Terms
from lineconfig.layout import Layout
from lineconfig.need import MINUTES_PER_HOUR, Format
from lineconfig.schedule.changeovers import change_matrix
from lineconfig.schedule.lots import CommonCycle, Product, common_cycle, cycle_cost, least_cost
from lineconfig.schedule.order import Cycle, best_cycle
from lineconfig.session import Study

ML_PER_LITRE = 1000.0
PER_THOUSAND = 1000.0
HANDY_WEEKS = (0.2, 0.25, 1 / 3, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 13.0, 26.0, 52.0)
"""Lengths of a cycle that fit a calendar [weeks]."""
RARELY = 2.0
"""A format whose own best interval is this many cycles could be left out of every other one."""


CycleReason = Literal["asked", "brief", "cheapest"]
"""Asked for, from the brief's format changes a week, or the handiest near the cheapest."""


@dataclass(frozen=True, slots=True)
class Campaign:
    """One format in each cycle."""

    format: Format
    effective_cpm: float
    cans: float
    """Cans of one campaign."""
    hours: float
    """Running, starting and cleaning of one campaign [h]."""
    change_min: float
    """The change into it [min]."""
    stock_cans: float
    """Full cans in stock on average, from the cycle alone."""
    stock_usd_per_year: float
    own_weeks: float
    """The interval that would suit this format if it had the line to itself [weeks]."""


@dataclass(frozen=True, slots=True)
class Contribution:
    """What a format brings in above what it costs on this line [currency/year]."""

    format: Format
    margin: float
    running: float
    """People and power while it runs, consumables and losses."""
    changing: float
    """People during the changes that would not be without it."""
    stock: float
    parts: float
    """Change parts that only it needs, spread over the horizon."""
    hours: float
    """Line hours that it takes in a year, with the changes that would not be without it [h/year].
    """

    @property
    def contribution(self) -> float:
        """Margin less all that [currency/year]."""
        return self.margin - self.running - self.changing - self.stock - self.parts

    @property
    def per_hour(self) -> float:
        """By line hour [currency/h]."""
        return self.contribution / self.hours if self.hours > 0 else 0.0


@dataclass(frozen=True, eq=False, repr=False)
class Schedule:
    """The running order of a line and what follows from it."""

    study: Study
    layout: Layout
    minutes: Sequence[Sequence[float]]
    """Of each change, from rows to columns, in the order of the need's formats [min]."""
    cycle: Cycle
    cycle_weeks: float
    cycle_reason: CycleReason
    """Where the length of the cycle comes from."""
    campaigns: tuple[Campaign, ...]
    """In running order."""
    run_hours: float
    """Running, starting and cleaning in a week [h]."""
    changeover_hours: float
    """Changing over in a week [h]."""
    available_hours: float
    """Hours of a week [h]."""
    common: CommonCycle | None
    """The cheapest cycle; None where running alone takes all hours, or with one format."""
    handy_weeks: float | None
    """The cheapest length that fits a calendar and the hours [weeks]."""
    yearly_cost: float
    """Changes and stock in a year with this cycle [currency]."""
    least_cost: float
    """What no schedule undercuts [currency]."""
    contributions: tuple[Contribution, ...]
    """Of the formats with a margin, poorest first."""

    @property
    def spare_hours(self) -> float:
        """Hours of a week that are left; negative where they do not suffice [h]."""
        return self.available_hours - self.run_hours - self.changeover_hours

    @property
    def shortest_weeks(self) -> float | None:
        """The shortest cycle for which the hours suffice; None where none does [weeks]."""
        spare = self.available_hours - self.run_hours
        if spare <= 0:
            return None
        return self.cycle.minutes / MINUTES_PER_HOUR / spare

    @property
    def seldom(self) -> tuple[Campaign, ...]:
        """Formats that could be left out of every other cycle: their stock is cheap to hold."""
        if len(self.campaigns) < 3:
            return ()
        return tuple(
            campaign
            for campaign in self.campaigns
            if campaign.own_weeks >= RARELY * self.cycle_weeks
        )

    @property
    def not_worth_carrying(self) -> tuple[Contribution, ...]:
        """Formats that cost more than they bring in."""
        return tuple(item for item in self.contributions if item.contribution < 0)


def schedule_of(study: Study, layout: Layout, cycle_weeks: float | None = None) -> Schedule:
    """The running order of a layout, its campaigns and its hours.

    Every format runs once in each cycle. Its length is `cycle_weeks` where that is given [weeks],
    what the brief's changeovers a week make of it where those are given, else the cheapest length
    that fits a calendar.

    Raises ValueError if `cycle_weeks` is not above zero.
    """
    if cycle_weeks is not None and not (math.isfinite(cycle_weeks) and cycle_weeks > 0):
        raise ValueError(f"cycle_weeks must be above zero, found {cycle_weeks}")
    return _Scheduler(study, layout).schedule(cycle_weeks)


class _Scheduler:
    def __init__(self, study: Study, layout: Layout) -> None:
        self.study, self.layout = study, layout
        self.need = need = study.need
        self.terms: Terms = study.terms
        self.formats = need.formats
        self.minutes = change_matrix(layout, study.inquiry.containers)
        self.cycle = best_cycle(self.minutes)
        self.people_per_h = layout.crew.people * need.wage_per_h
        self.yearly_hours = [self._yearly_hours(place) for place in range(len(self.formats))]
        self.products = [
            Product(
                fmt.annual_cans,
                fmt.annual_cans * need.available_hours / hours,
                self._holding(fmt),
            )
            for fmt, hours in zip(self.formats, self.yearly_hours, strict=True)
            if hours > 0
        ]

    def schedule(self, asked_weeks: float | None) -> Schedule:
        need = self.need
        change_hours = self.cycle.minutes / MINUTES_PER_HOUR
        setup_usd = change_hours * self.people_per_h
        common = None
        if len(self.formats) > 1 and len(self.products) == len(self.formats):
            common = common_cycle(self.products, setup_usd, change_hours / need.available_hours)
        handy = self._handy_weeks(common, setup_usd)
        weeks, reason = self._cycle_weeks(asked_weeks, handy)
        campaigns = tuple(self._campaign(step, weeks) for step in range(len(self.cycle.places)))
        years = weeks / need.weeks_per_year
        return Schedule(
            study=self.study,
            layout=self.layout,
            minutes=self.minutes,
            cycle=self.cycle,
            cycle_weeks=weeks,
            cycle_reason=reason,
            campaigns=campaigns,
            run_hours=sum(self.yearly_hours) / need.weeks_per_year,
            changeover_hours=change_hours / weeks,
            available_hours=need.hours_per_week,
            common=common,
            handy_weeks=handy,
            yearly_cost=cycle_cost(self.products, setup_usd, years) if self._many else 0.0,
            least_cost=self._least_cost() if self._many else 0.0,
            contributions=self._contributions(weeks, campaigns),
        )

    @property
    def _many(self) -> bool:
        return len(self.formats) > 1

    # --- cycle -----------------------------------------------------------------------------------

    def _cycle_weeks(self, asked: float | None, handy: float | None) -> tuple[float, CycleReason]:
        stated = self.need.brief.operation.changeovers_per_week
        if asked is not None:
            return asked, "asked"
        if stated and self._many:
            return len(self.formats) / float(stated), "brief"
        return handy or 1.0, "cheapest"

    def _handy_weeks(self, common: CommonCycle | None, setup_usd: float) -> float | None:
        if common is None:
            return None
        weeks_a_year = self.need.weeks_per_year
        fitting = [
            weeks
            for weeks in HANDY_WEEKS
            if weeks / weeks_a_year >= common.shortest_years - 1e-12 and weeks <= weeks_a_year + 2
        ]
        if not fitting:
            return None
        return min(
            fitting,
            key=lambda weeks: (cycle_cost(self.products, setup_usd, weeks / weeks_a_year), weeks),
        )

    def _least_cost(self) -> float:
        """Every format by itself, with the shortest change into it."""
        shortest = [
            min(self.minutes[other][place] for other in range(len(self.formats)) if other != place)
            for place in range(len(self.formats))
        ]
        costs = [minutes / MINUTES_PER_HOUR * self.people_per_h for minutes in shortest]
        return least_cost(self.products, costs)

    # --- formats ---------------------------------------------------------------------------------

    def _yearly_hours(self, place: int) -> float:
        minutes = self.formats[place].annual_cans / self.layout.speed.effective[place]
        return minutes / MINUTES_PER_HOUR * (1 + self.terms.startup_share)

    def _holding(self, fmt: Format) -> float:
        """What one full can in stock costs in a year: a share of product and container."""
        tariffs = self.study.catalog.economics.tariffs
        value = (
            fmt.container.volume_ml / ML_PER_LITRE * float(tariffs.product_per_litre)
            + float(tariffs.empties_per_1000) / PER_THOUSAND
        )
        return value * float(self.study.catalog.economics.stock.carrying)

    def _campaign(self, step: int, weeks: float) -> Campaign:
        place = self.cycle.places[step]
        fmt, hours = self.formats[place], self.yearly_hours[place]
        years = weeks / self.need.weeks_per_year
        before = self.cycle.places[step - 1]
        busy = min(1.0, hours / self.need.available_hours)
        stock = fmt.annual_cans * years * (1 - busy) / 2 if self._many else 0.0
        holding = self._holding(fmt)
        change = self.minutes[before][place]
        own_years = math.inf
        if fmt.annual_cans > 0 and busy < 1:
            cost = change / MINUTES_PER_HOUR * self.people_per_h
            own_years = math.sqrt(2 * cost / (holding * fmt.annual_cans * (1 - busy)))
        return Campaign(
            format=fmt,
            effective_cpm=self.layout.speed.effective[place],
            cans=fmt.annual_cans * years,
            hours=hours * years,
            change_min=change,
            stock_cans=stock,
            stock_usd_per_year=stock * holding,
            own_weeks=own_years * self.need.weeks_per_year,
        )

    # --- contribution ----------------------------------------------------------------------------

    def _contributions(
        self, weeks: float, campaigns: Sequence[Campaign]
    ) -> tuple[Contribution, ...]:
        by_id = {campaign.format.id: campaign for campaign in campaigns}
        entries = self.need.brief.formats
        found = []
        for place, (entry, fmt) in enumerate(zip(entries, self.formats, strict=True)):
            if entry.margin_per_1000 is None:
                continue
            change_hours = self._change_hours_saved(place, weeks)
            hours = self.yearly_hours[place]
            found.append(
                Contribution(
                    format=fmt,
                    margin=float(entry.margin_per_1000) * fmt.annual_cans / PER_THOUSAND,
                    running=hours * self.people_per_h + self._by_can(place),
                    changing=change_hours * self.people_per_h,
                    stock=by_id[fmt.id].stock_usd_per_year,
                    parts=self._own_parts_usd(place),
                    hours=hours + change_hours,
                )
            )
        found.sort(key=lambda item: (item.contribution, item.format.id))
        return tuple(found)

    def _change_hours_saved(self, place: int, weeks: float) -> float:
        """Changeover hours of a year that the line would not have without a format."""
        if not self._many:
            return 0.0
        kept = [other for other in range(len(self.formats)) if other != place]
        fewer = [[self.minutes[i][j] for j in kept] for i in kept]
        saved = self.cycle.minutes - best_cycle(fewer).minutes
        return max(0.0, saved) / MINUTES_PER_HOUR * self.need.weeks_per_year / weeks

    def _by_can(self, place: int) -> float:
        """Power, consumables, water and losses that go with a format's cans [currency/year]."""
        fmt, total = self.formats[place], self.need.annual_cans
        annual, hours = self.layout.money.annual, sum(self.yearly_hours)
        cost = annual.get("electricity", 0.0) * self.yearly_hours[place] / hours
        litres = [each.annual_cans * each.container.volume_ml for each in self.formats]
        for heading, amount in annual.items():
            if heading == "product losses":
                cost += amount * litres[place] / sum(litres)
            elif heading not in ("labour", "electricity", "upkeep"):
                cost += amount * fmt.annual_cans / total
        return cost

    def _own_parts_usd(self, place: int) -> float:
        """What the line's change parts would cost less without a format [currency/year]."""
        containers = self.study.inquiry.containers
        fewer = [can for other, can in enumerate(containers) if other != place]
        if not fewer:
            return 0.0
        saved = 0.0
        for station in self.layout.stations:
            change, option = station.option.equipment.changeover, station.option
            parts: Sequence[ChangePart] = change.parts if change else []
            for cans, sign in ((containers, 1), (fewer, -1)):
                owned = owned_parts(parts, cans, owned=option.owned)
                saved += sign * sum(item.price.typical for item in owned)
            track = option.equipment.price_per_track
            if track is not None and not option.owned:
                saved += float(track.typical)
        years = self.need.horizon_years
        factor = capital_recovery_factor(self.need.discount_rate, years)
        return saved * self.terms.buy_factor * factor
