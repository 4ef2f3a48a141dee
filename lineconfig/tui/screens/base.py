"""What the screens have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar, cast

from textual.screen import ModalScreen, Screen

from lineconfig.tui.widgets.title import TitleBar

if TYPE_CHECKING:
    from lineconfig.tui.app import LineconfigApp


class BriefScreen(Screen[None]):
    """A screen about the working brief, with a title bar."""

    PLACE = ""
    """What the title bar calls it."""
    KEYS: tuple[tuple[str, str], ...] = ()
    """Keys and what they do, for the help."""

    @property
    def own(self) -> LineconfigApp:
        """The application."""
        return cast("LineconfigApp", self.app)

    def subject_of_export(self) -> object:
        """What can be written from here: the answer in hand, without one of its layouts."""
        from lineconfig.tui.exporting import Matter
        from lineconfig.tui.screens.workbench import WorkbenchScreen

        stack = self.app.screen_stack
        bench = next((each for each in stack if isinstance(each, WorkbenchScreen)), None)
        if bench is None or not bench.settled or bench.answered is None:
            return None
        return Matter(self.own.draft, bench.answered, None, None, "")

    def show_title(self) -> None:
        """Say at the top which brief this is."""
        draft = self.own.draft
        for bar in self.query(TitleBar):
            bar.show(self.own.glyphs, draft.name, draft.changed, self.PLACE)


Result = TypeVar("Result")


class Dialog(ModalScreen[Result]):
    """A question on top of a screen; escape leaves it unanswered."""

    BINDINGS = [("escape", "give_up", "Back")]

    @property
    def own(self) -> LineconfigApp:
        """The application."""
        return cast("LineconfigApp", self.app)

    def action_give_up(self) -> None:
        """Leave without an answer."""
        self.dismiss(None)
