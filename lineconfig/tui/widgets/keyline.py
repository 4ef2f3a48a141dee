"""The line of keys at the bottom: as many as there is room for, none of them cut short."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.screen import Screen
from textual.widgets import Footer
from textual.widgets._footer import FooterKey

EVERYWHERE = ("help", "save", "export", "open", "command_palette", "quit")
"""What stands behind the keys of a screen, as far as there is room; help always."""

Shown = tuple[Binding, bool]
"""A key, and whether it does something now."""


class KeyLine(Footer):
    """The keys of the screen, then those that work everywhere.

    Textual's own line is composed anew at each change of focus, and what was made before stays in
    memory, bound to it: a day's work takes hundreds of megabytes. This one is made anew only where
    other keys are to be seen, and binds none of them.
    """

    def __init__(self) -> None:
        super().__init__(compact=True, show_command_palette=False)
        self._seen: list[Shown] = []

    def compose(self) -> ComposeResult:
        """The keys that fit; what does not is in the help and among the commands."""
        for binding, works in self._seen:
            key = FooterKey(
                binding.key, self.app.get_key_display(binding), binding.description,
                binding.action, disabled=not works, classes="-compact",
            )  # fmt: skip
            key.set_reactive(FooterKey.compact, True)
            yield key

    def bindings_changed(self, screen: Screen[object]) -> None:
        """Other keys may work now."""
        if screen.app.app_focus and self.is_attached and screen is self.screen:
            self.call_after_refresh(self._follow)

    def on_resize(self, event: events.Resize) -> None:
        """Another width, other keys."""
        self.call_after_refresh(self._follow)

    async def _follow(self) -> None:
        if self.is_attached and (seen := self._fitting()) != self._seen:
            self._seen = seen
            await self.recompose()

    def _fitting(self) -> list[Shown]:
        """The keys of now that have room; help has it before the others."""
        actions: dict[str, Shown] = {}
        for _, binding, works, _ in self.screen.active_bindings.values():
            if binding.show:
                actions.setdefault(binding.action, (binding, works))
        keys = sorted(actions.values(), key=_place)
        room = self.app.size.width + 1 - sum(self._width(key) for key in keys if _place(key) == 1)
        fitting, full = [], False
        for key in keys:
            if _place(key) == 1:
                fitting.append(key)
                continue
            room -= self._width(key)
            full = full or room < 0
            if not full:
                fitting.append(key)
        return fitting

    def _width(self, key: Shown) -> int:
        """Columns of a key, its words and the gap behind it."""
        return len(self.app.get_key_display(key[0])) + len(key[0].description) + 2


def _place(key: Shown) -> int:
    """0 for a key of the screen."""
    action = key[0].action.removeprefix("app.")
    return EVERYWHERE.index(action) + 1 if action in EVERYWHERE else 0
