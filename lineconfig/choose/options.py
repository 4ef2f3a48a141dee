"""Options: the equipment classes that could serve each function, before any rule is applied."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lineconfig.brief import Existing
from lineconfig.catalog import FUNCTIONS, Catalog, EquipmentClass, Function
from lineconfig.containers import Container
from lineconfig.need import Need

UNLIMITED_CPM = float("inf")


def rated_speed_cpm(equipment: EquipmentClass, container: Container, cans_per_case: int) -> float:
    """The speed of a class with one container [cpm]; infinite for a choice without a machine.

    The slowest of the class's limits holds: its stated most, its layers of empties, its cases, and
    for a filler the share of its cycle that grows with the fill volume.
    """
    limits = equipment.speed
    if limits is None:
        return UNLIMITED_CPM
    speed_cpm = float(limits.most_cpm)
    if limits.layers_per_min is not None:
        speed_cpm = min(speed_cpm, limits.layers_per_min * container.pallet.per_layer)
    if limits.cases_per_min is not None:
        speed_cpm = min(speed_cpm, limits.cases_per_min * cans_per_case)
    if limits.at_volume_ml is not None and limits.volume_share is not None:
        share = float(limits.volume_share)
        cycle = (1 - share) + share * container.volume_ml / limits.at_volume_ml
        speed_cpm = min(speed_cpm, limits.most_cpm / cycle)
    return speed_cpm


@dataclass(frozen=True, eq=False)
class Option:
    """One equipment class as a candidate for one client."""

    equipment: EquipmentClass
    rated_cpm: tuple[float, ...]
    """Speed with each format of the need [cpm]."""
    owned: bool = False
    """Whether the client has it already: then it costs nothing to buy."""
    infeed_mm: float | None = None
    """Height at which containers enter, where the class has one [mm]."""

    @property
    def id(self) -> str:
        """The class's id."""
        return self.equipment.id

    def has(self, trait: str) -> bool:
        """Whether the class has this trait."""
        return trait in self.equipment.traits

    def __repr__(self) -> str:
        return f"Option({self.id!r})"


Options = Mapping[Function, tuple[Option, ...]]


def options_for(need: Need, catalog: Catalog) -> dict[Function, tuple[Option, ...]]:
    """Every class of every function as an option; owned equipment takes the place of the rest."""
    options: dict[Function, tuple[Option, ...]] = {}
    owned = {entry.function: entry for entry in need.brief.existing}
    for function in FUNCTIONS:
        classes = catalog.of(function)
        if function in owned:
            options[function] = (_owned_option(owned[function], classes, need, catalog),)
        else:
            options[function] = tuple(_option(item, need, catalog) for item in classes)
    return options


def _option(equipment: EquipmentClass, need: Need, catalog: Catalog) -> Option:
    cans_per_case = catalog.economics.habits.cans_per_case
    infeed = equipment.heights.infeed_mm
    return Option(
        equipment,
        tuple(rated_speed_cpm(equipment, fmt.container, cans_per_case) for fmt in need.formats),
        infeed_mm=infeed.least if infeed else None,
    )


def _owned_option(
    entry: Existing, classes: tuple[EquipmentClass, ...], need: Need, catalog: Catalog
) -> Option:
    """The client's own machine: the named class, or the class whose speed is nearest to it."""
    machines = [item for item in classes if item.speed is not None]
    if entry.class_id is not None:
        template = next(item for item in classes if item.id == entry.class_id)
    elif entry.speed_cpm is None:
        template = machines[0] if machines else classes[0]
    else:
        asked = float(entry.speed_cpm)
        template = min(
            machines or classes,
            key=lambda item: abs(item.speed.most_cpm - asked) if item.speed else float("inf"),
        )
    option = _option(template, need, catalog)
    rated_cpm = option.rated_cpm
    if entry.speed_cpm is not None and template.speed is not None:
        scale = entry.speed_cpm / template.speed.most_cpm
        rated_cpm = tuple(speed * scale for speed in rated_cpm)
    infeed_mm = option.infeed_mm if entry.infeed_height_mm is None else entry.infeed_height_mm
    return Option(template, rated_cpm, owned=True, infeed_mm=infeed_mm)
