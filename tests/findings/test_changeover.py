"""Format changes of whole lines: which stations change between which formats."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lineconfig.findings.changeover import PairChange, changeovers_of, mean_minutes
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study
from tests.findings.lines import formats, line, shipped


def changes(study: Study, layout: Layout) -> dict[tuple[str, str], PairChange]:
    return {(c.before, c.after): c for c in changeovers_of(study.inquiry, layout)}


@pytest.fixture(scope="module")
def three() -> tuple[Study, Layout]:
    return line(speed="80 cpm", formats=formats(
        "can-355-standard", "can-473-standard", "can-355-sleek"))  # fmt: skip


def test_each_ordered_pair_is_there(three: tuple[Study, Layout]) -> None:
    assert len(changes(*three)) == 3 * 2
    assert changeovers_of(line()[0].inquiry, line()[1]) == ()


def test_the_same_diameter_needs_no_diameter_parts(three: tuple[Study, Layout]) -> None:
    study, layout = three
    for_diameter = {
        part.part
        for station in layout.stations
        if (change := station.option.equipment.changeover) is not None
        for part in change.parts
        if part.for_each == "diameter"
    }
    assert for_diameter, "a line whose machines have parts for the diameter"
    found = changes(study, layout)
    same = found["can-355-standard", "can-473-standard"]
    other = found["can-355-standard", "can-355-sleek"]
    assert same.differing == {"height"} and not for_diameter & set(same.parts)
    assert other.differing == {"diameter", "height"} and for_diameter <= set(other.parts)
    assert same.minutes < other.minutes and same.person_min < other.person_min


def test_the_line_s_own_figure_is_that_of_the_longest_change(three: tuple[Study, Layout]) -> None:
    study, layout = three
    found = changes(study, layout).values()
    assert max(c.minutes for c in found) == pytest.approx(layout.changeover_min)
    assert max(c.person_min for c in found) == pytest.approx(layout.changeover_person_min)
    assert 0 < mean_minutes(study.inquiry, found) <= layout.changeover_min


@pytest.mark.parametrize("name", ["co-packer", "mixed-containers", "mobile-canner"])
def test_no_change_takes_longer_than_the_cost_counts(name: str) -> None:
    study = open_study(examples_dir() / f"{name}.yaml")
    layout = study.best(1)[0]
    found = changes(study, layout)
    for change in found.values():
        assert change.minutes <= layout.changeover_min + 1e-9
        assert change.person_min <= layout.changeover_person_min + 1e-9
        assert [t.station for t in change.stations] == sorted(t.station for t in change.stations)
    # Both ways take the same here, since what is taken off was put on.
    for before, after in pairwise(sorted({key[0] for key in found})):
        assert found[before, after].minutes == found[after, before].minutes


def test_stated_causes_cover_the_stated_whole() -> None:
    # Where everything differs, what is stated by cause must not leave minutes over.
    for item in shipped().classes.values():
        change = item.changeover
        if change is None or change.by is None:
            continue
        causes = change.by.model_dump().values()
        assert sum(float(str(value).split()[0]) for value in causes if value) >= change.minutes
