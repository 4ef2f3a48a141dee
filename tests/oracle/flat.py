"""A flat enumeration: every function of the line in one problem, every line worked out in full.

No sections, no bundles, no bounds. The rules are the project's own (`recheck` looks at them
again); everything else comes from `arithmetic`.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from constraint import Problem

from lineconfig.catalog import Catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.choose.rules import RULES, Rule
from lineconfig.need import Need
from tests.oracle.arithmetic import FLOW, Arithmetic, Candidate, Figures

PORTS = ("infeed", "rail", "dry-cans")


@dataclass(frozen=True, slots=True)
class Line:
    """One line in the order of a view."""

    key: tuple[float, float]
    classes: tuple[str, ...]
    """Class ids in the order of the line, which settle ties."""


def problem_of(inquiry: Inquiry) -> Problem:
    """The whole line as one problem: functions and ports as variables, rules as constraints."""
    problem = Problem()
    for function in FLOW:
        problem.addVariable(function, list(inquiry.options[function]))  # type: ignore[index]
    fillers = inquiry.options["fill"]
    infeeds = sorted({o.infeed_mm for o in fillers if o.infeed_mm is not None})
    problem.addVariable("infeed", infeeds)
    problem.addVariable("rail", [True, False])
    problem.addVariable("dry-cans", [True, False])
    for rule in RULES:
        if rule.each:
            for function in FLOW:
                problem.addConstraint(_holds(rule, inquiry), [function])
        else:
            problem.addConstraint(_holds(rule, inquiry), list(rule.scope))
    return problem


def _holds(rule: Rule, inquiry: Inquiry) -> Any:
    answers: dict[tuple[Any, ...], bool] = {}

    def holds(*values: Any) -> bool:
        # A rule says the same of the same options: looked up when it is asked again.
        if values not in answers:
            answers[values] = rule.holds(inquiry, *values)
        return answers[values]

    return holds


def solutions(need: Need, catalog: Catalog) -> Iterator[Mapping[str, Option]]:
    """Every line that meets every rule, as options by function."""
    inquiry = Inquiry(need, catalog)
    if all(inquiry.options[function] for function in FLOW):  # type: ignore[index]
        for solution in problem_of(inquiry).getSolutionIter():
            yield {function: solution[function] for function in FLOW}


def candidates(arithmetic: Arithmetic, line: Mapping[str, Option]) -> dict[str, Candidate]:
    """The same line as the arithmetic sees it."""
    found = {}
    for function, option in line.items():
        candidate = arithmetic.candidates[function][option.id]
        assert all(map(math.isclose, candidate.rated_cpm, option.rated_cpm))
        assert candidate.infeed_mm == option.infeed_mm
        found[function] = candidate
    return found


def valid_lines(need: Need, catalog: Catalog, arithmetic: Arithmetic) -> Iterator[Figures]:
    """The figures of every line that meets every rule and every limit."""
    for solution in solutions(need, catalog):
        figures = arithmetic.figures(candidates(arithmetic, solution))
        if arithmetic.within_limits(figures):
            yield figures


def ranked(need: Need, catalog: Catalog, view: str, count: int | None = None) -> list[Line]:
    """The first lines in a view, or all of them, best first."""
    arithmetic = Arithmetic(need, catalog)
    lines = (
        Line(figures.key(view), figures.classes)
        for figures in valid_lines(need, catalog, arithmetic)
    )
    by_key = _by_key
    if count is None:
        return sorted(lines, key=by_key)
    return heapq.nsmallest(count, lines, key=by_key)


def _by_key(line: Line) -> tuple[tuple[float, float], tuple[str, ...]]:
    return line.key, line.classes
