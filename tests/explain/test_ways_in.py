"""What would let a class in: every limit that alone does so is named, with the least that does.

Held against plain studies of briefs that are read anew, with the class insisted on.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from lineconfig.brief import Brief
from lineconfig.explain import ClassAnswer, Opening, why_class
from lineconfig.explain.classes import MOST_WAYS
from lineconfig.locate import examples_dir
from lineconfig.need_reading import settle
from lineconfig.present.nothing import why_text
from lineconfig.present.why import class_record
from lineconfig.quantities import Money, Quantity
from lineconfig.rounding import amount_text
from lineconfig.session import Study, open_study
from lineconfig.varying.pooled import pooled

CASES = (
    ("growing-brewery", "rotary-open-fill"),
    ("startup", "inline-8-12-head"),
    ("startup", "carrier-applicator"),
    ("startup", "tall-depalletizer"),
    ("startup", "tray-packer"),
)
FREED = {"budget": "budget", "people": "staff.per_shift", "ceiling": "site.ceiling"}
"""What is given up in the brief, and the field that speaks for it."""


@cache
def example(name: str) -> Study:
    return pooled(open_study(examples_dir() / f"{name}.yaml"))


@cache
def answer(name: str, class_id: str) -> ClassAnswer:
    study = example(name)
    return why_class(study, class_id, study.best(1), refused_too=True)


def with_class(name: str, class_id: str, brief: Brief) -> bool:
    """Whether a brief, read anew, has a line with the class."""
    catalog = example(name).catalog
    function = catalog.classes[class_id].function
    study = Study(settle(brief, catalog), catalog, only={function: class_id})
    return study.feasible


def freed(brief: Brief, what: str) -> Brief:
    """The brief with one limit given up."""
    if what == "budget":
        return brief.model_copy(update={"budget": None})
    if what == "people":
        staff = brief.staff.model_copy(update={"per_shift": None})
        return brief.model_copy(update={"staff": staff})
    site = brief.site.model_copy(update={"ceiling_mm": Quantity(20_000.0, "20 m")})
    return brief.model_copy(update={"site": site})


def a_little_less(brief: Brief, opening: Opening) -> Brief | None:
    """The changed brief with the smallest step back towards what it was."""
    if opening.field == "budget":
        assert opening.need.brief.budget is not None
        amount = float(opening.need.brief.budget) - 1
        money = Money(amount, f"{amount:.0f} USD", "USD")
        return brief.model_copy(update={"budget": money})
    if opening.field == "staff.per_shift":
        people = opening.need.brief.staff.per_shift
        assert people is not None
        staff = brief.staff.model_copy(update={"per_shift": people - 1})
        return brief.model_copy(update={"staff": staff})
    if opening.field == "site.ceiling":
        lower_mm = float(opening.need.brief.site.ceiling_mm) - 1
        site = brief.site.model_copy(
            update={"ceiling_mm": Quantity(lower_mm, f"{lower_mm:.0f} mm")}
        )
        return brief.model_copy(update={"site": site})
    return None


@pytest.mark.parametrize(("name", "class_id"), CASES)
def test_a_limit_is_named_when_and_only_when_it_alone_keeps_the_class_out(
    name: str, class_id: str
) -> None:
    found = answer(name, class_id)
    assert found.status == "ruled-out"
    fields = {opening.field for opening in found.openings}
    brief = example(name).need.brief
    for what, field in FREED.items():
        assert (field in fields) == with_class(name, class_id, freed(brief, what)), field


@pytest.mark.parametrize(("name", "class_id"), CASES)
def test_each_change_lets_the_class_in_and_a_little_less_does_not(name: str, class_id: str) -> None:
    tried = 0
    for opening in answer(name, class_id).openings:
        assert class_id in opening.layout.classes
        assert with_class(name, class_id, opening.need.brief), opening.text
        less = a_little_less(example(name).need.brief, opening)
        if less is not None:
            tried += 1
            assert not with_class(name, class_id, less), opening.text
    assert tried or class_id == "tray-packer"


def test_more_people_that_spare_a_machine_are_named_beside_the_budget() -> None:
    """With more people the line does with less machinery and keeps to the budget."""
    found = answer("growing-brewery", "rotary-open-fill")
    by_field = {opening.field: opening for opening in found.openings}
    budget = example("growing-brewery").need.brief.budget
    assert budget is not None
    assert by_field["staff.per_shift"].layout.money.first_cost.typical <= float(budget)
    for field in ("budget", "staff.per_shift"):
        assert by_field[field].text in found.text
    assert "the cheapest such line" not in found.text


def test_two_things_that_are_short_are_both_told() -> None:
    """The budget is raised to what the sentence says, and still no line has the class."""
    found = answer("startup", "tray-packer")
    assert found.openings == ()
    brief = example("startup").need.brief
    richer = brief.model_copy(update={"budget": Money(900_000.0, "900000 USD", "USD")})
    assert not with_class("startup", "tray-packer", richer)
    assert "USD to buy" in found.text and "; and besides, " in found.text
    assert "No single change that was tried" in why_text(example("startup"), None, [found])


def test_every_reason_of_a_class_that_is_refused_by_itself_is_told_when_asked_for_it() -> None:
    study = example("startup")
    refusals = study.admission.refusals["gripper-elevator"]
    assert len(refusals) > 1
    asked = why_class(study, "gripper-elevator", study.best(1), refused_too=True)
    assert "does not pass a door" in asked.text and "needs a ceiling" in asked.text
    listed = why_class(study, "gripper-elevator", study.best(1))
    assert f"and {len(refusals) - 1} more rule refuses it" in listed.text


def test_text_and_record_tell_the_same() -> None:
    found = answer("startup", "inline-8-12-head")
    record: dict[str, Any] = class_record(found)
    text = " ".join(why_text(example("startup"), None, [found]).split())
    assert len(record["openings"]) == len(found.openings) > 1
    for each in record["openings"]:
        price = amount_text(each["first_cost"])
        people = f"{each['people']} people" if each["people"] > 1 else "1 person"
        assert f"* {each['text']} {each['layout']}, {price} USD to buy, {people}, " in text
    assert "[budget]" not in text  # no one rule keeps it out


def test_a_list_of_classes_tells_the_nearest_few_and_how_many_more() -> None:
    study = example("growing-brewery")
    found = why_class(study, "rotary-open-fill", study.best(1))
    assert len(found.openings) > MOST_WAYS
    sizes = [each.size for each in found.openings if each.shortfall is not None]
    assert sizes == sorted(sizes)
    for place, opening in enumerate(found.openings):
        assert (opening.text in found.text) == (place < MOST_WAYS)
    more = len(found.openings) - MOST_WAYS
    assert found.text.endswith(f"; or {more} more change{'s' if more > 1 else ''}")
