"""What a screen shows, as text, and helpers that wait for the solver."""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.tui.app import LineconfigApp
from lineconfig.tui.draft import Draft
from lineconfig.tui.keeping import Keeper

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
PATIENCE = 5_000
"""Looks at the workers, a few hundredths of a second apart, before a test gives up."""
CELL_WIDTH, LINE_HEIGHT = 12.2, 24.4
"""The grid of the SVG that Textual exports."""
_TEXT = re.compile(
    r'<text [^>]*x="([\d.]+)" y="([\d.]+)"[^>]*clip-path="[^"]*line-(\d+)\)"[^>]*>([^<]*)'
)


@cache
def catalog() -> Catalog:
    return load_catalog()


def draft_of(name: str) -> Draft:
    """A draft of a shipped example, without a file behind it."""
    return Draft((EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8"))


SETTLED = [
    "water-rinse", "inline-4-6-head", "no-doser", "hand-wipe", "sample-weighing", "printed-cans",
    "no-pasteurizer", "case-only-thermal-ink-jet", "no-accumulation", "press-on-carriers",
    "hand-palletizing", "hand-stretch-wrap",
]  # fmt: skip
"""Classes of a small line: with them insisted on, a few kinds are left, and solved at once."""


def small_draft() -> Draft:
    """The start-up's brief with all but the empties side settled."""
    draft = draft_of("startup")
    draft.put(("require",), SETTLED)
    draft.kept = draft.text
    return draft


def app_for(draft: Draft | None, state: Path, **more: Any) -> LineconfigApp:
    """The application with the catalogue at hand and a state folder of its own."""
    more.setdefault("ascii_only", False)
    return LineconfigApp(draft, catalog=catalog(), keeper=Keeper(state), **more)


def screen_lines(app: LineconfigApp) -> list[str]:
    """The screen as lines of text, out of the SVG that Textual exports."""
    return lines_of_svg(app.export_screenshot(), app.size.height)


def lines_of_svg(svg: str, height: int) -> list[str]:
    """The lines of text in a picture of a screen."""
    rows: dict[int, list[tuple[int, str]]] = {}
    for x, _, line, text in _TEXT.findall(svg):
        column = round(float(x) / CELL_WIDTH)
        plain = html.unescape(text).replace("\N{NO-BREAK SPACE}", " ")
        rows.setdefault(int(line), []).append((column, plain))
    lines = []
    for number in range(height):
        shown = ""
        for column, text in sorted(rows.get(number, [])):
            shown = shown.ljust(column) + text
        lines.append(shown.rstrip())
    return lines


def screen_text(app: LineconfigApp) -> str:
    """The screen as one text."""
    return "\n".join(screen_lines(app))


async def settled(pilot: Pilot[Any]) -> None:
    """Wait until nothing is being solved, and what it says is on the screen."""
    for _ in range(PATIENCE):
        await pilot.pause()
        busy = [worker for worker in pilot.app.workers if not worker.is_finished]
        if not busy:
            break
        await pilot.pause(0.02)
    else:
        raise AssertionError(f"still at work: {busy}")
    await pilot.pause()
    await pilot.pause()
