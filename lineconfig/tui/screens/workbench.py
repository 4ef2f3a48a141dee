"""The workbench: the brief on one side, the ranked layouts beside it, solved again at a change."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.changes import Answered, Change
from lineconfig.errors import Problem
from lineconfig.explain import NoLayout
from lineconfig.layout import Layout
from lineconfig.present.text import VIEW_WORDS
from lineconfig.rank import Ranked
from lineconfig.session import Study
from lineconfig.tui.draft import problem_for
from lineconfig.tui.fields import ANNUAL, Field
from lineconfig.tui.rows import (
    Line,
    best_of_kinds,
    change_lines,
    clipped,
    column_heads,
    conflict_lines,
    heading_text,
    line_text,
    lines_of_kinds,
    numbered,
    openings_of,
)
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.solving import First, News, Told, Whole
from lineconfig.tui.widgets.entry import Choice, FieldRow
from lineconfig.tui.widgets.keyline import KeyLine
from lineconfig.tui.widgets.saying import say
from lineconfig.tui.widgets.sized import SizedList
from lineconfig.tui.widgets.title import TitleBar

MOST_COMPARED = 3
SHORT = 11
"""Letters of a word in a narrow row."""
TALL = 50
"""Lines of a screen from which what speaks for a layout is told in full."""
SECTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Wanted", ("prefer", "name", "product.kind", "product.carbonation",
                "product.fill_temperature", "product.heat_treatment", "speed")),
    ("Room", ("site.ceiling", "site.length", "site.width", "site.door.width", "site.door.height",
              "mobility")),
    ("People and money", ("staff.per_shift", "staff.wage", "budget", "horizon", "discount_rate",
                          "staff.ladder_work")),
    ("Hours", ("operation.hours_per_week", "operation.weeks_per_year",
               "operation.changeovers_per_week")),
    ("Supplies", ("rinse", "site.power.phases", "site.power.volts", "site.power.amperes",
                  "site.water", "site.air")),
)  # fmt: skip
"""The brief in the order in which it is worked with."""


class Answer(Message):
    """News from the solver's thread."""

    def __init__(self, news: News) -> None:
        super().__init__()
        self.news = news


class Ranking(SizedList):
    """The list of layouts."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Look")]


class Openings(OptionList):
    """What would open a line, where nothing fits."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Apply")]


class PickButton(Static, can_focus=True):
    """The line that opens the list of containers."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "press", "Pick"),
        Binding("space", "press", "Pick", show=False),
        Binding("up", "screen.field(-1)", show=False),
        Binding("down", "screen.field(1)", show=False),
    ]

    class Pressed(Message):
        """Containers are to be picked."""

    def action_press(self) -> None:
        """Ask for the list."""
        self.post_message(self.Pressed())

    def on_click(self) -> None:
        """As enter."""
        self.action_press()


class WorkbenchScreen(BriefScreen):
    """Brief and ranking."""

    PLACE = "workbench"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "Mark"),
        Binding("c", "compare", "Compare"),
        Binding("f6", "other_side", "Other side"),
        Binding("f5", "what_if", "What if"),
        Binding("f3", "kinds", "All"),
        Binding("escape", "leave", "Back"),
        *(Binding(str(n), f"apply({n})", show=False) for n in range(1, 10)),
    ]
    KEYS = (
        ("F6", "the other side: brief or ranking"),
        ("Up, Down", "field above or below; layout above or below"),
        ("F7, F8", "one step smaller or larger, in a field"),
        ("Enter", "on a layout: look at it in full"),
        ("Space, C", "on layouts: mark up to three, compare them"),
        ("F3", "best of each kind, or the best of all"),
        ("F5", "what if: step the field in hand and see where the first place changes"),
        ("1 to 9", "where nothing fits: apply that change"),
        ("Esc", "from the brief to the ranking, from there to the questions"),
    )

    NOTES = (
        "Each layout is the best line of its kind: of what unloads the empties and lowers them.",
        "to buy: machines, parts, freight, installation, a reserve",
        "people: on shift, to mind the line",
        "cpm: cans a minute that it makes with its stops",
        "m2: floor with room to walk and work",
        "years: what it costs to buy and run over so many years, in today's money",
        "k is thousands, M is millions.",
        "A sign before a name tells what the last change did (up, down, + new); * is marked.",
    )

    def __init__(self) -> None:
        super().__init__()
        self.study: Study | None = None
        self.answered: Answered | None = None
        self.first: Sequence[Layout] = ()
        self.changes: Sequence[Change] = ()
        self.lines: list[Line] = []
        self.marked: list[str] = []
        """Ids of the layouts that are to be compared."""
        self.all_of_all = False
        self.in_hand = ""
        """The key of the field that was edited last."""
        self.before_text = ""
        self.history: list[str] = []
        self.waiting = False

    # --- the brief -------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        with Horizontal(id="bench"):
            with VerticalScroll(id="brief", can_focus=False):
                yield from self._rows()
            with Vertical(id="answers"):
                yield Static("", id="heading", markup=False)
                yield Static("", id="columns", markup=False)
                yield Ranking(id="ranking", compact=True, markup=False)
                with VerticalScroll(id="nothing"):
                    yield Static("", id="conflict", markup=False)
                    yield Openings(id="openings", compact=True, markup=False)
                yield Static("", id="picked", markup=False)
                yield Static("What the last change did", id="changes-title", markup=False)
                with VerticalScroll(id="changes", can_focus=False):
                    yield Static("", id="change-text", markup=False)
            with VerticalScroll(id="beside", can_focus=False):
                yield Static("", id="beside-text", markup=False)
        yield KeyLine()

    def _rows(self) -> ComposeResult:
        own, form = self.own, self.own.form
        for title, keys in SECTIONS:
            yield Static(own.glyphs.said(title), classes="section", markup=False)
            for key in keys:
                field = form.by_key[key]
                yield FieldRow(field, own.draft.shown(field), own.glyphs)
            if title == "Wanted":
                yield PickButton("", id="containers", markup=False)
                yield Static("Cans a year of each", id="each", markup=False)
                yield Vertical(*self._format_rows(), id="formats")

    def _format_fields(self) -> list[Field]:
        entries = self.own.draft.value(("formats",)) or []
        fields = []
        for place, entry in enumerate(entries):
            container = entry.get("container") if isinstance(entry, dict) else None
            known = self.own.catalog.containers if self.own.catalog else {}
            found = known.get(container) if isinstance(container, str) else None
            size = found.name.split(" (")[0].removesuffix(" can") if found else "own container"
            label = "Cans a year" if len(entries) == 1 else clipped(size, 15).rstrip()
            fields.append(
                Field(
                    ("formats", place, "annual_cans"), label, ANNUAL.read, ANNUAL.question,
                    ANNUAL.purpose, ANNUAL.if_wrong, ANNUAL.example, step=ANNUAL.step,
                )
            )  # fmt: skip
        return fields

    def _format_rows(self) -> list[FieldRow]:
        own = self.own
        return [FieldRow(f, own.draft.shown(f), own.glyphs) for f in self._format_fields()]

    def on_mount(self) -> None:
        """Solve the brief as it stands."""
        self.show_title()
        self._show_containers()
        self.query_one("#nothing").display = False
        self.query_one("#ranking", OptionList).focus()
        self._solve()

    async def show_draft(self) -> None:
        """Another brief is in hand: show its values and solve it."""
        self.show_title()
        self.history, self.changes, self.marked, self.answered = [], (), [], None
        self.first, self.in_hand = (), ""
        for row in self.query(FieldRow):
            row.show(self.own.draft.shown(row.field))
        await self._show_formats()
        self._solve()

    def _show_containers(self) -> None:
        entries = self.own.draft.value(("formats",)) or []
        count = f"{len(entries)} container" + ("" if len(entries) == 1 else "s")
        text = f"Containers      {self.own.glyphs.right} {count}"
        self.query_one("#containers", PickButton).update(Content(self.own.glyphs.said(text)))
        self.query_one("#each").display = len(entries) > 1

    async def _show_formats(self) -> None:
        self._show_containers()
        formats = self.query_one("#formats", Vertical)
        await formats.remove_children()
        await formats.mount(*self._format_rows())

    @on(PickButton.Pressed)
    def _pick(self) -> None:
        from lineconfig.tui.screens.picking import ContainerDialog

        self.app.push_screen(ContainerDialog(), self._picked)

    async def _picked(self, chosen: list[str] | None) -> None:
        if chosen is None:
            return
        self._touch("formats", "Containers", "", "")
        self.own.draft.put_formats(chosen)
        self.own.edited()
        await self._show_formats()
        self._solve()

    @on(FieldRow.Edited)
    def _edited(self, event: FieldRow.Edited) -> None:
        draft = self.own.draft
        if event.value == draft.value(event.field.path):
            return
        self._touch(
            event.field.key, event.field.label, told_value(event.field, draft.shown(event.field)),
            told_value(event.field, "" if event.value is None else event.text),
        )  # fmt: skip
        draft.put(event.field.path, event.value)
        self._solve()
        self.own.edited()  # written to disk while it is being solved

    def _touch(self, key: str, label: str, before: str, after: str) -> None:
        """Note which field is in hand: changes are told against the answer before it."""
        solver = self.own.solver
        assert solver is not None
        if key != self.in_hand:
            solver.compare_from_here()
            self.in_hand, self.before_text = key, before
            self.history.insert(0, "")
        self.history[0] = f"{label}: {self.before_text} -> {after}" if before else label
        del self.history[20:]

    # --- solving ---------------------------------------------------------------------------------

    def _solve(self) -> None:
        solver, draft = self.own.solver, self.own.draft
        assert solver is not None
        stamp, cancel = solver.question()
        self.waiting = True
        if self.answered is None:
            self._head("Working out which lines fit ...")
        self.run_worker(
            partial(
                solver.solve, draft.text, draft.path.name if draft.path else "brief", stamp,
                cancel, self._hear,
            ),
            thread=True, group="solve", description="solve",
        )  # fmt: skip

    def _hear(self, news: News) -> None:
        """Take news over from the solver's thread."""
        self.post_message(Answer(news))

    @on(Answer)
    def _news(self, event: Answer) -> None:
        news, solver = event.news, self.own.solver
        if isinstance(news, First):
            self.call_after_refresh(news.painted.set)
        if solver is None or news.stamp != solver.stamp:
            return
        if isinstance(news, First):
            self.study, self.first = news.study, news.layouts
            self._complain(())
            self._show_ranking()
        elif isinstance(news, Whole):
            self.study, self.answered = news.answered.study, news.answered
            self.changes, self.waiting = news.changes, False
            self._show_ranking()
            self.own.have_answer(news.answered)
        elif isinstance(news, Told):
            self.changes = news.changes
            self._show_changes()
        else:
            self.waiting = False
            self._complain(news.problems)

    def _complain(self, problems: Sequence[Problem]) -> None:
        """Put each problem beside its field; the rest above the ranking."""
        left = list(problems)
        for row in self.query(FieldRow):
            found = problem_for(row.field.path, left)
            if found is not None:
                row.complain(found[1])
                left.remove(found[0])
            elif not row.field.read(row_text(row)).error:
                row.complain("")
        if problems:
            told = [problem.text for problem in left] or ["see the marked fields"]
            self._head("The brief cannot be worked out yet: " + "; ".join(told[:3]))

    def _head(self, text: str) -> None:
        say(self.query_one("#heading", Static), self.own.glyphs.said(text))

    # --- showing ---------------------------------------------------------------------------------

    @property
    def room(self) -> int:
        """Columns for a line of the ranking."""
        return max(30, self.query_one("#ranking", OptionList).size.width - 2)

    def _show_ranking(self) -> None:
        study, answered = self.study, self.answered
        fresh = answered is not None and answered.study is study
        none = not answered.answer.layouts if fresh and answered else not self.first
        ranking, openings = self.query_one(Ranking), self.query_one(Openings)
        among_answers = self.focused in (None, ranking, openings)
        self.query_one("#nothing").display = none
        for name in ("ranking", "columns", "picked"):
            self.query_one(f"#{name}").display = not none
        if among_answers:
            (openings if none else ranking).focus()
        if study is None:
            return
        if none:
            self._show_nothing(answered.answer.no_layout if fresh and answered else None)
            return
        lines = self._fresh_lines(answered) if fresh and answered else self._early_lines(study)
        self.lines = [replace(line, marked=line.layout.id in self.marked) for line in lines]
        self._fill()
        self._show_changes()

    def _fresh_lines(self, answered: Answered) -> list[Line]:
        """The whole answer: the best of each kind, or the best of all."""
        study, answer = answered.study, answered.answer
        if self.all_of_all:
            lines = numbered(lines_of_kinds(study, [(i.layout, i.told) for i in answer.layouts]))
            self._head(f"The {len(lines)} best of all, {VIEW_WORDS[answer.view]}")
            return lines
        moves = {change.family: change.move for change in self.changes}
        lines = lines_of_kinds(study, [(i.layout, i.told) for i in answer.arrangements])
        self._head(heading_text(study, len(lines), answer.view))
        return [replace(line, move=moves.get(line.layout.family, "same")) for line in lines]

    def _early_lines(self, study: Study) -> list[Line]:
        """What is first now, and below it what there was before and may still be."""
        view = VIEW_WORDS[study.need.view]
        if self.all_of_all:
            self._head(f"The {len(self.first)} best of all, {view}; more to come ...")
            return numbered(lines_of_kinds(study, [(layout, "") for layout in self.first]))
        lines = lines_of_kinds(study, [(layout, "") for layout in best_of_kinds(self.first)])
        self._head(f"The first now, {view}; more to come ...")
        known = {line.layout.family for line in lines}
        before = [line for line in self.lines if line.layout.family not in known]
        return lines + [replace(line, label="..", move="same", stale=True) for line in before]

    def _fill(self) -> None:
        ranking, study = self.query_one("#ranking", OptionList), self.study
        if study is None:
            return
        width, glyphs = self.room, self.own.glyphs
        say(self.query_one("#columns", Static), column_heads(study, width))
        at, tall = ranking.highlighted or 0, self.size.height >= TALL
        prompts = [Content(line_text(study, line, width, glyphs, tall)) for line in self.lines]
        if ranking.option_count == len(prompts):
            for place, prompt in enumerate(prompts):
                if ranking.get_option_at_index(place).prompt != prompt:
                    ranking.replace_option_prompt_at_index(place, prompt)
        else:
            ranking.clear_options()
            ranking.add_options(Option(prompt) for prompt in prompts)
        if prompts:
            ranking.highlighted = min(at, len(prompts) - 1)
        self._show_picked()
        self._show_beside()

    def _show_nothing(self, nothing: NoLayout | None) -> None:
        """Why nothing fits and what would open it, as far as that is known."""
        glyphs = self.own.glyphs
        self.lines = []
        self._head("No layout fits this brief.")
        openings = self.query_one("#openings", OptionList)
        openings.clear_options()
        if nothing is None:
            text = "Looking for what stands in the way, and what would open it ..."
            say(self.query_one("#conflict", Static), glyphs.said(text))
            return
        text = "\n".join(conflict_lines(nothing))
        how = "Its number or Enter takes it (F6 goes here):"
        if nothing.openings:
            text += f"\n\nEach of these changes alone would open a line. {how}"
        elif nothing.pairs:
            text += f"\n\nNo single change opens a line; each of these pairs does. {how}"
        else:
            text += "\n\nNo change of one or two values opens a line."
        say(self.query_one("#conflict", Static), glyphs.said(text))
        openings.add_options(
            Option(Content(glyphs.said(f"{n}  {opening.text}\n   {opening.layout.title}")))
            for n, opening in enumerate(openings_of(nothing), 1)
        )
        self._show_changes()

    def _show_changes(self) -> None:
        lines = list(self.history[:1]) if self.history else []
        if self.history and self.waiting:
            lines.append("  looking at what it does ...")
        elif self.history:
            lines += change_lines(self.changes, self.own.glyphs)
        lines += [f"before that: {text}" for text in self.history[1:4]]
        if not lines:
            lines = ["Nothing changed yet: edit a value on the left."]
        free = self.query_one("#changes").size.height
        say(self.query_one("#change-text", Static), self.own.glyphs.said("\n".join(lines)), free)

    def _show_picked(self) -> None:
        """The layout under the cursor in words: names are cut short above."""
        line = self.line
        text = f"{line.label}: {line.name}; {line.reason}" if line is not None else ""
        say(self.query_one("#picked", Static), self.own.glyphs.said(text))

    def _show_beside(self) -> None:
        """On a broad screen, the layout under the cursor in short."""
        beside = self.query_one("#beside")
        line = self.line
        if not beside.display or line is None or line.stale or self.study is None:
            return
        from lineconfig.tui.sheets import short_of

        width = max(40, beside.size.width - 3)
        text = short_of(self.study, line.layout, width, self.own.glyphs)
        title = self.own.glyphs.said(f"{line.label}  {line.name}\n\n{text}")
        say(self.query_one("#beside-text", Static), title)
        beside.scroll_home(animate=False)

    @on(SizedList.Sized)
    def _sized(self) -> None:
        """Lines follow the width."""
        self._fill()

    # --- acting ----------------------------------------------------------------------------------

    @property
    def line(self) -> Line | None:
        """The layout under the cursor."""
        at = self.query_one("#ranking", OptionList).highlighted
        return self.lines[at] if at is not None and at < len(self.lines) else None

    @property
    def settled(self) -> bool:
        """Whether the newest question has its whole answer."""
        return self.answered is not None and not self.waiting and self.answered.study is self.study

    def ranked(self, layout: Layout) -> Ranked | None:
        """A layout's place in the newest answer."""
        if self.answered is None or self.answered.study is not self.study:
            return None
        return self.answered.answer.pick(layout.id)

    @on(OptionList.OptionHighlighted, "#ranking")
    def _moved(self) -> None:
        self._show_picked()
        self._show_beside()

    @on(OptionList.OptionSelected, "#ranking")
    def _opened(self) -> None:
        line = self.line
        if line is None or self.study is None:
            return
        if line.stale:
            self.notify("One moment: it is being worked out again.")
            return
        from lineconfig.tui.screens.layout import LayoutScreen

        first = self.lines[0].layout if self.lines else None
        self.app.push_screen(
            LayoutScreen(self.study, line.layout, self.ranked(line.layout), first, line.label)
        )

    @on(OptionList.OptionSelected, "#openings")
    async def _opening(self, event: OptionList.OptionSelected) -> None:
        await self.action_apply(event.option_index + 1)

    async def action_apply(self, number: int) -> None:
        """Apply one of the changes that would open a layout."""
        nothing = self.answered.answer.no_layout if self.answered else None
        if nothing is None or self.waiting or number > len(openings_of(nothing)):
            return
        assert self.study is not None
        opening = openings_of(nothing)[number - 1]
        self._touch(f"opening-{number}", f"Opened by {opening.text}", "", "")
        self.own.draft.follow(self.study.need.brief, opening.need.brief)
        self.own.edited()
        for row in self.query(FieldRow):
            row.show(self.own.draft.shown(row.field))
        self._solve()

    def action_mark(self) -> None:
        """Mark the layout under the cursor for comparing, or take the mark off."""
        line = self.line
        if line is None or line.stale:
            return
        if line.layout.id in self.marked:
            self.marked.remove(line.layout.id)
        elif len(self.marked) < MOST_COMPARED:
            self.marked.append(line.layout.id)
        else:
            self.notify(f"At most {MOST_COMPARED} can be compared: take a mark off first.")
        self._show_ranking()

    def action_compare(self) -> None:
        """Compare the marked layouts; with one mark, that and the one under the cursor."""
        from lineconfig.tui.screens.compare import CompareScreen

        line, study = self.line, self.study
        if study is None or line is None:
            return
        names = list(self.marked)
        if len(names) < 2 and line.layout.id not in names:
            names.append(line.layout.id)
        if len(names) < 2 and self.lines:
            names.insert(0, self.lines[0].layout.id)
        chosen = [each for each in self.lines if each.layout.id in names and not each.stale]
        if len(chosen) < 2:
            self.notify("Mark two or three layouts with Space, then press C.")
            return
        ranked = [self.ranked(each.layout) for each in chosen]
        self.app.push_screen(CompareScreen(study, chosen, ranked))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Layouts are marked and compared where they are listed."""
        if action in ("mark", "compare"):
            return self.query_one("#ranking", OptionList).has_focus
        return super().check_action(action, parameters)

    def action_kinds(self) -> None:
        """The best of each kind, or the best of all."""
        self.all_of_all = not self.all_of_all
        self._show_ranking()

    def action_what_if(self) -> None:
        """Step the field in hand and see what becomes first."""
        from lineconfig.tui.screens.whatif import STEPPED, WhatIfScreen

        row = next((row for row in self.query(FieldRow) if row.entry.has_focus), None)
        key = row.field.key if row is not None and row.field.key in STEPPED else "site.ceiling"
        self.app.push_screen(WhatIfScreen(key), self._took)

    async def _took(self, taken: tuple[str, str] | None) -> None:
        """A value was taken over from what-if."""
        if taken is None:
            return
        key, text = taken
        field = self.own.form.by_key[key]
        self._touch(key, field.label, self.own.draft.shown(field) or "left out", text)
        self.own.draft.put(field.path, field.read(text).value)
        self._solve()
        self.own.edited()
        for row in self.query(FieldRow):
            if row.field.key == key:
                row.show(self.own.draft.shown(field))

    def action_other_side(self) -> None:
        """From the brief to the ranking and back."""
        inside = self.focused
        answers = self.query_one("#answers")
        if self.app.has_class("-tiny") or self.has_class("-tiny"):
            # Only one side has room; elsewhere all styles would be worked out again for nothing.
            self.set_class(inside is not None and answers in inside.ancestors, "-brief-side")
        if inside is not None and answers in inside.ancestors:
            row = next((r for r in self.query(FieldRow) if r.field.key == self.in_hand), None)
            (row or self.query(FieldRow).first()).entry.focus()
        elif self.query_one("#nothing").display:
            self.query_one("#openings", OptionList).focus()
        else:
            self.query_one("#ranking", OptionList).focus()

    def action_field(self, by: int) -> None:
        """The field above or below in the brief."""
        fields = [each for each in self.query_one("#brief").query("*") if each.can_focus]
        if self.focused in fields:
            place = fields.index(self.focused) + by
            fields[max(0, min(place, len(fields) - 1))].focus()

    def action_leave(self) -> None:
        """From the brief to the ranking, from there to the questions."""
        focused = self.focused
        if isinstance(focused, Input | Choice | PickButton):
            self.action_other_side()
        else:
            self.dismiss(None)

    def subject_of_export(self) -> object:
        """What can be written from here."""
        from lineconfig.tui.exporting import Matter

        if not self.settled or self.answered is None or self.study is None:
            return None
        line = self.line
        label = line.label if line is not None and self.lines else ""
        layout = line.layout if line is not None else None
        ranked = self.ranked(layout) if layout is not None else None
        return Matter(self.own.draft, self.answered, layout, ranked, label)


def told_value(field: Field, text: str) -> str:
    """A value of a field as its row shows it; what stands for one that is left out."""
    word = text or field.default
    return field.in_words(word, SHORT) if word else "left out"


def row_text(row: FieldRow) -> str:
    """What a row shows."""
    return row.entry.word if isinstance(row.entry, Choice) else row.entry.value
