"""One field of the brief in one line: typed, or picked from words."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from lineconfig.tui.fields import Field
from lineconfig.tui.glyphs import UNICODE, Glyphs


class Entry(Input):
    """An input in one line; up and down leave it, F7 and F8 step its number."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.field(-1)", show=False),
        Binding("down,enter", "screen.field(1)", show=False),
        Binding("f7", "step(-1)", "Smaller"),
        Binding("f8", "step(1)", "Larger"),
        Binding("ctrl+down", "step(-1)", "Smaller", show=False),
        Binding("ctrl+up", "step(1)", "Larger", show=False),
    ]

    def __init__(self, field: Field, text: str = "") -> None:
        super().__init__(text, placeholder="left out", compact=True, select_on_focus=True)
        self.field = field

    def action_step(self, direction: int) -> None:
        """One step up or down."""
        self.value = self.field.stepped(self.value, direction)
        self.cursor_position = len(self.value)


class Choice(Widget, can_focus=True):
    """One of a few words; left, right, space and a click go to the next."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.field(-1)", show=False),
        Binding("down,enter", "screen.field(1)", show=False),
        Binding("left,f7", "turn(-1)", "Before", show=False),
        Binding("right,f8", "turn(1)", "Next", show=False),
        Binding("space", "turn(1)", "Next word"),
    ]

    class Picked(Message):
        """Another word was picked."""

        def __init__(self, choice: Choice) -> None:
            super().__init__()
            self.choice = choice

        @property
        def control(self) -> Choice:
            """The widget that was turned."""
            return self.choice

    def __init__(self, field: Field, word: str, glyphs: Glyphs = UNICODE) -> None:
        super().__init__()
        self.field, self.word, self.glyphs = field, word, glyphs

    def render(self) -> Content:
        """The word between two arrows."""
        room = max(4, self.size.width - 4)
        if self.word:
            words = self.field.in_words(self.word, room)
        else:
            default = self.field.default
            words = f"({self.field.in_words(default, room - 2)})" if default else "left out"
        words = words if len(words) <= room else words[: room - 1] + "…"
        return Content(self.glyphs.said(f"{self.glyphs.left} {words} {self.glyphs.right}"))

    def show(self, word: str) -> None:
        """Show another word without telling."""
        self.word = word
        self.refresh()

    def action_turn(self, by: int) -> None:
        """Go to another word and tell."""
        words = [word for word, _ in self.field.choices]
        word = self.word or self.field.default
        place = words.index(word) + by if word in words else 0
        self.show(words[place % len(words)])
        self.post_message(self.Picked(self))

    def on_click(self, event: events.Click) -> None:
        """A click on the left arrow goes back, one elsewhere on."""
        self.action_turn(-1 if event.x < 2 else 1)


class FieldRow(Horizontal):
    """A label and the entry; below them, only while there is something, what is wrong."""

    class Edited(Message):
        """A value was typed or picked that can be read."""

        def __init__(self, field: Field, value: object, text: str) -> None:
            super().__init__()
            self.field, self.value, self.text = field, value, text

    def __init__(self, field: Field, text: str, glyphs: Glyphs) -> None:
        super().__init__(id=f"row-{field.id}")
        self.field, self.glyphs = field, glyphs
        self.entry: Entry | Choice = (
            Choice(field, text, glyphs) if field.choices else Entry(field, text)
        )
        self.complaint = ""
        self.wrong: Static | None = None

    def compose(self) -> ComposeResult:
        """The widgets of one row."""
        yield Static(self.field.label, classes="label", markup=False)
        yield self.entry

    def show(self, text: str) -> None:
        """Show a value from elsewhere, without telling."""
        if isinstance(self.entry, Choice):
            self.entry.show(text)
        elif self.entry.value != text:
            with self.entry.prevent(Input.Changed):
                self.entry.value = text
        self.complain("")

    def complain(self, text: str) -> None:
        """Say below the field what is wrong with it."""
        if text == self.complaint:
            return
        self.complaint = text
        self.set_class(bool(text), "-wrong")
        if text and self.wrong is None and isinstance(self.parent, Widget):
            self.wrong = Static("", classes="wrong", markup=False)
            self.parent.mount(self.wrong, after=self)
        if self.wrong is not None:
            self.wrong.update(Content(self.glyphs.said(f"! {text}")))
            self.wrong.display = bool(text)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        typed = self.field.read(event.value)
        if not typed.error and typed.value is None and self.field.required:
            self.complain("this one is needed")
            return
        self.complain(typed.error)
        if not typed.error:
            self.post_message(self.Edited(self.field, typed.value, event.value))

    @on(Choice.Picked)
    def _picked(self, event: Choice.Picked) -> None:
        event.stop()
        typed = self.field.read(event.choice.word)
        self.complain("")
        self.post_message(self.Edited(self.field, typed.value, event.choice.word))
