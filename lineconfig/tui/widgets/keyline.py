"""The line of keys at the bottom: as many as there is room for, none of them cut short."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.widgets import Footer
from textual.widgets._footer import FooterKey

EVERYWHERE = ("help", "save", "export", "open", "command_palette", "quit")
"""What stands behind the keys of a screen, as far as there is room; help always."""


class KeyLine(Footer):
    """The keys of the screen, then those that work everywhere."""

    def __init__(self) -> None:
        super().__init__(compact=True, show_command_palette=False)

    def compose(self) -> ComposeResult:
        """The keys that fit; what does not is in the help and among the commands."""
        keys = [each for each in super().compose() if isinstance(each, FooterKey)]
        keys.sort(key=_place)
        helping = next((key for key in keys if _place(key) == 1), None)
        room = self.app.size.width + 1 - (_width(helping) if helping else 0)
        for key in keys:
            room -= 0 if key is helping else _width(key)
            if room < 0:
                if helping is not None and _place(key) == 0:
                    yield helping
                return
            yield key

    def on_resize(self, event: events.Resize) -> None:
        """Another width, other keys."""
        self.refresh(recompose=True)


def _place(key: FooterKey) -> int:
    """0 for a key of the screen."""
    action = key.action.removeprefix("app.")
    return EVERYWHERE.index(action) + 1 if action in EVERYWHERE else 0


def _width(key: FooterKey) -> int:
    """Columns of a key, its words and the gap behind it."""
    return len(key.key_display) + len(key.description) + 2
