"""Help for where one is, and texts that are too long for their place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from lineconfig.tui.fields import Field
from lineconfig.tui.screens.base import Dialog
from lineconfig.tui.widgets.entry import FieldRow

EVERYWHERE = (
    ("F1", "this help"),
    ("Ctrl+P", "all commands, by name"),
    ("Ctrl+S, Ctrl+O", "save, open a brief"),
    ("Ctrl+E", "export: report, drawing, list, brief"),
    ("Ctrl+Q", "leave"),
)


class TextDialog(Dialog[None]):
    """A text that can be scrolled."""

    BINDINGS = [("enter", "give_up", "Back"), ("f1", "give_up", "Back")]

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self.heading, self.lines = title, lines

    def compose(self) -> ComposeResult:
        """The widgets."""
        with Vertical(classes="dialog -tall"):
            yield Static(self.heading, classes="dialog-title", markup=False)
            with VerticalScroll():
                text = self.own.glyphs.said("\n".join(self.lines))
                yield Static(Content(text), markup=False)
            yield Static("Up and Down scroll, Esc goes back.", markup=False)

    def on_mount(self) -> None:
        """Scroll with the arrows."""
        self.query_one(VerticalScroll).focus()


class HelpDialog(TextDialog):
    """What the field in hand is for, and the keys of the screen."""

    def __init__(self, screen: Screen[Any]) -> None:
        super().__init__("Help", help_lines(screen))


def help_lines(screen: Screen[Any]) -> list[str]:
    """Help for a screen as it stands."""
    lines: list[str] = []
    field = getattr(screen, "field", None) or _field_in_hand(screen)
    if isinstance(field, Field):
        lines += [
            field.question, "", field.purpose, f"If it is wrong: {field.if_wrong}",
        ]  # fmt: skip
        if field.example:
            lines.append(f"For example: {field.example}")
        if field.choices:
            lines += [f"  {word}: {told}" for word, told in field.choices]
        lines.append("")
    notes = getattr(screen, "NOTES", ())
    keys = [*getattr(screen, "KEYS", ()), *EVERYWHERE]
    if notes:
        lines += ["What is shown", *(f"  {note}" for note in notes), ""]
    lines += ["Keys", *(f"  {key:24} {told}" for key, told in keys)]
    lines += [
        "",
        "^S means Ctrl+S. The mouse works too: click a line, a tab, or a key at the bottom.",
        "To mark text with the mouse, hold Shift (Option on some machines).",
        "",
        "Figures and cautions are a planner's aid. Local codes and licensed practice decide.",
    ]
    return lines


def _field_in_hand(screen: Screen[Any]) -> Field | None:
    focused = screen.focused
    if focused is None:
        return None
    row = next((each for each in focused.ancestors if isinstance(each, FieldRow)), None)
    return row.field if row is not None else None
