"""Puts text into a widget, and lets the screen be laid out again only where lines may move."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


def say(static: Static, text: str, room: int = 0) -> None:
    """Show a text: nothing is done where it stands there already.

    A screen full of fields takes a tenth of a second to lay out, so a text that takes as many lines
    as the one before it, or that stands in lines of a fixed number, is only painted; so is one that
    takes no more lines than stand free for it (`room`).
    """
    before = str(static.content)
    if before == text:
        return
    moves = _grows(static) and len({max(room, _lines(static, each)) for each in (before, text)}) > 1
    static.update(Content(text), layout=moves)


def _grows(static: Static) -> bool:
    height = static.styles.height
    return height is None or height.is_auto


def _lines(static: Static, text: str) -> int:
    """How many lines a text takes in the width of the widget."""
    return Content(text).get_height({}, max(1, static.size.width)) if text else 0
