"""Two or three layouts side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from lineconfig.rank import Ranked
from lineconfig.session import Study
from lineconfig.tui.rows import Line
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.sidebyside import comparison_rows
from lineconfig.tui.widgets.keyline import KeyLine
from lineconfig.tui.widgets.sheet import Sheet
from lineconfig.tui.widgets.title import TitleBar


class CompareScreen(BriefScreen):
    """A column for each layout."""

    PLACE = "compare"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss(None)", "Back"),
    ]
    KEYS = (("Up, Down", "rows"), ("Esc", "back to the workbench"))

    def __init__(
        self, study: Study, lines: Sequence[Line], ranked: Sequence[Ranked | None]
    ) -> None:
        super().__init__()
        self.study, self.lines, self.ranked = study, list(lines), list(ranked)

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        yield Sheet("compare")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show the columns."""
        self.show_title()
        self.query_one(Sheet).focus()
        self.call_after_refresh(self._fill)

    def on_resize(self) -> None:
        """Columns follow the width."""
        self.call_after_refresh(self._fill)

    def _fill(self) -> None:
        width = max(60, self.size.width - 3)
        rows = comparison_rows(self.study, self.lines, self.ranked, width, self.own.glyphs)
        self.query_one(Sheet).show(rows, self.own.glyphs, width)
