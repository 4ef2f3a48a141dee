"""The speed that yearly cans and hours ask for, and lines that fall short of what is asked."""

from __future__ import annotations

from typing import Any

import pytest

from lineconfig.demand import demand_of, shortfalls, worst
from lineconfig.layout import SpeedFigures
from tests.findings.lines import study


def two(first: int, second: int) -> list[dict[str, Any]]:
    return [{"container": "can-355-standard", "annual_cans": first},
            {"container": "can-473-standard", "annual_cans": second}]  # fmt: skip


def test_volume_over_hours_by_hand() -> None:
    """1,200,000 cans in 200 h, a fifth of running time on top: 1.2e6 x 1.2 / 12,000 min."""
    cans = [{"container": "can-355-standard", "annual_cans": 1_200_000}]
    found = study(
        speed="60 cpm", formats=cans, operation={"hours_per_week": 10, "weeks_per_year": 20}
    )
    demand = demand_of(found.inquiry)
    assert (demand.asked_cpm, demand.available_hours) == (60, 200)
    assert demand.by_volume_cpm == pytest.approx(120)
    assert demand.forced


def test_enough_hours_force_nothing() -> None:
    found = study(speed="60 cpm", operation={"hours_per_week": 40, "weeks_per_year": 50})
    assert not demand_of(found.inquiry).forced


def test_formats_scale_with_the_main_one() -> None:
    """355 ml at 60 cpm asks for 473 ml at 60 x 355 / 473 (common practice: fill time by volume)."""
    found = study(
        speed="60 cpm", formats=two(600_000, 600_000),
        operation={"hours_per_week": 10, "weeks_per_year": 20},
    )  # fmt: skip
    minutes = 600_000 / 60 + 600_000 / (60 * 355 / 473)
    demand = demand_of(found.inquiry)
    assert demand.by_volume_cpm == pytest.approx(60 * minutes * 1.2 / 12_000, rel=1e-3)


def speeds(*pairs: tuple[float, float]) -> SpeedFigures:
    lower, effective = (tuple(pair[place] for pair in pairs) for place in (0, 1))
    fast = tuple(200.0 for _ in pairs)
    return SpeedFigures(rated=fast, lower=lower, effective=effective, upper=fast)


def test_a_shortfall_is_of_the_speed_or_only_of_its_lower_bound() -> None:
    need = study(speed="100 cpm", formats=two(900_000, 100_000)).need
    asked = need.formats[1].needed_cpm
    assert asked == pytest.approx(100 * 355 / 473, rel=1e-3)
    found = shortfalls(need, speeds((90, 99), (asked, asked)))
    assert found == ("effective", None) and worst(found) == "effective"
    found = shortfalls(need, speeds((100, 110), (asked - 1, asked + 1)))
    assert found == (None, "bracket") and worst(found) == "bracket"
    assert worst(shortfalls(need, speeds((100, 100), (asked, asked)))) is None
