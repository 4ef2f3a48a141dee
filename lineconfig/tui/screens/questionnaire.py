"""The questionnaire: a dozen questions, one at a time, the answers so far beside them."""

from __future__ import annotations

import threading
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.tui.fields import Field, Typed
from lineconfig.tui.rows import clipped
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.widgets.containers import ContainerPicker
from lineconfig.tui.widgets.keyline import KeyLine
from lineconfig.tui.widgets.saying import say
from lineconfig.tui.widgets.sized import SizedList
from lineconfig.tui.widgets.title import TitleBar

if TYPE_CHECKING:
    from lineconfig.layout import Layout
    from lineconfig.session import Study

LABEL_WIDTH = 13


class SoFar(Message):
    """What the answers so far lead to."""

    def __init__(
        self, cancel: threading.Event, study: Study | None, layout: Layout | None, wrong: str = ""
    ) -> None:
        super().__init__()
        self.cancel, self.study, self.layout, self.wrong = cancel, study, layout, wrong


class Answer(Input):
    """Where an answer is typed; the arrows go to the question before or after."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.go(-1)", show=False),
        Binding("down", "screen.go(1)", show=False),
        Binding("enter", "submit", "Next"),
        Binding("f7,ctrl+down", "step(-1)", "Smaller", show=False),
        Binding("f8,ctrl+up", "step(1)", "Larger", show=False),
    ]

    field: Field | None = None

    async def action_submit(self) -> None:
        """Take the answer at once: the next key may be meant for the next question already."""
        if isinstance(self.screen, QuestionScreen):
            self.screen.take_answer()

    def action_step(self, direction: int) -> None:
        """One step up or down."""
        if self.field is not None:
            self.value = self.field.stepped(self.value, direction)


class QuestionScreen(BriefScreen):
    """One question at a time."""

    PLACE = "questions"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("shift+tab", "go(-1)", "Back", key_display="Shift+Tab", priority=True),
        Binding("f4", "skip", "Not known"),
        Binding("f2", "layouts", "Layouts"),
        Binding("tab", "go(1)", "Next", show=False, priority=True),
        Binding("escape", "put_back", "Put back", show=False),
    ]
    KEYS = (
        ("Enter", "take the answer and go on"),
        ("Tab, Shift+Tab", "next question, question before"),
        ("F4", "not known: leave it out"),
        ("Esc", "put back what was there"),
        ("F7, F8", "one step smaller, one step larger"),
        ("Space", "mark a container"),
        ("F2", "see the layouts now"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.at = 0
        self.looked_at: set[str] = set()
        self.looked_through = ""
        """The brief whose first line is shown, or worked out, beside the questions."""
        self.cancel = threading.Event()

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        with Horizontal(id="asking"):
            yield SizedList(id="asked", compact=True, markup=False)
            with VerticalScroll(id="question", can_focus=False):
                yield Static("", id="number", markup=False)
                yield Static("", id="wording", markup=False)
                yield Static("", id="purpose", markup=False)
                with Vertical(id="answer"):
                    yield Answer(id="typed", compact=True, select_on_focus=True)
                    yield OptionList(id="words", compact=True, markup=False)
                yield Static("", id="said", markup=False)
                yield Static("", id="if-wrong", markup=False)
                yield Static("", id="not-known", markup=False)
            with VerticalScroll(id="so-far", can_focus=False):
                yield Static("", id="so-far-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Ask the first question."""
        self.query_one("#asked", OptionList).can_focus = False
        self.show_draft()

    def show_draft(self) -> None:
        """Show the brief in hand from the first question on."""
        self.show_title()
        self._ask()

    def on_screen_resume(self) -> None:
        """The workbench may have changed the answers."""
        self.show_title()
        self._ask()

    def on_lineconfig_app_catalog_read(self) -> None:
        """Containers can be picked now."""
        self._ask()

    @property
    def field(self) -> Field:
        """The question being asked."""
        return self.own.form.questions[self.at]

    # --- asking ----------------------------------------------------------------------------------

    def _ask(self) -> None:
        field, glyphs = self.field, self.own.glyphs
        questions = self.own.form.questions
        self._list()
        needed = field.required or field.path == ("formats",)
        for name, text in (
            ("number", f"{self.at + 1} of {len(questions)}"),
            ("wording", field.question),
            ("purpose", field.purpose),
            ("if-wrong", f"If it is wrong: {field.if_wrong}"),
            ("not-known", "" if needed else "Not known? F4 leaves it out."),
        ):
            self.query_one(f"#{name}", Static).update(Content(glyphs.said(text)))
        picked = field.path == ("formats",)
        typed, words = self.query_one("#typed", Answer), self.query_one("#words", OptionList)
        typed.display = not picked and not field.choices
        words.display = bool(field.choices)
        for old in self.query(ContainerPicker):
            old.remove()
        if picked:
            self._ask_for_containers()
        elif field.choices:
            words.clear_options()
            words.add_options(
                Option(Content(glyphs.said(told)), id=word) for word, told in field.choices
            )
            chosen = self.own.draft.shown(field)
            names = [word for word, _ in field.choices]
            words.highlighted = names.index(chosen) if chosen in names else 0
            words.focus()
            self._say("")
        else:
            typed.field = field
            with typed.prevent(Input.Changed):
                typed.value = self.own.draft.shown(field)
            typed.placeholder = field.example
            typed.focus()
            typed.action_select_all()
            self._judge(field.read(typed.value))

    def _ask_for_containers(self) -> None:
        catalog = self.own.catalog
        if catalog is None:
            self._say("reading the catalogue")
            return
        chosen = [
            entry.get("container")
            for entry in self.own.draft.value(("formats",)) or []
            if isinstance(entry, dict)
        ]
        picker = ContainerPicker(
            list(catalog.containers.values()),
            [name for name in chosen if isinstance(name, str)],
            self.own.glyphs,
        )
        self.query_one("#answer", Vertical).mount(picker)
        self._say("Space marks each one that the line has to run.")

    def _list(self) -> None:
        self._look_ahead()
        asked, glyphs = self.query_one("#asked", OptionList), self.own.glyphs
        width = max(20, (asked.size.width or 30) - 1)
        prompts = []
        for place, field in enumerate(self.own.form.questions):
            shown = self._shown(field, width - LABEL_WIDTH - 3)
            seen = field.key in self.looked_at
            mark = glyphs.right if place == self.at else glyphs.on if seen else glyphs.off
            line = f"{mark} {clipped(field.label, LABEL_WIDTH)} {shown or '-'}"
            prompts.append(Content(glyphs.said(clipped(line, width).rstrip())))
        if asked.option_count == len(prompts):
            for place, prompt in enumerate(prompts):
                asked.replace_option_prompt_at_index(place, prompt)
        else:
            asked.clear_options()
            asked.add_options(Option(prompt) for prompt in prompts)
        asked.highlighted = self.at

    def _shown(self, field: Field, room: int) -> str:
        draft = self.own.draft
        if field.path == ("formats",):
            entries = draft.value(("formats",)) or []
            if not entries:
                return ""
            more = f" +{len(entries) - 1}" if len(entries) > 1 else ""
            first = entries[0].get("container") if isinstance(entries[0], dict) else None
            known = self.own.catalog.containers if self.own.catalog else {}
            found = known.get(first) if isinstance(first, str) else None
            name = found.name.split(" (")[0] if found is not None else "own container"
            return clipped(name, room - len(more)).rstrip() + more
        shown = draft.shown(field)
        if field.choices:
            word = field.in_words(shown or field.default, room)
            return word if shown else f"({word})"
        return shown

    @on(SizedList.Sized)
    def _sized(self) -> None:
        """The list follows the width."""
        self._list()

    # --- what it leads to, on a broad screen --------------------------------------------------

    def _look_ahead(self) -> None:
        """Work out which line would come first with the answers so far."""
        text, catalog = self.own.draft.text, self.own.catalog
        if catalog is None or text == self.looked_through or not self.query_one("#so-far").display:
            return
        self.cancel.set()
        self.cancel, self.looked_through = threading.Event(), text
        if not self.query_one("#so-far-text", Static).content:
            self._tell_ahead("Working out which line would come first ...")
        self.run_worker(
            partial(self._work_out, text, self.cancel), thread=True, group="so-far",
            description="so far",
        )  # fmt: skip

    def _work_out(self, text: str, cancel: threading.Event) -> None:
        """Find the first line of a brief; for a thread."""
        from lineconfig.choose.sections import CancelledError
        from lineconfig.errors import InputError
        from lineconfig.need_reading import need_of_text
        from lineconfig.session import Study

        catalog = self.own.catalog
        assert catalog is not None
        try:
            need = need_of_text(text, "brief", catalog)
            best = Study(need, catalog, cancel=cancel).best(1)
        except InputError as error:
            self.post_message(SoFar(cancel, None, None, error.problems[0].text))
        except CancelledError:
            return  # another answer came
        else:
            self.post_message(SoFar(cancel, Study(need, catalog), best[0] if best else None))

    @on(SoFar)
    def _ahead(self, event: SoFar) -> None:
        if event.cancel is not self.cancel:
            return
        if event.study is None:
            self._tell_ahead(f"No line can be worked out yet: {event.wrong}")
        elif event.layout is None:
            self._tell_ahead("No line fits these answers. F2 tells why, and what would open one.")
        else:
            from lineconfig.tui.sheets import in_short, short_of

            width = max(40, self.query_one("#so-far").size.width - 3)
            self._tell_ahead(
                f"With these answers, first comes\n{in_short(event.study, event.layout)}\n\n"
                + short_of(event.study, event.layout, width, self.own.glyphs)
            )

    def _tell_ahead(self, text: str) -> None:
        say(self.query_one("#so-far-text", Static), self.own.glyphs.said(text))

    def on_screen_suspend(self) -> None:
        """Another screen is looked at: what is not known by now can wait."""
        self.cancel.set()
        self.looked_through = ""

    # --- answering -------------------------------------------------------------------------------

    def _say(self, text: str, wrong: bool = False) -> None:
        said = self.query_one("#said", Static)
        said.set_class(wrong, "-wrong")
        said.update(Content(self.own.glyphs.said(text)))

    def _judge(self, typed: Typed) -> bool:
        """Say how an answer is understood, or what is wrong with it."""
        field = self.field
        if typed.error:
            self._say(f"! {typed.error}", wrong=True)
            return False
        if typed.value is None:
            if field.required:
                self._say(f"! This one is needed, for example {field.example}", wrong=True)
                return False
            self._say("left out")
            return True
        catalog = self.own.catalog
        if catalog is not None and typed.value != self.own.draft.value(field.path):
            from lineconfig.tui.draft import Draft

            trial = Draft(self.own.draft.text)
            trial.put(field.path, typed.value)
            complaint = trial.complaint(field, catalog)
            if complaint:
                self._say(f"! {complaint}", wrong=True)
                return False
        self._say(f"= {typed.echo}" if typed.echo else "")
        return True

    @on(Input.Changed, "#typed")
    def _typed(self, event: Input.Changed) -> None:
        if event.value != event.input.value:
            return  # typed before this question was asked
        typed = self.field.read(event.value)
        if self._judge(typed):
            self._put(typed)

    def _put(self, typed: Typed) -> None:
        if typed.value != self.own.draft.value(self.field.path):
            self.own.draft.put(self.field.path, typed.value)
            self.own.edited()
            self._list()

    def take_answer(self) -> None:
        """Take what is typed, and go on."""
        typed = self.field.read(self.query_one("#typed", Answer).value)
        if self._judge(typed):
            self._put(typed)
            self._next()

    @on(OptionList.OptionSelected, "#words")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._put(self.field.read(str(event.option.id)))
        self._next()

    @on(ContainerPicker.Marked)
    def _marked(self, event: ContainerPicker.Marked) -> None:
        self.own.draft.put_formats(event.chosen)
        self.own.edited()
        self._list()

    @on(ContainerPicker.Accepted)
    def _accepted(self) -> None:
        picker = self.query_one(ContainerPicker)
        if not picker.chosen and picker.options.highlighted is not None:
            picker.toggle(picker.containers[picker.options.highlighted].id)
            self.own.draft.put_formats(picker.chosen)
            self.own.edited()
        self._next()

    @on(OptionList.OptionSelected, "#asked")
    def _jumped(self, event: OptionList.OptionSelected) -> None:
        if self._settled():
            self.at = event.option_index
            self._ask()
        else:
            self._list()

    def _next(self) -> None:
        self.looked_at.add(self.field.key)
        if self.at + 1 < len(self.own.form.questions):
            self.at += 1
            self._ask()
        else:
            self.action_layouts()

    def action_go(self, by: int) -> None:
        """Another question; one whose text cannot be read is mended first."""
        if not self._settled():
            return
        self.looked_at.add(self.field.key)
        self.at = (self.at + by) % len(self.own.form.questions)
        self._ask()

    def _settled(self) -> bool:
        """Whether the text in hand can be read; if not, say what to do."""
        typed = self.query_one("#typed", Answer)
        if not typed.display or self._judge(self.field.read(typed.value)):
            return True
        before = self.own.draft.shown(self.field)
        said = self.query_one("#said", Static)
        back = f" (Esc puts back {before})" if before else ""
        said.update(Content(self.own.glyphs.said(f"{said.content}{back}")))
        return False

    def action_put_back(self) -> None:
        """Take the text back to what is in the brief."""
        self._ask()

    def action_skip(self) -> None:
        """Not known: leave it out, and go on."""
        field = self.field
        if field.required or field.path == ("formats",):
            self._say("! This one is needed: no line can be worked out without it.", wrong=True)
            return
        self.own.draft.put(field.path, None)
        self.own.edited()
        self._next()

    def action_layouts(self) -> None:
        """Go to the ranked layouts."""
        if not self._settled():
            return
        if self.own.solver is None:
            self._say("reading the catalogue: one moment")
            return
        from lineconfig.tui.screens.workbench import WorkbenchScreen

        self.app.push_screen(WorkbenchScreen())
