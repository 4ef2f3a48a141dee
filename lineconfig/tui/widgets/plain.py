"""What ordinary widgets draw with signs, drawn with plain letters."""

from __future__ import annotations

from typing import ClassVar

from textual.scrollbar import ScrollBarRender


class PlainScrollBarRender(ScrollBarRender):
    """A scroll bar of blanks and colours, without the eighths of a block at its ends."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "] * 8
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "] * 8
    BLANK_GLYPH: ClassVar[str] = " "
