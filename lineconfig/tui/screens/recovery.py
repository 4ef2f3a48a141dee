"""Briefs that were left unsaved: taken up again at the start, asked about at the end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.tui.keeping import Left
from lineconfig.tui.screens.base import Dialog


class RecoveryDialog(Dialog[Left]):
    """Take up a brief that somebody could not save."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("d", "discard", "Throw away")]

    def __init__(self, left: Sequence[Left]) -> None:
        super().__init__()
        self.left = list(left)

    def compose(self) -> ComposeResult:
        """The widgets."""
        with Vertical(classes="dialog"):
            yield Static("A brief was left unsaved", classes="dialog-title", markup=False)
            yield OptionList(compact=True, markup=False)
            yield Static("Enter takes it up, D throws it away, Esc leaves it for later.")

    def on_mount(self) -> None:
        """List them."""
        self._fill()
        self.query_one(OptionList).focus()

    def _fill(self) -> None:
        options = self.query_one(OptionList)
        options.clear_options()
        for each in self.left:
            name = each.draft().name
            where = f" ({each.path.name})" if each.path else ""
            when = each.when.strftime("%d %b, %H:%M")
            options.add_option(Option(Content(self.own.glyphs.said(f"{name}{where}, {when}"))))
        options.highlighted = 0

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self.left[event.option_index])

    def action_discard(self) -> None:
        """Throw the one under the cursor away."""
        place = self.query_one(OptionList).highlighted
        if place is None:
            return
        self.own.keeper.forget(self.left.pop(place).file)
        if self.left:
            self._fill()
        else:
            self.dismiss(None)


class LeaveDialog(Dialog[str]):
    """What becomes of changes that are not saved."""

    ANSWERS = (
        ("save", "Save"),
        ("keep", "Leave now, and take it up at the next start"),
        ("discard", "Throw the changes away"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("s", "answer('save')"),
        Binding("k", "answer('keep')"),
        Binding("d", "answer('discard')"),
    ]

    def compose(self) -> ComposeResult:
        """The widgets."""
        with Vertical(classes="dialog -short"):
            yield Static("The brief is not saved", classes="dialog-title", markup=False)
            yield OptionList(
                *(Option(Content(f"{name[0].upper()}  {told}"), id=name)
                  for name, told in self.ANSWERS),
                compact=True, markup=False,
            )  # fmt: skip
            yield Static("Esc stays here.", markup=False)

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(str(event.option.id))

    def action_answer(self, answer: str) -> None:
        """One of the letters."""
        self.dismiss(answer)
