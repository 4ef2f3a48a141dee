"""What if: one number of the brief stepped up and down, and what is first at each step."""

from __future__ import annotations

import threading
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Footer, OptionList, Static
from textual.widgets.option_list import Option

from lineconfig.changes import arrangement_name
from lineconfig.choose.sections import CancelledError
from lineconfig.editing import with_value
from lineconfig.present.text import short_amount
from lineconfig.quantities import LENGTH, feet_and_inches, parse_number
from lineconfig.session import Study
from lineconfig.tui.draft import ORDER
from lineconfig.tui.fields import Field
from lineconfig.tui.rows import clipped
from lineconfig.tui.screens.base import BriefScreen
from lineconfig.tui.widgets.title import TitleBar
from lineconfig.whatif import Point, Switch, point_at, switch_between

STEPPED = (
    "site.ceiling", "speed", "staff.wage", "budget", "site.length", "site.width",
    "operation.hours_per_week", "staff.per_shift", "product.carbonation", "horizon",
    "discount_rate", "operation.changeovers_per_week",
)  # fmt: skip
"""Fields that can be stepped."""
WHOLE = ("staff.per_shift",)
STEPS_EACH_WAY = 5
STARTS = {"budget": "300000", "speed": "40", "site.length": "60 ft", "site.width": "30 ft",
          "staff.per_shift": "4", "staff.wage": "28", "product.carbonation": "2.5 vol",
          "horizon": "7", "discount_rate": "8 %", "operation.hours_per_week": "40",
          "operation.changeovers_per_week": "1"}  # fmt: skip
"""Where to begin for a field that is left out."""


class Found(Message):
    """One step, or one switching value, has been solved."""

    def __init__(self, stamp: int, place: int, told: Point | Switch, name: str) -> None:
        super().__init__()
        self.stamp, self.place, self.told, self.name = stamp, place, told, name


class WhatIfScreen(BriefScreen):
    """A ladder of values."""

    PLACE = "what if"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss(None)", "Back"),
        Binding("left", "turn(-1)", "Field before", show=False, priority=True),
        Binding("right", "turn(1)", "Next field", key_display="right", priority=True),
        Binding("f7", "shift(-1)", "Lower"),
        Binding("f8", "shift(1)", "Higher"),
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
        self.told: dict[int, tuple[Point, str]] = {}
        self.switches: dict[int, Switch] = {}

    @property
    def field(self) -> Field:
        """The field that is stepped."""
        return self.own.form.by_key[self.key]

    def compose(self) -> ComposeResult:
        """The widgets."""
        yield TitleBar()
        with Vertical(id="ladder"):
            yield Static("", id="ladder-title", markup=False)
            yield Static("", id="ladder-heads", markup=False)
            yield OptionList(id="steps", compact=True, markup=False)
            yield Static("", id="ladder-told", markup=False)
        yield Footer(compact=True, show_command_palette=False)

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
        self.told, self.switches = {}, {}
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
        try:
            for place in sorted(range(len(texts)), key=lambda place: abs(place - start)):
                study: list[Study] = []

                def solve(_: float, place: int = place, study: list[Study] = study) -> Study:
                    study.append(self._study(text, texts[place], cancel))
                    return study[0]

                point = point_at(solve, self.value_of(texts[place]))
                points[place] = point
                name = arrangement_name(study[0], point.layout) if point.layout else ""
                self.post_message(Found(stamp, place, point, name))
            if self.key in WHOLE:
                return
            for place in range(len(texts) - 1):
                below, above = points[place], points[place + 1]
                if below.family != above.family and not below.refused and not above.refused:
                    resolution = max((above.value - below.value) / 500, 1e-9)
                    switch = switch_between(
                        lambda value, like=texts[place]: self._study(  # type: ignore[misc]
                            text, self.text_at(value, like), cancel
                        ),
                        below, above, resolution,
                    )  # fmt: skip
                    self.post_message(Found(stamp, place, switch, ""))
        except CancelledError:
            return  # another ladder is on its way

    @on(Found)
    def _found(self, event: Found) -> None:
        if event.stamp != self.stamp:
            return
        if isinstance(event.told, Switch):
            self.switches[event.place] = event.told
        else:
            self.told[event.place] = (event.told, event.name)
        self._show()

    # --- showing ---------------------------------------------------------------------------------

    def _show(self) -> None:
        glyphs, steps = self.own.glyphs, self.query_one("#steps", OptionList)
        width = max(60, self.size.width - 4)
        name_width = max(16, width - 48)
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
                f"{'to buy':>8}{'people':>8}{'life':>9}"
            )
        )
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

    def _step_text(self, place: int, name_width: int) -> str:
        text = self.texts[place]
        here = self.own.glyphs.right if text == self.now else " "
        lead = f"{here} {clipped(text, 16)} "
        if place not in self.told:
            line = f"{lead}..."
        else:
            point, name = self.told[place]
            if point.layout is None:
                line = lead + (point.refused or "nothing fits")
                line = clipped(line, name_width + 44).rstrip()
            else:
                money = point.layout.money
                line = (
                    f"{lead}{clipped(name, name_width)}"
                    f"{short_amount(money.first_cost.typical):>8}{point.layout.crew.people:>8}"
                    f"{short_amount(money.life_cycle_cost.typical):>9}"
                )
        if place in self.switches:
            switch = self.switches[place]
            at = self.told_at(switch.above.value, text)
            line += f"\n  {self.own.glyphs.across * 3} the first place changes hands near {at}"
        return line

    def _summary(self) -> str:
        if len(self.told) < len(self.texts):
            return f"solving: {len(self.told)} of {len(self.texts)} values"
        at = self.query_one("#steps", OptionList).highlighted
        if at is not None and at in self.told and self.told[at][1]:
            return f"{self.texts[at]}: {self.told[at][1]}. Enter takes it into the brief."
        families = {point.family for point, _ in self.told.values()}
        if len(families) == 1:
            return "The same kind of line is first at every value shown."
        return "Enter takes the value under the cursor into the brief."

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

    @on(OptionList.OptionSelected, "#steps")
    def _take(self, event: OptionList.OptionSelected) -> None:
        self.dismiss((self.key, self.texts[event.option_index]))  # type: ignore[arg-type]
