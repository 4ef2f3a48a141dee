"""The best lines out of millions: section by section, every combination bounded.

One problem for each section gives every way to build it, class by class. Every combination of ways
whose ports agree is then bounded in arrays, and worked out in full by `arithmetic` in the order of
the bounds, until no combination that is left can be among the first. Nothing is left out, and no
bundle, scheme or search of the project takes part.

The bounds: what adds up is exact; people are at least those who are always there and the rest of
the work shared without loss; running hours are at least those of the slowest section without any
waiting for the others.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from constraint import Problem
from numpy.typing import NDArray

from lineconfig.catalog import Catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import RULES
from lineconfig.need import Need
from tests.oracle.arithmetic import (
    AHEAD_OF_FILLER,
    BEHIND,
    EMPTIES,
    FILLING,
    FLOW,
    MILLION,
    PACKING,
    Arithmetic,
    Candidate,
    Piece,
)
from tests.oracle.flat import Line, candidates

SECTIONS = (
    (*EMPTIES, "infeed", "rail"),
    (*FILLING, "infeed", "rail", "dry-cans"),
    (*PACKING, "dry-cans"),
)
ADDED = ("first", "area", "yearly", "person_min", "kw", "length", "power", "water", "air")
SAFE = 1e-6
"""Relative slack of a bound against rounding."""
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Ways:
    """The ways of one section that have some ports, as arrays over the ways."""

    lines: list[dict[str, Candidate]]
    sums: Array
    """By way and figure of `ADDED`."""
    rated: Array
    """By way and format."""
    least: Array
    """Minutes per can that a line with it takes at the least, by way and format."""
    work: Array
    """Work per can that can be shared, by way and format."""
    always: Array
    longest: Array


def ranked(need: Need, catalog: Catalog, view: str, count: int) -> tuple[list[Line], int]:
    """The first lines in a view, and how many there are before the limits."""
    inquiry, arithmetic = Inquiry(need, catalog), Arithmetic(need, catalog)
    groups = [_ways(inquiry, arithmetic, names) for names in SECTIONS]
    found: list[Line] = []
    everything = 0
    bounds = []
    for f_ports, filling in groups[1].items():
        infeed, rail, dry = f_ports
        empties = groups[0].get((infeed, rail))
        packing = groups[2].get((dry,))
        if empties is None or packing is None:
            continue
        for e in range(len(empties.lines)):
            bound = _bounds(arithmetic, view, empties, e, filling, packing)
            everything += bound.shape[1] * bound.shape[2]
            f, p = np.nonzero(np.isfinite(bound[0]))
            bounds.append((bound[0, f, p], bound[1, f, p], empties, e, filling, f, packing, p))
    if not bounds:
        return [], 0
    first = np.concatenate([b[0] for b in bounds])
    second = np.concatenate([b[1] for b in bounds])
    owner = np.repeat(np.arange(len(bounds)), [len(b[0]) for b in bounds])
    start = np.cumsum([0, *(len(b[0]) for b in bounds)])
    for index in np.lexsort((second, first)):
        if len(found) >= count:
            # No line that is left comes before the last that counts.
            last = found[count - 1].key
            if (first[index], second[index]) > (last[0] + 0.01, last[1] + 0.01):
                break
            if first[index] == last[0] and second[index] > last[1] + 0.01:
                break
        _, _, empties, e, filling, f, packing, p = bounds[owner[index]]
        place = index - start[owner[index]]
        line = {
            **empties.lines[e], **filling.lines[f[place]], **packing.lines[p[place]],
        }  # fmt: skip
        figures = arithmetic.figures(line)
        key = figures.key(view)
        assert (first[index], second[index]) <= (key[0] + 0.01, math.inf)
        if arithmetic.within_limits(figures):
            found.append(Line(key, figures.classes))
            found.sort(key=lambda one: (one.key, one.classes))
    return found[:count], everything


def _ways(
    inquiry: Inquiry, arithmetic: Arithmetic, names: Sequence[str]
) -> dict[tuple[Any, ...], Ways]:
    """Every way to build a section, by its ports."""
    problem = Problem()
    infeeds = {o.infeed_mm for o in inquiry.options["fill"] if o.infeed_mm is not None}
    for name in names:
        if name in FLOW:
            options = [
                option
                for option in inquiry.options[name]  # type: ignore[index]
                if all(
                    rule.holds(inquiry, option)
                    for rule in RULES
                    if rule.each or rule.scope == (name,)
                )
            ]
            if not options:
                return {}
            problem.addVariable(name, options)
        else:
            problem.addVariable(name, sorted(infeeds) if name == "infeed" else [True, False])
    for rule in RULES:
        if len(rule.scope) > 1 and set(rule.scope) <= set(names):
            problem.addConstraint(
                lambda *values, rule=rule: rule.holds(inquiry, *values), list(rule.scope)
            )
    grouped: dict[tuple[Any, ...], list[tuple[dict[str, Candidate], list[Piece]]]] = {}
    for solution in problem.getSolutionIter():
        line = candidates(arithmetic, {n: v for n, v in solution.items() if n in FLOW})
        line = {name: line[name] for name in names if name in line}
        ports = tuple(solution[name] for name in names if name not in FLOW)
        pieces = arithmetic.section(line, solution.get("infeed"))
        grouped.setdefault(ports, []).append((line, pieces))
    return {ports: _arrays(arithmetic, found) for ports, found in grouped.items()}


def _arrays(arithmetic: Arithmetic, found: list[tuple[dict[str, Candidate], list[Piece]]]) -> Ways:
    chain = arithmetic.chains(1, 0)
    sums, rated, least, work, always, longest = [], [], [], [], [], []
    for _, pieces in found:
        # Each machine behind the filler comes with the chain before it.
        behind = [p for p in pieces if p.function in BEHIND and p.function != "fill" and p.flow_mm]
        counted = [*pieces, *[chain] * len(behind)]
        sums.append([_added(arithmetic, counted, name) for name in ADDED])
        formats = range(len(arithmetic.cans))
        rated.append([min(p.rated_cpm[i] for p in pieces) for i in formats])
        # What lowers and rinses runs with the filler, a table apart from what unloads.
        apart = [[p for p in pieces if (p.function in AHEAD_OF_FILLER) is ahead]
                 for ahead in (True, False)]  # fmt: skip
        least.append(
            [
                max(
                    1 / min((p.rated_cpm[i] for p in stretch), default=math.inf)
                    + sum(p.standstill[i] for p in stretch)
                    for stretch in apart
                )
                for i in formats
            ]
        )
        work.append([sum(p.minutes[i] for p in pieces if not p.always) for i in formats])
        always.append(sum(p.always for p in pieces))
        longest.append(max(p.change_min for p in pieces))
    return Ways(
        [line for line, _ in found],
        *map(np.array, (sums, rated, least, work, always, longest)),
    )


def _added(arithmetic: Arithmetic, pieces: Sequence[Piece], name: str) -> float:
    match name:
        case "first":
            return sum(arithmetic.millionths(piece)[0] for piece in pieces) / MILLION
        case "area":
            return sum(arithmetic.millionths(piece)[1] for piece in pieces) / MILLION
        case "yearly":
            return sum(sum(piece.yearly.values()) for piece in pieces)
        case "person_min":
            return sum(piece.change_person_min for piece in pieces)
        case "kw":  # electricity and rinse water of one hour
            return arithmetic.by_the_hour(pieces, 1.0)
        case "length":
            return sum(piece.flow_mm for piece in pieces)
        case "power":
            return sum(piece.power_kw for piece in pieces)
        case "water":
            return sum(piece.water_l_min for piece in pieces)
        case _:
            return sum(piece.air_l_min for piece in pieces)


def _bounds(
    arithmetic: Arithmetic, view: str, empties: Ways, e: int, filling: Ways, packing: Ways
) -> Array:
    """What each combination with one way of the empties side comes to at the least.

    By figure (the view's, then life-cycle cost), way of the filling side and way of the packing
    side; infinite where a limit is broken whatever comes.
    """
    need, habits = arithmetic.need, arithmetic.habits

    def joined(name: str) -> Array:
        index = ADDED.index(name)
        both: Array = filling.sums[:, index, None] + packing.sums[None, :, index]
        return both + empties.sums[e, index]

    rated = np.minimum(filling.rated[:, None, :], packing.rated[None, :, :])
    rated = np.minimum(rated, empties.rated[e])
    work = filling.work[:, None, :] + packing.work[None, :, :] + empties.work[e]
    shared = np.ceil((work * rated).max(axis=2) / habits.allowed_utilisation - SAFE)
    people = shared + filling.always[:, None] + packing.always[None, :] + empties.always[e]
    people = np.maximum(people, 1)
    minutes = np.maximum(filling.least[:, None, :], packing.least[None, :, :])
    minutes = np.maximum(minutes, empties.least[e])
    cans = np.array([fmt.annual_cans for fmt in need.formats])
    hours = (minutes * cans).sum(axis=2) / 60 * (1 + habits.startup_and_cleaning)
    # The chains are set at each changeover too, in one run or two: not counted here.
    changes = need.changeovers_per_week * need.weeks_per_year if need.formats[1:] else 0.0
    longest = np.maximum(filling.longest[:, None], packing.longest[None, :])
    longest = np.maximum(longest, empties.longest[e])
    spent = np.maximum(longest * people, joined("person_min"))
    labour = (people * hours + changes / 60 * spent) * need.wage_per_h
    cost = joined("first") + arithmetic.annuity * (joined("yearly") + hours * joined("kw") + labour)
    cost *= 1 - 1e-9
    match view:
        case "first-cost":
            figure = np.round(joined("first"), 2)
        case "floor":
            figure = np.round(joined("area"), 2)
        case "people":
            figure = people
        case "changeover":
            figure = np.round(joined("person_min"), 2)
        case _:
            figure, cost = cost, np.zeros_like(cost)
    limits = arithmetic.limits
    broken = (people > limits.get("people", math.inf)) | (
        hours + changes / 60 * longest > limits["hours"] * (1 + SAFE)
    )
    for name, limit in (
        ("first", "budget"),
        *((n, n) for n in ("length", "power", "water", "air")),
    ):
        broken |= joined(name) > limits.get(limit, math.inf) * (1 + SAFE)
    broken |= joined("area") > limits.get("area", math.inf) * (1 + SAFE)
    return np.array([np.where(broken, np.inf, figure), cost])
