"""Assumptions that the brief does not ask for: shares, tariffs, trade habits, defaults.

They are read from catalog/economics.yaml and may be overridden by an overlay.
"""

from __future__ import annotations

from pydantic import Field

from lineconfig.containers import Basis
from lineconfig.fields import (
    Amount,
    Count,
    DurationMin,
    LengthMm,
    MassKg,
    Record,
    Share,
    Text,
    Wage,
    Years,
)


class FirstCostShares(Record):
    """Added to the sum of machine prices."""

    freight: Share
    installation: Share
    training: Share
    contingency: Share


class Tariffs(Record):
    """What energy, water and lost goods cost."""

    electricity_per_kwh: Amount
    water_per_m3: Amount
    """Supply and drain together."""
    empties_per_1000: Amount
    """Price of 1000 empty containers bought by the full pallet."""
    half_stack_premium_per_1000: Amount
    loose_premium_per_1000: Amount
    product_per_litre: Amount
    """Value of the product lost at fill and reject."""
    specific_air_power_kw_per_m3_min: float = Field(gt=0, le=20)
    """Compressor power for one cubic metre of free air a minute [kW]."""


class TradeHabits(Record):
    """Numbers that planners of lines use."""

    cans_per_case: Count
    cases_per_full_pallet: Count
    allowed_utilisation: Share
    """Share of a person's time that may be planned with tasks."""
    stations_per_person: int = Field(ge=1, le=100)
    """Stations with work that one person may mind at the most."""
    planning_efficiency: Share
    """Share of rated speed assumed when a speed is derived from a yearly volume."""
    startup_and_cleaning: Share
    """Hours of start-up and cleaning as a share of running hours."""
    motor_load: Share
    """Average draw as a share of connected power."""
    simultaneity: Share
    """Share of the connected power that is drawn at the same time, for the site's connection."""
    power_factor: Share
    overspeed: Share
    """How much faster than the filler its neighbours should be able to run."""
    ceiling_clearance_mm: LengthMm = Field(alias="ceiling_clearance")
    """Free height kept above the highest part."""
    joint_mm: LengthMm = Field(alias="joint")
    """Length of table-top chain between two machines from the filler on."""
    walkway_mm: LengthMm = Field(alias="walkway")
    """Width of the walkway kept along the line."""
    pallet_approach_mm: LengthMm = Field(alias="pallet_approach")
    """Depth kept free where pallets come and go with a jack."""
    overhead_mm: LengthMm = Field(alias="overhead")
    """Hand height above which work counts as overhead: a ladder or platform is needed."""
    within_reach_mm: LengthMm = Field(alias="within_reach")
    """Height up to which a person on the floor exchanges a track."""
    tipping_rise: Share
    """How far hands rise above the lip when a layer is tipped, as a share of the layer's width."""
    answer_min: DurationMin = Field(alias="answer")
    """From a stop that calls somebody until they are there, on average."""
    split_pallet_minutes: float = Field(ge=0, le=120)
    """Extra minutes of one person for each load taken off a pallet too high for the frame."""
    nitrogen_below_vol: float = Field(ge=0, le=5)
    """Carbonation [vol] below which a thin can needs nitrogen to stay stiff."""


class Handling(Record):
    """Masses and sizes of what people lift, apart from the containers themselves."""

    case_packaging_kg: MassKg = Field(alias="case_packaging")
    """Board, carriers and glue of one full case."""
    case_board_mm: LengthMm = Field(alias="case_board")
    """What a case is higher than the containers in it."""
    cases_per_layer: Count
    """Cases on one layer of a full pallet."""
    tray_kg: MassKg = Field(alias="tray")
    """An empty tray in which loose empties come."""
    sheet_kg: MassKg = Field(alias="sheet")
    """A tier sheet between two layers of empties."""
    top_frame_kg: MassKg = Field(alias="top_frame")
    """The frame that is strapped onto a stack of empties."""
    empties_pallet_kg: MassKg = Field(alias="empties_pallet")
    """A bare pallet under empties."""
    shipping_pallet_kg: MassKg = Field(alias="shipping_pallet")
    """A bare pallet for full cases."""
    shipping_pallet_height_mm: LengthMm = Field(alias="shipping_pallet_height")
    fill_density_kg_per_l: float = Field(gt=0, le=2)


class UsedMachines(Record):
    """What machines bring in that are sold used."""

    at_once: Share
    """Share of the price that a machine brings in when it is sold as soon as it was bought."""
    yearly_decline: Share
    """Share of that value which is lost with each year."""


class Stock(Record):
    """What filled containers cost while they wait."""

    carrying: Share
    """Yearly cost of stock as a share of its value: money tied up, room, loss, ageing."""


class Stores(Record):
    """How empties and full goods wait: block stacking, in lanes that face an aisle."""

    cover_days: float = Field(gt=0, le=365)
    """Calendar days that the stores last where the brief says nothing."""
    empties_high: int = Field(ge=1, le=6)
    """Pallets of empties that stand on one another at the most."""
    goods_high: int = Field(ge=1, le=6)
    """Pallets of full goods that stand on one another at the most."""
    lane_depth: int = Field(ge=1, le=20)
    """Pallets behind one another in a lane; a lane holds one format."""
    pallet_gap_mm: LengthMm = Field(alias="pallet_gap")
    """Free between a pallet and the next, on either axis."""
    aisle_mm: LengthMm = Field(alias="aisle")
    """Width of the aisle between two rows of lanes."""


class Project(Record):
    """How long it takes from the order to the first good can, apart from what machines take."""

    approval_weeks: float = Field(ge=0, le=104)
    """From the order until drawings are approved and machines go into production."""
    freight_weeks: float = Field(ge=0, le=104)
    site_works_weeks: float = Field(ge=0, le=208)
    """Power, water, air, drains and floor made ready, from approved drawings on."""
    empties_weeks: float = Field(ge=0, le=104)
    """From the order of the first containers and ends until they are there."""
    placing_days: float = Field(ge=0, le=365)
    """Bringing in and levelling, whatever the line."""
    placing_days_per_machine: float = Field(ge=0, le=60)
    connecting_days: float = Field(ge=0, le=365)
    dry_run_days: float = Field(ge=0, le=365)
    """Running empty containers and water."""
    training_days: float = Field(ge=0, le=365)
    start_up_days: float = Field(ge=0, le=365)
    """Running product until cans are good, with the first format."""
    start_up_days_per_format: float = Field(ge=0, le=60)
    """For each further format."""
    acceptance_days: float = Field(ge=0, le=60)
    """Of the acceptance run, for each format."""
    acceptance_hours: float = Field(gt=0, le=168)
    """Length of the acceptance run with one format."""
    working_days_per_week: float = Field(gt=0, le=7)


class BriefDefaults(Record):
    """What is assumed where the brief says nothing."""

    hours_per_week: float = Field(gt=0, le=168)
    weeks_per_year: float = Field(gt=0, le=53)
    changeovers_per_week: float = Field(ge=0, le=1000)
    wage: Wage
    horizon_years: Years = Field(alias="horizon")
    discount_rate: Share


class Economics(Record):
    """The file catalog/economics.yaml."""

    currency: Text
    first_cost: FirstCostShares
    tariffs: Tariffs
    habits: TradeHabits
    handling: Handling
    used_machines: UsedMachines
    stock: Stock
    stores: Stores
    project: Project
    defaults: BriefDefaults
    basis: dict[str, Basis]
    """Basis by figure: `tariffs.electricity_per_kwh`, or by group: `first_cost`."""
