"""Why no layout fits: every smallest conflict in the client's words, and what would open one."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

from lineconfig.choose.limits import LIMITS
from lineconfig.connect.assemble import assemble
from lineconfig.explain.clashes import Clash, clashes
from lineconfig.explain.conflict import MOST_CONFLICTS, MOST_QUESTIONS, Feasibility, conflicts
from lineconfig.explain.levers import Lever, levers
from lineconfig.explain.openings import (
    Opening,
    PairOpening,
    openings,
    pairs,
    that_may_open,
)
from lineconfig.explain.room import room_clash
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.session import Study
from lineconfig.varying.pooled import pooled

MOST_PAIRS_TOLD = 3

SAYS_FOR: dict[str, str] = {
    "budget": "budget", "people": "staff.per_shift", "hours": "operation.hours_per_week",
    "floor-length": "site.length", "floor-area": "site.length", "machine-in-room": "site.length",
    "power": "site.power.amperes", "water": "site.water", "air": "site.air", "speed": "speed",
    "frame-under-ceiling": "site.ceiling", "machine-under-ceiling": "site.ceiling",
    "carbonation": "product.carbonation",
}  # fmt: skip
"""Rules that a number of the brief stands behind: how far short it is says more than one machine's
refusal."""


@dataclass(frozen=True, slots=True)
class NoLayout:
    """Why nothing fits."""

    conflict: tuple[Clash, ...]
    """A smallest set of rules that no line meets together."""
    openings: tuple[Opening, ...]
    """Single changes that open a layout, each the least of its kind."""
    conflicts: tuple[tuple[Clash, ...], ...] = ()
    """Every irreducible conflict, smallest first; the first of them is `conflict`."""
    all_conflicts: bool = True
    """Whether there are no others: the search for them is bounded."""
    pairs: tuple[PairOpening, ...] = ()
    """Where no single change opens a layout: pairs that do, the cheapest line to buy first."""
    currency: str = ""
    """Of all amounts."""


def why_nothing(study: Study) -> NoLayout | None:
    """Every smallest conflict in the client's words, and what would open a layout; None where one
    fits.

    Rules that come from the brief may be in a conflict; those of physics and the trade always hold,
    unless they alone leave nothing.
    """
    if study.feasible:
        return None
    study = pooled(study)
    checker = Feasibility(study)
    ways = levers(study)
    soft, hard = soft_and_hard(study, checker)
    found = list(islice(conflicts(checker.met, soft, hard, MOST_QUESTIONS), MOST_CONFLICTS + 1))
    if not found[0]:
        soft, hard = [*soft, *sorted(hard)], frozenset[str]()
        found = list(islice(conflicts(checker.met, soft, hard, MOST_QUESTIONS), MOST_CONFLICTS + 1))
    complete = len(found) <= MOST_CONFLICTS
    found = found[:MOST_CONFLICTS]
    told = tuple(
        tuple(told_conflict(study, checker, ways, soft, hard, conflict)) for conflict in found
    )

    def can_open(touched: frozenset[str]) -> bool:
        return checker.line(checker.all - touched) is not None

    useful = [lever for lever in ways if all(lever.rules & conflict for conflict in found)]
    singles = openings(study, that_may_open(useful, can_open))
    doubles: list[PairOpening] = []
    if not singles:
        involved = frozenset().union(*found)
        doubles = pairs(study, [way for way in ways if way.rules & involved], found, can_open)
    return NoLayout(
        told[0], tuple(singles), told, complete, tuple(doubles[:MOST_PAIRS_TOLD]),
        study.need.currency,
    )  # fmt: skip


def soft_and_hard(study: Study, checker: Feasibility) -> tuple[list[str], frozenset[str]]:
    """Rules and limits that come from the brief, most telling first, and those that always hold."""
    limits = [limit.id for limit in LIMITS]
    rules = [rule.id for rule in study.rules if rule.field]
    soft = [name for name in (*rules, *limits, FLOOR_PLAN) if name in checker.all]
    return soft, checker.all - frozenset(soft)


def told_conflict(
    study: Study,
    checker: Feasibility,
    ways: Sequence[Lever],
    soft: Sequence[str],
    hard: frozenset[str],
    conflict: Collection[str],
) -> list[Clash]:
    """Each member of a conflict with how far short it is once the other members are met."""
    fields = {rule.id: rule.field for rule in study.rules}
    by_field = {lever.field: lever for lever in reversed(ways)}
    active = hard | frozenset(conflict)
    told = []
    for name in soft:
        if name not in conflict:
            continue
        lever = by_field.get(SAYS_FOR.get(name, ""))
        change = lever.least(checker.leaving(active)) if lever is not None else None
        if lever is not None and change is not None and change.said:
            line = None if change.line is None else assemble(
                study.inquiry, study.terms, change.line
            )  # fmt: skip
            told.append(Clash(name, lever.field, change.said, change.shortfall, line))
            continue
        clash = room_clash(checker.leaving(active), study) if name == FLOOR_PLAN else None
        clash = clash or refusal_of(study, checker, name, active - {name}, soft)
        told.append(clash or Clash(name, fields.get(name), f"rule {name!r} leaves nothing over"))
    return told


def refusal_of(
    study: Study, checker: Feasibility, name: str, met: frozenset[str], others: Iterable[str]
) -> Clash | None:
    """A rule's own sentence, for a line that breaks it and as little else as can be.

    The line meets `met`, and of the other rules as many as can be met besides, so that no machine
    is named which the client would not look at anyway.
    """
    for other in sorted(others, key=lambda rule: rule != "speed"):
        if other != name and other not in met:
            more = checker.met(met | {other})
            if more is not None:
                met |= (more - {name}) & frozenset((*others, other))
    line = checker.without(name, met | {name})
    said = clashes(study.inquiry, line, study.rules) if line is not None else []
    return next((clash for clash in said if clash.rule == name), None)
