"""The nearest budget, people and ceiling at which the first place changes, against plain solves.

The briefs are invented. Every edge is solved for again on both sides with a brief read anew.
"""

from __future__ import annotations

from functools import cache

import pytest

from lineconfig.brief import Brief
from lineconfig.locate import examples_dir
from lineconfig.need_reading import settle
from lineconfig.present.why import Explained, why_first_lines, why_first_record
from lineconfig.quantities import Money, Quantity
from lineconfig.rank import recommend
from lineconfig.session import Study, open_study
from lineconfig.switching import Switcher
from lineconfig.switching_limits import LIMIT_NAMES, LimitName, LimitSwitch, LimitSwitcher
from tests.oracle.sampling import case

FAR = {"budget": 1e8, "people": 200.0, "ceiling": 30_000.0}
TIGHT: dict[str, dict[LimitName, float]] = {
    "as it is": {},
    "tight": {"budget": 600_000, "people": 4, "ceiling": 3_353},
    "low": {"ceiling": 3_200},
}


def with_limit(brief: Brief, limit: LimitName, value: float) -> Brief:
    if limit == "budget":
        return brief.model_copy(update={"budget": Money(value, f"{value:.0f} USD", "USD")})
    if limit == "people":
        staff = brief.staff.model_copy(update={"per_shift": round(value)})
        return brief.model_copy(update={"staff": staff})
    site = brief.site.model_copy(update={"ceiling_mm": Quantity(value, f"{value:.0f} mm")})
    return brief.model_copy(update={"site": site})


def first_at(study: Study, limit: LimitName, value: float) -> str | None:
    """The first layout of a brief read anew with another limit."""
    brief = with_limit(study.need.brief, limit, value)
    again = Study(settle(brief, study.catalog), study.catalog)
    return next((layout.id for layout in again.best(1)), None)


def hold(study: Study, found: LimitSwitch, first: str) -> int:
    """Check both edges of one limit; how many values were solved at."""
    count = 0
    if found.below is not None and found.below.value > 0:
        value = found.below.value
        assert first_at(study, found.limit, value) == first
        less = value - 1
        if less > 0:
            wanted = found.below.layout
            assert first_at(study, found.limit, less) == (wanted.id if wanted else None)
            count += 2
        if found.now is not None:  # in between the first stays first
            assert first_at(study, found.limit, (value + found.now) // 2) == first
    if found.now is None:
        return count
    if found.above is None:
        assert first_at(study, found.limit, FAR[found.limit]) == first
        return count + 1
    assert found.above.layout is not None
    assert first_at(study, found.limit, found.above.value) == found.above.layout.id != first
    if found.above.exact:
        assert first_at(study, found.limit, found.above.value - 1) == first
    return count + 2


def told(found: list[LimitSwitch]) -> list[tuple[object, ...]]:
    """What is said of each limit."""
    return [
        tuple(
            None if edge is None else (edge.value, edge.layout and edge.layout.id, edge.exact)
            for edge in (each.below, each.above)
        )
        for each in found
    ]


@cache
def brewery(name: str) -> Study:
    start = open_study(examples_dir() / "growing-brewery.yaml")
    brief = start.need.brief
    for limit, value in TIGHT[name].items():
        brief = with_limit(brief, limit, value)
    return Study(settle(brief, start.catalog), start.catalog)


@pytest.mark.parametrize("name", TIGHT)
def test_both_sides_of_each_edge(name: str) -> None:
    study = brewery(name)
    first = study.best(1)
    if not first:
        with pytest.raises(ValueError, match="no layout is valid"):
            LimitSwitcher(Switcher(study)).all()
        return
    known = study.best(5)
    found = LimitSwitcher(Switcher(study, known=known)).all()
    assert told(found) == told(LimitSwitcher(Switcher(study, known=known), known).all())
    assert [each.limit for each in found] == list(LIMIT_NAMES)
    assert sum(hold(study, each, first[0].id) for each in found) >= 3


def test_a_table_that_is_fed_by_hand_stands_lower_with_its_stacks_in_parts() -> None:
    """Its deck is as high as its stack asks for only while the ceiling lets it."""
    study = open_study(examples_dir() / "startup.yaml")
    (first,) = study.best(1)
    (ceiling,) = [each for each in LimitSwitcher(Switcher(study)).all() if each.limit == "ceiling"]
    assert ceiling.below is not None and ceiling.below.layout is not None
    clearance_mm = study.inquiry.habits.ceiling_clearance_mm
    assert ceiling.below.value < first.highest.height_mm + clearance_mm
    assert hold(study, ceiling, first.id) >= 2


def test_a_wider_budget_lets_a_better_line_in_at_the_value_named() -> None:
    """With the limits of the brief at 600,000 a line that costs less over its life is kept out."""
    study = brewery("tight")
    budget = LimitSwitcher(Switcher(study)).all()[0]
    assert budget.above is not None and budget.above.exact and budget.above.layout is not None
    assert budget.above.value == -(-budget.above.layout.money.first_cost.typical // 1)
    life = budget.above.layout.money.life_cycle_cost.typical
    assert life < study.best(1)[0].money.life_cycle_cost.typical


@pytest.mark.parametrize("number", [2, 18, 27, 42])
@pytest.mark.parametrize("view", ["life-cycle-cost", "first-cost", "people"])
def test_edges_of_random_catalogues(number: int, view: str) -> None:
    start = case(number)
    brief = start.need.brief.model_copy(update={"prefer": view})
    study = Study(settle(brief, start.catalog), start.catalog)
    best = study.best(1)
    if best:
        for each in LimitSwitcher(Switcher(study)).all():
            hold(study, each, best[0].id)


def test_limits_stand_in_text_and_record() -> None:
    study = brewery("as it is")
    answer = recommend(study, top=3)
    explained = Explained(study, answer, Switcher(study, known=answer.known))
    text = " ".join(" ".join(why_first_lines(explained)).split())
    record = why_first_record(explained)["limits"]
    assert list(record) == list(LIMIT_NAMES)
    first = answer.layouts[0].layout
    assert record["budget"]["below"]["value"] == -(-first.money.first_cost.typical // 1)
    assert f"Budget (now 900,000 USD): below {record['budget']['below']['value']:,.0f} " in text
    assert record["people"]["below"]["value"] == first.crew.people
    assert f"People on shift (now 5): below {first.crew.people} " in text
    assert "Ceiling (now 4,877 mm (16'-0\")): below 3,450 mm" in text
    for each in record.values():
        assert each["from"] is None and each["below"]["layout"] in text
        if each["below"]["layout"] not in [item.layout.id for item in answer.layouts]:
            assert f"Beside the first, {each['below']['layout']} has " in text
