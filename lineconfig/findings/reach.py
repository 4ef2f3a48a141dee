"""Reach: heights at which hands work, the platforms that they call for, and what those ask of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.platforms import steps_run_mm
from lineconfig.assess.reaching import (
    headroom_cautions,
    height_cautions,
    standing_cautions,
)
from lineconfig.choose.rules import length_text
from lineconfig.connect.stations import platform_beside_m2
from lineconfig.findings.places import Places
from lineconfig.sentences import lowered

PLATFORM_BASIS = "geometry; NIOSH 94-110 (2021), V at most 175 cm"


@dataclass(frozen=True, slots=True)
class ReachFinding:
    """Hands at work in one task."""

    station: int
    task: str
    hands_mm: float
    """Highest place of the hands above the floor. [mm]"""
    lowest_mm: float
    """Lowest place of the hands above the floor. [mm]"""
    standing_mm: float
    """Height of the platform that the person stands on; 0 for the floor. [mm]"""


@dataclass(frozen=True, slots=True)
class PlatformFinding:
    """A platform that people work from at one station."""

    station: int
    height_mm: float
    """Above the floor. [mm]"""
    steps_mm: float
    """Length of its steps along the floor. [mm]"""
    area_m2: float
    """Floor that it takes with its steps beside the clearance; part of the line's. [m2]"""


def platforms_of(places: Places) -> tuple[PlatformFinding, ...]:
    """The platforms of a layout."""
    return tuple(
        PlatformFinding(
            station=place,
            height_mm=height_mm,
            steps_mm=steps_run_mm(height_mm),
            area_m2=platform_beside_m2(places.layout.stations[place].option.equipment, height_mm),
        )
        for place, height_mm in enumerate(places.platforms_mm)
        if height_mm > 0.0
    )


def reach_of(places: Places) -> tuple[ReachFinding, ...]:
    """Where hands work at each station, in flow order."""
    return tuple(_findings(places))


def _findings(places: Places) -> Iterator[ReachFinding]:
    plan = places.layout.heights
    for place, station in enumerate(places.layout.stations):
        stated = False
        for task in station.option.equipment.attendance.tasks:
            hands = places.hands(place, task)
            if hands is not None:
                stated = True
                yield ReachFinding(
                    place, task.task, hands.highest_mm, hands.lowest_mm, hands.standing_mm
                )
        if station.function == "unload" and not stated and plan.hands_mm > 0:
            yield ReachFinding(place, "Unload by hand", plan.hands_mm, plan.hands_mm, 0.0)


def reach_cautions(places: Places, findings: tuple[ReachFinding, ...]) -> list[Caution]:
    """What the heights of hands and feet call for: each kind once for a station."""
    found: dict[tuple[int, str], Caution] = {}

    def say(place: int, caution: Caution, where: str = "") -> None:
        name = places.layout.stations[place].option.equipment.name
        text = f"{name}{where}: {lowered(caution.text)}"
        found.setdefault((place, caution.code), Caution(caution.code, text, caution.basis))

    for place, standing_mm in enumerate(places.platforms_mm):
        if standing_mm > 0.0:
            traits = places.layout.stations[place].option.equipment.traits
            for caution in (
                _platform_caution(standing_mm),
                *standing_cautions(
                    standing_mm, dangerous_equipment_below="powered-unloader" in traits
                ),
                *headroom_cautions(standing_mm, places.inquiry.ceiling_mm),
            ):
                say(place, caution)
    for finding in findings:
        task = lowered(finding.task)
        for hands_mm in dict.fromkeys((finding.hands_mm, finding.lowest_mm)):
            for caution in height_cautions(max(0.0, hands_mm - finding.standing_mm)):
                say(finding.station, caution, f" ({task})")
    return list(found.values())


def _platform_caution(standing_mm: float) -> Caution:
    text = (
        f"hands work overhead of a person on the floor; a platform about "
        f"{length_text(standing_mm)} high brings them within reach. Its floor is counted in these "
        "figures, its price only where the machine comes with it."
    )
    return Caution("platform", text, PLATFORM_BASIS)
