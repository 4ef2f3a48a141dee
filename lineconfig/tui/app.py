"""The application: what all screens share, and the commands that work everywhere."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.color import Color
from textual.command import CommandPalette
from textual.filter import Monochrome
from textual.message import Message
from textual.screen import Screen
from textual.scrollbar import ScrollBar, ScrollBarRender

from lineconfig.errors import InputError
from lineconfig.tui.draft import Draft
from lineconfig.tui.fields import Form, form_for
from lineconfig.tui.glyphs import PLAIN, UNICODE, wants_ascii
from lineconfig.tui.keeping import Keeper, Left
from lineconfig.tui.memory import let_go_of_closed_screens
from lineconfig.tui.widgets.palette import Commands
from lineconfig.tui.widgets.plain import Colourless, PlainScrollBarRender

if TYPE_CHECKING:
    from lineconfig.catalog import Catalog
    from lineconfig.changes import Answered
    from lineconfig.tui.solving import Solver

UNASKED = (("site", "power"), ("site", "water"), ("site", "air"), ("site", "door"))
"""Limits of the template that the questionnaire does not ask for: they would limit unseen."""


def fresh_draft() -> Draft:
    """A brief to start from: the commented template, with nothing in it that limits unseen."""
    from lineconfig.editing import without_value
    from lineconfig.template import brief_template

    text = brief_template()
    for path in UNASKED:
        text = without_value(text, path)
    return Draft(text)


class LineconfigApp(App[int]):
    """The terminal UI."""

    TITLE = "lineconfig"
    CSS_PATH = "lineconfig.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-tiny"), (76, "-narrow"), (100, "-medium"), (170, "-broad")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (32, "-high")]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "Help", priority=True),
        Binding("ctrl+s", "save", "Save", priority=True),
        Binding("ctrl+e", "export", "Export", priority=True),
        Binding("ctrl+o", "open", "Open", priority=True),
        Binding("ctrl+p", "command_palette", "Commands", priority=True),
        Binding("ctrl+q", "quit", "Leave", priority=True),
    ]

    class CatalogRead(Message):
        """The catalogue is there."""

    def __init__(
        self,
        draft: Draft | None = None,
        *,
        overlays: Sequence[str | Path] = (),
        ascii_only: bool | None = None,
        served: bool | None = None,
        keeper: Keeper | None = None,
        catalog: Catalog | None = None,
    ) -> None:
        super().__init__()
        let_go_of_closed_screens()
        if self.no_color:
            # Textual turns colours into greys; somebody who asks for none gets none.
            kept = [each for each in self._filters if not isinstance(each, Monochrome)]
            self._filters = [*kept, Colourless(lambda: self.theme_background)]
        self.asked_for = draft is not None
        self.draft = draft or fresh_draft()
        self.overlays = overlays
        self.glyphs = PLAIN if (wants_ascii() if ascii_only is None else ascii_only) else UNICODE
        self.served = bool(os.environ.get("LINECONFIG_SERVED")) if served is None else served
        """Whether somebody else's browser shows this: then no files of this machine are offered."""
        self.keeper = keeper or Keeper()
        self.catalog: Catalog | None = catalog
        self.form: Form = form_for(catalog.economics.currency if catalog else "USD")
        self.solver: Solver | None = None
        self.export_waits = False
        """Whether an export was asked for while the brief was being solved."""
        self.failed: InputError | None = None
        """Why the catalogue could not be read: told once the terminal is back."""

    # --- start -----------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Paint first; the catalogue is read meanwhile."""
        from lineconfig.tui.screens.questionnaire import QuestionScreen

        self.set_class(self.glyphs.ascii, "-ascii")
        # Textual keeps this for all scroll bars of a process.
        ScrollBar.renderer = PlainScrollBarRender if self.glyphs.ascii else ScrollBarRender
        self.push_screen(QuestionScreen())
        if self.catalog is None:
            self._read_catalog()
        else:
            self._have_catalog()

    @work(thread=True, description="read the catalogue")
    def _read_catalog(self) -> None:
        from lineconfig.catalog_loading import load_catalog

        try:
            self.catalog = load_catalog(self.overlays)
        except InputError as error:
            self.failed = error
            self.call_from_thread(self.leave, forget=False)
            return
        self.call_from_thread(self._have_catalog)

    def _have_catalog(self) -> None:
        from lineconfig.tui.screens.workbench import WorkbenchScreen
        from lineconfig.tui.solving import Solver

        assert self.catalog is not None
        self.form = form_for(self.catalog.economics.currency)
        self.solver = Solver(self.catalog)
        for screen in self.screen_stack:
            screen.post_message(self.CatalogRead())
        if self.asked_for:
            self.push_screen(WorkbenchScreen())
        left = [] if self.served else self.keeper.left_behind()
        if left:
            from lineconfig.tui.screens.recovery import RecoveryDialog

            self.push_screen(RecoveryDialog(left), self._recovered)

    def _recovered(self, left: Left | None) -> None:
        if left is not None:
            self.take_up(left.draft())
            self.keeper.keep(self.draft)
            self.keeper.forget(left.file)

    # --- the brief -------------------------------------------------------------------------------

    def take_up(self, draft: Draft) -> None:
        """Work on another brief."""
        self.draft = draft
        if self.solver is not None:
            self.solver.question()
            self.solver.last = self.solver.base = None
        for screen in self.screen_stack:
            if hasattr(screen, "show_draft"):
                screen.call_later(screen.show_draft)
        self.keeper.keep(draft)

    def edited(self) -> None:
        """The brief was changed: keep it, and say so at the top."""
        self.keeper.keep(self.draft)
        for screen in self.screen_stack:
            if hasattr(screen, "show_title"):
                screen.show_title()

    def read(self, path: Path | str) -> bool:
        """Open a brief; what is wrong with it is told, and the one in hand stays.

        A shipped example is opened as a copy: saving it asks for a name.
        """
        from lineconfig.locate import examples_dir
        from lineconfig.reading import read_text, read_tree

        try:
            text, label = read_text(path)
            read_tree(text, label)
        except InputError as error:
            self.notify(self.glyphs.said(str(error)), severity="error", markup=False)
            return False
        shipped = Path(path).resolve().parent == examples_dir().resolve()
        self.take_up(Draft(text, None if shipped else Path(path)))
        return True

    @property
    def theme_background(self) -> Color:
        """The colour of the page."""
        return Color.parse(self.theme_variables["background"])

    def get_key_display(self, binding: Binding) -> str:
        """A key as keyboards have it."""
        shown = binding.key_display or binding.key
        name = {"escape": "Esc"}.get(shown) or shown.replace("ctrl+", "^")
        return name[:2].upper() if name[0] == "^" else name[:1].upper() + name[1:]

    def action_command_palette(self) -> None:
        """All commands by name."""
        if self.use_command_palette and not isinstance(self.screen, CommandPalette):
            self.push_screen(Commands())

    # --- commands --------------------------------------------------------------------------------

    @property
    def in_dialog(self) -> bool:
        """Whether a question is open that has to be answered first."""
        return self.screen.is_modal

    def action_save(self) -> None:
        """Save the brief, asking for a name where it has none."""
        from lineconfig.tui.screens.files import SaveDialog

        if self.in_dialog:
            return
        if self.served:
            self.deliver(f"{slug(self.draft.name)}.yaml", self.draft.text)
            self.draft.kept = self.draft.text
            self.edited()
        elif self.draft.path is not None:
            self.save_to(self.draft.path)
        else:
            self.push_screen(SaveDialog(f"{slug(self.draft.name)}.yaml"), self._save_as)

    def _save_as(self, path: Path | None) -> None:
        if path is not None:
            self.save_to(path)

    def save_to(self, path: Path) -> bool:
        """Save the brief to a file and say so."""
        try:
            self.draft.save(path)
        except InputError as error:
            self.notify(self.glyphs.said(str(error)), severity="error", markup=False)
            return False
        self.edited()
        self.notify(self.glyphs.said(f"Saved {path}"), markup=False)
        return True

    def action_save_as(self) -> None:
        """Save the brief under another name."""
        from lineconfig.tui.screens.files import SaveDialog

        if not self.in_dialog:
            self.push_screen(SaveDialog(f"{slug(self.draft.name)}.yaml"), self._save_as)

    def action_open(self) -> None:
        """Open another brief."""
        from lineconfig.tui.screens.files import OpenDialog

        if not self.in_dialog:
            self.push_screen(OpenDialog(), self._opened)

    def _opened(self, path: Path | None) -> None:
        if path is not None and self.read(path):
            self.show_workbench()

    def show_workbench(self) -> None:
        """Go to the workbench, whatever is on top of it."""
        from lineconfig.tui.screens.workbench import WorkbenchScreen

        while len(self.screen_stack) > 2 and not isinstance(self.screen, WorkbenchScreen):
            self.pop_screen()
        if not isinstance(self.screen, WorkbenchScreen):
            self.push_screen(WorkbenchScreen())

    def action_new(self) -> None:
        """Start a new brief."""
        if not self.in_dialog:
            self.take_up(fresh_draft())
            while len(self.screen_stack) > 2:
                self.pop_screen()

    def action_export(self) -> None:
        """Write what is on the screen to a file."""
        from lineconfig.tui.screens.export import ExportDialog

        if self.in_dialog:
            return
        subject = getattr(self.screen, "subject_of_export", lambda: None)()
        self.export_waits = subject is None and self.working_it_out
        if self.export_waits:
            self.notify("One moment: the layouts are being worked out.")
        else:
            self.push_screen(ExportDialog(subject))

    @property
    def working_it_out(self) -> bool:
        """Whether the brief is being solved, and a screen is looked at that shows the answer."""
        return hasattr(self.screen, "subject_of_export") and any(
            getattr(screen, "waiting", False) for screen in self.screen_stack
        )

    def have_answer(self, answered: Answered) -> None:
        """The whole answer is there: tell whoever was opened before it, and export if asked to."""
        for screen in self.screen_stack:
            if hasattr(screen, "hear_answer"):
                screen.hear_answer(answered)
        if self.export_waits:
            self.export_waits = False
            self.action_export()

    def action_help(self) -> None:
        """Explain the field and the keys."""
        from lineconfig.tui.screens.help import HelpDialog

        if not self.in_dialog:
            self.push_screen(HelpDialog(self.screen))

    async def action_quit(self) -> None:
        """Leave; a brief that is not saved is asked about."""
        from lineconfig.tui.screens.recovery import LeaveDialog

        if isinstance(self.screen, LeaveDialog):
            return
        if not self.draft.changed:
            self.leave()
            return
        self.push_screen(LeaveDialog(), self._leave)

    def _leave(self, answer: str | None) -> None:
        if answer == "save":
            if self.draft.path is not None and self.save_to(self.draft.path):
                self.leave()
            elif self.draft.path is None:
                self.action_save()
        elif answer == "keep":
            self.leave(forget=False)
        elif answer == "discard":
            self.leave()

    def leave(self, *, forget: bool = True) -> None:
        """End the program."""
        if self.solver is not None:
            self.solver.question()
        if forget:
            self.keeper.forget()
        self.keeper.close()
        self.exit(0)

    def deliver(self, name: str, text: str) -> None:
        """Hand a file to whoever looks at the screen: a download in a browser."""
        from io import StringIO

        self.deliver_text(StringIO(text), save_filename=name)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """What the command palette offers."""
        yield SystemCommand("brief: new", "Start a new brief", self.action_new)
        yield SystemCommand("brief: open", "Open a brief or an example", self.action_open)
        yield SystemCommand("brief: save", "Save the brief", self.action_save)
        if not self.served:
            yield SystemCommand("brief: save as", "Save under a new name", self.action_save_as)
        yield SystemCommand("view: layouts", "Ranked layouts beside the brief", self.show_workbench)
        yield SystemCommand("export", "Write what is shown to a file", self.action_export)
        yield SystemCommand("view: help", "Help for this screen", self.action_help)
        yield SystemCommand("view: light or dark", "Change the theme", self.action_light_or_dark)
        yield SystemCommand("quit", "Leave lineconfig", self.action_quit)

    def action_light_or_dark(self) -> None:
        """Change between the light and the dark theme."""
        self.theme = "textual-dark" if not self.current_theme.dark else "textual-light"


def slug(name: str) -> str:
    """A file name out of a brief's name."""
    import re
    import unicodedata

    flat = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", flat).strip("-")[:60] or "brief"
