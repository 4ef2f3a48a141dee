"""The list of all commands by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.command import CommandList, CommandPalette


class Commands(CommandPalette):
    """Textual's palette, which forgets to stop its clocks when it is closed.

    Half a second after a search without a match, its list is asked for: where the palette has been
    closed meanwhile, that is gone, and the program would end with it.
    """

    def __init__(self) -> None:
        super().__init__(placeholder="part of a name", id="--command-palette")

    def set_timer(
        self, delay: float, callback: Callable[[], Any] | None = None, **more: Any
    ) -> Any:
        """A clock that does nothing once the list is gone."""

        def if_open() -> Any:
            return callback() if callback is not None and self.query(CommandList) else None

        return super().set_timer(delay, if_open, **more)
