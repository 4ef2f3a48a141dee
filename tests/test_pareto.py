"""The unbeaten lines against comparing every valid line with every other."""

from __future__ import annotations

import pytest

from lineconfig.connect.bundles import PARTS
from lineconfig.connect.pareto import pareto_set
from lineconfig.connect.search import DECIMALS, Found
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study


def figures(study: Study, found: Found) -> tuple[float, ...]:
    """What a line is compared by, from its stations."""
    running, terms = found.running, study.terms
    return (
        round(sum(item.whole[0] for item in found.stated) / PARTS, DECIMALS),
        round(sum(item.whole[1] for item in found.stated) / PARTS, DECIMALS),
        round(sum(item.station.changeover_person_min for item in found.stated), DECIMALS),
        round(running.run_hours, DECIMALS),
        round(terms.labour(running.run_hours, running.changeover_hours, running.people), DECIMALS),
    )


@pytest.mark.parametrize("name", ["startup", "mobile-canner", "high-speed-plant"])
def test_nothing_beats_them_and_they_beat_the_rest(name: str) -> None:
    study = open_study(examples_dir() / f"{name}.yaml")
    everything = {figures(study, found) for found in study.search.ranked("first-cost")}
    unbeaten = {
        mine
        for mine in everything
        if not any(
            other != mine and all(o <= m for o, m in zip(other, mine, strict=True))
            for other in everything
        )
    }
    found = pareto_set(study.search)
    assert len(found) == len(unbeaten)
    for _, line in found:
        mine = figures(study, line)
        assert any(mine == pytest.approx(other, abs=0.02) for other in unbeaten)


def test_they_are_layouts_with_different_figures() -> None:
    layouts = open_study(examples_dir() / "startup.yaml").unbeaten()
    assert len({layout.id for layout in layouts}) == len(layouts) > 3
    costs = [layout.money.first_cost.typical for layout in layouts]
    assert costs == sorted(costs)
