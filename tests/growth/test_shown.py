"""The growth plan as people and scripts see it."""

from __future__ import annotations

import json
import re
import shlex
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from lineconfig.cli import main
from lineconfig.growth.opening import brief_of_year, study_of_year
from lineconfig.growth.plan import Blocked, GrowthPlan, plan_growth
from lineconfig.growth.scenarios import ScenarioPlan, plan_scenarios
from lineconfig.need_reading import need_of_text
from lineconfig.present.growth import (
    blocked_record,
    blocked_text,
    growth_record,
    growth_text,
)
from lineconfig.present.text import differences
from lineconfig.session import Study
from tests.growth.plans import brief_of, shipped, study, write_brief

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


@cache
def planned_scenarios() -> tuple[GrowthPlan, ScenarioPlan]:
    found = study(cans=240_000, later=2_000_000, scenarios=SCENARIOS)
    plan = plan_growth(found)
    assert isinstance(plan, GrowthPlan)
    answer = plan_scenarios(found, plan)
    assert isinstance(answer, ScenarioPlan)
    return plan, answer


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
    assert "It is the cheaper way at discount rates above" in flat
    assert "while today's volume is below" in flat
    assert "out in year 4, 28k off the price of the full-height sweep depalletizer" in flat
    assert "The step has paid for itself in year" in flat


def test_each_line_comes_with_the_command_that_opens_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is printed is run: it shows the line of that id, for the cans of that year."""
    file = write_brief(tmp_path, cans=150_000, budget="400000 USD")
    assert main(["grow", file]) == 0
    text = re.sub(r" \\\n +", " ", capsys.readouterr().out)
    commands = re.findall(r"(?m)^ +lineconfig (show .*)$", text)
    assert {shlex.split(each)[-1] for each in commands} == {"1", "4"} and len(commands) >= 4
    cans = {"1": 150_000, "4": 3_000_000}
    for command in commands[:2]:
        words = shlex.split(command)
        assert words[1] == file
        assert main([*words, "--json"]) == 0
        shown = json.loads(capsys.readouterr().out)
        assert shown["id"] == words[2]
        assert shown["inputs"]["annual_cans"] == {"can-355-standard": cans[words[-1]]}
    assert main(["grow", file, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    opened = {each["open"].removeprefix("lineconfig ") for each in record["phases"]}
    assert opened <= set(commands)


def test_a_line_beyond_todays_budget_can_be_opened(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The one line for all phases is named though nobody may buy it today."""
    plan = plan_growth(study(cans=1_500_000, budget="100000 USD"))
    assert isinstance(plan, GrowthPlan)
    final = plan.final_now
    assert final is not None and not plan.final_now_affordable
    name = plan.layouts_of(final)[0].id
    file = write_brief(tmp_path, cans=1_500_000, budget="100000 USD")
    text = " ".join(growth_text(plan, None).split())
    assert "within today's budget" in text and "it is beyond the budget of 100,000" in text
    assert f"lineconfig show BRIEF {name} --year 1" in text
    assert main(["show", file, name, "--year", "1"]) == 0
    assert f"id {name}" in capsys.readouterr().out
    assert main(["show", file, name]) == 2  # today's list keeps to the budget


def test_a_letter_names_the_same_line_in_every_command_of_a_year(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = write_brief(tmp_path)
    assert main(["recommend", file, "--year", "4", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["brief"]["name"] == "Stepstone Drinks, from year 4"
    assert main(["show", file, "1", "--year", "4"]) == 0
    assert f"id {record['layouts'][0]['id']}" in capsys.readouterr().out
    drawing = tmp_path / "line.svg"
    assert main(["draw", file, "1", "--year", "5", "--out", str(drawing)]) == 0
    assert "from year 4" in drawing.read_text(encoding="utf-8")


def test_the_report_of_a_year_holds_the_brief_of_that_year(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = write_brief(tmp_path, budget="900000 USD"), tmp_path / "report.html"
    assert main(["report", file, "--year", "4", "--layouts", "1", "--out", str(out)]) == 0
    assert "costed as if bought whole and new then" in capsys.readouterr().err
    text = out.read_text(encoding="utf-8")
    assert "Stepstone Drinks, from year 4" in text and "annual_cans: 3000000" in text
    assert "900000" not in text


@pytest.mark.parametrize("year", ["0", "51", "four"])
def test_a_year_that_cannot_be_is_refused(
    year: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["show", write_brief(tmp_path), "A", "--year", year])
    assert ended.value.code == 2
    assert "is not a year from 1 to 50" in capsys.readouterr().err


def test_a_year_beyond_the_horizon_says_which_there_are(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["show", write_brief(tmp_path), "A", "--year", "9"]) == 2
    said = capsys.readouterr().err
    assert "its horizon ends with year 8, and its phases begin in year 1 and 4" in said


STEPS: list[dict[str, Any]] = [
    {"year": 2, "volume": "150 %", "per_shift": 6, "site": {"ceiling": "20 ft"}},
    {"year": 4, "volume": "300 %", "hours_per_week": 60,
     "add_formats": [{"container": "can-473-standard", "share": "25 %"}]},
    {"year": 6, "add_formats": [{"container": "can-250-slim", "annual_cans": 120_000}]},
]  # fmt: skip


@pytest.mark.parametrize("year", [1, 2, 3, 4, 6, 8])
@pytest.mark.parametrize("speed", ["60 cpm", None])
def test_the_brief_of_a_year_reads_as_the_need_of_that_year(year: int, speed: str | None) -> None:
    """Read again, it settles to the same speeds, volumes, hours, people and site."""
    plain = brief_of(growth=STEPS, budget="900000 USD", speed=speed, staff={"per_shift": 5})
    if speed is None:
        del plain["speed"]
    text = yaml.safe_dump(plain, sort_keys=False)
    whole = Study(need_of_text(text, "brief", shipped()), shipped())
    wanted = study_of_year(whole, year).need
    again = need_of_text(brief_of_year(text, whole, year), "brief", shipped())
    assert again.brief.name == wanted.brief.name
    assert [(fmt.id, round(fmt.annual_cans)) for fmt in again.formats] == [
        (fmt.id, round(fmt.annual_cans)) for fmt in wanted.formats
    ]
    assert [fmt.needed_cpm for fmt in again.formats] == pytest.approx(
        [fmt.needed_cpm for fmt in wanted.formats]
    )
    for key in ("speed_cpm", "hours_per_week", "weeks_per_year", "horizon_years"):
        assert getattr(again, key) == pytest.approx(getattr(wanted, key)), key
    assert again.brief.staff.per_shift == wanted.brief.staff.per_shift
    assert float(again.brief.site.ceiling_mm) == float(wanted.brief.site.ceiling_mm)
    assert again.brief.budget is None and wanted.brief.budget is None
    assert again.phases == wanted.phases == ()


def test_scenarios_are_in_text_and_record() -> None:
    plan, answer = planned_scenarios()
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


def test_a_need_of_today_that_nothing_meets_is_told_as_todays() -> None:
    blocked = plan_growth(study(cans=90_000_000, later=95_000_000))
    assert isinstance(blocked, Blocked) and blocked.phase.year == 1
    assert blocked_text(blocked).startswith("No line meets today's need (90,000,000 cans a year)")


def test_a_line_that_stays_is_told_once_and_a_step_by_what_changes() -> None:
    """The titles of two lines may be the same: small machines are not in them."""
    plan = plan_growth(study(cans=600_000))
    assert isinstance(plan, GrowthPlan) and not plan.path.steps and plan.stepping is not None
    whole = growth_text(plan, None)
    table = whole.split("Beside it")[0]
    assert " ".join(table.split()).count(plan.phases[0].layout.title) == 1
    assert re.search(r"(?m)^4 .* 0$", table)
    before, after = plan.layouts_of(plan.stepping)
    assert f"{after.id}: {differences(plan.study, before, after)}" in " ".join(whole.split())


def test_the_command_answers_without_growth_too(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["grow", str(EXAMPLES / "startup.yaml")]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "no `growth:`" in out and re.search(r"It is the cheapest of \d+ lines", out)
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


# --- sentences and the record --------------------------------------------------------------------


def amount(text: str) -> float:
    """An amount as it is printed: `28k`, `1.23M`, `-118k`."""
    scale = {"k": 1e3, "M": 1e6}.get(text[-1], 1.0)
    return float(text.rstrip("kM").replace(",", "")) * scale


def near(text: str, value: float) -> bool:
    """Whether an amount as printed is that of the record, to the digits printed."""
    digit = {"k": 1e3, "M": 1e4}.get(text[-1], 1.0)
    return abs(amount(text) - value) <= 0.51 * digit


AMOUNT = r"[+-]?[\d.,]+[kM]?"


def stated(text: str, pattern: str) -> tuple[str, ...]:
    found = re.search(pattern, text)
    assert found is not None, pattern
    return found.groups()


def test_sentences_state_the_figures_of_the_record(plan: GrowthPlan) -> None:
    record, text = growth_record(plan, None), growth_text(plan, None)
    flat = " ".join(text.split())
    total, low, high = stated(
        flat,
        rf"cheapest path: ({AMOUNT}) in present value .*? \(({AMOUNT}) with all prices low, "
        rf"({AMOUNT}) with all high\)",
    )
    assert near(total, record["total"])
    assert near(low, record["at_other_prices"]["low"]["total"])
    assert near(high, record["at_other_prices"]["high"]["total"])
    for phase in record["phases"]:
        cans, spend = stated(
            text,
            rf"(?m)^{phase['year']}\s+{phase['layout']}\s+([\d,]+)\s+[\d,]+\s+\d+\s+({AMOUNT})$",
        )
        assert amount(cans) == phase["cans_per_year"] and near(spend, phase["spend"])
    step = record["phases"][1]
    (credit,) = stated(flat, rf"serves again in the [^:]+: ({AMOUNT}) credited")
    assert near(credit, step["credit"])
    (year,) = stated(flat, r"The step has paid for itself in year (\d+)")
    assert int(year) == int(step["pays_in_year"]) + 1
    final, against, first = stated(text, rf"bought now\s+({AMOUNT})\s+({AMOUNT})\s+({AMOUNT})\n")
    other = record["alternatives"]["final-now"]
    assert near(final, other["total"]) and near(first, other["first_cost"])
    assert near(against, other["total"] - record["total"])
    (each,) = stated(text, rf"least to buy, in each phase anew\s+({AMOUNT})\s")
    assert near(each, record["alternatives"]["cheapest-each-time"]["total"])
    (saving,) = stated(flat, rf"Growing in steps saves ({AMOUNT}) against")
    region = record["step_by_step"]
    assert near(saving, region["saving"])
    (rate,) = stated(flat, r"at discount rates above ([\d.]+)%")
    assert float(rate) == pytest.approx(100 * region["cheaper_at_rates"][0][0], abs=0.051)
    side, cans = stated(flat, r"today's volume is (below|above) ([\d,]+) cans a year")
    assert amount(cans) == region["even_at_cans_per_year"]
    assert (side == "below") == region["cheaper_below"]
    for kept in record["todays_purchase"]:
        if kept["serves_in"] is not None:
            paid, year, off = stated(
                flat, rf"({AMOUNT}) out in year (\d+), ({AMOUNT}) off the price"
            )
            assert near(paid, kept["paid"]) and near(off, kept["credit"])
            assert int(year) == kept["until_year"]


def test_another_figure_in_the_record_is_found_out(plan: GrowthPlan) -> None:
    """The comparison itself can fail."""
    record, text = growth_record(plan, None), growth_text(plan, None)
    (total,) = stated(text, rf"cheapest path: ({AMOUNT}) ")
    assert near(total, record["total"])
    assert not near(total, record["total"] * 1.01)


def test_what_is_said_of_scenarios_is_in_the_record() -> None:
    plan, answer = planned_scenarios()
    text, record = growth_text(plan, answer), growth_record(plan, answer)["scenarios"]
    rows = dict(re.findall(r"(?m)^(\S+-[0-9a-f]{6})\s+((?:[\d.]+[kM]? +){2}.*)$", text))
    told = {line["layout"]: line for line in record["first_lines"]}
    assert rows
    for layout, row in rows.items():
        line, figures = told[layout], row.split()
        expected = [*line["totals"], line["average"], line["regret"]]
        assert len(figures) == len(expected)
        assert all(near(a, b) for a, b in zip(figures, expected, strict=True))
    flat = " ".join(text.split())
    assert re.search(rf"(?i)least to regret: {record['least_regret']}", flat)
    assert re.search(rf"(?i)best on average[^:]*: {record['best_on_average']}", flat)
