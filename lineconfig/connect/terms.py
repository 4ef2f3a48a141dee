"""The client's terms: what turns hours, people and prices into money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.assess.crew import Habits
from lineconfig.assess.finance import annuity_factor
from lineconfig.choose.inquiry import Inquiry
from lineconfig.layout import Station

LITRES_PER_M3 = 1000.0
MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True, slots=True)
class Terms:
    """Figures of the brief and of economics.yaml that costs depend on, looked up once."""

    annuity: float
    """Present value of 1 a year over the horizon [years]."""
    wage_per_h: float
    electricity_per_kwh: float
    water_per_m3: float
    buy_factor: float
    """First cost per unit of equipment price: freight, installation, training, contingency."""
    crew: Habits
    """How much one person may be planned with."""
    startup_share: float
    """Hours of starting and cleaning as a share of running hours."""
    motor_load: float
    air_kw_per_l_min: float
    changeovers: float
    """Format changes in a year."""
    cans: tuple[float, ...]
    """Yearly cans by format."""
    needed_cpm: tuple[float, ...]
    person_price: float
    """One person's wages over the line's life at the needed speeds [currency]."""

    @classmethod
    def of(cls, inquiry: Inquiry) -> Terms:
        """The terms of an inquiry."""
        need, economics = inquiry.need, inquiry.catalog.economics
        habits, shares = economics.habits, economics.first_cost
        annuity = annuity_factor(need.discount_rate, need.horizon_years)
        least_hours = sum(fmt.annual_cans / fmt.needed_cpm for fmt in need.formats) / (
            MINUTES_PER_HOUR
        )
        return cls(
            annuity=annuity,
            person_price=annuity * least_hours * need.wage_per_h,
            wage_per_h=need.wage_per_h,
            electricity_per_kwh=float(economics.tariffs.electricity_per_kwh),
            water_per_m3=float(economics.tariffs.water_per_m3),
            buy_factor=(1 + shares.freight + shares.installation + shares.training)
            * (1 + shares.contingency),
            crew=Habits(float(habits.allowed_utilisation), habits.stations_per_person),
            startup_share=float(habits.startup_and_cleaning),
            motor_load=float(habits.motor_load),
            air_kw_per_l_min=economics.tariffs.specific_air_power_kw_per_m3_min / LITRES_PER_M3,
            changeovers=need.changeovers_per_year,
            cans=tuple(fmt.annual_cans for fmt in need.formats),
            needed_cpm=tuple(fmt.needed_cpm for fmt in need.formats),
        )

    def energy_kw(self, station: Station) -> float:
        """Average electrical draw of a station while the line runs, its compressed air included."""
        compressor_kw = station.air_l_min * self.air_kw_per_l_min
        return (station.power_kw + compressor_kw) * self.motor_load

    def share_of_a_person(self, station: Station) -> float:
        """How much of one person's planned time a station takes at the needed speeds at least.

        None for a station that somebody always attends: that person is counted, not weighed.
        """
        if station.always:
            return 0.0
        work = max(
            each * speed
            for each, speed in zip(station.minutes_per_can, self.needed_cpm, strict=True)
        )
        return work / self.crew.allowed

    def run_hours(self, minutes_per_can: Sequence[float]) -> float:
        """Hours of running, starting and cleaning in a year, from minutes per can by format."""
        minutes = sum(cans * each for cans, each in zip(self.cans, minutes_per_can, strict=True))
        return minutes / MINUTES_PER_HOUR * (1 + self.startup_share)

    def changeover_hours(self, person_min: float, longest_min: float, people: int) -> float:
        """Hours of format changes in a year: people share the work, machines take their time."""
        return self.changeovers * max(longest_min, person_min / people) / MINUTES_PER_HOUR

    def labour(self, run_hours: float, changeover_hours: float, people: int) -> float:
        """Yearly labour [currency]: everybody is there while the line runs or is changed over."""
        return (run_hours + changeover_hours) * people * self.wage_per_h

    def electricity(self, run_hours: float, energy_kw: float) -> float:
        """Yearly electricity [currency]."""
        return run_hours * energy_kw * self.electricity_per_kwh

    def rinse_water(self, run_hours: float, station: Station) -> float:
        """Yearly water of the rinse header [currency].

        One header flows at a time, as long as cans run: not while starting and cleaning.
        """
        litres = station.option.equipment.header_flow_l_min * self.can_minutes(run_hours)
        return litres / LITRES_PER_M3 * self.water_per_m3

    def can_minutes(self, run_hours: float) -> float:
        """Minutes in which cans run, out of hours of running, starting and cleaning [min]."""
        return run_hours / (1 + self.startup_share) * MINUTES_PER_HOUR

    def per_hour(self, station: Station) -> float:
        """What a station uses in one of the hours of running, starting and cleaning [currency]."""
        return self.electricity(1.0, self.energy_kw(station)) + self.rinse_water(1.0, station)
