"""Noise: the level at each station, and what a shift at each post comes to.

A class states its level a metre away. A person who works at a station hears it from there, and
every other machine from as far as it stands along the line stretched out; a folded line brings
machines nearer, so measurements on the running line decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from lineconfig.assess.cautions import Caution
from lineconfig.assess.noise import (
    NEAR_M,
    Exposure,
    combined_level_dba,
    level_at_dba,
    noise_cautions,
    noise_dose_percent,
    recommended_average_dba,
    recommended_caution,
    recommended_dose_percent,
    time_weighted_average_dba,
)
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.sections import SECTIONS
from lineconfig.findings.lifts import LONGEST_SHIFT_H, shares_of_work
from lineconfig.layout import Layout
from lineconfig.sentences import lowered

MM_PER_M = 1000.0
JOINED: tuple[str, ...] = (*SECTIONS["filling"], *SECTIONS["packing"])
"""Functions from the filler on, where chains join the machines."""
GLASS = (
    "Glass is louder than cans: HSE names 85 to 100 dBA along glass bottling lines "
    "(hse.gov.uk/food/noise.htm)."
)


@dataclass(frozen=True, slots=True)
class StationNoise:
    """One station of the running line."""

    station: int
    own_dba: float | None
    """A metre from it alone; None where its class states none. [dBA]"""
    there_dba: float
    """Where a person works at it, every machine together. [dBA]"""


@dataclass(frozen=True, slots=True)
class PostNoise:
    """A shift of one person at the running line."""

    post: int
    stations: tuple[int, ...]
    """Where the person works, longest first."""
    most_at: int
    """The station that gives most of the recommended dose."""
    dose_percent: float
    """By 29 CFR 1910.95; 100 is eight hours at 90 dBA. [%]"""
    average_dba: float
    """Eight-hour average that belongs to it. [dBA]"""
    recommended_dose_percent: float
    """By NIOSH; 100 is eight hours at 85 dBA. [%]"""
    recommended_average_dba: float
    exposures: tuple[Exposure, ...]


@dataclass(frozen=True, slots=True)
class Noise:
    """The noise of a layout."""

    hours: float
    """Of the shift, taken as running throughout. [h]"""
    stations: tuple[StationNoise, ...]
    posts: tuple[PostNoise, ...]


def extents_m(inquiry: Inquiry, layout: Layout) -> tuple[tuple[float, float], ...]:
    """Where each station begins and ends along the line stretched out [m].

    Machines that sit on others are a point; a chain reaches as far as it joins machines.
    """
    at_mm, joint_mm = 0.0, float(inquiry.habits.joint_mm)
    found: list[tuple[float, float]] = []
    chains: list[int] = []
    behind_filler = False
    for index, station in enumerate(layout.stations):
        if station.function == "convey":
            chains.append(index)
        elif behind_filler and station.length_mm and station.function in JOINED:
            at_mm += joint_mm
        # A chain takes its length joint by joint, between the machines that it leads to.
        length_mm = 0.0 if station.function == "convey" else station.length_mm
        found.append((at_mm, at_mm + length_mm))
        at_mm += length_mm
        behind_filler = behind_filler or station.function == "fill"
    for chain, following in reversed(list(zip_longest(chains, chains[1:]))):
        end_mm = at_mm if following is None else found[following][0]
        if following == chain + 1:
            end_mm = found[following][1]  # straight pieces and bends of one section
        found[chain] = (found[chain][0], end_mm)
    return tuple((start / MM_PER_M, end / MM_PER_M) for start, end in found)


def noise_of(inquiry: Inquiry, layout: Layout) -> Noise:
    """The noise of a layout."""
    stations = _stations(inquiry, layout)
    hours = min(LONGEST_SHIFT_H, inquiry.need.hours_per_week)
    posts = tuple(_posts(layout, stations, hours))
    return Noise(hours, stations, posts)


def _stations(inquiry: Inquiry, layout: Layout) -> tuple[StationNoise, ...]:
    extents = extents_m(inquiry, layout)
    sources = [
        (float(level_dba), extent)
        for station, extent in zip(layout.stations, extents, strict=True)
        if (level_dba := station.option.equipment.noise_dba) is not None
    ]
    found = []
    for place, (station, (start_m, end_m)) in enumerate(zip(layout.stations, extents, strict=True)):
        own = station.option.equipment.noise_dba
        middle_m = (start_m + end_m) / 2
        there_dba = combined_level_dba(
            level_at_dba(level_dba, _beside_m(middle_m, extent)) for level_dba, extent in sources
        )
        found.append(StationNoise(place, None if own is None else float(own), max(0.0, there_dba)))
    return tuple(found)


def _beside_m(at_m: float, extent: tuple[float, float]) -> float:
    """How far a person beside the line stands from a machine [m]."""
    start_m, end_m = extent
    return max(NEAR_M, start_m - at_m, at_m - end_m)


def _posts(layout: Layout, stations: Sequence[StationNoise], hours: float) -> list[PostNoise]:
    found = []
    for number, shares in enumerate(shares_of_work(layout.crew)):
        # A person without a task in hand stays where the work is.
        work = {place: share * layout.crew.workloads[place] for place, share in shares.items()}
        whole = sum(work.values())
        if whole <= 0.0:
            work = dict.fromkeys(shares, 1.0)
            whole = float(len(work))
        places = tuple(sorted(work, key=lambda place: (-work[place], place)))
        exposures = tuple(
            Exposure(stations[place].there_dba, hours * work[place] / whole) for place in places
        )
        dose = noise_dose_percent(exposures)
        recommended = recommended_dose_percent(exposures)
        found.append(
            PostNoise(
                post=number,
                stations=places,
                most_at=_most_at(places, exposures),
                dose_percent=dose,
                average_dba=time_weighted_average_dba(dose),
                recommended_dose_percent=recommended,
                recommended_average_dba=recommended_average_dba(recommended),
                exposures=exposures,
            )
        )
    return found


def _most_at(places: Sequence[int], exposures: Sequence[Exposure]) -> int:
    doses = [recommended_dose_percent([exposure]) for exposure in exposures]
    return places[doses.index(max(doses))]


def noise_findings_cautions(inquiry: Inquiry, layout: Layout, noise: Noise) -> list[Caution]:
    """What the noise calls for: each kind once, for the person with the most of it."""
    worst: dict[str, tuple[float, PostNoise, Caution]] = {}
    people: dict[str, list[int]] = {}
    for post in noise.posts:
        cautions = noise_cautions(post.exposures)
        recommended = recommended_caution(post.exposures)
        if recommended is not None and not cautions:
            cautions = [recommended]
        for caution in cautions:
            people.setdefault(caution.code, []).append(post.post + 1)
            dose = post.recommended_dose_percent
            if caution.code not in worst or dose > worst[caution.code][0]:
                worst[caution.code] = (dose, post, caution)
    found = []
    for code, (_, post, caution) in worst.items():
        name = layout.stations[post.most_at].option.equipment.name
        who = ", ".join(map(str, people[code]))
        person = "Person" if len(people[code]) == 1 else "Persons"
        text = f"{person} {who} of the crew, most of it at {lowered(name)}: "
        text += lowered(caution.text)
        if any(can.kind == "glass-bottle" for can in inquiry.containers):
            text = f"{text} {GLASS}"
        found.append(Caution(code, text, f"{caution.basis}; levels of the catalogue"))
    return found
