"""The main screens as text at three sizes, beside what they looked like before.

Figures of a line are masked: they belong to the catalogue and to the search, which have tests of
their own. After a change that is meant, `LINECONFIG_GOLDEN=write pytest tests/tui/test_golden.py`
writes the files anew, and the pictures of screens that README shows; the difference is read in
review.
"""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from lineconfig.tui.app import LineconfigApp
from tests.tui.seen import (
    EXAMPLES,
    app_for,
    draft_of,
    lines_of_svg,
    screen_lines,
    settled,
    small_draft,
)

GOLDEN = Path(__file__).parent / "golden"
PICTURES = EXAMPLES / "pictures"
WRITING = os.environ.get("LINECONFIG_GOLDEN") == "write"
DRAWING = "Plan, one column"
"""How a drawing begins; drawings have tests of their own."""
BAR = re.compile("█+")
"""A bar is as long as its figure."""
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
        if WRITING:
            await pilot.pause(2)
            file.parent.mkdir(exist_ok=True)
            file.write_text(shown(app, mask), encoding="utf-8", newline="\n")
        wanted = file.read_text(encoding="utf-8")
        await looks_like(pilot, app, wanted.splitlines(), file.name, mask=mask)


async def looks_like(
    pilot: Pilot[Any], app: LineconfigApp, wanted: list[str], what: str, *, mask: bool = False
) -> None:
    """Wait until the screen is as it is wanted: a busy machine paints late."""
    for _ in range(LOOKS):
        if shown(app, mask).splitlines() == wanted:
            return
        await pilot.pause(0.05)
    assert shown(app, mask).splitlines() == wanted, f"{what} looks otherwise now"


def picture_of(app: LineconfigApp) -> str:
    """The screen as a picture that fetches no letters from elsewhere."""
    return re.sub(r',?\s*url\("https?://[^"]*"\) format\("[^"]*"\)', "", app.export_screenshot())


@pytest.mark.skipif(not WRITING, reason="writes README's pictures")
async def test_pictures_for_readme(tmp_path: Path) -> None:
    app = app_for(draft_of("growing-brewery"), tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settled(pilot)
        await pilot.pause(1)
        (PICTURES / "workbench.svg").write_text(picture_of(app), encoding="utf-8", newline="\n")
        await pilot.press("enter", "2")
        await settled(pilot)
        await pilot.pause(1)
        (PICTURES / "layout.svg").write_text(picture_of(app), encoding="utf-8", newline="\n")


@pytest.mark.parametrize("name", ["questions", "workbench", "layout"])
def test_readmes_pictures_fetch_nothing(name: str) -> None:
    svg = (PICTURES / f"{name}.svg").read_text(encoding="utf-8")
    assert not re.search(r"url\(.?http|href=|<image|<script", svg)


def shown(app: LineconfigApp, mask: bool) -> str:
    """The screen as it stands in a file; masked, without figures, bars and the drawing."""
    lines = screen_lines(app)
    if mask:
        start = next((row for row, line in enumerate(lines) if DRAWING in line), len(lines))
        if start < len(lines):
            column = lines[start].index(DRAWING)
            lines = [*lines[:start], *(line[:column].rstrip() for line in lines[start:])]
        lines = [BAR.sub(lambda bar: "█".ljust(len(bar[0])), line).rstrip() for line in lines]
    text = "\n".join(lines) + "\n"
    return re.sub(r"\d", "0", text) if mask else text


async def test_the_questions(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        await compare_at_every_size(pilot, app, "question")
        await pilot.press("tab", "tab")
        await compare_at_every_size(pilot, app, "containers")
        await pilot.resize_terminal(110, 34)
        await settled(pilot)
        picture = PICTURES / "questions.svg"
        if WRITING:
            picture.write_text(picture_of(app), encoding="utf-8", newline="\n")
        wanted = lines_of_svg(picture.read_text(encoding="utf-8"), 34)
        await looks_like(pilot, app, wanted, "README's picture of the questions")
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
