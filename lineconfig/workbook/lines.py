"""What a workbook is about: its layouts as pieces to buy and machines to run.

A station's price is taken apart into quantities and the catalogue's amounts, so that each amount
stands in one cell and a client may change it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.assess.money import NOTHING, Range
from lineconfig.catalog import EquipmentClass
from lineconfig.connect.stations import belt_area_m2, owned_parts, price_range
from lineconfig.containers import SupplyForm
from lineconfig.layout import Layout, Station
from lineconfig.prices.fields import BELT, PER_TRACK, PRICE, part_field
from lineconfig.rank import LETTERS, Ranked, Recommendation
from lineconfig.report.subject import usual
from lineconfig.report.words import Words, load_words
from lineconfig.session import Study


@dataclass(frozen=True, slots=True)
class Piece:
    """One line of the bill of materials."""

    station: int
    """Place of its station in the layout."""
    class_id: str
    field: str
    """Which of the class's amounts it costs."""
    item: str
    quantity: float
    unit: str
    owned: bool
    """Whether the client has it already: then nothing is paid."""
    machine: bool
    """Whether upkeep is reckoned on its price: change parts need none."""
    price: Range
    """Of one [currency]."""

    @property
    def bought(self) -> float:
        """How many are paid for."""
        return 0.0 if self.owned else self.quantity


@dataclass(frozen=True, slots=True)
class Runner:
    """One function of a line as it runs, those without a machine included."""

    station: int | None
    """Place of its station in the layout; None for a choice without a machine."""
    equipment: EquipmentClass
    power_kw: float
    air_l_min: float


@dataclass(frozen=True, eq=False)
class Line:
    """One layout of the workbook."""

    label: str
    """What the document calls it too: its number among those that were asked for."""
    place: str
    """Its rank or letter in the recommendation; empty where it has none."""
    layout: Layout
    ranked: Ranked | None
    pieces: tuple[Piece, ...]
    runners: tuple[Runner, ...]
    forms: tuple[SupplyForm, ...]
    """How each format's empties are bought."""
    reference: bool = False
    """Whether it is there only to be compared with."""


def lines_of(
    study: Study,
    answer: Recommendation,
    layouts: Sequence[Ranked | Layout] | None = None,
    words: Words | None = None,
) -> list[Line]:
    """The layouts asked for, or those of the document, and the cheapest to buy at the end.

    The last line with the lowest first cost is what payback and worth are measured against; it is
    not added again where it is among the others.
    """
    words = words or load_words()
    chosen = list(layouts) if layouts else [item for _, item in usual(answer)]
    lines = [
        line_of(study, answer, item, words, words("choice.column", label=str(number)))
        for number, item in enumerate(chosen, 1)
    ]
    cheapest = study.cheapest
    if cheapest is not None and all(line.layout.id != cheapest.id for line in lines):
        label = words("book.cheapest")
        lines.append(line_of(study, answer, cheapest, words, label, reference=True))
    return lines


def line_of(
    study: Study,
    answer: Recommendation,
    item: Ranked | Layout,
    words: Words,
    label: str,
    *,
    reference: bool = False,
) -> Line:
    """One layout taken apart."""
    layout = item.layout if isinstance(item, Ranked) else item
    ranked = item if isinstance(item, Ranked) else None
    return Line(
        label=label,
        place=place_of(answer, layout),
        layout=layout,
        ranked=ranked,
        pieces=tuple(
            piece
            for place, station in enumerate(layout.stations)
            for piece in pieces_of(study, place, station, words)
        ),
        runners=tuple(_runners(study, layout)),
        forms=study.inquiry.forms(layout.station("supply").option),
        reference=reference,
    )


def place_of(answer: Recommendation, layout: Layout) -> str:
    """The rank among all and the letter of an arrangement, as far as a layout has them."""
    ranks = ((str(item.rank), item) for item in answer.layouts)
    kinds = zip(LETTERS, answer.arrangements, strict=False)
    return ", ".join(name for name, item in (*ranks, *kinds) if item.layout.id == layout.id)


def pieces_of(study: Study, place: int, station: Station, words: Words) -> list[Piece]:
    """What one station costs, amount by amount: together its first cost."""
    equipment, owned = station.option.equipment, station.option.owned
    count = len(study.inquiry.containers)
    sets = 1.0
    if station.function == "convey" or (
        station.function == "rinse" and equipment.tracks_per_header
    ):
        sets = station.quantity
    pieces = []

    def add(field: str, item: str, quantity: float, unit: str, price: Range) -> None:
        pieces.append(
            Piece(place, equipment.id, field, item, quantity, unit, owned, True, price)
        )  # fmt: skip

    def add_part(field: str, item: str, count: float, price: Range) -> None:
        sets = words("unit.sets")
        pieces.append(Piece(place, equipment.id, field, item, count, sets, False, False, price))

    if equipment.price is not None:
        unit = words("unit.pieces")
        if station.function == "convey" and equipment.size is not None:
            unit = words("unit.pieces_of", length=f"{equipment.size.length_mm:g}")
        add(PRICE, equipment.name, sets, unit, price_range(equipment.price))
    if equipment.price_per_track is not None:
        add(
            PER_TRACK, words("bill.track", name=equipment.name), sets * count, words("unit.tracks"),
            price_range(equipment.price_per_track),
        )  # fmt: skip
    if equipment.area_price is not None and equipment.dwell_min is not None:
        add(
            BELT, words("bill.belt", name=equipment.name),
            belt_area_m2(study.inquiry, equipment.dwell_min), "m2",
            price_range(equipment.area_price),
        )  # fmt: skip
    if not pieces:
        add("", equipment.name, station.quantity, words("unit.pieces"), NOTHING)
    changeover = equipment.changeover
    for number, part in enumerate(changeover.parts if changeover else []):
        for owning in owned_parts([part], study.inquiry.containers, owned=owned):
            item = f"{owning.part} ({', '.join(owning.serves)})"
            add_part(part_field(number), item, float(owning.count), price_range(part.price))
    return pieces


def _runners(study: Study, layout: Layout) -> list[Runner]:
    """The stations of a line, and its choices without a machine, which may cost something too."""
    runners = [
        Runner(place, station.option.equipment, station.power_kw, station.air_l_min)
        for place, station in enumerate(layout.stations)
    ]
    there = {runner.equipment.id for runner in runners}
    missing = [class_id for class_id in layout.classes if class_id not in there]
    return runners + [
        Runner(None, study.catalog.classes[class_id], 0.0, 0.0) for class_id in missing
    ]
