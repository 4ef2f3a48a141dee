"""Pages of a layout that take their time."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from lineconfig.explain import ClassAnswer, why_class
from lineconfig.layout import Layout
from lineconfig.session import Study
from lineconfig.tui import sheets
from lineconfig.tui.screens.layout import LayoutScreen
from lineconfig.tui.widgets.sheet import Sheet
from tests.tui.seen import app_for, catalog, settled, small_draft

LAYOUT_ID = re.compile(r"[a-z]+(-[a-z]+)*-[0-9a-f]{6}\b")


async def test_the_why_page_calls_things_by_name_and_follows_the_width_without_solving_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def counted(study: Study, class_id: str, shown: list[Layout]) -> ClassAnswer:
        asked.append(class_id)
        return why_class(study, class_id, shown)

    monkeypatch.setattr(sheets, "why_class", counted)
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settled(pilot)
        await pilot.press("down", "enter")  # not the first: it is set against that
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, LayoutScreen)
        await pilot.press(str([page.id for page in screen.pages].index("why") + 1))
        await settled(pilot)
        sheet = screen.query_one("#sheet-why", Sheet)
        text = "\n".join(row.text for row in sheet.rows)
        classes = catalog().classes
        for class_id, equipment in classes.items():
            if class_id not in screen.layout_shown.classes and equipment.function != "convey":
                assert equipment.name in text, class_id
        assert not LAYOUT_ID.search(text), LAYOUT_ID.search(text)
        assert "this one" in text and "in the first layout" in text
        for class_id in (name for name in classes if "-" in name):  # the others are words
            assert not re.search(rf"(?<![\w-]){class_id}(?![\w-])", text), class_id
        once = len(asked)
        assert once == len(set(asked))
        for size in ((80, 24), (200, 60)):
            await pilot.resize_terminal(*size)
            await settled(pilot)
            lines = [line for row in sheet.rows for line in row.fitted(screen.width).split("\n")]
            assert max(map(len, lines)) <= size[0] - 4
            shown = str(sheet.get_option_at_index(len(sheet.rows) - 1).prompt)
            assert shown == sheet.rows[-1].fitted(screen.width)
        assert len(asked) == once
