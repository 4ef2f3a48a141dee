"""What a report is about: one study, the layouts chosen from it, and what is known of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from lineconfig.errors import InputError
from lineconfig.layout import Layout
from lineconfig.rank import LETTERS, Ranked, Recommendation
from lineconfig.report.words import Words
from lineconfig.rounding import amount_text
from lineconfig.session import Study

if TYPE_CHECKING:
    from lineconfig.assess.money import Range
    from lineconfig.drawing.paper import PaperName
    from lineconfig.findings.whole import Findings
    from lineconfig.growth.plan import Blocked, GrowthPlan
    from lineconfig.robustness import Sureness
    from lineconfig.schedule.plan import Schedule
    from lineconfig.switching import Switcher
    from lineconfig.switching_limits import LimitSwitch

USUAL = 3
"""The recommendation and two alternatives."""
MOST_CHOSEN = 6
"""More than these no table holds on a page."""


@dataclass(frozen=True)
class Choice:
    """One of the layouts that the report sets side by side."""

    label: str
    """Its number in the document."""
    place: str
    """Its rank or letter in the recommendation; empty for one chosen by its id."""
    layout: Layout
    ranked: Ranked | None
    record: dict[str, Any]
    """As `show --json` has it, simulated speeds included."""


@dataclass(eq=False)
class Subject:
    """Everything that the sections draw on; each figure is worked out once, when asked for."""

    study: Study
    answer: Recommendation
    brief_text: str
    words: Words
    wanted: tuple[str, ...] = ()
    hide_prices: bool = False
    overlays: tuple[str, ...] = ()
    paper: PaperName = "letter"
    growing: tuple[Study, int] | None = None
    """The study of the whole brief and the year of it that the report is about, where it is about
    one."""

    @cached_property
    def choices(self) -> tuple[Choice, ...]:
        """The layouts of the report, the recommended one first.

        Raises InputError for one that there is not.
        """
        return tuple(
            Choice(str(number), place, layout, ranked, self._record(layout, ranked))
            for number, (place, layout, ranked) in enumerate(self._chosen(), 1)
        )

    @cached_property
    def named(self) -> list[Ranked | Layout] | None:
        """The layouts that were asked for, first to last; None where none were.

        Raises InputError for one that there is not.
        """
        if not self.wanted:
            return None
        return [ranked or layout for _, layout, ranked in self._chosen()]

    @property
    def first(self) -> Choice:
        """The recommended layout."""
        return self.choices[0]

    def _record(self, layout: Layout, ranked: Ranked | None) -> dict[str, Any]:
        from lineconfig.present.confirmed import add_confirmed
        from lineconfig.present.records import layout_record

        record = layout_record(self.study, layout, ranked)
        add_confirmed(record, self.study, layout)
        return record

    def _chosen(self) -> list[tuple[str, Layout, Ranked | None]]:
        found: dict[str, tuple[str, Layout, Ranked | None]] = {}
        for place, layout, ranked in self._asked() if self.wanted else self._usual():
            found.setdefault(layout.id, (place, layout, ranked))
        return list(found.values())

    def _usual(self) -> list[tuple[str, Layout, Ranked | None]]:
        """The first of all, then the best of other kinds, then the next of all."""
        return [(place, item.layout, item) for place, item in usual(self.answer)]

    def _asked(self) -> Iterator[tuple[str, Layout, Ranked | None]]:
        from lineconfig.commands import picked

        for wanted in self.wanted:
            layout, ranked = picked(
                self.study, self.answer, wanted, self.answer.view, "--layouts", self.growing
            )
            yield (wanted.upper() if ranked and len(wanted) == 1 else "", layout, ranked)

    # --- what is known of the recommended layout -------------------------------------------------

    @cached_property
    def sureness(self) -> Sureness:
        """In how many draws each of the layouts of the report costs least of them."""
        from lineconfig.robustness import sureness

        layouts = [choice.layout for choice in self.choices]
        return sureness(layouts, seed=self.answer.seed, habits=self.study.terms.crew)

    @cached_property
    def findings(self) -> Findings:
        """Lifts, reach, guards, rinse, pressure and heat."""
        from lineconfig.findings.whole import findings_of

        return findings_of(self.study.inquiry, self.first.layout)

    @cached_property
    def switcher(self) -> Switcher:
        """What changes the answer."""
        from lineconfig.switching import Switcher

        return Switcher(self.study, self.answer.view, self.answer.known)

    @cached_property
    def limits(self) -> list[LimitSwitch]:
        """Where budget, people and ceiling change the answer."""
        from lineconfig.switching_limits import LimitSwitcher

        ranked = [item.layout for item in self.answer.layouts]
        return LimitSwitcher(self.switcher, ranked).all()

    @cached_property
    def growth(self) -> GrowthPlan | Blocked | None:
        """The growth path; None where nothing grows within the horizon."""
        from lineconfig.growth.phases import phases_of
        from lineconfig.growth.plan import plan_growth

        if len(phases_of(self.study.need, self.study.catalog)) < 2:
            return None
        return plan_growth(self.study)

    @cached_property
    def schedule(self) -> Schedule | None:
        """The running order of several formats; None with one."""
        from lineconfig.schedule.plan import schedule_of

        if len(self.study.need.formats) < 2:
            return None
        return schedule_of(self.study, self.first.layout, None)

    # --- words -----------------------------------------------------------------------------------

    def money(self, amount: float) -> str:
        """An amount in whole units of the currency."""
        return f"{amount_text(amount)} {self.study.need.currency}"

    def range_money(self, amounts: dict[str, float]) -> str:
        """A typical amount with its range, of a record."""
        if amounts["low"] == amounts["high"]:
            return amount_text(amounts["typical"])
        text = self.words(
            "money.range",
            typical=amount_text(amounts["typical"]),
            low=amount_text(amounts["low"]),
            high=amount_text(amounts["high"]),
        )
        # The range stays together where columns are wide enough for it.
        if len(self.choices) > USUAL:
            return text
        typical, blank, between = text.partition(" ")
        return typical + blank + between.replace(" ", "\N{NO-BREAK SPACE}")

    def format_name(self, format_id: str) -> str:
        """A format's name by its id."""
        return next(
            (fmt.container.name for fmt in self.study.need.formats if fmt.id == format_id),
            format_id,
        )

    def function(self, name: str) -> str:
        """The word for a function of the line."""
        return self.words.of("function", name)


def usual(answer: Recommendation) -> list[tuple[str, Ranked]]:
    """What is set side by side where nothing was asked for, with its rank or letter.

    The first of all, then the best of other kinds, then the next of all.
    """
    kinds = zip(LETTERS, answer.arrangements, strict=False)
    ranks = ((str(item.rank), item) for item in answer.layouts)
    found: dict[str, tuple[str, Ranked]] = {}
    for place, item in (("1", answer.layouts[0]), *kinds, *ranks):
        if len(found) < USUAL:
            found.setdefault(item.layout.id, (place, item))
    return list(found.values())


def checked_layouts(text: str | None) -> tuple[str, ...]:
    """The layouts that an option names, parted by commas.

    Raises InputError for none and for too many.
    """
    if text is None:
        return ()
    wanted = tuple(part.strip() for part in text.split(",") if part.strip())
    if not wanted or len(wanted) > MOST_CHOSEN:
        raise InputError.single(
            f"name 1 to {MOST_CHOSEN} layouts by rank, letter or id, such as 1,A,3",
            file="--layouts",
        )
    return wanted


def enough_for_all(wanted: tuple[str, ...]) -> int:
    """How many layouts to rank so that all that are wanted are among them."""
    from lineconfig.commands import enough_for

    return max(map(enough_for, wanted or ("1",)))


def as_record(amounts: Range) -> dict[str, float]:
    """A range as a record has it."""
    from lineconfig.present.money import range_record

    return range_record(amounts)
