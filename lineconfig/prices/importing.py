"""From a filled price sheet to an overlay of the catalogue."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.errors import InputError, Problem, did_you_mean, shown
from lineconfig.prices import columns as c
from lineconfig.prices.fields import (
    CATALOGUE_KEYS,
    CONSUMABLES,
    PriceField,
    fields_of,
    part_place,
)
from lineconfig.prices.reading import Filled, Row, read_filled
from lineconfig.prices.sheet import unguarded
from lineconfig.prices.values import amount_in, date_in

MOST_BASIS = 400
"""Characters that a basis may have in a catalogue."""
ERRORS = frozenset({"#NAME?", "#REF!", "#VALUE!", "#DIV/0!", "#N/A", "#NULL!", "#NUM!"})
"""What stands in a cell whose formula has no result."""


@dataclass(frozen=True, slots=True)
class Quoted:
    """What one row of a sheet says of one price field."""

    field: PriceField
    amounts: tuple[str, str, str]
    """Low, typical and high as the overlay writes them; what was left empty is the catalogue's."""
    basis: str


@dataclass(frozen=True, slots=True)
class Imported:
    """An overlay made of a price sheet."""

    text: str
    """YAML."""
    amounts: int
    """Price fields that it states."""
    classes: int


def import_prices(file: str, overlays: Sequence[str | Path] = ()) -> Imported:
    """Read a filled price sheet and make an overlay of it.

    `overlays` are those that the sheet was written with.

    Raises InputError with every cell that cannot be read, and for a sheet that has nothing new.
    """
    from lineconfig.catalog_loading import load_catalog

    filled = read_filled(file)
    catalog = load_catalog(overlays)
    quoted = quoted_in(filled, catalog)
    text = overlay_text(quoted, catalog, Path(file).name)
    _make_sure(text, overlays, file)
    return Imported(text, len(quoted), len({item.field.class_id for item in quoted}))


def quoted_in(filled: Filled, catalog: Catalog) -> list[Quoted]:
    """What a sheet says, in the catalogue's order.

    Raises InputError with every problem found, and where nothing is filled in.
    """
    problems: list[Problem] = []
    found: dict[tuple[str, str], tuple[Row, Quoted]] = {}
    for row in filled.rows:
        if all(row.cells[name].empty for name in c.FILLED if name in row.cells):
            continue
        field = _field_of(row, filled, catalog, problems)
        if field is None:
            continue
        if field.key in found:
            problems.append(
                Problem(
                    filled.file, row.number,
                    f"{field.class_id}, {field.field} is filled in twice, first in row "
                    f"{found[field.key][0].number}: keep one of them",
                )
            )  # fmt: skip
            continue
        quoted = _quoted(row, field, filled, catalog.economics.currency, problems)
        if quoted is not None:
            found[field.key] = row, quoted
    if problems:
        raise InputError.of(problems)
    if not found:
        raise InputError.single(
            "nothing is filled in: write amounts into the columns low, typical and high",
            file=filled.file,
        )
    order = {name: place for place, name in enumerate(catalog.classes)}
    items = [item for _, item in found.values()]
    return sorted(items, key=lambda item: (order[item.field.class_id], item.field.field))


def _field_of(
    row: Row, filled: Filled, catalog: Catalog, problems: list[Problem]
) -> PriceField | None:
    """The price field that a row is about."""

    def complain(column: str, text: str) -> None:
        cell = row.cells.get(column)
        where = f"{cell.place}: " if cell else ""
        problems.append(Problem(filled.file, row.number, where + text))

    class_id, name = row.text(c.ID), row.text(c.FIELD)
    equipment = catalog.classes.get(class_id)
    if equipment is None:
        hint = did_you_mean(class_id, catalog.classes) or ": use an id of the catalogue"
        complain(c.ID, f"there is no class {shown(class_id)}{hint}")
        return None
    fields = {field.field: field for field in fields_of(catalog, equipment)}
    field = fields.get(name)
    if field is None:
        known = ", ".join(fields) or "none"
        complain(c.FIELD, f"{class_id} has no price {shown(name)} (it has: {known})")
        return None
    what = unguarded(row.text(c.WHAT))
    if part_place(name) is not None and what and what != field.what:
        complain(
            c.WHAT, f"{class_id}, {name} is {shown(field.what)} in the catalogue, not "
            f"{shown(what)}: write the sheet anew",
        )  # fmt: skip
        return None
    return field


def _quoted(
    row: Row, field: PriceField, filled: Filled, currency: str, problems: list[Problem]
) -> Quoted | None:
    """What a row says; None, and more problems, where a cell cannot be read."""
    before = len(problems)
    stated: dict[str, float] = {}
    until = ""

    def complain(column: str, text: str) -> None:
        problems.append(Problem(filled.file, row.number, f"{row.cells[column].place}: {text}"))

    for name in c.AMOUNTS:
        cell = row.cells.get(name)
        if cell is None or cell.empty:
            continue
        if name != c.TYPICAL and not field.has_range:
            complain(name, f"{field.field} has one amount only: write it under {c.TYPICAL!r}")
            continue
        try:
            stated[name] = amount_in(cell, currency, filled.delimiter)
        except ValueError as error:
            complain(name, str(error))
    cell = row.cells.get(c.VALID_UNTIL)
    if cell is not None and not cell.empty:
        try:
            until = f", valid until {date_in(cell).isoformat()}"
        except ValueError as error:
            complain(c.VALID_UNTIL, str(error))
    cell = row.cells.get(c.BASIS)
    if cell is not None and (cell.unknown_formula or str(cell.value) in ERRORS):
        complain(c.BASIS, "holds a formula without a text: write who offered the price, and when")
    basis = _basis(row, field, filled, stated) + until
    if len(basis) > MOST_BASIS:
        complain(c.BASIS, f"is longer than {MOST_BASIS} characters: keep it short")
    if len(problems) == before:
        values, texts = _amounts(field, stated, currency)
        if not values[0] <= values[1] <= values[2]:
            column = next(name for name in c.AMOUNTS if name in stated)
            low, typical, high = (f"{value:,.10g}" for value in values)
            complain(
                column, f"low {low}, typical {typical} and high {high} do not rise; an empty cell "
                "keeps the catalogue's amount: fill in all three",
            )  # fmt: skip
        else:
            return Quoted(field, texts, basis)
    return None


def _basis(row: Row, field: PriceField, filled: Filled, stated: Mapping[str, float]) -> str:
    """Where the amounts come from: what the sheet says, else the sheet itself."""
    cell = row.cells.get(c.BASIS)
    if cell is not None and not cell.empty:
        return " ".join(unguarded(str(cell.value).strip()).split())
    return f"price sheet {Path(filled.file).name}" if stated else field.basis


def _amounts(
    field: PriceField, stated: Mapping[str, float], currency: str
) -> tuple[tuple[float, float, float], tuple[str, str, str]]:
    """Low, typical and high as numbers and as they are written."""
    typical = stated.get(c.TYPICAL, float(field.typical))
    if not field.has_range:
        text = _written(typical, currency) if stated else field.typical.text
        return (typical, typical, typical), (text, text, text)
    values, texts = [], []
    for name, was in zip(c.AMOUNTS, (field.low, field.typical, field.high), strict=True):
        assert was is not None
        values.append(stated.get(name, float(was)))
        texts.append(_written(stated[name], currency) if name in stated else was.text)
    return (values[0], values[1], values[2]), (texts[0], texts[1], texts[2])


def _written(amount: float, currency: str) -> str:
    return f"{f'{amount:.6f}'.rstrip('0').rstrip('.')} {currency}"


# --- the overlay ---------------------------------------------------------------------------------


def overlay_text(quoted: Sequence[Quoted], catalog: Catalog, source: str) -> str:
    """The overlay as YAML."""
    import yaml

    by_class: dict[str, list[Quoted]] = {}
    for item in quoted:
        by_class.setdefault(item.field.class_id, []).append(item)
    classes = [
        _entry(catalog, catalog.classes[class_id], items) for class_id, items in by_class.items()
    ]
    body = yaml.safe_dump(
        {"classes": classes},
        sort_keys=False,
        allow_unicode=True,
        width=100,
        default_flow_style=None,
    )
    named = "".join(letter if letter.isprintable() else "?" for letter in source)
    return f"# Prices from the sheet {named}. They replace those of the catalogue.\n{body}"


def _entry(catalog: Catalog, equipment: EquipmentClass, items: Sequence[Quoted]) -> dict[str, Any]:
    """A class with its new amounts and their basis."""
    entry: dict[str, Any] = {"id": equipment.id}
    basis: dict[str, str] = {}
    parts: dict[int, Quoted] = {}
    for item in items:
        place = part_place(item.field.field)
        if place is not None:
            parts[place] = item
            continue
        key = CATALOGUE_KEYS[item.field.field]
        entry[key] = item.amounts[1] if item.field.field == CONSUMABLES else _range(item)
        basis[key] = item.basis
    if parts:
        entry["changeover"] = {"parts": _parts(equipment, parts)}
        # A list of parts is replaced as a whole, so what stays keeps its basis by name.
        before = catalog.basis(equipment.id, "changeover.parts")
        basis["changeover.parts"] = before
        basis["changeover.parts.price"] = _parts_basis(catalog, equipment, parts)
    entry["basis"] = basis
    return entry


def _range(item: Quoted) -> dict[str, str]:
    return dict(zip(c.AMOUNTS, item.amounts, strict=True))


def _parts(equipment: EquipmentClass, quoted: Mapping[int, Quoted]) -> list[dict[str, Any]]:
    """Every change part of a class, those with new amounts changed."""
    assert equipment.changeover is not None
    written = []
    for place, part in enumerate(equipment.changeover.parts):
        plain = part.model_dump(by_alias=True, exclude_unset=True)
        if place in quoted:
            plain["price"] = _range(quoted[place])
        written.append(plain)
    return written


def _parts_basis(catalog: Catalog, equipment: EquipmentClass, quoted: Mapping[int, Quoted]) -> str:
    """One basis for the prices of all parts: each new one by name, then that of the rest."""
    assert equipment.changeover is not None
    parts = equipment.changeover.parts
    said = list(dict.fromkeys(item.basis for item in quoted.values()))
    if len(quoted) == len(parts) and len(said) == 1:
        return said[0]
    texts = [f"{parts[place].part}: {item.basis}" for place, item in sorted(quoted.items())]
    if len(quoted) < len(parts):
        texts.append(f"the rest: {catalog.basis(equipment.id, 'changeover.parts.price')}")
    text = "; ".join(texts)
    return text if len(text) <= MOST_BASIS else f"{text[: MOST_BASIS - 1]}…"


def _make_sure(text: str, overlays: Sequence[str | Path], file: str) -> None:
    """Load the overlay as `--catalog` would.

    Raises InputError where that fails.
    """
    from lineconfig.catalog_loading import load_catalog

    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / "prices.yaml"
        trial.write_text(text, encoding="utf-8")
        try:
            load_catalog([*overlays, trial])
        except InputError as error:
            raise InputError(
                [Problem(file, 0, problem.text) for problem in error.problems]
            ) from None
