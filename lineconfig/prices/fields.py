"""Price fields: every amount of money that a class of the catalogue states, one by one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lineconfig.catalog import Catalog, ChangePart, EquipmentClass, PriceRange
from lineconfig.quantities import Money

PRICE, PER_TRACK, BELT, CONSUMABLES = "price", "price_per_track", "area_price", "consumables"
PART = "part "
"""A change part's field is this and its place in the class, counted from 1."""
CATALOGUE_KEYS = {
    PRICE: "price", PER_TRACK: "price_per_track", BELT: "area_price",
    CONSUMABLES: "consumables_per_1000",
}  # fmt: skip
"""The catalogue's key of each field; change parts stand in a list of their own."""


@dataclass(frozen=True, slots=True)
class PriceField:
    """One amount of one class."""

    class_id: str
    field: str
    """`price`, `price_per_track`, `area_price`, `consumables`, or `part 1`, `part 2`, ..."""
    name: str
    function: str
    what: str
    """What is paid for, in words."""
    unit: str
    low: Money | None
    """None where the catalogue states one amount only [currency]."""
    typical: Money
    high: Money | None
    basis: str

    @property
    def key(self) -> tuple[str, str]:
        """Class and field: no two amounts share them."""
        return self.class_id, self.field

    @property
    def has_range(self) -> bool:
        """Whether it has a low and a high amount."""
        return self.low is not None


def part_field(place: int) -> str:
    """The field of a class's change part, by its place counted from 0."""
    return f"{PART}{place + 1}"


def part_place(field: str) -> int | None:
    """The place of a change part counted from 0; None for any other field."""
    number = field.removeprefix(PART)
    return int(number) - 1 if field.startswith(PART) and number.isdecimal() else None


def part_words(part: ChangePart) -> str:
    """What a change part is and what one is needed for."""
    return f"{part.part}, for each {part.for_each}"


def price_fields(catalog: Catalog) -> Iterator[PriceField]:
    """Every amount of every class, in the catalogue's order."""
    for equipment in catalog.classes.values():
        yield from fields_of(catalog, equipment)


def fields_of(catalog: Catalog, equipment: EquipmentClass) -> Iterator[PriceField]:
    """Every amount of one class."""
    currency = catalog.economics.currency

    def made(
        field: str, what: str, unit: str, price: PriceRange | None, path: str, amount: Money | None
    ) -> Iterator[PriceField]:
        typical = amount if price is None else price.typical
        if typical is not None:
            yield PriceField(
                equipment.id, field, equipment.name, equipment.function, what,
                f"{currency} {unit}",
                None if price is None else price.low, typical,
                None if price is None else price.high,
                catalog.basis(equipment.id, path),
            )  # fmt: skip

    machine, each = "Machine", "each"
    if equipment.function == "convey" and equipment.size is not None:
        machine, each = "Conveyor", f"piece of {equipment.size.length_mm:g} mm"
    yield from made(PRICE, machine, each, equipment.price, "price.typical", None)
    yield from made(
        PER_TRACK, "Track", "for each format", equipment.price_per_track,
        "price_per_track.typical", None,
    )  # fmt: skip
    yield from made(BELT, "Belt", "m2", equipment.area_price, "area_price.typical", None)
    for place, part in enumerate(equipment.changeover.parts if equipment.changeover else []):
        yield from made(
            part_field(place), part_words(part), "each", part.price, "changeover.parts.price", None
        )
    yield from made(
        CONSUMABLES, "Consumables", "1000 cans", None, "consumables_per_1000",
        equipment.consumables_per_1000,
    )  # fmt: skip
