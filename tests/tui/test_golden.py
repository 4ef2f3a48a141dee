"""The main screens as text at three sizes, beside what they looked like before.

Figures of a line are masked: they belong to the catalogue and to the search, which have tests of
their own. After a change that is meant, `LINECONFIG_GOLDEN=write pytest tests/tui/test_golden.py`
writes the files anew; the difference is read in review.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from lineconfig.tui.app import LineconfigApp
from tests.tui.seen import app_for, screen_lines, settled, small_draft

GOLDEN = Path(__file__).parent / "golden"
LOOKS = 1_000
"""Looks, a twentieth of a second apart, before a screen counts as different."""
SIZES = ((80, 24), (120, 40), (200, 60))


async def compare_at_every_size(
    pilot: Pilot[Any], app: LineconfigApp, name: str, *, mask: bool = False
) -> None:
    """Look at one screen at each size."""
    for width, height in SIZES:
        await pilot.resize_terminal(width, height)
        await settled(pilot)
        file = GOLDEN / f"{name}-{width}x{height}.txt"
        if os.environ.get("LINECONFIG_GOLDEN") == "write":
            await pilot.pause(2)
            file.parent.mkdir(exist_ok=True)
            file.write_text(shown(app, mask), encoding="utf-8", newline="\n")
        wanted = file.read_text(encoding="utf-8")
        for _ in range(LOOKS):  # a busy machine paints late
            if shown(app, mask) == wanted:
                break
            await pilot.pause(0.05)
        assert shown(app, mask) == wanted, f"{file.name} looks otherwise now"


def shown(app: LineconfigApp, mask: bool) -> str:
    """The screen as it stands in a file."""
    text = "\n".join(screen_lines(app)) + "\n"
    return re.sub(r"\d", "0", text) if mask else text


async def test_the_questions(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await compare_at_every_size(pilot, app, "question")
        await pilot.press("tab", "tab")
        await compare_at_every_size(pilot, app, "containers")
        await pilot.press("f1")
        await compare_at_every_size(pilot, app, "help")


async def test_the_workbench_and_a_layout(tmp_path: Path) -> None:
    draft = small_draft()
    draft.put(("require",), [*draft.value(("require",)), "hand-loading-shelf"])
    draft.kept = draft.text
    app = app_for(draft, tmp_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await settled(pilot)
        await compare_at_every_size(pilot, app, "workbench", mask=True)
        await pilot.press("enter")
        await settled(pilot)
        await compare_at_every_size(pilot, app, "layout-flow", mask=True)
        await pilot.press("4")
        await compare_at_every_size(pilot, app, "layout-money", mask=True)


def test_the_reader_of_screens_sees_every_cell() -> None:
    """`screen_lines` against a screen whose text is known."""
    from textual.app import App, ComposeResult
    from textual.widgets import Static

    class Known(App[None]):
        def compose(self) -> ComposeResult:
            yield Static("ab  cd\n   é│x\n\nlast")

    async def look() -> list[str]:
        app = Known()
        async with app.run_test(size=(20, 5)) as pilot:
            await pilot.pause()
            return screen_lines(app)  # type: ignore[arg-type]

    import asyncio

    assert asyncio.run(look()) == ["ab  cd", "   é│x", "", "last", ""]


@pytest.mark.parametrize("file", sorted(GOLDEN.glob("*.txt")), ids=lambda file: file.name)
def test_the_files_are_those_of_the_sizes(file: Path) -> None:
    width, height = map(int, file.stem.rpartition("-")[2].split("x"))
    assert (width, height) in SIZES
    assert len(file.read_text(encoding="utf-8").splitlines()) == height
