"""Puts text into a widget, and lets the screen be laid out again only where lines may move."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


def say(static: Static, text: str) -> None:
    """Show a text: nothing is done where it stands there already.

    A screen full of fields takes a tenth of a second to lay out, so a text that takes one line like
    the one before it is only painted.
    """
    before = str(static.content)
    if before == text:
        return
    width = static.size.width
    one_line = all(len(each) <= width and each and "\n" not in each for each in (before, text))
    static.update(Content(text), layout=not one_line)
