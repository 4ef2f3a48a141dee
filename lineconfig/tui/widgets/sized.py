"""A list that says when its own size changes: later than its screen's, where styles follow."""

from __future__ import annotations

from textual import events
from textual.message import Message
from textual.widgets import OptionList


class SizedList(OptionList):
    """A list whose lines are made for its width."""

    class Sized(Message):
        """There is another width now."""

    def on_resize(self, event: events.Resize) -> None:
        """Tell the screen."""
        self.post_message(self.Sized())
