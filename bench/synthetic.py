"""Catalogues made of the shipped one: classes with other figures, and many more of them.

Every class made here is put to the schema again, so that it is as sound as one that was written.
The figures are drawn from a seeded generator: the same seed makes the same catalogue.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from lineconfig.catalog import Catalog, EquipmentClass

Draw = Callable[[], float]
Path = tuple[str, ...]

CHAINS = "convey"
"""The function whose classes are left as they are: lines are joined by one of them by its id."""

FIGURES: Sequence[tuple[Path, float, float]] = (
    (("price",), 0.75, 1.35),
    (("price_per_track",), 0.75, 1.35),
    (("area_price",), 0.75, 1.35),
    (("changeover", "parts", "*", "price"), 0.75, 1.35),
    (("speed", "most"), 0.95, 1.25),
    (("stops", "every"), 0.6, 1.8),
    (("stops", "minutes"), 0.6, 1.6),
    (("utilities", "power"), 0.7, 1.4),
    (("changeover", "minutes"), 0.6, 1.6),
    (("attendance", "tasks", "*", "minutes"), 0.7, 1.4),
)
"""What varies from one class to the next, and between which factors."""


def varied(
    item: EquipmentClass,
    rng: random.Random,
    name: str | None = None,
    figures: Sequence[tuple[Path, float, float]] = FIGURES,
) -> EquipmentClass:
    """A class like this one with other figures; under another id where a `name` is given."""
    plain: dict[str, Any] = item.model_dump(by_alias=True, exclude_none=True)
    for path, least, most in figures:
        # One draw for each place: a price's low, typical and high stay in proportion.
        _vary(plain, path, lambda least=least, most=most: rng.uniform(least, most))  # type: ignore[misc]
    if name is not None:
        plain |= {"id": name, "reuse": []}
    return EquipmentClass.model_validate(plain)


def _vary(plain: Any, path: Path, draw: Draw) -> None:
    if not path:
        return
    name, rest = path[0], path[1:]
    if name == "*":
        for entry in plain:
            _vary(entry, rest, draw)
    elif name in plain:
        if rest:
            _vary(plain[name], rest, draw)
        else:
            plain[name] = _scaled(plain[name], draw())


def _scaled(value: Any, factor: float) -> Any:
    if isinstance(value, Mapping):
        return {key: _scaled(entry, factor) for key, entry in value.items()}
    if isinstance(value, str):
        number, unit = value.split(" ", 1)
        return f"{float(number.replace(',', '')) * factor:.6g} {unit}"
    return round(value * factor) if isinstance(value, int) else value * factor


def enlarged(catalog: Catalog, times: int, seed: int = 1) -> Catalog:
    """A catalogue with so many times as many classes: each one, and variants of it.

    What is no machine (`absent`) and the chains between machines are left single.
    """
    rng = random.Random(seed)
    classes: dict[str, EquipmentClass] = {}
    for item in catalog.classes.values():
        classes[item.id] = item
        if item.absent or item.function == CHAINS:
            continue
        for number in range(2, times + 1):
            name = f"{item.id}-v{number}"
            classes[name] = varied(item, rng, name)
    return replace(catalog, classes=classes)
