"""Keeps a day's work in bounded memory: lets go of what libraries and earlier answers remember."""

from __future__ import annotations

from typing import Any

from textual._styles_cache import StylesCache

ROOMS_TRIED = 100
"""Lines tried in rooms that are worth remembering from one edit to the next."""


def let_go_of_closed_screens() -> None:
    """Let the lines of closed screens go with them.

    Textual remembers the two grounds of a widget under the widget's own store of painted lines, and
    so keeps the lines of a thousand closed widgets: tens of megabytes. The grounds follow from the
    colours alone, and are remembered under these.
    """
    grounds: Any = vars(StylesCache).get("get_inner_outer")
    if hasattr(grounds, "cache_clear"):
        setattr(StylesCache, "get_inner_outer", classmethod(grounds))  # noqa: B010


def let_go_of_rooms(most: int = ROOMS_TRIED) -> None:
    """Forget how lines stood in rooms, where that has become more than `most`.

    Each is small, but they lie scattered in what a search has used, and keep that from being given
    back: a hundred megabytes after a page that solves many times.
    """
    from lineconfig.floorplan.folding import tried

    if tried.cache_info().currsize > most:
        tried.cache_clear()


def let_go_of_searches() -> None:
    """Clear away what searches that nobody asks any more have left behind."""
    import gc

    let_go_of_rooms(0)
    gc.collect()
