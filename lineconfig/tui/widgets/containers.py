"""Picks containers from the catalogue, with a picture to scale of the one under the cursor."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.containers import Container
from lineconfig.quantities import MM_PER_INCH
from lineconfig.tui.glyphs import Glyphs
from lineconfig.tui.pictures import container_picture, with_ruler
from lineconfig.tui.rows import clipped


class ContainerList(OptionList):
    """Space and a click mark; enter is left to the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "select", "Mark"),
        Binding("enter", "accept", "Next"),
    ]

    def action_accept(self) -> None:
        """What is marked counts; where nothing is, the one under the cursor."""
        self.post_message(ContainerPicker.Accepted())


class ContainerPicker(Horizontal):
    """The list, and the picture beside it."""

    class Marked(Message):
        """Other containers are marked now."""

        def __init__(self, chosen: list[str]) -> None:
            super().__init__()
            self.chosen = chosen

    class Accepted(Message):
        """Enter was pressed."""

    def __init__(
        self, containers: Sequence[Container], chosen: Sequence[str], glyphs: Glyphs
    ) -> None:
        super().__init__()
        self.containers, self.glyphs = list(containers), glyphs
        known = {container.id for container in containers}
        self.chosen = [name for name in chosen if name in known]

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield ContainerList(markup=False, compact=True)
        yield Static("", id="picture", markup=False)

    def on_mount(self) -> None:
        """Fill the list and go to the first one that is marked."""
        if not self.query(ContainerList):
            return  # taken away again before it was there: the next question was gone to at once
        self._fill()
        names = [container.id for container in self.containers]
        at = names.index(self.chosen[0]) if self.chosen else 0
        self.options.highlighted = at
        self.options.focus()

    @property
    def options(self) -> ContainerList:
        """The list itself."""
        return self.query_one(ContainerList)

    def _prompt(self, container: Container) -> Content:
        mark = "x" if container.id in self.chosen else " "
        room = max(16, self.options.size.width - 6)
        return Content(self.glyphs.said(f"[{mark}] {clipped(container.name, room).rstrip()}"))

    def _fill(self) -> None:
        options = [Option(self._prompt(each), id=each.id) for each in self.containers]
        self.options.clear_options()
        self.options.add_options(options)

    def on_resize(self) -> None:
        """Names and scale follow the room."""
        if not self.query(ContainerList):
            return
        for container in self.containers:
            self.options.replace_option_prompt(container.id, self._prompt(container))
        self._draw()

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        self._draw()

    @on(OptionList.OptionSelected)
    def _marked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.toggle(str(event.option.id))

    def toggle(self, name: str) -> None:
        """Mark a container, or take the mark off; one always stays."""
        if name in self.chosen:
            if len(self.chosen) == 1:
                return
            self.chosen.remove(name)
        else:
            self.chosen.append(name)
        container = next(each for each in self.containers if each.id == name)
        self.options.replace_option_prompt(name, self._prompt(container))
        self.post_message(self.Marked(list(self.chosen)))

    def accept(self) -> list[str]:
        """What is marked."""
        return list(self.chosen)

    def _draw(self) -> None:
        place = self.options.highlighted
        if place is None:
            return
        container = self.containers[place]
        rows = max(4, self.size.height - 3)
        tallest = max(float(each.height_mm) for each in self.containers)
        scale = tallest / rows
        picture = container_picture(container, scale, self.glyphs)
        lines = with_ruler(picture, scale, self.glyphs)
        above = [""] * max(0, rows - len(lines))
        across, high = container.diameter_mm / MM_PER_INCH, container.height_mm / MM_PER_INCH
        told = [
            f"{container.diameter_mm:.0f} x {container.height_mm:.0f} mm",
            f"{across:.2f} x {high:.2f} in",
            f"lid (end) {container.end}",
        ]
        self.query_one("#picture", Static).update(
            Content("\n".join(self.glyphs.said(line) for line in [*above, *lines, *told]))
        )
