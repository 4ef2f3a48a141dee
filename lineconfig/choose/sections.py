"""Sections: the empties side, the filling side and the packing side, each solved on its own.

The only user of python-constraint. A section's variables are its functions, whose domains are the
options that the one-function rules let through, and its ports, on which neighbouring sections must
agree. Every rule of the section becomes a callable constraint (never a text: the library evaluates
texts, and compares numbers in them loosely), on a fresh problem for every solve.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.catalog import FUNCTIONS, Function
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.choose.rules import RULES, Rule
from lineconfig.errors import LineconfigError

SECTIONS: Mapping[str, tuple[str, ...]] = {
    "empties": ("supply", "unload", "guard", "lower", "rinse", "infeed", "rail"),
    "filling": (
        "code", "fill", "dose", "dry", "inspect", "label", "pasteurize",
        "infeed", "rail", "dry-cans",
    ),
    "packing": ("gather", "pack", "palletize", "wrap", "dry-cans"),
}  # fmt: skip
"""Variables of each section: functions in flow order, then ports."""

PORTS = ("infeed", "rail", "dry-cans")


class CancelledError(LineconfigError):
    """The solve was called off because a newer question came."""


@dataclass(frozen=True)
class Refusal:
    """Why one class does not serve."""

    rule: Rule
    text: str


@dataclass(frozen=True)
class Admission:
    """What the one-function rules let through, and what they refused."""

    options: Mapping[Function, tuple[Option, ...]]
    refusals: Mapping[str, tuple[Refusal, ...]]
    """By class id."""


@dataclass(frozen=True, eq=False)
class Scheme:
    """One valid way to build a section, up to classes that no rule can tell apart.

    Every combination of one option per function, with these ports, meets every rule of the section.
    """

    section: str
    options: Mapping[Function, tuple[Option, ...]]
    """By function, in flow order: the interchangeable options."""
    ports: Mapping[str, Any]

    def first(self, function: Function) -> Option:
        """One of the interchangeable options of a function, for what they have in common."""
        return self.options[function][0]

    def __repr__(self) -> str:
        return f"Scheme({self.section}: {[o.id for opts in self.options.values() for o in opts]})"


def admit(inquiry: Inquiry, rules: Iterable[Rule] = RULES) -> Admission:
    """Apply the rules that look at one function only."""
    rules = tuple(rules)
    admitted: dict[Function, tuple[Option, ...]] = {}
    refusals: dict[str, tuple[Refusal, ...]] = {}
    for function in FUNCTIONS:
        asked = [rule for rule in rules if rule.each or rule.scope == (function,)]
        kept = []
        for option in inquiry.options[function]:
            broken = [rule for rule in asked if not rule.holds(inquiry, option)]
            if broken:
                refusals[option.id] = tuple(
                    Refusal(rule, rule.refusal(inquiry, option)) for rule in broken
                )
            else:
                kept.append(option)
        admitted[function] = tuple(kept)
    return Admission(admitted, refusals)


def infeed_heights_mm(options: Iterable[Option]) -> tuple[float, ...]:
    """The distinct infeed heights of these fillers [mm], lowest first."""
    return tuple(sorted({opt.infeed_mm for opt in options if opt.infeed_mm is not None}))


def kind_of(option: Option) -> tuple[Any, ...]:
    """What the rules of several functions, and a station's neighbours, may see of an option.

    Options of one kind are interchangeable within a section: they may differ in price, speed,
    stops, attendance and whatever else only one-function rules, limits and assessments look at.
    """
    equipment = option.equipment
    return (
        equipment.absent,
        frozenset(equipment.traits),
        option.infeed_mm,
        equipment.heights.discharge_mm,
        equipment.heights.head_mm,
        equipment.heights.lip_mm,
        equipment.heights.lowered_mm,
        equipment.heights.drop,
        equipment.size is not None,
        equipment.function == "unload" and equipment.size and equipment.size.height_mm,
        equipment.stopping_min,
        equipment.tracks,
        equipment.tracks_per_header,
        equipment.medium == "none",
        equipment.place,
        equipment.supply_form,
        tuple(equipment.accepts.supply or ()) if equipment.accepts else None,
    )


def solve_section(
    inquiry: Inquiry,
    section: str,
    admission: Admission,
    rules: Iterable[Rule] = RULES,
    cancel: threading.Event | None = None,
) -> list[Scheme]:
    """Every valid way to build one section, in the order of the catalogue.

    Raises CancelledError soon after `cancel` is set.
    """
    from constraint import Problem

    variables = SECTIONS[section]
    kinds = _kinds(variables, admission)
    domains: dict[str, Sequence[Any]] = {
        "infeed": infeed_heights_mm(admission.options["fill"]),
        "rail": (True, False),
        "dry-cans": (True, False),
    }
    for name, groups in kinds.items():
        domains[name] = [group[0] for group in groups]
    if not all(domains[name] for name in variables):
        return []
    problem = Problem()
    for name in variables:
        problem.addVariable(name, list(domains[name]))
    for rule in rules:
        if len(rule.scope) > 1 and set(rule.scope) <= set(variables):
            problem.addConstraint(_predicate(rule, inquiry), list(rule.scope))
    if cancel is not None:
        problem.addConstraint(_stop_when(cancel), [variables[0]])

    place = {name: {id(v): i for i, v in enumerate(domains[name])} for name in variables}
    solutions = sorted(
        problem.getSolutions(),
        key=lambda found: [place[name][id(found[name])] for name in variables],
    )
    return [
        Scheme(
            section,
            {name: kinds[name][place[name][id(found[name])]] for name in kinds},  # type: ignore[misc]
            {name: found[name] for name in variables if name in PORTS},
        )
        for found in solutions
    ]


def _kinds(variables: Sequence[str], admission: Admission) -> dict[str, list[tuple[Option, ...]]]:
    """The options of each function grouped by kind, in the order of the catalogue."""
    kinds: dict[str, list[tuple[Option, ...]]] = {}
    for name in variables:
        if name in PORTS:
            continue
        groups: dict[tuple[Any, ...], list[Option]] = {}
        for option in admission.options[name]:  # type: ignore[index]
            groups.setdefault(kind_of(option), []).append(option)
        kinds[name] = [tuple(group) for group in groups.values()]
    return kinds


def _predicate(rule: Rule, inquiry: Inquiry) -> Any:
    holds = rule.holds

    def predicate(*values: Any) -> bool:
        return holds(inquiry, *values)

    return predicate


def _stop_when(cancel: threading.Event) -> Any:
    def predicate(_value: Any) -> bool:
        if cancel.is_set():
            raise CancelledError("called off")
        return True

    return predicate
