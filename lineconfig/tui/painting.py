"""What Textual remembers of painted lines, kept to the screens that are open."""

from __future__ import annotations

from typing import Any

from textual._styles_cache import StylesCache


def let_go_of_closed_screens() -> None:
    """Let the lines of closed screens go with them.

    Textual remembers the two grounds of a widget under the widget's own store of painted lines, and
    so keeps the lines of a thousand closed widgets: tens of megabytes. The grounds follow from the
    colours alone, and are remembered under these.
    """
    grounds: Any = vars(StylesCache).get("get_inner_outer")
    if hasattr(grounds, "cache_clear"):
        setattr(StylesCache, "get_inner_outer", classmethod(grounds))  # noqa: B010
