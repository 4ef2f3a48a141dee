"""What broad and high screens show beside what small ones have."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import OptionList, Static

from lineconfig.changes import arrangement_name
from lineconfig.session import Study
from lineconfig.tui.draft import Draft
from lineconfig.tui.glyphs import PLAIN
from lineconfig.tui.rows import cost_chart
from lineconfig.tui.screens.questionnaire import QuestionScreen
from lineconfig.tui.screens.whatif import WhatIfScreen
from tests.tui.seen import app_for, catalog, screen_lines, screen_text, settled, small_draft

BROAD, MIDDLE, SMALL = (200, 60), (120, 40), (80, 24)


def first_kind(text: str) -> str:
    study = Study(Draft(text).need(catalog()), catalog())
    return arrangement_name(study, study.best(1)[0])


async def test_a_broad_screen_shows_beside_a_question_what_the_answers_lead_to(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    app.asked_for = False
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        assert isinstance(app.screen, QuestionScreen)
        assert not app.screen.looked_through  # nothing is worked out that nobody sees
        await pilot.resize_terminal(*BROAD)
        await settled(pilot)
        assert "With these answers, first comes" in screen_text(app)
        assert first_kind(app.draft.text) in screen_text(app)
        while app.screen.field.key != "site.ceiling":
            await pilot.press("tab")
        await pilot.press("6", "space", "f", "t")
        await settled(pilot)
        assert app.draft.value(("site", "ceiling")) == "6 ft"
        assert "No line fits these answers" in screen_text(app)
        await pilot.press("backspace", "backspace", "backspace", "backspace", "space")
        await settled(pilot)  # cannot be read: the brief stays, and so does what it leads to
        assert "No line fits these answers" in screen_text(app)


async def test_what_if_draws_costs_where_there_is_height_and_the_line_where_there_is_width(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        app.push_screen(WhatIfScreen("site.ceiling"))
        await settled(pilot)
        assert isinstance(app.screen, WhatIfScreen)
        legend = "to run over its life"
        assert legend not in screen_text(app)
        await pilot.resize_terminal(*MIDDLE)
        await settled(pilot)
        assert legend in screen_text(app) and "filler infeed" not in screen_text(app)
        await pilot.resize_terminal(*BROAD)
        await settled(pilot)
        assert legend in screen_text(app) and "filler infeed" in screen_text(app)
        steps = app.screen.query_one("#steps", OptionList)
        beside = app.screen.query_one("#step-text", Static)
        seen = set()
        for place in range(steps.option_count):
            steps.highlighted = place
            await pilot.pause()
            point = app.screen.told[place].point
            seen.add(point.layout is None)
            assert bool(str(beside.content)) == (point.layout is not None)
            if point.layout is not None:
                assert str(beside.content).startswith(f"{app.screen.texts[place]}: ")
        assert seen == {True, False}
        assert max(map(len, screen_lines(app))) <= BROAD[0]


def test_columns_are_as_high_as_their_costs() -> None:
    costs = [(100e3, 200e3), None, (50e3, 400e3), (400e3, 400e3)]
    lines = cost_chart(costs, ["a", "b", "c", "d"], 48, 19, PLAIN)
    chart = lines[1:-1]
    columns = [
        [line.ljust(48)[start : start + 12].strip() for line in chart] for start in range(0, 48, 12)
    ]
    bought = [sum(cell[:1] == PLAIN.full for cell in column) for column in columns]
    run = [sum(cell[:1] == PLAIN.dot for cell in column) for column in columns]
    # Sixteen lines stand for 400 thousand.
    assert bought == [4, 0, 2, 16] and run == [4, 0, 14, 0]
    assert [any("400k" in cell for cell in column) for column in columns] == [
        False, False, True, True,
    ]  # fmt: skip
    assert lines[-1].split() == ["a", "b", "c", "d"]
