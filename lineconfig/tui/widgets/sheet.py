"""A page of rows; the row under the cursor tells where its figures come from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from lineconfig.tui.glyphs import Glyphs
from lineconfig.tui.sheets import Row


class Sheet(OptionList):
    """Rows under a cursor; headings are passed over."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Basis")]

    def __init__(self, sheet_id: str) -> None:
        super().__init__(id=f"sheet-{sheet_id}", compact=True, markup=False)
        self.rows: list[Row] = []

    def show(self, rows: Sequence[Row], glyphs: Glyphs, width: int) -> None:
        """Show other rows, and keep the cursor where it was."""
        at = self.highlighted
        self.rows = list(rows)
        self.clear_options()
        self.add_options(
            Option(
                Content(glyphs.said(row.fitted(width))).stylize("bold" if row.heading else ""),
                disabled=row.heading,
            )
            for row in self.rows
        )
        if at is not None and at < len(self.rows) and not self.rows[at].heading:
            self.highlighted = at
        else:
            self.action_first()

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        return None if self.highlighted is None else self.rows[self.highlighted]
