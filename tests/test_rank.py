"""What is said of a layout in one line."""

from __future__ import annotations

from functools import cache

import pytest

from lineconfig.catalog_loading import load_catalog
from lineconfig.need_reading import need_of_text
from lineconfig.present.recommendation import recommendation_text
from lineconfig.rank import CASE_ONLY, Recommendation, recommend
from lineconfig.session import Study

BRIEF = """\
brief: 1
name: Withy Bank Tonic   # invented
formats: [{container: can-355-sleek, annual_cans: 300000, supply: half-stack}]
site: {ceiling: 10 ft}
"""


@cache
def answered(changes: str = "") -> tuple[Study, Recommendation]:
    study = Study(need_of_text(BRIEF + changes, "brief", load_catalog()), load_catalog())
    return study, recommend(study, top=3)


def test_a_line_that_does_not_rinse_has_that_against_it() -> None:
    kinds = answered()[1].arrangements
    rinsed = {any(s.function == "rinse" for s in kind.layout.stations) for kind in kinds}
    assert rinsed == {True, False}
    for kind in kinds:
        has = any(station.function == "rinse" for station in kind.layout.stations)
        assert ("cans not rinsed" in kind.drawbacks) != has


@pytest.mark.parametrize("coder", ["case-only-thermal-ink-jet", "dryer-ink-jet", "rail-laser"])
def test_a_code_on_the_case_alone_is_told_beside_the_ranking(coder: str) -> None:
    """A code on each container is commonly asked for (common practice)."""
    study, answer = answered(f"require: [{coder}]\n")
    on_case = coder.startswith("case-only")
    text = " ".join(recommendation_text(study, answer).split())
    for item in (*answer.layouts, *answer.arrangements):
        assert (CASE_ONLY in item.drawbacks) == on_case
    assert ("The trade commonly wants a code on every container" in text) == on_case
    assert ("`exclude: [case-only-thermal-ink-jet]`" in text) == on_case


def test_what_the_note_offers_leaves_only_lines_that_code_each_container() -> None:
    _, answer = answered("exclude: [case-only-thermal-ink-jet]\n")
    assert answer.layouts
    assert not any(CASE_ONLY in item.drawbacks for item in answer.layouts)


def test_nothing_that_speaks_against_a_line_is_listed_for_it() -> None:
    """Of two kinds, what is better in a figure never stands among the drawbacks, and back."""
    for changes in ("", "prefer: first-cost\n", "prefer: people\n", "rinse: none-accepted\n"):
        _, answer = answered(changes)
        for kind in answer.arrangements:
            for word in ("dearer", "not rinsed", "case only", "below"):
                assert word not in kind.reason
            for word in ("lowest", "fewest", "least", "quickest", "fastest", "cheaper"):
                assert all(word not in each for each in kind.drawbacks)
            assert kind.told
            change = (
                kind.layout.money.life_cycle_cost.typical
                - answer.arrangements[0].layout.money.life_cycle_cost.typical
            )
            assert any("dearer" in each for each in kind.drawbacks) == (
                change >= 0 and kind.rank > 1
            )
            assert ("cheaper" in kind.reason) == (change < 0)
