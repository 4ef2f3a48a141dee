"""The line at the top: which brief, whether it is saved, and where one is."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from lineconfig.tui.glyphs import Glyphs


class TitleBar(Static):
    """One line; the brief's name to the left, the place to the right."""

    def show(self, glyphs: Glyphs, name: str, changed: bool, place: str) -> None:
        """Say what there is to say."""
        self._said = (glyphs, name, changed, place)
        self._lay_out()

    _said: tuple[Glyphs, str, bool, str] | None = None

    def on_resize(self) -> None:
        """The place stays at the right edge."""
        self._lay_out()

    def _lay_out(self) -> None:
        if self._said is None or not self.size.width:
            return
        glyphs, name, changed, place = self._said
        width = max(20, self.size.width - 2)
        state = " (not saved)" if changed else ""
        room = width - len(place) - len(state) - 2
        shown = name if len(name) <= room else name[: max(0, room - 1)] + "…"
        left = shown + state
        line = left + " " * max(1, width - len(left) - len(place)) + place
        self.update(Content(glyphs.said(line)), layout=False)
