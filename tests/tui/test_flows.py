"""Each way through the UI, by keys and by mouse."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import OptionList

from lineconfig.tui.screens.layout import LayoutScreen
from lineconfig.tui.screens.questionnaire import QuestionScreen
from lineconfig.tui.screens.workbench import WorkbenchScreen
from tests.tui.seen import app_for, draft_of, screen_text, settled


async def test_from_the_questions_to_a_layout_by_enter_alone(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        assert isinstance(app.screen, QuestionScreen)
        for _ in app.form.questions:
            await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, WorkbenchScreen)
        assert "kinds fit" in screen_text(app)
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, LayoutScreen)
        assert "infeed" in screen_text(app) or "in mm" in screen_text(app)


async def test_a_change_is_solved_at_once_and_told(tmp_path: Path) -> None:
    app = app_for(draft_of("growing-brewery"), tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settled(pilot)
        before = screen_text(app)
        ceiling = app.screen.query_one("#row-site-ceiling Entry")
        ceiling.focus()
        await pilot.press(*"9 ft", "enter")
        await settled(pilot)
        shown = screen_text(app)
        assert "Ceiling: 16 ft -> 9 ft" in shown and "gone (was" in shown
        assert shown != before


async def test_an_opening_is_applied_with_one_key(tmp_path: Path) -> None:
    draft = draft_of("growing-brewery")
    draft.put(("staff", "per_shift"), 1)
    app = app_for(draft, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "No layout fits." in screen_text(app)
        assert app.screen.query_one("#openings", OptionList).option_count
        await pilot.press("1")
        await settled(pilot)
        assert "fit, lowest" in screen_text(app) or "fits, lowest" in screen_text(app)
        assert app.draft.value(("staff", "per_shift")) > 1
