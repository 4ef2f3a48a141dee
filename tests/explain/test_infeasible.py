"""Random briefs that nothing meets: conflicts conflict and have nothing spare, openings open.

OR-Tools CP-SAT (tests/oracle/cpsat.py), which shares no search and no arithmetic, says of every
brief, of every conflict with and without each member, and of every opened brief whether a line is
left.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from functools import cache, partial

import pytest

from lineconfig.catalog import Catalog
from lineconfig.choose.limits import LIMITS
from lineconfig.choose.rules import RULES
from lineconfig.explain import NoLayout, why_nothing
from lineconfig.explain.conflict import Feasibility
from lineconfig.explain.nothing import soft_and_hard
from lineconfig.need import Need
from lineconfig.need_reading import settle
from lineconfig.session import Study
from tests.explain.infeasible import infeasible
from tests.oracle import cpsat
from tests.oracle.arithmetic import Arithmetic

BRIEFS = 120
QUICK = 16
"""Briefs of the quick suite; the rest are soaked."""
WITNESSED = 6
"""Of these, how many the other solver is asked about every conflict in the quick suite."""
LIMIT_NAMES = {"floor-length": "length", "floor-area": "area"}
"""What the arithmetic of the other solver calls limits that it names differently."""
NO_END_OF_HOURS = 1e4
"""Hours of a week that no line runs out of; many more do not go into the solver's whole numbers."""

numbers = [
    *range(QUICK),
    *(pytest.param(n, marks=pytest.mark.slow) for n in range(QUICK, BRIEFS)),
]


@cache
def explained(number: int) -> tuple[Study, NoLayout]:
    study = infeasible(number)
    answer = why_nothing(study)
    assert answer is not None
    return study, answer


def witness(
    need: Need, catalog: Catalog, patch: pytest.MonkeyPatch, without: frozenset[str] = frozenset()
) -> bool:
    """Whether CP-SAT finds a line, some rules and limits left aside."""
    if "hours" in without:
        need = replace(need, hours_per_week=NO_END_OF_HOURS)
    limits = {LIMIT_NAMES.get(name, name) for name in without} - {"hours"}
    with patch.context() as patched:
        patched.setattr(cpsat, "RULES", tuple(rule for rule in RULES if rule.id not in without))
        patched.setattr(cpsat, "Arithmetic", partial(_arithmetic, limits))
        # People and hours need tables of all lines: only where they are limited.
        whole = "hours" not in without or (
            "people" not in without and need.brief.staff.per_shift is not None
        )
        return bool(cpsat.Model(need, catalog, "first-cost", whole=whole).top(1))


def _arithmetic(
    aside: set[str], need: Need, catalog: Catalog, without: Collection[str] = ()
) -> Arithmetic:
    return Arithmetic(need, catalog, aside | set(without))


@pytest.mark.parametrize("number", numbers)
def test_what_is_said_of_an_infeasible_brief_holds(
    number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    study, answer = explained(number)
    assert not witness(study.need, study.catalog, monkeypatch)
    _conflicts_hold(study, answer, monkeypatch, witnessed=number < WITNESSED or number >= QUICK)
    for opening in answer.openings:
        _opens(study, opening.need, opening.layout.id, monkeypatch)
    for pair in answer.pairs:
        _opens(study, pair.need, pair.layout.id, monkeypatch)
        for change in pair.changes:
            assert change.text in pair.text
    assert not (answer.openings and answer.pairs)


def _conflicts_hold(
    study: Study, answer: NoLayout, patch: pytest.MonkeyPatch, *, witnessed: bool
) -> None:
    checker = Feasibility(study)
    soft, _ = soft_and_hard(study, checker)
    known = {rule.id for rule in RULES} | {limit.id for limit in LIMITS}
    assert answer.conflicts[0] == answer.conflict and len(answer.conflict) > 0
    # Where physics and the trade alone leave nothing, they are in the conflicts themselves.
    alone = not study.varied(without=study.without | set(soft)).feasible
    others = checker.all if alone else frozenset(soft)
    sizes = [len(conflict) for conflict in answer.conflicts]
    assert sizes == sorted(sizes)
    for conflict in answer.conflicts:
        names = {clash.rule for clash in conflict}
        assert names <= known & others and len(names) == len(conflict)
        aside = others - names
        assert not study.varied(without=study.without | aside).feasible, names
        for name in names:
            assert study.varied(without=study.without | aside | {name}).feasible, name
        if witnessed:
            assert not witness(study.need, study.catalog, patch, aside)
            for name in names:
                assert witness(study.need, study.catalog, patch, aside | {name})


def _opens(study: Study, need: Need, layout_id: str, patch: pytest.MonkeyPatch) -> None:
    """The changed brief, read anew, has a line, and the one named is the first of them."""
    again = Study(settle(need.brief, study.catalog), study.catalog, without=study.without)
    for fresh, stated in zip(again.need.formats, need.formats, strict=True):
        assert fresh.needed_cpm == pytest.approx(stated.needed_cpm)
        assert fresh.annual_cans == pytest.approx(stated.annual_cans)
    assert next(again.layouts()).id == layout_id
    assert witness(need, study.catalog, patch)


@pytest.mark.parametrize("number", numbers)
def test_a_little_less_than_an_opening_opens_nothing(number: int) -> None:
    """Whole people and units of money, a tenth of an hour, a millimetre of ceiling, an ampere."""
    from lineconfig.varying import needs

    study, answer = explained(number)
    for opening in answer.openings:
        fallen = opening.shortfall
        if fallen is None:
            continue
        value = fallen.needed
        if opening.field == "budget":
            less = needs.with_budget(study.need, value - 1)
        elif opening.field == "staff.per_shift":
            less = needs.with_people(study.need, value - 1)
        elif opening.field == "site.ceiling":
            less = needs.with_ceiling(study.need, value - 1)
        elif opening.field == "operation.hours_per_week":
            habits = study.inquiry.habits
            less = needs.with_operation(study.need, "hours_per_week", value - 0.1, habits)
        elif opening.field == "site.power.amperes":
            less = needs.with_amperes(study.need, value - 1)
        elif opening.field == "speed" and value < study.need.speed_cpm:
            # A tunnel grows with the speed: there the speeds are tried in tenths.
            tunnel = study.need.brief.product.heat_treatment == "tunnel"
            less = needs.with_speed(study.need, value + (0.1 if tunnel else 0.01))
        else:
            continue
        assert not study.varied(need=less).feasible, opening.text
