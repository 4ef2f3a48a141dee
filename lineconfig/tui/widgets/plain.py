"""What ordinary widgets draw with signs and colours, without them."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.filter import LineFilter
from textual.scrollbar import ScrollBarRender

STANDS_OUT = 0.2
"""How much lighter or darker than the page a background is that says something."""


class PlainScrollBarRender(ScrollBarRender):
    """A scroll bar of blanks and colours, without the eighths of a block at its ends."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "] * 8
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "] * 8
    BLANK_GLYPH: ClassVar[str] = " "


class Colourless(LineFilter):
    """No colour and no grey: what has a background that stands out is shown reversed."""

    def __init__(self, page: Callable[[], Color]) -> None:
        super().__init__()
        self.page = page
        """The background of the page as it is now."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same text without its colours."""
        page = self.page().brightness
        return [
            Segment(text, style and _plain(style, page), control)
            for text, style, control in segments
        ]


@lru_cache(1024)
def _plain(style: Style, page: float) -> Style:
    ground = style.bgcolor
    apart = 0.0 if ground is None else abs(Color.from_rich_color(ground).brightness - page)
    reverse = (apart > STANDS_OUT) != bool(style.reverse)
    return style.without_color + Style(reverse=reverse)
