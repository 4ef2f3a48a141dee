"""Whether a line carries the later years as it stands: against the line built for each phase.

The briefs are invented.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from lineconfig.brief import Brief
from lineconfig.growth.candidates import as_built
from lineconfig.growth.carrying import Carried, carried
from lineconfig.growth.phases import phases_of
from lineconfig.need_reading import settle
from lineconfig.present.later import later_records, later_text
from lineconfig.present.recommendation import recommendation_text
from lineconfig.rank import Recommendation, recommend
from lineconfig.session import Study
from tests.growth.plans import shipped

STEPS: dict[str, list[dict[str, Any]]] = {
    "a format more": [
        {"year": 3, "volume": "150 %",
         "add_formats": [{"container": "can-473-standard", "share": "30 %"}]},
        {"year": 6, "volume": "400 %", "hours_per_week": 40},
    ],
    "too much for the hours": [{"year": 4, "volume": "900 %"}],
    "fewer people under a lower ceiling": [
        {"year": 5, "per_shift": 2, "site": {"ceiling": "9 ft"}}
    ],
    "less": [{"year": 4, "volume": "60 %"}],
}  # fmt: skip


@cache
def answered(name: str, derived: bool = False) -> tuple[Study, Recommendation]:
    brief: dict[str, Any] = {
        "brief": 1,
        "name": "Alder Row Cider",
        "product": {"kind": "cider", "carbonation": "2.6 vol", "fill_temperature": "2 degC"},
        "speed": "40 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": 600_000}],
        "operation": {"hours_per_week": 30, "weeks_per_year": 48},
        "site": {"length": "60 ft", "width": "40 ft", "ceiling": "14 ft"},
        "staff": {"per_shift": 4, "wage": "26 USD/h"},
        "budget": "420000 USD",
        "horizon": "8 years",
        "growth": STEPS[name],
    }
    if derived:
        del brief["speed"]
    study = Study(settle(Brief.model_validate(brief), shipped()), shipped())
    return study, recommend(study, top=4)


def each_phase(name: str, derived: bool) -> list[tuple[Study, Carried, tuple[str, ...]]]:
    study, answer = answered(name, derived)
    found = carried(study, answer.known)
    phases = phases_of(study.need, study.catalog)[1:]
    told = []
    for layout in answer.known:
        assert [each.phase.year for each in found[layout.id]] == [phase.year for phase in phases]
        told += [
            (study.varied(need=each.phase.need), each, layout.classes) for each in found[layout.id]
        ]
    return told


@pytest.mark.parametrize("derived", [False, True])
@pytest.mark.parametrize("name", STEPS)
def test_a_line_carries_a_phase_when_and_only_when_it_can_be_built_for_it(
    name: str, derived: bool
) -> None:
    for there, found, classes in each_phase(name, derived):
        built = as_built(there, classes)
        assert found.as_it_stands == (built is not None), (classes, found.against)
        if built is not None:
            assert found.layout is not None
            assert found.hours_per_week == pytest.approx(
                built.money.hours / there.need.weeks_per_year
            )
            assert found.hours_per_week <= there.need.hours_per_week * (1 + 1e-9)


def test_these_needs_meet_every_verdict() -> None:
    fates = set()
    for name in STEPS:
        for _, found, _ in each_phase(name, False):
            fates.add(
                "stands" if found.as_it_stands else "replaced" if found.refused
                else "hours" if found.hours_alone else "other"
            )  # fmt: skip
    assert fates == {"stands", "replaced", "hours", "other"}


def test_the_hours_that_are_named_are_what_the_line_would_run() -> None:
    """With as many hours as are named the line carries the year; with a little less it does not."""
    study, answer = answered("too much for the hours")
    first = answer.layouts[0].layout
    (found,) = carried(study, [first])[first.id]
    assert found.hours_alone and found.hours_per_week is not None
    for share, enough in ((1.001, True), (0.999, False)):
        need = replace(found.phase.need, hours_per_week=found.hours_per_week * share)
        assert (as_built(study.varied(need=need), first.classes) is not None) == enough


def test_what_must_be_replaced_is_named_with_why() -> None:
    study, answer = answered("a format more")
    single = next(
        item.layout for item in answer.arrangements if "twist-rinser" in item.layout.classes
    )
    found = carried(study, [single])[single.id]
    text = later_text(study, found)
    assert text == "later: from year 3 replace the twist rinser (serves 1 format; then 2)"
    record = later_records({single.id: found})[single.id]
    assert [each["replace"][0]["class"] for each in record] == ["twist-rinser", "twist-rinser"]


def test_a_machine_that_becomes_too_slow_is_named_with_both_speeds() -> None:
    study, answer = answered("too much for the hours", True)
    first = answer.layouts[0].layout
    (found,) = carried(study, [first])[first.id]
    assert found.slow
    text = later_text(study, [found])
    for class_id, (rated_cpm, asked_cpm) in found.slow.items():
        assert class_id in first.classes and rated_cpm < asked_cpm
        assert f"({rated_cpm:,.0f} of {asked_cpm:,.0f} cpm)" in text


def test_the_ranking_tells_the_later_years_of_each_kind() -> None:
    study, answer = answered("a format more")
    text = recommendation_text(study, answer)
    assert max(map(len, text.splitlines())) <= 80
    kinds = text.split("best of all")[0]
    assert kinds.count("     later: ") == min(12, len(answer.arrangements))
    flat = " ".join(text.split())
    assert "as it stands, 11 of 30 h a week in year 3, 30 of 40 in year 6" in flat
    assert "The order counts today's need alone." in flat and "`lineconfig grow BRIEF`" in flat


def test_a_brief_without_growth_says_nothing_of_later_years() -> None:
    study, answer = answered("less")
    brief = study.need.brief.model_copy(update={"growth": []})
    still = Study(replace(study.need, brief=brief, phases=()), study.catalog)
    assert "later: " not in recommendation_text(still, answer)
