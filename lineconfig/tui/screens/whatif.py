"""What if: one number of the brief stepped up and down, and what is first at each step."""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.changes import arrangement_name
from lineconfig.choose.sections import CancelledError
from lineconfig.editing import with_value
from lineconfig.present.text import short_amount
from lineconfig.quantities import LENGTH, feet_and_inches, parse_number
from lineconfig.session import Study
from lineconfig.switching import Parameter, Switcher
from lineconfig.tui.draft import ORDER
from lineconfig.tui.fields import Field
from lineconfig.tui.memory import let_go_of_rooms
from lineconfig.tui.rows import clipped, cost_chart
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.widgets.keyline import KeyLine
from lineconfig.tui.widgets.saying import say
from lineconfig.tui.widgets.title import TitleBar
from lineconfig.whatif import Point, point_at, switch_between

STEPPED = (
    "site.ceiling", "speed", "staff.wage", "budget", "site.length", "site.width",
    "operation.hours_per_week", "staff.per_shift", "product.carbonation", "horizon",
    "discount_rate", "operation.changeovers_per_week",
)  # fmt: skip
"""Fields that can be stepped."""
WHOLE = ("staff.per_shift",)
STEPS_EACH_WAY = 5
WIDEST_NAME = 76
WIDEST_SCALE = 72
LOWEST_CHART, HIGHEST_CHART = 8, 16
"""Lines between which a chart is of use."""
STARTS = {"budget": "300000", "speed": "40", "site.length": "60 ft", "site.width": "30 ft",
          "staff.per_shift": "4", "staff.wage": "28", "product.carbonation": "2.5 vol",
          "horizon": "7", "discount_rate": "8 %", "operation.hours_per_week": "40",
          "operation.changeovers_per_week": "1"}  # fmt: skip
"""Where to begin for a field that is left out."""


EXACT: dict[str, Parameter] = {
    "staff.wage": "wage", "speed": "speed", "horizon": "horizon", "discount_rate": "discount_rate",
}  # fmt: skip
"""Fields whose switching values are traced instead of closed in on."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A value at which the first place changes hands."""

    value: float
    exact: bool
    same_kind: bool = False
    """Whether the line that takes over unloads and lowers in the same way."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is first at one value."""

    point: Point
    name: str = ""
    """Its kind in words."""
    study: Study | None = None
    """The brief with this value, where it is sound."""


class Found(Message):
    """One step has been solved."""

    def __init__(self, stamp: int, place: int, told: Told) -> None:
        super().__init__()
        self.stamp, self.place, self.told = stamp, place, told


class Marked(Message):
    """The switching values between the steps have been solved."""

    def __init__(self, stamp: int, marks: list[Mark]) -> None:
        super().__init__()
        self.stamp, self.marks = stamp, marks


class Scale(Static):
    """The values as a slider: a click goes to the step nearest to it."""

    class Picked(Message):
        """A place on the scale was clicked."""

        def __init__(self, share: float) -> None:
            super().__init__()
            self.share = share

    start, length = 0, 1
    """Where the line begins, and how long it is [columns]."""

    def on_click(self, event: events.Click) -> None:
        """Go there."""
        self.post_message(self.Picked((event.x - self.start) / max(1, self.length - 1)))


class Steps(OptionList):
    """The values, one a line."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "Take it")]


class WhatIfScreen(BriefScreen):
    """A ladder of values."""

    PLACE = "what if"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "Field before", show=False, priority=True),
        Binding("right", "turn(1)", "Next field", key_display="Right", priority=True),
        Binding("f7", "shift(-1)", "Lower"),
        Binding("f8", "shift(1)", "Higher"),
        Binding("escape", "dismiss(None)", "Back"),
    ]
    KEYS = (
        ("Left, Right", "another field"),
        ("Up, Down", "values"),
        ("F7, F8", "five steps lower, five steps higher"),
        ("Enter", "take the value under the cursor into the brief"),
        ("Esc", "back, and leave the brief as it is"),
    )

    def __init__(self, key: str) -> None:
        super().__init__()
        self.key = key
        self.moved_by = 0
        self.stamp = 0
        self.cancel = threading.Event()
        self.texts: list[str] = []
        self.now = ""
        self.told: dict[int, Told] = {}
        self.marks: list[Mark] | None = None
        """Values at which the first place changes hands, also beyond the ladder where they could
        be traced; None while they are looked for."""

    @property
    def field(self) -> Field:
        """The field that is stepped."""
        return self.own.form.by_key[self.key]

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        with Horizontal():
            with Vertical(id="ladder"):
                yield Static("", id="ladder-title", markup=False)
                yield Scale("", id="ladder-scale", markup=False)
                yield Static("", id="ladder-heads", markup=False)
                yield Steps(id="steps", compact=True, markup=False)
                yield Static("", id="ladder-chart", markup=False)
                yield Static("", id="ladder-told", markup=False)
            with VerticalScroll(id="step-beside", can_focus=False):
                yield Static("", id="step-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Solve the first ladder."""
        self.show_title()
        self.query_one("#steps", OptionList).focus()
        self.call_after_refresh(self._begin)

    def on_unmount(self) -> None:
        """Stop solving."""
        self.cancel.set()

    # --- values ----------------------------------------------------------------------------------

    def _ladder(self) -> list[str]:
        """The texts of the values, smallest first, the present one among them."""
        field = self.field
        self.now = self.own.draft.shown(field)
        start = self.now or str(field.read(STARTS[self.key]).value)
        texts, text = [start], start
        for _ in range(STEPS_EACH_WAY - self.moved_by):
            smaller = field.stepped(text, -1)
            if smaller == text:
                break
            texts.insert(0, smaller)
            text = smaller
        text = start
        for _ in range(STEPS_EACH_WAY + self.moved_by):
            larger = field.stepped(text, 1)
            if larger == text:
                break
            texts.append(larger)
            text = larger
        rungs = 2 * STEPS_EACH_WAY + 1
        return texts[-rungs:] if self.moved_by > 0 else texts[:rungs]

    def value_of(self, text: str) -> float:
        """The number of a text, in the field's base unit."""
        if self.key.startswith("site."):
            return float(LENGTH.parse(text))
        return parse_number(text.split(maxsplit=1)[0])

    def text_at(self, value: float, like: str) -> str:
        """The text of a number that lies between two steps, written as one of them is."""
        if self.key.startswith("site."):
            return f"{value:.0f} mm"
        if self.key in WHOLE:
            return f"{round(value)}"
        unit = " ".join(like.split()[1:])
        return f"{value:.6g} {unit}".strip()

    def told_at(self, value: float, like: str) -> str:
        """A number as it is read."""
        if self.key.startswith("site."):
            return f"{feet_and_inches(value)} ({value:,.0f} mm)"
        unit = " ".join(like.split()[1:])
        return f"{value:,.4g} {unit}".strip() if value < 10_000 else f"{value:,.0f} {unit}".strip()

    # --- solving ---------------------------------------------------------------------------------

    def _begin(self) -> None:
        self.cancel.set()
        self.cancel = threading.Event()
        self.stamp += 1
        self.told, self.marks = {}, None
        self.texts = self._ladder()
        self._show()
        steps = self.query_one("#steps", OptionList)
        start = self.texts.index(self.now) if self.now in self.texts else len(self.texts) // 2
        steps.highlighted = start
        self.run_worker(
            partial(self._solve_all, self.stamp, self.cancel, self.own.draft.text, start),
            thread=True, group="what-if", description="what if",
        )  # fmt: skip

    def _study(self, text: str, value: str, cancel: threading.Event) -> Study:
        from lineconfig.need_reading import need_of_text

        catalog = self.own.catalog
        assert catalog is not None
        typed = self.field.read(value)
        edited = with_value(text, self.field.path, typed.value, ORDER)
        return Study(need_of_text(edited, "brief", catalog), catalog, cancel=cancel)

    def _solve_all(self, stamp: int, cancel: threading.Event, text: str, start: int) -> None:
        """From the present value outwards, then the switching values; for a thread."""
        texts = list(self.texts)
        points: dict[int, Point] = {}
        present: Study | None = None
        try:
            for place in sorted(range(len(texts)), key=lambda place: abs(place - start)):
                study: list[Study] = []

                def solve(_: float, place: int = place, study: list[Study] = study) -> Study:
                    study.append(self._study(text, texts[place], cancel))
                    return study[0]

                point = points[place] = point_at(solve, self.value_of(texts[place]))
                if place == start and point.layout is not None and texts[place] == self.now:
                    present = study[0]
                told = Told(point)
                if point.layout is not None:
                    # By itself: what was worked out for the search is not kept.
                    alone = Study(study[0].need, study[0].catalog)
                    told = Told(point, arrangement_name(alone, point.layout), alone)
                self.post_message(Found(stamp, place, told))
            marks, low, high = self._traced(present)
            for place in range(len(texts) - 1):
                below, above = points[place], points[place + 1]
                if not (low <= below.value and above.value <= high):
                    marks += self._closed_in(text, texts[place], below, above, cancel)
        except CancelledError:
            return  # another ladder is on its way
        finally:
            let_go_of_rooms()
        self.post_message(Marked(stamp, sorted(marks, key=lambda mark: mark.value)))

    def _traced(self, present: Study | None) -> tuple[list[Mark], float, float]:
        """Switching values of a field that can be traced, and the ends of what was traced."""
        parameter = EXACT.get(self.key)
        none: tuple[list[Mark], float, float] = ([], math.inf, -math.inf)
        if parameter is None or present is None:
            return none
        if parameter != "speed" and present.need.view != "life-cycle-cost":
            return none  # the straight lines that are followed are those of this cost
        traced = Switcher(present).of(parameter)
        if traced is None or traced.now <= 0:
            return none
        unit = self.value_of(self.now) / traced.now
        families = [item.layout.family if item.layout else "" for item in traced.stretches]
        marks = [
            Mark(value * unit, traced.exact, before == after)
            for value, (before, after) in zip(traced.values, pairwise(families), strict=True)
        ]
        return marks, traced.low * unit, traced.high * unit

    def _closed_in(
        self, text: str, like: str, below: Point, above: Point, cancel: threading.Event
    ) -> list[Mark]:
        """The switching value between two steps with different first layouts."""
        if self.key in WHOLE or below.family == above.family or below.refused or above.refused:
            return []
        switch = switch_between(
            lambda value: self._study(text, self.text_at(value, like), cancel),
            below, above, max((above.value - below.value) / 500, 1e-9),
        )  # fmt: skip
        return [Mark(switch.above.value, exact=False)]

    @on(Found)
    def _found(self, event: Found) -> None:
        if event.stamp == self.stamp:
            self.told[event.place] = event.told
            self._show()

    @on(Marked)
    def _marked(self, event: Marked) -> None:
        if event.stamp == self.stamp:
            self.marks = event.marks
            self._show()

    # --- showing ---------------------------------------------------------------------------------

    def _show(self) -> None:
        glyphs, steps = self.own.glyphs, self.query_one("#steps", OptionList)
        width = max(60, self.query_one("#ladder").size.width - 2)
        name_width = min(WIDEST_NAME, max(16, width - 48))
        label = self.field.label
        place = STEPPED.index(self.key) + 1
        self.query_one("#ladder-title", Static).update(
            Content(
                glyphs.said(
                    f"{glyphs.left} {label} {glyphs.right}   ({place} of {len(STEPPED)}; "
                    "Left and Right change it)"
                )
            )
        )
        self.query_one("#ladder-heads", Static).update(
            Content(
                f"   {clipped(label.lower(), 16)}{clipped('first layout', name_width)}"
                f"{'to buy':>8}{'people':>8}{'life cost':>11}"
            )
        )
        self._show_scale()
        prompts = [
            Content(glyphs.said(self._step_text(place, name_width)))
            for place in range(len(self.texts))
        ]
        if steps.option_count == len(prompts):
            for place, prompt in enumerate(prompts):
                steps.replace_option_prompt_at_index(place, prompt)
        else:
            steps.clear_options()
            steps.add_options(Option(prompt) for prompt in prompts)
        self.query_one("#ladder-told", Static).update(Content(glyphs.said(self._summary())))
        self._show_chart()
        self._show_beside()

    def _show_chart(self) -> None:
        """What buying and running cost at each value, where there is height for it."""
        chart, steps = self.query_one("#ladder-chart", Static), self.query_one("#steps", OptionList)
        lines = sum(1 + len(self._marks_above(place)) for place in range(len(self.texts)))
        free = self.query_one("#ladder").size.height - 6 - lines - 2
        costs = [self._costs(place) for place in range(len(self.texts))]
        chart.display = free >= LOWEST_CHART and any(costs)
        steps.styles.height = lines + 1 if chart.display else "1fr"
        if chart.display:
            width = self.query_one("#ladder").size.width - 2
            text = "\n".join(
                cost_chart(costs, self.texts, width, min(free, HIGHEST_CHART), self.own.glyphs)
            )
            chart.update(Content(self.own.glyphs.said(text)))

    def _costs(self, place: int) -> tuple[float, float] | None:
        """To buy, and over its life; None where nothing fits or it is not known yet."""
        told = self.told.get(place)
        if told is None or told.point.layout is None:
            return None
        money = told.point.layout.money
        return money.first_cost.typical, money.life_cycle_cost.typical

    def _show_beside(self) -> None:
        """On a broad screen, the line under the cursor in short."""
        beside, at = (
            self.query_one("#step-beside"),
            self.query_one("#steps", OptionList).highlighted,
        )
        if not beside.display or at is None:
            return
        from lineconfig.tui.sheets import short_of

        told, text = self.told.get(at), ""
        if told is not None and told.study is not None and told.point.layout is not None:
            width = max(40, beside.size.width - 3)
            lines = short_of(told.study, told.point.layout, width, self.own.glyphs)
            text = f"{self.texts[at]}: {told.name}\n\n{lines}"
        say(self.query_one("#step-text", Static), self.own.glyphs.said(text))
        beside.scroll_home(animate=False)

    def _step_text(self, place: int, name_width: int) -> str:
        text = self.texts[place]
        here = self.own.glyphs.right if text == self.now else " "
        lead = f"{here} {clipped(text, 16)} "
        if place not in self.told:
            line = f"{lead}..."
        else:
            point, name = self.told[place].point, self.told[place].name
            if point.layout is None:
                line = lead + (point.refused or "nothing fits")
                line = clipped(line, name_width + 44).rstrip()
            else:
                money = point.layout.money
                line = (
                    f"{lead}{clipped(name, name_width)}"
                    f"{short_amount(money.first_cost.typical):>8}{point.layout.crew.people:>8}"
                    f"{short_amount(money.life_cycle_cost.typical):>11}"
                )
        for mark in self._marks_above(place):
            at = f"{'at' if mark.exact else 'near'} {self.told_at(mark.value, text)}"
            told = "another line of this kind comes first"
            told = told if mark.same_kind else "the first place changes hands"
            line += f"\n  {self.own.glyphs.across * 3} {told} {at}"
        return line

    def _marks_above(self, place: int) -> list[Mark]:
        """Switching values from a step up to the next."""
        if not self.marks or place + 1 >= len(self.texts):
            return []
        low, high = (self.value_of(text) for text in self.texts[place : place + 2])
        last = place + 2 == len(self.texts)
        return [m for m in self.marks if low <= m.value and (m.value < high or last)]

    def _show_scale(self) -> None:
        """The values on a line: where the cursor is, and where the first place changes hands."""
        scale, glyphs = self.query_one("#ladder-scale", Scale), self.own.glyphs
        values = [self.value_of(text) for text in self.texts]
        ends = f"{self.texts[0]} ", f" {self.texts[-1]}"
        room = min(WIDEST_SCALE, self.query_one("#ladder").size.width - 2 - sum(map(len, ends)))
        if values[-1] <= values[0] or room < 10:
            scale.update("")
            return
        line = [glyphs.across] * room

        def at(value: float) -> int:
            return round((value - values[0]) / (values[-1] - values[0]) * (room - 1))

        for mark in self.marks or ():
            if values[0] <= mark.value <= values[-1]:
                line[at(mark.value)] = glyphs.upright
        place = self.query_one("#steps", OptionList).highlighted
        if place is not None and place < len(values):
            line[at(values[place])] = glyphs.on
        scale.start, scale.length = len(ends[0]), room
        scale.update(Content(glyphs.said("".join((ends[0], *line, ends[1])))))

    @on(Scale.Picked)
    def _slid(self, event: Scale.Picked) -> None:
        values = [self.value_of(text) for text in self.texts]
        wanted = values[0] + event.share * (values[-1] - values[0])
        nearest = min(range(len(values)), key=lambda place: abs(values[place] - wanted))
        self.query_one("#steps", OptionList).highlighted = nearest

    def _summary(self) -> str:
        if len(self.told) < len(self.texts):
            return f"solving: {len(self.told)} of {len(self.texts)} values"
        if self.marks is None:
            return "looking for where the first place changes hands ..."
        at = self.query_one("#steps", OptionList).highlighted
        if at is not None and at in self.told and self.told[at].name:
            told = f"{self.texts[at]}: {self.told[at].name}. Enter takes it into the brief."
        else:
            told = "Enter takes the value under the cursor into the brief."
        return f"{told}\n{self._beyond()}".rstrip()

    def _beyond(self) -> str:
        """The nearest switching values below and above the ladder, as far as they were traced."""
        low, high = (self.value_of(self.texts[place]) for place in (0, -1))
        marks = [mark for mark in self.marks or () if not mark.same_kind]
        below = [mark.value for mark in marks if mark.value < low]
        above = [mark.value for mark in marks if mark.value > high]
        ends = [(below[-1:], "lower down (F7)"), (above[:1], "higher up (F8)")]
        found = [f"{where} at {self.told_at(v, self.texts[0])}" for vs, where in ends for v in vs]
        return f"The first place also changes hands {' and '.join(found)}." if found else ""

    def on_resize(self) -> None:
        """Lines follow the width."""
        if self.texts:
            self.call_after_refresh(self._show)

    # --- acting ----------------------------------------------------------------------------------

    def action_turn(self, by: int) -> None:
        """Another field."""
        self.key = STEPPED[(STEPPED.index(self.key) + by) % len(STEPPED)]
        self.moved_by = 0
        self._begin()

    def action_shift(self, by: int) -> None:
        """Five steps lower or higher."""
        self.moved_by += by * STEPS_EACH_WAY
        self._begin()

    @on(OptionList.OptionHighlighted, "#steps")
    def _moved(self) -> None:
        self.query_one("#ladder-told", Static).update(
            Content(self.own.glyphs.said(self._summary()))
        )
        self._show_scale()
        self._show_beside()

    @on(OptionList.OptionSelected, "#steps")
    def _take(self, event: OptionList.OptionSelected) -> None:
        self.dismiss((self.key, self.texts[event.option_index]))  # type: ignore[arg-type]
