"""The container picker as a dialog."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from lineconfig.tui.screens.base import Dialog
from lineconfig.tui.widgets.containers import ContainerPicker


class ContainerDialog(Dialog[list[str]]):
    """Which containers the line runs."""

    def compose(self) -> ComposeResult:
        """The widgets."""
        catalog = self.own.catalog
        assert catalog is not None
        entries = self.own.draft.value(("formats",)) or []
        chosen = [entry.get("container") for entry in entries if isinstance(entry, dict)]
        with Vertical(classes="dialog -tall"):
            yield Static("Containers", classes="dialog-title", markup=False)
            yield ContainerPicker(
                list(catalog.containers.values()),
                [name for name in chosen if isinstance(name, str)],
                self.own.glyphs,
            )
            yield Static("Space marks, Enter takes them, Esc leaves it as it was.", markup=False)

    def on_mount(self) -> None:
        """Begin in the list."""
        self.query_one(ContainerPicker).options.focus()

    @on(ContainerPicker.Accepted)
    def _accepted(self) -> None:
        chosen = self.query_one(ContainerPicker).chosen
        self.dismiss(chosen or None)
