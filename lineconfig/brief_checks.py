"""What cannot be in a brief whatever its form: impossible values, unknown ids, contradictions."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from lineconfig.brief import MOST_ENTRIES, Brief
from lineconfig.catalog import FUNCTIONS, Catalog
from lineconfig.errors import did_you_mean, shown
from lineconfig.quantities import DIMENSIONS, Money, length_as_written, span_words

Path = tuple[str | int, ...]
Finding = tuple[Path, str]
"""Where something is wrong in the brief, and what."""

FASTEST_CPM = 5000
"""Twice the speed of the fastest lines of the trade (from memory)."""

_POSITIVE = "must be above zero"

# What a sound brief lies within. Wider than any sensible value: these catch slips of unit and key.
_LIMITS: tuple[tuple[str, float, float, str], ...] = (
    ("speed", 0.1, FASTEST_CPM, "from 0.1 to 5000 cpm"),
    ("product.carbonation", 0, 8, "from 0 to 8 vol"),
    ("product.fill_temperature", -5, 98, "from -5 to 98 degC"),
    ("formats.speed", 0.1, FASTEST_CPM, "from 0.1 to 5000 cpm"),
    ("formats.annual_cans", 1, 1e9, "from 1 to 1,000,000,000"),
    ("site.ceiling", 1000, 30_000, "from 1 to 30 m"),
    ("site.length", 1000, 1_000_000, "from 1 to 1000 m"),
    ("site.width", 1000, 1_000_000, "from 1 to 1000 m"),
    ("site.door.width", 300, 30_000, "from 0.3 to 30 m"),
    ("site.door.height", 300, 30_000, "from 0.3 to 30 m"),
    ("vehicle.length", 300, 30_000, "from 0.3 to 30 m"),
    ("vehicle.width", 300, 30_000, "from 0.3 to 30 m"),
    ("vehicle.height", 300, 30_000, "from 0.3 to 30 m"),
    ("site.obstacles.length", 1, 1_000_000, _POSITIVE),
    ("site.obstacles.width", 1, 1_000_000, _POSITIVE),
    ("staff.wage", 0, 100_000, "from 0 to 100,000 an hour"),
    ("budget", 1, 1e12, _POSITIVE),
    ("horizon", 0.5, 50, "from 0.5 to 50 years"),
    ("discount_rate", 0, 1, "from 0 to 100 %"),
    ("existing.speed", 0.1, FASTEST_CPM, "from 0.1 to 5000 cpm"),
    ("existing.infeed_height", 100, 5000, "from 0.1 to 5 m"),
    ("growth.volume", 0.01, 100, "from 1 to 10,000 %"),
    ("growth.add_formats.share", 0.0001, 1, "from 0.01 to 100 %"),
    ("growth.add_formats.annual_cans", 1, 1e9, "from 1 to 1,000,000,000"),
    ("growth.site.ceiling", 1000, 30_000, "from 1 to 30 m"),
    ("growth.site.length", 1000, 1_000_000, "from 1 to 1000 m"),
    ("growth.site.width", 1000, 1_000_000, "from 1 to 1000 m"),
    ("growth.site.door.width", 300, 30_000, "from 0.3 to 30 m"),
    ("growth.site.door.height", 300, 30_000, "from 0.3 to 30 m"),
    ("formats.margin_per_1000", 0, 1e6, "from 0 to 1,000,000"),
    ("scenarios.share", 0.0001, 1, "from 0.01 to 100 %"),
    ("scenarios.growth", 0, 10, "from 0 to 1000 %"),
)


def value_findings(brief: Brief) -> Iterator[Finding]:
    """Values that cannot be."""
    for name, least, most, words in _LIMITS:
        for path, value in values_at(brief, name.split(".")):
            yield from _range_finding(path, value, least, most, words)


def plain_value_findings(plain: Any) -> Iterator[Finding]:
    """The same of a brief that does not fit its schema: of each value that fits by itself."""
    for name, least, most, words in _LIMITS:
        for path, value in _plain_values(Brief, plain, name.split(".")):
            yield from _range_finding(path, value, least, most, words)


def _range_finding(
    path: Path, value: Any, least: float, most: float, words: str
) -> Iterator[Finding]:
    if value is None or least <= value <= most:
        return
    text = getattr(value, "text", str(value))
    unit = words.rpartition(" ")[2]
    if unit in DIMENSIONS:
        words = span_words(text, least, most, unit)
    yield path, f"{text} is out of range: {words}"


def _plain_values(
    form: Any, plain: Any, parts: list[str], path: Path = ()
) -> Iterator[tuple[Path, Any]]:
    """Every value under a dotted path of plain data that its field of the schema accepts."""
    from pydantic import TypeAdapter, ValidationError

    from lineconfig.wording import form_below

    if isinstance(plain, list):
        if len(plain) <= MOST_ENTRIES:
            for place, entry in enumerate(plain):
                below = form_below(form, place)
                yield from _plain_values(below, entry, parts, (*path, place))
    elif parts and isinstance(plain, dict):
        if parts[0] in plain:
            below = form_below(form, parts[0])
            yield from _plain_values(below, plain[parts[0]], parts[1:], (*path, parts[0]))
    elif not parts and form is not None:
        try:
            field = getattr(form, "annotated", form)
            yield path, TypeAdapter(field).validate_python(plain, strict=True)
        except ValidationError:
            return  # the schema complains


def plain_money_findings(plain: Any, currency: str) -> Iterator[Finding]:
    """Amounts in another currency, of a brief that does not fit its schema."""
    for parts in (["budget"], ["staff", "wage"]):
        for path, amount in _plain_values(Brief, plain, parts):
            yield from _money_finding(path, amount, currency)


def values_at(record: Any, parts: list[str], path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value under a dotted path of YAML keys, each place of a list by itself."""
    if isinstance(record, list):
        for place, entry in enumerate(record):
            yield from values_at(entry, parts, (*path, place))
    elif not parts:
        yield path, record
    elif record is not None:
        for name, field in type(record).model_fields.items():
            if (field.alias or name) == parts[0]:
                yield from values_at(getattr(record, name), parts[1:], (*path, parts[0]))


def room_findings(brief: Brief) -> Iterator[Finding]:
    """Obstacles and doors that are not in the room."""
    site = brief.site
    yield from _door_findings(brief)
    for place, item in enumerate(site.obstacles):
        for start, size, room, side in (
            (item.x_mm, item.length_mm, site.length_mm, "length"),
            (item.y_mm, item.width_mm, site.width_mm, "width"),
        ):
            if room is not None and start + size > room + 1e-6:
                end = length_as_written(start + size, room.text)
                yield (
                    ("site", "obstacles", place),
                    f"{shown(item.name)} ends at {end}, outside the room's {side} of {room.text}",
                )


def _door_findings(brief: Brief) -> Iterator[Finding]:
    site, door = brief.site, brief.site.door
    if door is None or (door.wall is None and door.at_mm is None):
        return
    if door.wall is None or door.at_mm is None:
        yield ("site", "door"), "a door's place takes both wall and at"
        return
    along = site.length_mm if door.wall in ("south", "north") else site.width_mm
    if along is not None and door.at_mm + door.width_mm > along + 1e-6:
        yield (
            ("site", "door", "at"),
            (
                f"the door ends at {length_as_written(door.at_mm + door.width_mm, along.text)}, "
                f"beyond the {door.wall} wall of {along.text}"
            ),
        )


def money_findings(brief: Brief, currency: str) -> Iterator[Finding]:
    """Amounts in another currency than the catalogue's."""
    amounts: list[tuple[Path, Money | None]] = [
        (("budget",), brief.budget),
        (("staff", "wage"), brief.staff.wage_per_h),
        *(
            (("formats", place, "margin_per_1000"), entry.margin_per_1000)
            for place, entry in enumerate(brief.formats)
        ),
    ]
    for path, amount in amounts:
        yield from _money_finding(path, amount, currency)


def _money_finding(path: Path, amount: Money | None, currency: str) -> Iterator[Finding]:
    if amount is not None and amount.currency != currency:
        text = (
            f"{amount.text} is not in {currency}, the catalogue's currency: amounts are never "
            f"converted, so write it in {currency}"
        )
        yield path, text


def growth_findings(brief: Brief) -> Iterator[Finding]:
    """Later years that do not follow each other, and formats that are added without a volume."""
    before = 0
    if brief.scenarios and not brief.growth:
        yield ("scenarios",), "are about growth, but no growth is given"
    for place, step in enumerate(brief.growth):
        path: Path = ("growth", place)
        if step.year <= before:
            yield (
                (*path, "year"),
                f"{step.year} does not come after {before}: years must increase",
            )
        before = max(before, step.year)
        if not step.model_fields_set - {"year"}:
            keys = "volume, add_formats, site, hours_per_week or per_shift"
            yield path, f"changes nothing: write {keys}"
        for entry, added in enumerate(step.add_formats):
            where = (*path, "add_formats", entry)
            if added.share is None and added.annual_cans is None:
                yield where, "has no volume: write share (such as '30 %') or annual_cans"
            elif added.share is not None and added.annual_cans is not None:
                yield where, "has both share and annual_cans: write one of them"
        if sum(added.share or 0.0 for added in step.add_formats) > 1 + 1e-9:
            yield (*path, "add_formats"), "the shares of the added formats are more than 100 %"


# --- ids -----------------------------------------------------------------------------------------


def id_findings(plain: Any, catalog: Catalog) -> Iterator[Finding]:
    """Ids that the catalogue does not have, and ids that contradict each other.

    `plain` is the brief as plain data, which need not fit the schema: what has another form than it
    should is passed over.
    """
    yield from _container_findings(plain, catalog.containers)
    yield from _existing_findings(plain, catalog)
    yield from _exclude_findings(plain, catalog)


def _container_findings(plain: Any, known: Collection[str]) -> Iterator[Finding]:
    seen: dict[str, str] = {}
    for path, name in _containers(plain):
        if not isinstance(name, str):
            continue
        if name not in known:
            hint = did_you_mean(name, known) or f" (known: {', '.join(known)})"
            yield path, f"there is no format {shown(name)} in the catalogue{hint}"
        elif name in seen:
            yield path, f"{name} is there already, {seen[name]}"
        else:
            seen[name] = "among the formats" if path[0] == "formats" else "in an earlier year"


def _containers(plain: Any) -> Iterator[tuple[Path, Any]]:
    for place, entry in _entries(plain, "formats"):
        yield ("formats", place, "container"), entry.get("container")
    for place, step in _entries(plain, "growth"):
        for added, entry in _entries(step, "add_formats"):
            yield ("growth", place, "add_formats", added, "container"), entry.get("container")


def _existing_findings(plain: Any, catalog: Catalog) -> Iterator[Finding]:
    seen: set[str] = set()
    for place, entry in _entries(plain, "existing"):
        function, class_id = entry.get("function"), entry.get("class")
        path: Path = ("existing", place)
        if function in seen:
            yield path, f"a second entry for {function}: give one for each function"
        if function == "convey":
            yield (*path, "function"), "conveyors are laid out anew: leave them out"
        if not isinstance(function, str) or function not in FUNCTIONS:
            continue
        seen.add(function)
        if not isinstance(class_id, str):
            continue
        of_function = [item.id for item in catalog.classes.values() if item.function == function]
        if class_id in of_function:
            continue
        if class_id in catalog.classes:
            other = catalog.classes[class_id].function
            text = f"{class_id} is a class of the function {other}, not of {function}"
        else:
            text = f"there is no class {shown(class_id)}"
        hint = did_you_mean(class_id, of_function) or f" (of {function}: {', '.join(of_function)})"
        yield (*path, "class"), text + hint


def _exclude_findings(plain: Any, catalog: Catalog) -> Iterator[Finding]:
    excluded = dict(_words(plain, "exclude"))
    owned = {
        entry["function"]: entry.get("class")
        for _, entry in _entries(plain, "existing")
        if isinstance(entry.get("function"), str)
    }
    for name, place in excluded.items():
        if name not in catalog.classes and name not in FUNCTIONS:
            hint = did_you_mean(name, [*catalog.classes, *FUNCTIONS])
            yield ("exclude", place), f"there is no class or function {shown(name)}{hint}"
    for name, place in _words(plain, "require"):
        path: Path = ("require", place)
        item = catalog.classes.get(name)
        if item is None:
            if name in FUNCTIONS:
                of_function = ", ".join(found.id for found in catalog.of(name))
                hint = f": {name} is a function; write one of its classes ({of_function})"
            else:
                hint = did_you_mean(name, catalog.classes)
            yield path, f"there is no class {shown(name)}{hint}"
        elif name in excluded or item.function in excluded:
            which = name if name in excluded else f"the function {item.function}"
            yield path, f"{name} is required, but exclude refuses {which}"
        elif owned.get(item.function) not in (None, name):
            yield path, f"{name} is required, but existing says {owned[item.function]}"


def _entries(plain: Any, key: str) -> Iterator[tuple[int, Mapping[str, Any]]]:
    """The mappings in a list of plain data, with their places."""
    for place, entry in enumerate(_listed(plain, key)):
        if isinstance(entry, dict):
            yield place, entry


def _words(plain: Any, key: str) -> Iterator[tuple[str, int]]:
    """The texts in a list of plain data, with their places."""
    for place, entry in enumerate(_listed(plain, key)):
        if isinstance(entry, str):
            yield entry, place


def _listed(plain: Any, key: str) -> list[Any]:
    found = plain.get(key) if isinstance(plain, dict) else None
    # A longer list is refused for its length alone.
    return found if isinstance(found, list) and len(found) <= MOST_ENTRIES else []
