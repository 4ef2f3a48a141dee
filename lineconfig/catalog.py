"""The catalogue of generic equipment classes: its schema, and where its figures come from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal, get_args

from pydantic import Field, model_validator

from lineconfig import quantities as q
from lineconfig.assess.lifting import Coupling, Duration
from lineconfig.containers import Basis, Closing, Container, ContainerKind, SupplyForm
from lineconfig.economics import Economics
from lineconfig.errors import Problem
from lineconfig.fields import (
    AirLMin,
    Amount,
    Cans,
    CarbonationSpanVol,
    Count,
    DurationMin,
    Id,
    LengthMm,
    LengthSpanMm,
    MassKg,
    Phases,
    PowerKw,
    Record,
    Share,
    SoundDba,
    SpeedCpm,
    TemperatureDegC,
    Text,
    WaterLMin,
    quantity_or_word,
)

Function = Literal[
    "supply", "unload", "guard", "lower", "rinse", "code", "fill", "dose", "dry", "inspect",
    "label", "pasteurize", "gather", "pack", "palletize", "wrap", "convey",
]  # fmt: skip
FUNCTIONS: tuple[Function, ...] = (
    "supply", "unload", "guard", "lower", "rinse", "code", "fill", "dose", "dry", "inspect",
    "label", "pasteurize", "gather", "pack", "palletize", "wrap",
)  # fmt: skip
"""The functions of a line that are chosen, in flow order."""

DEFAULT_BASIS = "default"
"""The key of a basis map that serves every figure without a basis of its own."""

Mobility = Literal["castered", "liftable", "fixed"]
Side = Literal["left", "right", "infeed-end", "discharge-end"]
RinseMedium = Literal["none", "water", "sanitizer", "ionized-air"]
CodePlace = Literal["infeed-rail", "after-dryer", "on-case"]
Trait = Literal[
    "powered-unloader",  # moves a stack under power: needs a curtain or doors
    "sweeps-layers",  # lifts the pallet and sweeps its top layer off at deck height
    "grips-layers",  # grips a whole layer from above, pallet on the floor
    "tips-layers",  # a person tips layers into it by hand
    "steady-single-file",  # delivers one steady lane: a coder's offset rail fits behind it
    "raised-for-rinsing",  # built high so that cans run down through a rinser
    "needs-level-supply",  # a person sweeps layers onto it, so the layer must be brought level
    "keeps-layer-level",  # the supply aid lifts the stack so that its top layer stays level
    "lifts-stack-overhead",  # the supply aid raises a stack above shoulder height
    "inverts",  # turns the can over an opening: can be rinsed
    "takes-from-low-level",  # only behind an unloader that lets go near the floor
    "swapped-by-hand",  # its tracks are exchanged by a person standing on the floor
    "blows-dry",  # leaves the can body dry enough for ink, wrap and board
    "checks-level",
    "needs-dry-cans",
    "needs-steady-feed",  # wants an even single lane from an accumulation before it
    "evens-flow",  # an accumulation that gives an even lane
    "batch",  # works in batches
    "closes-case",
    "stacks-cases",
    "needs-stacked-pallets",
]

LoadWord = Literal[
    "case",  # a full case: containers, fill and packaging
    "layer",  # a layer of empties with its sheet
    "handful",  # the empties of one handful, as many as the task says
    "tray",  # a tray with a case's number of empties
    "sheet",
    "top-frame",
    "empties-pallet",
    "shipping-pallet",
]
"""What a person lifts whose mass follows from the format or stands in economics.yaml."""
HeightWord = Literal[
    "deck",  # where the unloader lets containers go
    "deck-top",  # the top of a container on the deck
    "lip",  # the lip over which a layer is tipped
    "tipped",  # the hands at the end of tipping a layer
    "stack",  # each layer of empties on the floor, or the deck where the supply keeps them level
    "stack-top",  # the top of the stack as set down, or of a layer kept level with the deck
    "stack-base",  # the bare pallet under the empties
    "infeed",  # where containers enter the station, at the line's level where it has a range
    "discharge",
    "pallet-stack",  # the layers of full cases on the shipping pallet, one after another
]
"""Places above the floor whose height follows from the layout and the format."""

if TYPE_CHECKING:
    Load = q.Quantity | LoadWord
    HandHeight = q.Quantity | HeightWord
else:
    Load = quantity_or_word(q.MASS, get_args(LoadWord))
    HandHeight = quantity_or_word(q.LENGTH, get_args(HeightWord))


class PriceRange(Record):
    """What a class costs, before freight and installation [currency of the catalogue]."""

    low: Amount
    typical: Amount
    high: Amount

    @model_validator(mode="before")
    @classmethod
    def _single_figure(cls, value: Any) -> Any:
        """A firm price written as one amount is its own low, typical and high."""
        if isinstance(value, str):
            return dict.fromkeys(("low", "typical", "high"), value)
        if isinstance(value, int | float) and not isinstance(value, bool):
            raise ValueError(
                f"{value!r} has no unit: a firm price is written as '26500 USD', a range as "
                "{low, typical, high}"
            )
        return value


class SpeedLimits(Record):
    """What limits a class's speed; the slowest limit that is given holds for a format."""

    most_cpm: SpeedCpm = Field(alias="most")
    layers_per_min: float | None = Field(default=None, gt=0, le=60)
    """Layers of empties (unload) a minute."""
    cases_per_min: float | None = Field(default=None, gt=0, le=200)
    at_volume_ml: float | None = Field(default=None, gt=0, le=10_000)
    """The fill volume [ml] for which `most` is stated."""
    volume_share: Share | None = None
    """Share of the filling cycle that grows with the fill volume."""


class DropNeeds(Record):
    """What a lowering class needs between the unloader's deck and the filler's infeed."""

    base_mm: LengthMm = Field(alias="base")
    container_heights: float = Field(ge=0, le=20)
    """Least drop = base + this many container heights."""
    most_mm: LengthMm = Field(alias="most")
    """Beyond this the cans arrive too fast or the track is not made."""


class Heights(Record):
    """Where containers enter and leave, and what stands above."""

    infeed_mm: LengthSpanMm | None = Field(default=None, alias="infeed")
    discharge_mm: LengthSpanMm | None = Field(default=None, alias="discharge")
    head_mm: LengthMm | None = Field(default=None, alias="head")
    """Mechanism above the top of a can that stands on the deck."""
    lip_mm: LengthMm | None = Field(default=None, alias="lip")
    """How far the lip over which a layer is tipped stands above the discharge."""
    lowered_mm: LengthMm | None = Field(default=None, alias="lowered")
    """Supply aid: height above the floor at which a pallet stands on it when it is lowered."""
    drop: DropNeeds | None = None


class Size(Record):
    """Outside size of a machine or part [mm]: length along the flow, width across it."""

    length_mm: LengthMm = Field(alias="length")
    width_mm: LengthMm = Field(alias="width")
    height_mm: LengthMm = Field(alias="height")


class Clearances(Record):
    """Free floor that the class needs beside it for service [mm], seen along the flow."""

    left_mm: LengthMm = Field(alias="left")
    right_mm: LengthMm = Field(alias="right")
    infeed_end_mm: LengthMm = Field(alias="infeed_end")
    discharge_end_mm: LengthMm = Field(alias="discharge_end")


class Utilities(Record):
    """Connected power, peak water and peak free air."""

    power_kw: PowerKw = Field(alias="power")
    phases: Phases
    water_l_min: WaterLMin = Field(alias="water")
    air_l_min: AirLMin = Field(alias="air")


class ChangePart(Record):
    """A part or set to own per format, diameter, height or end."""

    part: Text
    for_each: Literal["format", "diameter", "height", "end", "closing"]
    first_included: bool
    """Whether the first set comes with the machine's price."""
    lead_time_weeks: float | None = Field(default=None, ge=0, le=200)
    """Of a set ordered later; that of the machine where not given."""
    price: PriceRange
    closings: list[Closing] = []
    """Only for formats closed in these ways; for all where empty."""


class ChangeoverCauses(Record):
    """Minutes of a format change by what differs between the two formats [min]."""

    any_min: DurationMin | None = Field(default=None, alias="any")
    """In every change."""
    diameter_min: DurationMin | None = Field(default=None, alias="diameter")
    height_min: DurationMin | None = Field(default=None, alias="height")
    end_min: DurationMin | None = Field(default=None, alias="end")
    closing_min: DurationMin | None = Field(default=None, alias="closing")


class Changeover(Record):
    """What changing from one format to another takes."""

    minutes: DurationMin
    """The most, where everything differs."""
    by: ChangeoverCauses | None = None
    """Less where less differs; the same for every change where not given."""
    persons: int = Field(ge=0, le=6)
    parts: list[ChangePart] = []


class Lift(Record):
    """Something that a person lifts with both hands in a task.

    A height given as a length counts from where the person stands, a word from the floor.
    """

    lift: Text
    """What is lifted where, in a few words."""
    load: Load
    share: Share | None = None
    """Share of the load that the hands carry; the whole of it where not given."""
    times: float = Field(default=1.0, gt=0, le=1000)
    """Lifts each time the task comes up."""
    origin: HandHeight = Field(alias="from")
    """Height of the hands as they take the load."""
    destination: HandHeight = Field(alias="to")
    """Height of the hands as they let it go."""
    reach_mm: LengthMm = Field(alias="reach")
    """How far the hands are in front of the ankles at the origin."""
    reach_to_mm: LengthMm | None = Field(default=None, alias="reach_to")
    """The same at the destination; as at the origin where not given."""
    turn_deg: float = Field(default=0.0, ge=0, le=180)
    """How far the load lies aside of the body at the origin."""
    turn_to_deg: float | None = Field(default=None, ge=0, le=180)
    """The same at the destination; as at the origin where not given."""
    coupling: Coupling
    placed: bool = False
    """Whether the load is set down with care, so that the destination counts as well."""
    platform: bool = False
    """Whether the person stands on a platform where the hands would be overhead."""
    duration: Duration | None = None
    """How long of a shift it goes on; follows from the hours of operation where not given."""


class Task(Record):
    """Something a person does at the station, and how often."""

    task: Text
    every: Literal["pallet", "load", "layer", "case", "full-pallet-out", "cans", "handful"]
    cans: Cans | None = None
    """With `every: cans`: how many cans between two times; with `handful`: cans in one handful."""
    minutes: DurationMin
    """How long it takes one person; none for what the machine does by itself."""
    standing_min: DurationMin | None = Field(default=None, alias="standing")
    """How long the station stands for it, as for a change of pallet; of a person's work, its
    beginning."""
    lifts: list[Lift] = []
    hands: HandHeight | None = None
    """Height at which hands work in this task; for lifts their own ends say so."""
    platform: bool = False
    """Whether the person stands on a platform where these hands would be overhead."""


class Attendance(Record):
    """Who must be there."""

    always: bool = False
    """One person all the time, at any speed."""
    tasks: list[Task] = []


class Stops(Record):
    """Short stops: how often and for how long."""

    every_cans: Cans = Field(alias="every")
    """Mean cans between stops."""
    minutes: DurationMin
    """Mean minutes to clear one."""
    person: bool
    """Whether somebody must come to clear it."""


class Tracks(Record):
    """Which numbers of formats a lowering class serves, and how many tracks hang at once."""

    formats_least: int = Field(ge=1, le=50)
    formats_most: int = Field(ge=1, le=50)
    mounted: Literal["one", "each-format"]


class Guarding(Record):
    """How a guard keeps people from the moving parts."""

    device: Literal["light-curtain", "interlocked-doors"]
    response_min: DurationMin = Field(alias="response")
    """From the interruption to the stop signal: device and control together."""
    resolution_mm: LengthMm | None = Field(default=None, alias="resolution")
    """Light curtain: the smallest object that is always seen."""
    leaves: int = Field(default=2, ge=1, le=4)
    """Doors: leaves that share the guard's width, each hung at its outer edge."""


class HeatTreatment(Record):
    """What the product goes through at its hottest."""

    temperature_degc: TemperatureDegC = Field(alias="temperature")
    """Of the product while it is held."""
    hold_min: DurationMin = Field(alias="hold")


class Reuse(Record):
    """A part of this class that serves again in a later one."""

    part: Text
    in_classes: list[Id] = Field(alias="in")
    credit: Share
    """Share of this class's price that is credited."""


class Caution(Record):
    """A hazard or a limit that is shown with every layout that has the class."""

    code: Id
    text: Text
    basis: Basis


class Accepts(Record):
    """Which containers (and, where they matter, ends, supply forms, carbonation) a class takes."""

    kinds: list[ContainerKind]
    diameter_mm: LengthSpanMm = Field(alias="diameter")
    height_mm: LengthSpanMm = Field(alias="height")
    supply: list[SupplyForm] | None = None
    closings: list[Closing] | None = None
    ends: list[Text] | None = None
    carbonation_vol: CarbonationSpanVol | None = Field(default=None, alias="carbonation")


class EquipmentClass(Record):
    """One generic class of equipment (or one way of doing without: `absent`)."""

    id: Id
    name: Text
    summary: Text
    function: Function
    absent: bool = False
    """A choice without a machine: costs nothing, takes no floor."""
    accepts: Accepts | None = None
    speed: SpeedLimits | None = None
    heights: Heights = Heights.model_validate({})
    lanes: int = Field(default=1, ge=1, le=12)
    size: Size | None = None
    clearance: Clearances | None = None
    operator_sides: list[Side] = []
    panel_side: Literal["left", "right"] | None = None
    """Side on which its electrical panel opens; None where it has none of its own."""
    discharge_offset_mm: LengthMm | None = Field(default=None, alias="discharge_offset")
    """How far the discharge of a left-handed machine lies to the left of its centre line, seen
    along the flow; a right-handed one is its mirror image. In the middle where not given."""
    mass_kg: MassKg | None = Field(default=None, alias="mass")
    mobility: Mobility | None = None
    largest_part: Size | None = None
    """The largest piece that must pass the door when it is brought in."""
    utilities: Utilities | None = None
    noise_dba: SoundDba | None = Field(default=None, alias="noise")
    """Sound level a metre away while it runs with containers."""
    changeover: Changeover | None = None
    attendance: Attendance = Attendance.model_validate({})
    stops: Stops | None = None
    holds_cans: Count = 0
    """Cans that it holds between its infeed and its discharge: a buffer."""
    price: PriceRange | None = None
    price_per_track: PriceRange | None = None
    """Lowering classes: on top of `price`, for each format's track."""
    tracks: Tracks | None = None
    tracks_per_header: int | None = Field(default=None, ge=1, le=8)
    """Rinse: neighbouring tracks that one header serves."""
    header_mm: LengthMm | None = Field(default=None, alias="header")
    """Rinse: length of track over which the header reaches into the containers."""
    inverted_run_mm: LengthMm | None = Field(default=None, alias="inverted_run")
    """Lowering classes that invert: length of the run on which containers are upside down."""
    stopping_min: DurationMin | None = Field(default=None, alias="stopping")
    """Powered unloaders: from the stop signal until every moving part stands still."""
    guarding: Guarding | None = None
    medium: RinseMedium | None = None
    place: CodePlace | None = None
    supply_form: SupplyForm | None = None
    """Supply: the form in which the empties are bought where the brief leaves it open."""
    treatment: Literal["none", "batch", "tunnel"] | None = None
    area_price: PriceRange | None = None
    """Tunnel: per square metre of belt, on top of `price`."""
    dwell_min: DurationMin | None = Field(default=None, alias="dwell")
    heat: HeatTreatment | None = None
    water_l_per_1000: float = Field(default=0, ge=0, le=100_000)
    """Water used per 1000 cans [l], rinse headers apart: theirs flows while the line runs."""
    consumables_per_1000: Amount | None = None
    """Ink, board, film, gas and the like per 1000 cans."""
    can_loss: Share | None = None
    """Share of cans lost at the station."""
    product_loss: Share | None = None
    """Share of product lost at the station."""
    upkeep: Share | None = None
    """Yearly upkeep as a share of the typical price."""
    lead_time_weeks: float | None = Field(default=None, ge=0, le=200)
    traits: list[Trait] = []
    reuse: list[Reuse] = []
    cautions: list[Caution] = []
    basis: dict[str, Basis]
    """Basis by figure or group of figures: `speed`, `price`, `heights.discharge`, ..."""

    @property
    def header_flow_l_min(self) -> float:
        """Water of one rinse header, which flows as long as cans run [l/min]."""
        if self.header_mm is None or self.utilities is None:
            return 0.0
        return float(self.utilities.water_l_min)


class EquipmentFile(Record):
    """One file of catalog/equipment/: the classes of one function."""

    function: Function
    classes: list[EquipmentClass]


@dataclass(frozen=True, eq=False)
class Catalog:
    """The shipped catalogue with its overlays: what a brief is put to."""

    containers: Mapping[str, Container]
    classes: Mapping[str, EquipmentClass]
    """By id, in flow order."""
    economics: Economics
    sources: tuple[str, ...]
    """The files that it was read from, as they are named in messages."""
    notes: tuple[Problem, ...] = ()
    """What of an overlay may be meant otherwise, but is taken as it stands."""

    @cached_property
    def _by_function(self) -> dict[str, tuple[EquipmentClass, ...]]:
        found: dict[str, list[EquipmentClass]] = {}
        for item in self.classes.values():
            found.setdefault(item.function, []).append(item)
        return {function: tuple(items) for function, items in found.items()}

    def of(self, function: Function) -> tuple[EquipmentClass, ...]:
        """The classes of a function, in the catalogue's order."""
        return self._by_function.get(function, ())

    def basis(self, class_id: str, figure_path: str) -> str:
        """Where a class's figure comes from: `price.typical`, `heights.discharge`.

        Raises KeyError for an unknown class, and where neither the figure nor a group that holds
        it has a basis.
        """
        return basis_in(self.classes[class_id].basis, figure_path)

    def container_basis(self, container_id: str, figure_path: str) -> str:
        """Where a container's figure comes from: `diameter`, `pallet.per_layer`.

        Raises KeyError, as `basis` does.
        """
        return basis_in(self.containers[container_id].basis, figure_path)

    def economics_basis(self, figure_path: str) -> str:
        """Where an assumption comes from: `tariffs.water_per_m3`, `habits.overspeed`.

        Raises KeyError, as `basis` does.
        """
        return basis_in(self.economics.basis, figure_path)


def basis_in(basis: Mapping[str, str], figure_path: str) -> str:
    """The basis of a figure: that of the longest key which names it or a group around it.

    `default` serves the rest. Raises KeyError where there is none.
    """
    parts = figure_path.split(".")
    for length in range(len(parts), 0, -1):
        found = basis.get(".".join(parts[:length]))
        if found is not None:
            return found
    if DEFAULT_BASIS in basis:
        return basis[DEFAULT_BASIS]
    raise KeyError(figure_path)
