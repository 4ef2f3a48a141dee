"""Opening a brief, and saving it under a name."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.tui.places import EXISTS, is_file, objection, typed_path
from lineconfig.tui.screens.base import Dialog

MOST_FILES = 200


def briefs_in(folder: Path) -> list[Path]:
    """Files of a folder that may be briefs."""
    try:
        found = sorted(p for p in folder.iterdir() if p.suffix in (".yaml", ".yml") and p.is_file())
    except OSError:
        return []
    return found[:MOST_FILES]


class OpenDialog(Dialog[Path]):
    """Pick a brief: the files here, the examples, or a path that is typed."""

    def compose(self) -> ComposeResult:
        """The widgets."""
        from lineconfig.locate import examples_dir

        self.found: dict[str, Path] = {}
        if not self.own.served:
            self.found |= {path.name: path for path in briefs_in(Path.cwd())}
        self.found |= {f"example: {path.stem}": path for path in briefs_in(examples_dir())}
        with Vertical(classes="dialog"):
            yield Static("Open a brief", classes="dialog-title", markup=False)
            where = "part of a name" if self.own.served else "part of a name, or a path"
            yield Input(placeholder=where, compact=True, id="name")
            yield OptionList(compact=True, markup=False, id="files")
            yield Static("", classes="wrong", markup=False)
            yield Static("Enter opens, Esc goes back.", markup=False)

    def on_mount(self) -> None:
        """Begin with everything."""
        self._fill("")

    def _fill(self, part: str) -> None:
        files = self.query_one("#files", OptionList)
        files.clear_options()
        names = [name for name in self.found if part.lower() in name.lower()]
        files.add_options(Option(Content(self.own.glyphs.said(name)), id=name) for name in names)
        if names:
            files.highlighted = 0

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        self._fill(event.value.strip())

    def on_key(self, event: object) -> None:
        """Up and down go through the list while a name is typed."""
        key = getattr(event, "key", "")
        if key in ("up", "down") and self.query_one("#name", Input).has_focus:
            files = self.query_one("#files", OptionList)
            (files.action_cursor_down if key == "down" else files.action_cursor_up)()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        files = self.query_one("#files", OptionList)
        typed = typed_path(event.value)
        if files.highlighted is not None:
            self._take(str(files.get_option_at_index(files.highlighted).id))
        elif event.value.strip() and not self.own.served:
            if is_file(typed):
                self._leave_with(typed)
            else:
                text = self.own.glyphs.said(f"! there is no file {typed}")
                self.query_one(".wrong", Static).update(Content(text))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self._take(str(event.option.id))

    def _take(self, name: str) -> None:
        self._leave_with(self.found[name])

    def _leave_with(self, path: Path) -> None:
        """Open at once, unless something would be lost."""
        if not self.own.draft.changed or self.asked == path:
            self.dismiss(path)
            return
        self.asked = path
        self.query_one(".wrong", Static).update(
            Content("! the brief in hand is not saved: Enter again lets go of it, Esc goes back")
        )

    asked: Path | None = None


class SaveDialog(Dialog[Path]):
    """Ask for a file name; an existing file is replaced only when Enter is pressed twice."""

    def __init__(self, name: str, title: str = "Save the brief as") -> None:
        super().__init__()
        self.suggested, self.heading = name, title
        self.warned = ""

    def compose(self) -> ComposeResult:
        """The widgets."""
        with Vertical(classes="dialog -short"):
            yield Static(self.heading, classes="dialog-title", markup=False)
            yield Input(self.suggested, compact=True, id="name")
            yield Static("", classes="wrong", markup=False)
            yield Static("Enter saves, Esc goes back.", markup=False)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        text = event.value.strip()
        if not text:
            return
        path = typed_path(text)
        told = objection(path)
        if told == EXISTS:
            told = "" if self.warned == text else told
            self.warned = text
        if told:
            self.query_one(".wrong", Static).update(Content(self.own.glyphs.said(f"! {told}")))
        else:
            self.dismiss(path)
