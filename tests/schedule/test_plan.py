"""Schedules of whole lines: changeovers, hours, cycles, stock, contributions, change parts."""

from __future__ import annotations

import itertools
import json
import re
from pathlib import Path
from typing import Any

import pytest

from lineconfig.catalog import Changeover
from lineconfig.cli import main
from lineconfig.containers import Container
from lineconfig.findings.changeover import changeovers_of
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.change_parts import change_parts
from lineconfig.present.schedule import schedule_record, schedule_text, weeks_text
from lineconfig.schedule.changeovers import change_minutes
from lineconfig.schedule.plan import Schedule, schedule_of
from lineconfig.session import Study
from tests.growth.plans import shipped, write_brief
from tests.growth.plans import study as growing

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
STANDARD, TALL, SLEEK, SLIM = (
    "can-355-standard", "can-473-standard", "can-355-sleek", "can-250-slim",
)  # fmt: skip


def study(*containers: str, cans: int = 400_000, **changes: Any) -> Study:
    """A line for these formats; a format may be a whole entry."""
    entries = [
        {"container": can, "annual_cans": cans} if isinstance(can, str) else can
        for can in containers
    ]
    return growing(formats=entries, growth=[], existing=[], exclude=[], **changes)


def scheduled(*containers: Any, weeks: float | None = None, **changes: Any) -> Schedule:
    found = study(*containers, **changes)
    return schedule_of(found, found.best(1)[0], weeks)


def line(found: Study) -> Layout:
    return found.best(1)[0]


# --- changeovers -----------------------------------------------------------------------------


def test_people_share_the_work_and_the_longest_station_holds() -> None:
    """Added up again from the classes' own entries."""
    found = study(STANDARD, TALL, SLEEK, SLIM)
    layout, cans = line(found), found.inquiry.containers

    def alone(change: Changeover | None, one: Container, other: Container) -> float:
        if change is None:
            return 0.0
        if change.by is None:
            return float(change.minutes)
        by, parts = change.by, [change.by.any_min or 0.0]
        parts += [by.diameter_min or 0.0] * (one.diameter_mm != other.diameter_mm)
        parts += [by.height_min or 0.0] * (one.height_mm != other.height_mm)
        parts += [by.end_min or 0.0] * (one.end != other.end)
        return min(float(change.minutes), float(sum(parts)))

    for one, other in itertools.permutations(cans, 2):
        changes = [station.option.equipment.changeover for station in layout.stations]
        each = [alone(change, one, other) for change in changes]
        work = sum(m * c.persons for m, c in zip(each, changes, strict=True) if c)
        minutes = change_minutes(layout, one, other)
        assert minutes == pytest.approx(max(*each, work / layout.crew.people))


def test_the_assessment_of_a_layout_states_the_same_minutes() -> None:
    found = study(STANDARD, TALL, SLEEK)
    layout = line(found)
    schedule = schedule_of(found, layout)
    place = {can.id: number for number, can in enumerate(found.inquiry.containers)}
    for pair in changeovers_of(found.inquiry, layout):
        assert schedule.minutes[place[pair.before]][place[pair.after]] == pair.minutes


def test_formats_of_one_diameter_run_next_to_each_other() -> None:
    schedule = scheduled(STANDARD, SLEEK, TALL, "can-330-sleek")
    order = [campaign.format.id for campaign in schedule.campaigns]
    assert abs(order.index(STANDARD) - order.index(TALL)) in (1, 3)
    assert abs(order.index(SLEEK) - order.index("can-330-sleek")) in (1, 3)


# --- hours and cycles ------------------------------------------------------------------------


def test_the_hours_of_a_week_add_up() -> None:
    operation = {"hours_per_week": 40, "weeks_per_year": 50, "changeovers_per_week": 3}
    schedule = scheduled(STANDARD, TALL, SLEEK, operation=operation)
    assert schedule.cycle_weeks == 1 and schedule.cycle_reason == "brief"
    layout = schedule.layout
    assert schedule.run_hours == pytest.approx(layout.money.run_hours / 50)
    assert schedule.changeover_hours == pytest.approx(
        sum(campaign.change_min for campaign in schedule.campaigns) / 60
    )
    assert schedule.run_hours == pytest.approx(sum(c.hours for c in schedule.campaigns))
    total = schedule.run_hours + schedule.changeover_hours + schedule.spare_hours
    assert total == pytest.approx(40)


def test_twice_as_long_a_round_halves_the_changeovers_and_doubles_the_stock() -> None:
    short, long = (scheduled(STANDARD, TALL, weeks=weeks) for weeks in (2.0, 4.0))
    assert short.cycle_reason == "asked"
    assert long.changeover_hours == pytest.approx(short.changeover_hours / 2)
    for one, other in zip(short.campaigns, long.campaigns, strict=True):
        assert other.stock_cans == pytest.approx(2 * one.stock_cans)
        assert other.cans == pytest.approx(2 * one.cans)


def test_stock_follows_from_what_is_sold_while_it_is_made() -> None:
    """Average stock of a lot that is made at p and sold at d: Q (1 - d/p) / 2 (any textbook)."""
    schedule = scheduled(STANDARD, TALL, weeks=4.0)
    for campaign in schedule.campaigns:
        yearly_hours = campaign.hours * 50 / 4
        busy = yearly_hours / 2000
        assert campaign.stock_cans == pytest.approx(campaign.cans * (1 - busy) / 2)


def test_no_handy_cycle_is_cheaper_than_the_one_chosen() -> None:
    schedule = scheduled(STANDARD, TALL, SLEEK)
    assert schedule.cycle_reason == "cheapest"
    for weeks in (0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 13.0):
        other = schedule_of(schedule.study, schedule.layout, weeks)
        assert schedule.yearly_cost <= other.yearly_cost + 1e-9
    assert schedule.common is not None
    assert schedule.least_cost <= schedule.common.yearly_cost <= schedule.yearly_cost


def test_too_few_hours_are_said_and_the_shortest_round_that_suffices() -> None:
    operation = {"hours_per_week": 40, "weeks_per_year": 50, "changeovers_per_week": 1}
    free = scheduled(STANDARD, TALL, SLEEK, cans=1_400_000, operation=operation)
    tight = schedule_of(free.study, free.layout, 0.01)
    assert tight.spare_hours < 0
    assert tight.shortest_weeks is not None
    enough = schedule_of(free.study, free.layout, tight.shortest_weeks)
    assert enough.spare_hours == pytest.approx(0, abs=1e-9)
    assert "are lacking" in schedule_text(tight)


def test_one_format_has_no_changes_and_no_stock_from_rounds() -> None:
    schedule = scheduled(STANDARD)
    assert schedule.changeover_hours == 0 and schedule.common is None
    assert schedule.campaigns[0].stock_cans == 0
    assert "nothing to change over" in schedule_text(schedule)


@pytest.mark.parametrize("weeks", [0.0, -1.0, float("nan"), float("inf")])
def test_an_impossible_cycle_is_refused(weeks: float) -> None:
    found = study(STANDARD)
    with pytest.raises(ValueError, match="cycle_weeks"):
        schedule_of(found, line(found), weeks)


# --- contributions ---------------------------------------------------------------------------


def with_margins(*margins: int | None) -> Schedule:
    containers = (STANDARD, TALL, SLIM)
    entries = [
        {"container": can, "annual_cans": 400_000 if can != SLIM else 20_000}
        | ({} if margin is None else {"margin_per_1000": f"{margin} USD"})
        for can, margin in zip(containers, margins, strict=True)
    ]
    return scheduled(*entries)


def test_a_small_format_with_its_own_parts_and_changes_is_not_worth_carrying() -> None:
    schedule = with_margins(400, 400, 20)
    assert [item.format.id for item in schedule.not_worth_carrying] == [SLIM]
    poorest = schedule.contributions[0]
    assert poorest.changing > 0 and poorest.parts > 0
    assert "not worth carrying" in schedule_text(schedule)
    generous = with_margins(400, 400, 2000)
    assert generous.not_worth_carrying == ()


def test_without_margins_nothing_is_said_of_worth() -> None:
    schedule = with_margins(None, None, None)
    assert schedule.contributions == ()
    assert "brings in" not in schedule_text(schedule)
    assert [c.format.id for c in with_margins(None, 100, None).contributions] == [TALL]


def test_a_format_is_charged_the_changes_that_go_with_it() -> None:
    """Dropping the format saves the difference of two whole schedules."""
    schedule = with_margins(400, 400, 20)
    (slim,) = [item for item in schedule.contributions if item.format.id == SLIM]
    kept = [0, 1]
    direct = schedule.minutes[0][1] + schedule.minutes[1][0]
    assert kept == [place for place, fmt in enumerate(schedule.study.need.formats)
                    if fmt.id != SLIM]  # fmt: skip
    saved_h = (schedule.cycle.minutes - direct) / 60 * 50 / schedule.cycle_weeks
    rate = schedule.layout.crew.people * schedule.study.need.wage_per_h
    assert slim.changing == pytest.approx(saved_h * rate)


# --- change parts ----------------------------------------------------------------------------


def test_change_parts_are_those_that_the_layout_buys() -> None:
    found = study(STANDARD, TALL, SLEEK, SLIM)
    layout = line(found)
    listed = change_parts(found, layout)
    for station in layout.stations:
        ours = [need for need in listed if need.class_id == station.option.id]
        sets = [need for need in ours if need.part != "Track"]
        bought = sum(need.price.typical for need in sets)
        assert bought == pytest.approx(sum(part.price.typical for part in station.parts))
        for part in station.parts:
            serves = [need.serves for need in sets if need.part == part.part]
            assert serves == list(part.serves)
            to_buy = [need for need in sets if need.part == part.part and not need.included]
            assert len(to_buy) == part.count


def test_every_format_finds_its_parts_and_shared_ones_name_their_formats() -> None:
    found = study(STANDARD, TALL, SLEEK)
    listed = change_parts(found, line(found))
    by_part: dict[tuple[str, str], list[str]] = {}
    for need in listed:
        by_part.setdefault((need.class_id, need.part), []).extend(need.formats)
        assert need.shared == (len(need.formats) > 1)
        assert need.lead_time_weeks is not None and need.lead_time_weeks > 0
        assert need.basis
    for formats in by_part.values():
        assert sorted(formats) == sorted({STANDARD, TALL, SLEEK})
    shared = [need for need in listed if set(need.formats) == {STANDARD, TALL}]
    assert shared and all("mm" in need.serves for need in shared)


# --- shown -----------------------------------------------------------------------------------


def test_the_text_fits_80_columns() -> None:
    for schedule in (scheduled(STANDARD), with_margins(400, 400, 20), scheduled(*(
        STANDARD, TALL, SLEEK, SLIM, "can-330-sleek", "can-568-standard"))):  # fmt: skip
        assert max(map(len, schedule_text(schedule).splitlines())) <= 80


def test_the_record_has_the_contracts_keys_and_is_plain_data() -> None:
    schedule = with_margins(400, 400, 20)
    record = json.loads(json.dumps(schedule_record(schedule), allow_nan=False))
    assert {"order", "changeover_hours", "run_hours", "available_hours", "spare_hours"} <= set(
        record
    )
    assert sorted(record["order"]) == sorted([STANDARD, TALL, SLIM])
    hours = [record[key] for key in ("run_hours", "changeover_hours", "spare_hours")]
    assert sum(hours) == pytest.approx(record["available_hours"], abs=1e-3)


FIGURE = r"-?[\d,]*\d(?:\.\d+)?"


def number(text: str) -> float:
    return float(text.replace(",", ""))


def test_sentences_state_the_figures_of_the_record() -> None:
    schedule = with_margins(400, 400, 20)
    record, text = schedule_record(schedule), schedule_text(schedule)
    flat = " ".join(text.split())

    def stated(pattern: str) -> list[float]:
        found = re.search(pattern, flat)
        assert found is not None, pattern
        return [number(each) for each in found.groups()]

    assert stated(rf"A round has ({FIGURE}) min of changing over; no order takes less") == [
        round(record["round_min"])
    ]
    assert record["order_is_exact"]
    for words, key in (
        ("running, starting and cleaning", "run_hours"), ("changing over", "changeover_hours"),
        ("there are", "available_hours"), ("spare", "spare_hours"),
    ):  # fmt: skip
        assert stated(rf" {words} ({FIGURE})")[0] == pytest.approx(record[key], abs=0.051)
    lots = record["lots"]
    now, weeks, cheapest, least = stated(
        rf"Its changes and the stock between them cost ({FIGURE}) USD a year\. The cheapest round "
        rf"would take ({FIGURE}) weeks, at ({FIGURE}) a year\. With each format at its own best "
        rf"interval instead of one round for all, it would not fall below ({FIGURE})\."
    )
    assert weeks == pytest.approx(lots["cheapest_weeks"], abs=0.0051)
    assert cheapest == round(lots["cheapest_cost_per_year"])
    assert now == round(lots["cost_per_year"]) and least == round(lots["least_cost_per_year"])
    (poorest,) = [
        item for item in record["contributions"] if item["format"] in record["not_worth_carrying"]
    ]
    assert stated(rf"it costs ({FIGURE}) USD a year more than it brings in") == [
        -round(poorest["contribution"])
    ]
    parts = ("running", "changing", "stock", "parts")
    for item in record["contributions"]:
        costs = sum(item[key] for key in parts)
        assert item["contribution"] == pytest.approx(item["margin"] - costs, abs=0.03)
    bought = sum(part["price"]["typical"] for part in record["change_parts"])
    longest = max(p["lead_time_weeks"] for p in record["change_parts"] if not p["included"])
    assert stated(
        rf"To buy: ({FIGURE}) USD at typical prices; .* slowest takes ({FIGURE}) weeks\."
    ) == [round(bought), longest]
    for campaign in record["campaigns"]:
        name = shipped().containers[campaign["format"]].name
        minutes, cans, hours = stated(
            rf"{re.escape(name)} ({FIGURE}) min ({FIGURE}) ({FIGURE}) {FIGURE} {FIGURE}"
        )
        assert (minutes, cans) == (round(campaign["change_min"]), campaign["cans"])
        assert hours == pytest.approx(campaign["hours"], abs=0.051)


def test_the_command_prints_text_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    brief = str(EXAMPLES / "startup.yaml")
    assert main(["schedule", brief]) == 0
    assert "Hours a week" in capsys.readouterr().out
    assert main(["schedule", brief, "A", "--cycle", "2", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["cycle_weeks"] == 2 and record["order"] == ["can-330-standard"]


def test_the_command_refuses_what_is_no_cycle(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["schedule", str(EXAMPLES / "startup.yaml"), "--cycle", "soon"])
    assert caught.value.code == 2
    assert "not a number of weeks" in capsys.readouterr().err


def test_the_command_explains_where_nothing_fits(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = write_brief(tmp_path, growth=[], site={"ceiling": "6 ft"})
    assert main(["schedule", file]) == 1
    assert "No layout fits" in capsys.readouterr().out
    assert main(["schedule", file, "--json"]) == 1
    record = json.loads(capsys.readouterr().out)
    assert record["order"] == [] and record["spare_hours"] is None
    assert record["no_layout"]["conflict"]


def test_lengths_of_time_read_as_people_say_them() -> None:
    assert [weeks_text(weeks) for weeks in (1 / 7, 0.5, 1.0, 2.0, 2.5)] == [
        "a day", "3.5 days", "a week", "2 weeks", "2.5 weeks",
    ]  # fmt: skip


def test_one_format_has_neither_changes_nor_stock_between_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["schedule", str(examples_dir() / "startup.yaml")]) == 0
    text = capsys.readouterr().out
    assert "One format, so nothing to change over; in a week" in text
    assert re.search(r"(?m)^1  330 ml standard can +- +[\d,]+ +[\d.]+ +\d+ +-$", text)
    assert "A change costs" not in text and "Stock costs" not in text
