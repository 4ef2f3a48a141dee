"""One layout in full: pages under tabs, and the basis of the figure under the cursor."""

from __future__ import annotations

import threading
from dataclasses import replace
from time import monotonic
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static, TabbedContent, TabPane

from lineconfig.changes import Answered, arrangement_name
from lineconfig.choose.sections import CancelledError
from lineconfig.layout import Layout
from lineconfig.rank import Ranked
from lineconfig.session import Study
from lineconfig.tui.memory import let_go_of_searches
from lineconfig.tui.rows import clipped
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.sheets import PAGES, Page, Row, Subject, figure_in_words
from lineconfig.tui.widgets.keyline import KeyLine
from lineconfig.tui.widgets.sheet import Sheet
from lineconfig.tui.widgets.title import TitleBar

TELL_EVERY_S = 0.3
"""Rows of a page that takes its time are shown this often."""
TIDY_EVERY_S = 2.0
"""What its searches leave behind is cleared away this often: it takes a tenth of a second."""


class Made(Message):
    """Rows of a page that takes its time, as far as they are there."""

    def __init__(self, page: str, cancel: threading.Event, rows: list[Row]) -> None:
        super().__init__()
        self.page, self.cancel, self.rows = page, cancel, rows


class LayoutScreen(BriefScreen):
    """One layout."""

    PLACE = "layout"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "page(-1)", "Page before", show=False, priority=True),
        Binding("right", "page(1)", "Next page", key_display="Right", priority=True),
        Binding("escape", "dismiss(None)", "Back"),
        Binding("ctrl+e", "app.export", "Export", priority=True),
        *(Binding(str(n), f"page_at({n})", show=False) for n in range(1, 10)),
    ]
    KEYS = (
        ("Left, Right or 1 to 9", "pages"),
        ("Up, Down", "rows; below, where the figures of the row come from"),
        ("Enter", "the basis of the row in full"),
        ("Ctrl+E", "export this layout"),
        ("Esc", "back to the workbench"),
    )

    def __init__(
        self, study: Study, layout: Layout, ranked: Ranked | None, first: Layout | None, label: str
    ) -> None:
        super().__init__()
        self.study, self.layout_shown, self.ranked = study, layout, ranked
        self.first_layout, self.label = first, label
        self.pages = [page for page in PAGES if page.asked(study)]
        self._basis: dict[str, dict[str, str]] | None = None
        self._cancels: dict[str, threading.Event] = {}
        """What calls off each page that takes its time."""
        self._made: dict[str, int] = {}
        """The width that each page was last shown in."""

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        yield Static("", id="layout-title", markup=False)
        with TabbedContent():
            for number, page in enumerate(self.pages, 1):
                with TabPane(f"{number} {page.title}", id=page.id):
                    yield Sheet(page.id)
        with VerticalScroll(id="basis", can_focus=False):
            yield Static("", id="basis-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Show the first page."""
        self.show_title()
        self._show_name()
        self.call_after_refresh(self._show_page)

    def _show_name(self) -> None:
        """The line in one line: in full where that fits, else what tells its kind."""
        room = max(20, self.size.width - 2)
        title = f"{self.label}  {self.layout_shown.title}".strip()
        if len(title) > room:
            title = f"{self.label}  {arrangement_name(self.study, self.layout_shown)}".strip()
        text = self.own.glyphs.said(clipped(title, room).rstrip())
        self.query_one("#layout-title", Static).update(Content(text))

    def on_resize(self) -> None:
        """Rows follow the width."""
        self._show_name()
        self.call_after_refresh(self._show_page)

    @on(TabbedContent.TabActivated)
    def _turned(self) -> None:
        self._show_page()

    @property
    def page(self) -> str:
        """The id of the page that is shown."""
        return self.query_one(TabbedContent).active

    def _show_page(self) -> None:
        name = self.page
        if not name or not self.is_current:
            return
        sheet = self.query_one(f"#sheet-{name}", Sheet)
        if self._made.get(name) != self.width:
            page = next(page for page in self.pages if page.id == name)
            if page.slow:
                self._make_aside(page, sheet)
            else:
                sheet.show(list(page.make(self._subject(self.study))), self.own.glyphs, self.width)
            self._made[name] = self.width
        sheet.focus()
        self._tell(sheet)

    @property
    def width(self) -> int:
        """Columns for the text of a page."""
        return max(40, self.size.width - 4)

    def _subject(self, study: Study) -> Subject:
        return Subject(
            study, self.layout_shown, self.ranked, self.first_layout, self.width, self.own.glyphs
        )

    def _make_aside(self, page: Page, sheet: Sheet) -> None:
        """Begin a page that takes its time; at another width only its lines are broken anew."""
        if page.id in self._made:
            sheet.show(sheet.rows, self.own.glyphs, self.width)
            return
        sheet.show([Row("working it out ...")], self.own.glyphs, self.width)
        # Solved again beside the workbench's own study, so that leaving calls it off.
        self._call_off(page.id)
        self._cancels[page.id] = threading.Event()
        study = replace(self.study, cancel=self._cancels[page.id])
        self._make_slowly(page, self._subject(study), self._cancels[page.id])

    @work(thread=True, group="page", description="page")
    def _make_slowly(self, page: Page, subject: Subject, cancel: threading.Event) -> None:
        try:
            rows, told, tidied = [], monotonic(), monotonic()
            for row in page.make(subject):
                rows.append(row)
                if monotonic() - tidied > TIDY_EVERY_S:
                    let_go_of_searches()
                    tidied = monotonic()
                if monotonic() - told > TELL_EVERY_S:
                    told = monotonic()
                    more = Row("working it out ...", heading=True)
                    self.post_message(Made(page.id, cancel, [*rows, more]))
        except CancelledError:  # nobody looks at it any more
            return
        finally:
            let_go_of_searches()
        self.post_message(Made(page.id, cancel, rows))

    def on_screen_resume(self) -> None:
        """The width may have changed under a dialog."""
        self.call_after_refresh(self._show_page)

    def on_unmount(self) -> None:
        """Stop what is still being worked out."""
        for name in self._cancels:
            self._call_off(name)

    def _call_off(self, name: str) -> None:
        if name in self._cancels:
            self._cancels[name].set()

    @on(Made)
    def _made_page(self, event: Made) -> None:
        if self._cancels.get(event.page) is not event.cancel:
            return
        sheet = self.query_one(f"#sheet-{event.page}", Sheet)
        sheet.show(event.rows, self.own.glyphs, self.width)
        if self.page == event.page:
            self._tell(sheet)

    def basis_of(self, row: Row) -> list[str]:
        """Where the figures of a row come from, one a line."""
        if self._basis is None:
            from lineconfig.present.basis import layout_basis

            self._basis = layout_basis(self.study, self.layout_shown)
        return [
            f"{figure_in_words(path)} = {self._formula(path)}  [{self._basis[path]['source']}]"
            for path in row.basis
            if path in self._basis
        ]

    def _formula(self, path: str) -> str:
        """What a figure is worked out from; a station's row says already whose it is."""
        assert self._basis is not None
        formula = self._basis[path]["formula"]
        if path.startswith("stations."):
            option = self.layout_shown.stations[int(path.split(".")[1])].option
            formula = formula.removeprefix(f"{option.id}: ")
        return formula

    def _tell(self, sheet: Sheet) -> None:
        row = sheet.row
        lines = self.basis_of(row) if row is not None else []
        text = "\n".join(lines) or "Where a figure comes from stands here. None in this row."
        self.query_one("#basis-text", Static).update(Content(self.own.glyphs.said(text)))
        self.query_one("#basis", VerticalScroll).scroll_home(animate=False)

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        if isinstance(event.option_list, Sheet) and event.option_list.id == f"sheet-{self.page}":
            self._tell(event.option_list)

    @on(OptionList.OptionSelected)
    def _asked(self, event: OptionList.OptionSelected) -> None:
        from lineconfig.tui.screens.help import TextDialog

        if isinstance(event.option_list, Sheet) and event.option_list.row is not None:
            row = event.option_list.row
            number = _station_number(row)
            lines = self.basis_of(row)
            if number is not None:
                lines = self._station_lines(number)
            if lines:
                self.app.push_screen(TextDialog("Where the figures come from", lines))

    def _station_lines(self, number: int) -> list[str]:
        from lineconfig.present.figures import class_figures

        station = self.layout_shown.stations[number]
        figures = class_figures(self.study.catalog, station.option.id)
        lead = f"{station.option.equipment.name} ({station.option.id})"
        return [lead, *(f"{path}: {value}  [{source}]" for path, value, source in figures)]

    def action_page(self, by: int) -> None:
        """The page before or after."""
        names = [page.id for page in self.pages]
        place = (names.index(self.page) + by) % len(names) if self.page in names else 0
        self.query_one(TabbedContent).active = names[place]

    def action_page_at(self, number: int) -> None:
        """A page by its number."""
        if number <= len(self.pages):
            self.query_one(TabbedContent).active = self.pages[number - 1].id

    def hear_answer(self, answered: Answered) -> None:
        """The whole answer has come after the layout was opened: its place is known now."""
        if answered.study is self.study and self.ranked is None:
            self.ranked = answered.answer.pick(self.layout_shown.id)
            self._made.clear()
            self._show_page()

    def subject_of_export(self) -> object:
        """This layout."""
        from lineconfig.tui.exporting import Matter
        from lineconfig.tui.screens.workbench import WorkbenchScreen

        bench = next((s for s in self.app.screen_stack if isinstance(s, WorkbenchScreen)), None)
        answered = bench.answered if bench is not None and bench.settled else None
        if not isinstance(answered, Answered) or answered.study is not self.study:
            return None
        return Matter(self.own.draft, answered, self.layout_shown, self.ranked, self.label)


def _station_number(row: Row) -> int | None:
    parts = row.basis[0].split(".") if row.basis else []
    return int(parts[1]) if len(parts) > 1 and parts[0] == "stations" else None
