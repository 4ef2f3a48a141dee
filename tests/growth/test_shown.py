"""The growth plan as people and scripts see it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lineconfig.cli import main
from lineconfig.growth.plan import Blocked, GrowthPlan, plan_growth
from lineconfig.growth.scenarios import ScenarioPlan, plan_scenarios
from lineconfig.present.growth import (
    blocked_record,
    blocked_text,
    growth_record,
    growth_text,
)
from tests.growth.plans import study, write_brief

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCENARIOS = [
    {"name": "as planned", "share": "70 %", "growth": "100 %"},
    {"name": "half", "share": "30 %", "growth": "50 %"},
]


@pytest.fixture(scope="module")
def plan() -> GrowthPlan:
    found = plan_growth(study(cans=150_000))
    assert isinstance(found, GrowthPlan)
    return found


def test_the_record_has_the_contracts_keys(plan: GrowthPlan) -> None:
    record = json.loads(json.dumps(growth_record(plan, None), allow_nan=False))
    assert {"phases", "total", "alternatives"} <= set(record)
    for phase in record["phases"]:
        assert {"year", "layout", "keep", "buy", "sell", "credit", "spend"} <= set(phase)
        bought, sold = (sum(e["amount"] for e in phase[key]) for key in ("buy", "sell"))
        assert phase["spend"] == pytest.approx(bought - sold - phase["credit"], abs=0.1)
    assert [phase["year"] for phase in record["phases"]] == [1, 4]
    for name in ("final-now", "cheapest-each-time"):
        assert record["alternatives"][name]["total"] >= record["total"] - 0.01


def test_the_text_tells_the_step_its_credit_and_its_region(plan: GrowthPlan) -> None:
    text = growth_text(plan, None)
    flat = " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
    assert "powered single-filing table on casters serves again in the full-height" in flat
    assert "28k credited" in flat
    assert "They are the cheaper way at discount rates above" in flat
    assert "while today's volume is below" in flat
    assert "out in year 4, 28k off the price of the full-height sweep depalletizer" in flat
    assert "The step has paid for itself in year" in flat


def test_scenarios_are_in_text_and_record() -> None:
    found = study(cans=240_000, later=2_000_000, scenarios=SCENARIOS)
    plan, answer = plan_growth(found), plan_scenarios(found)
    assert isinstance(plan, GrowthPlan) and isinstance(answer, ScenarioPlan)
    text = growth_text(plan, answer)
    assert max(map(len, text.splitlines())) <= 80
    assert "Best on average" in text and "regret" in text
    record = growth_record(plan, answer)["scenarios"]
    assert [each["name"] for each in record["scenarios"]] == ["as planned", "half"]
    assert record["best_on_average"] == answer.best_on_average.layout.id


def test_a_year_without_a_line_is_explained() -> None:
    blocked = plan_growth(study(growth=[{"year": 4, "volume": "5000 %"}]))
    assert isinstance(blocked, Blocked)
    text = blocked_text(blocked)
    assert text.startswith("From year 4 (30,000,000 cans a year)")
    assert max(map(len, text.splitlines())) <= 80
    record = json.loads(json.dumps(blocked_record(blocked)))
    assert record["blocked_year"] == 4 and record["no_layout"]["conflict"]
    assert {"phases", "total", "alternatives"} <= set(record)


def test_the_command_answers_without_growth_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", str(EXAMPLES / "startup.yaml")]) == 0
    assert "no `growth:`" in capsys.readouterr().out
    assert main(["grow", str(EXAMPLES / "startup.yaml"), "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["phases"]) == 1


def test_the_command_explains_a_year_without_a_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = write_brief(tmp_path, growth=[{"year": 3, "volume": "5000 %"}])
    assert main(["grow", file]) == 1
    assert "there is no line" in capsys.readouterr().out
    assert main(["grow", file, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["blocked_year"] == 3
