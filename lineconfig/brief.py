"""The client's requirements as written in a brief."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from lineconfig.catalog import Function
from lineconfig.containers import Closing, ContainerKind, SupplyForm
from lineconfig.fields import (
    AirLMin,
    Amount,
    CarbonationVol,
    ContentMl,
    Count,
    Form,
    Id,
    LengthMm,
    Phases,
    Record,
    Share,
    SpeedCpm,
    TemperatureDegC,
    Text,
    Version,
    Wage,
    WaterLMin,
    Years,
)

MOST_ENTRIES = 500
"""No list of a brief is longer."""

View = Literal["life-cycle-cost", "first-cost", "people", "floor", "changeover"]
VIEWS: tuple[View, ...] = ("life-cycle-cost", "first-cost", "people", "floor", "changeover")


class Product(Record):
    """What is filled."""

    kind: Text = "beverage"
    carbonation_vol: CarbonationVol | None = Field(default=None, alias="carbonation")
    fill_temperature_degc: TemperatureDegC | None = Field(default=None, alias="fill_temperature")
    heat_treatment: Literal["none", "batch", "tunnel"] = "none"


class InlineContainer(Record):
    """A container that the catalogue does not list."""

    kind: ContainerKind
    diameter_mm: LengthMm = Field(alias="diameter")
    height_mm: LengthMm = Field(alias="height")
    volume_ml: ContentMl = Field(alias="volume")
    end: Text
    closing: Closing | None = None
    """Left out: seam for cans, screw cap for threaded bottles, crown for glass."""
    name: Text | None = None


def _container_form(value: Any) -> str | None:
    if isinstance(value, dict | InlineContainer):
        return "inline"
    return "id" if isinstance(value, str) else None


ContainerChoice = Annotated[
    Annotated[Id, Tag("id")] | Annotated[InlineContainer, Tag("inline")],
    Discriminator(_container_form),
    Form("the id of a format of the catalogue, or {kind, diameter, height, volume, end}"),
]
"""A container of the catalogue by its id, or one described in place."""


class FormatNeed(Record):
    """One container format that the line must run."""

    container: ContainerChoice
    annual_cans: Count | None = None
    speed_cpm: SpeedCpm | None = Field(default=None, alias="speed")
    """Only where this format needs another speed than the brief's."""
    supply: SupplyForm | None = None
    """Left out: whichever form suits the line."""
    rehandled: bool = False
    """Sleeved, repacked or sold in small lots since the can plant."""
    open_storage: bool = False
    """Stored where others than staff can reach it."""
    label: Literal["printed", "pre-sleeved", "wrap"] = "printed"
    margin_per_1000: Amount | None = None
    """What 1000 filled containers bring in above product, containers and sale, before the line's
    own costs."""


class Operation(Record):
    """When the line runs."""

    hours_per_week: float | None = Field(default=None, gt=0, le=168)
    weeks_per_year: float | None = Field(default=None, gt=0, le=53)
    changeovers_per_week: float | None = Field(default=None, ge=0, le=1000)
    cover_days: float | None = Field(default=None, gt=0, le=365)
    """Calendar days that the stores of empties and of full goods last."""


class Door(Record):
    """The smallest opening on the way in."""

    width_mm: LengthMm = Field(alias="width")
    height_mm: LengthMm = Field(alias="height")
    wall: Literal["south", "north", "west", "east"] | None = None
    """The wall that it is in; left out: whichever suits the plan. The room's length runs from west
    to east, its width from south to north."""
    at_mm: LengthMm | None = Field(default=None, alias="at")
    """How far along that wall it begins: from the west end, or from the south end."""


class Vehicle(Record):
    """The bed of the truck or trailer that a mobile line travels on."""

    length_mm: LengthMm = Field(alias="length")
    width_mm: LengthMm = Field(alias="width")
    height_mm: LengthMm | None = Field(default=None, alias="height")
    """Free height above the bed; left out: open above."""


class Obstacle(Record):
    """Something that stands in the room, measured from its south-west corner.

    Floor that is kept free may lie on what is called a drain; nothing stands on it.
    """

    name: Text
    x_mm: LengthMm = Field(alias="x")
    y_mm: LengthMm = Field(alias="y")
    length_mm: LengthMm = Field(alias="length")
    width_mm: LengthMm = Field(alias="width")


class PowerSupply(Record):
    """The electrical connection at hand."""

    phases: Phases
    volts: float = Field(gt=0, le=1000)
    amperes: float = Field(gt=0, le=10_000)


class Site(Record):
    """The room and what it supplies; what is left out is not limited."""

    ceiling_mm: LengthMm = Field(alias="ceiling")
    length_mm: LengthMm | None = Field(default=None, alias="length")
    width_mm: LengthMm | None = Field(default=None, alias="width")
    door: Door | None = None
    obstacles: list[Obstacle] = Field(default=[], max_length=200)
    power: PowerSupply | None = None
    water_l_min: WaterLMin | None = Field(default=None, alias="water")
    air_l_min: AirLMin | None = Field(default=None, alias="air")


class Staff(Record):
    """Who is there."""

    per_shift: int | None = Field(default=None, ge=1, le=200)
    wage_per_h: Wage | None = Field(default=None, alias="wage")
    ladder_work: bool = False


class Existing(Record):
    """Equipment that the client owns already."""

    function: Function
    class_id: Id | None = Field(default=None, alias="class")
    speed_cpm: SpeedCpm | None = Field(default=None, alias="speed")
    infeed_height_mm: LengthMm | None = Field(default=None, alias="infeed_height")


class AddedFormat(Record):
    """A format that a later phase brings."""

    container: ContainerChoice
    share: Share | None = None
    annual_cans: Count | None = None


class SiteChange(Record):
    """What of the site is different from a later year on; what is left out stays as it was."""

    ceiling_mm: LengthMm | None = Field(default=None, alias="ceiling")
    length_mm: LengthMm | None = Field(default=None, alias="length")
    width_mm: LengthMm | None = Field(default=None, alias="width")
    door: Door | None = None
    power: PowerSupply | None = None
    water_l_min: WaterLMin | None = Field(default=None, alias="water")
    air_l_min: AirLMin | None = Field(default=None, alias="air")


class GrowthStep(Record):
    """What changes in a later year."""

    year: int = Field(ge=1, le=50)
    volume: Share | None = None
    """Yearly volume as a share of today's (`250 %`)."""
    add_formats: list[AddedFormat] = Field(default=[], max_length=50)
    site: SiteChange | None = None
    hours_per_week: float | None = Field(default=None, gt=0, le=168)
    per_shift: int | None = Field(default=None, ge=1, le=200)


class DemandScenario(Record):
    """How much of the planned growth may come, and how likely that is."""

    name: Text
    share: Share
    """How likely; shares of all scenarios are set against their sum."""
    growth: Share
    """Share of every planned change of volume that comes: `100 %` as planned, `0 %` none."""


class Brief(Record):
    """One client's requirements."""

    brief: Version
    name: Text = "Unnamed brief"
    product: Product = Product.model_validate({})
    speed_cpm: SpeedCpm | None = Field(default=None, alias="speed")
    formats: list[FormatNeed] = Field(min_length=1, max_length=50)
    operation: Operation = Operation.model_validate({})
    site: Site
    mobility: Literal["fixed", "stowed", "mobile"] = "fixed"
    vehicle: Vehicle | None = None
    staff: Staff = Staff.model_validate({})
    rinse: Literal["auto", "required", "none-accepted"] = "auto"
    budget: Amount | None = None
    horizon_years: Years | None = Field(default=None, alias="horizon")
    discount_rate: Share | None = None
    existing: list[Existing] = Field(default=[], max_length=50)
    exclude: list[Id] = Field(default=[], max_length=MOST_ENTRIES)
    require: list[Id] = Field(default=[], max_length=100)
    prefer: View = "life-cycle-cost"
    growth: list[GrowthStep] = Field(default=[], max_length=50)
    scenarios: list[DemandScenario] = Field(default=[], max_length=20)
