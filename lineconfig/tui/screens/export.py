"""Writes what is on the screen to a file: which form, and where to."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.errors import InputError
from lineconfig.tui.exporting import Kind, Matter, file_name, kinds_for, text_of, write
from lineconfig.tui.places import EXISTS, objection, typed_path
from lineconfig.tui.screens.base import Dialog

SLOW = " a PDF takes some seconds; Esc leaves it to go on by itself"


class ExportDialog(Dialog[None]):
    """A list of forms, and a file name below it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "app.focus_next", show=False),
    ]

    def __init__(self, matter: Any) -> None:
        super().__init__()
        self.matter: Matter | None = matter
        self.warned = ""
        self.busy = False

    def compose(self) -> ComposeResult:
        """The widgets."""
        self.kinds = kinds_for(self.matter)
        with Vertical(classes="dialog -long"):
            yield Static("Export", classes="dialog-title", markup=False)
            yield OptionList(
                *(Option(Content(kind.title), id=kind.id) for kind in self.kinds),
                compact=True, markup=False,
            )  # fmt: skip
            yield Input(compact=True, id="name", disabled=self.own.served)
            yield Static("", classes="wrong", markup=False)
            how = "Enter hands it to your browser" if self.own.served else "Enter writes the file"
            yield Static(f"{how}, Tab goes to its name, Esc goes back.", markup=False)

    def on_mount(self) -> None:
        """Begin in the list."""
        self.program = self.own  # also for a thread that outlives the dialog
        options = self.query_one(OptionList)
        options.highlighted = 0
        options.focus()

    @property
    def kind(self) -> Kind:
        """The form under the cursor."""
        return self.kinds[self.query_one(OptionList).highlighted or 0]

    @on(OptionList.OptionHighlighted)
    def _moved(self) -> None:
        self.query_one(Input).value = file_name(self.matter, self.own.draft, self.kind)
        self._say("")

    def _say(self, text: str) -> None:
        self.query_one(".wrong", Static).update(Content(self.own.glyphs.said(text)))

    @on(OptionList.OptionSelected)
    def _picked(self) -> None:
        self._go()

    @on(Input.Submitted)
    def _entered(self) -> None:
        self._go()

    def _go(self) -> None:
        if self.busy:
            return
        if self.own.served:
            self._deliver()
            return
        path = typed_path(self.query_one(Input).value)
        told = objection(path)
        if told == EXISTS and self.warned == str(path):
            told = ""
        elif told == EXISTS:
            self.warned = str(path)
        if told:
            self._say(f"! {told}")
        else:
            self.busy = True
            self._say("writing ..." + (SLOW if self.kind.suffix == ".pdf" else ""))
            self._aside(partial(self._write, self.kind, path))

    def _aside(self, write: Callable[[], None]) -> None:
        """Write in a thread of the application: it goes on where the dialog is left."""
        self.program.run_worker(write, thread=True, group="export", description="export")

    def _write(self, kind: Kind, path: Path) -> None:
        try:
            write(self.matter, self.program.draft, kind, path, self.program.overlays)
        except InputError as error:
            said = str(error)
        except subprocess.TimeoutExpired:
            said = f"{path}: it took too long and was given up"
        except OSError as error:
            said = f"{path}: {(error.strerror or 'it cannot be written').lower()}"
        else:
            self.program.call_from_thread(self._written, path)
            return
        self.program.call_from_thread(self._failed, said)

    def _written(self, path: Path) -> None:
        self.program.notify(self.program.glyphs.said(f"Wrote {path}"), markup=False)
        if self.is_current:
            self.dismiss(None)

    def _failed(self, said: str) -> None:
        self.busy = False
        if self.is_current:
            self._say(f"! {said}")
        else:
            self.program.notify(self.program.glyphs.said(said), severity="error", markup=False)

    def _deliver(self) -> None:
        """Hand it to the browser."""
        kind, name = self.kind, file_name(self.matter, self.program.draft, self.kind)
        if not kind.command:
            self.program.deliver(name, text_of(self.matter, self.program.draft, kind))
            self.dismiss(None)
            return
        self.busy = True
        self._say("writing")
        self._aside(partial(self._write_and_deliver, kind, name))

    def _write_and_deliver(self, kind: Kind, name: str) -> None:
        import tempfile
        from io import BytesIO

        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / name
            try:
                write(self.matter, self.program.draft, kind, path, self.program.overlays)
                data = path.read_bytes()
            except (InputError, OSError, subprocess.TimeoutExpired) as error:
                self.program.call_from_thread(self._failed, str(error))
                return

        def hand_over() -> None:
            self.program.deliver_binary(BytesIO(data), save_filename=name)
            if self.is_current:
                self.dismiss(None)

        self.program.call_from_thread(hand_over)
