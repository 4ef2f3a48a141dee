"""What a closed screen leaves behind."""

from __future__ import annotations

import gc
from pathlib import Path

from textual.strip import Strip

from lineconfig.tui.screens.layout import LayoutScreen
from tests.tui.seen import app_for, settled, small_draft


def painted_lines() -> int:
    gc.collect()
    return sum(isinstance(each, Strip) for each in gc.get_objects())


async def test_closed_screens_take_their_painted_lines_with_them(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settled(pilot)

        async def look_at_a_layout() -> None:
            await pilot.press("enter")
            await settled(pilot)
            assert isinstance(app.screen, LayoutScreen)
            for page in "234":
                await pilot.press(page)
                await settled(pilot)
            await pilot.press("escape")
            await settled(pilot)

        for _ in range(2):
            await look_at_a_layout()
        before = painted_lines()
        for _ in range(4):
            await look_at_a_layout()
        assert painted_lines() - before < 100  # one layout paints several hundred
