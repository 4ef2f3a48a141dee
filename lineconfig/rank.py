"""Ranking: what each layout means beside the others, and the whole recommendation."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lineconfig.assess.finance import annuity_factor
from lineconfig.brief import View
from lineconfig.explain import NoLayout, why_nothing
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.robustness import Sureness, sureness
from lineconfig.session import DEFAULT_TOP, Study

SEED = 1
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""What kinds of arrangement are called, best first."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """A layout with its place and its figures against the cheapest to buy."""

    rank: int
    layout: Layout
    payback_years: float | None
    """Against the valid layout with the lowest first cost; 0 for that one, None for never."""
    net_present_value: float
    """Of choosing it instead of the layout with the lowest first cost."""
    stays_first: float | None
    """Share of draws in which it is the first of those looked at."""
    reason: str
    """One line: what speaks for it; empty where nothing sets it apart."""
    drawbacks: tuple[str, ...] = ()
    """What speaks against it, beside the others or by itself."""

    @property
    def told(self) -> str:
        """One line: what speaks for it, and what against."""
        against = f"but {', '.join(self.drawbacks)}" if self.drawbacks else ""
        if self.reason and against:
            return f"{self.reason}, {against}"
        return self.reason or against.removeprefix("but ") or "nothing sets it apart"


@dataclass(frozen=True, slots=True)
class Recommendation:
    """The answer to a brief."""

    need: Need
    view: View
    layouts: tuple[Ranked, ...]
    """The best overall, in order: the complete list as far as it goes."""
    arrangements: tuple[Ranked, ...]
    """The best of each kind of arrangement, in the same order; `rank` counts kinds."""
    complete: bool
    valid_layouts: int | None
    """All layouts that meet every rule and limit, where that is known."""
    no_layout: NoLayout | None
    seed: int
    seconds: float
    sureness: Sureness | None = None
    """What the draws say of the best overall, at least `DEFAULT_TOP` of them; None where nothing is
    valid."""

    def pick(self, wanted: str) -> Ranked | None:
        """The layout of a rank (`1`), of an arrangement's letter (`A`) or of an id among these."""
        if wanted.isdecimal():
            place = int(wanted) - 1
            return self.layouts[place] if 0 <= place < len(self.layouts) else None
        if len(wanted) == 1 and wanted.upper() in LETTERS:
            place = LETTERS.index(wanted.upper())
            return self.arrangements[place] if place < len(self.arrangements) else None
        shown = (*self.layouts, *self.arrangements)
        return next((item for item in shown if item.layout.id == wanted), None)

    @property
    def known(self) -> list[Layout]:
        """Every layout of both lists: all are valid for the need."""
        return [item.layout for item in (*self.layouts, *self.arrangements)]


def recommend(study: Study, *, top: int = DEFAULT_TOP, view: View | None = None) -> Recommendation:
    """Solve, rank and explain."""
    started = time.perf_counter()
    view = view or study.need.view
    # Shares of draws are taken among as many as are usually shown, whatever is asked for.
    layouts = study.best(max(top, DEFAULT_TOP), view)
    if not layouts:
        reason = why_nothing(study)
        proved = study.room is None or not study.room.given_up
        elapsed = time.perf_counter() - started
        return Recommendation(study.need, view, (), (), proved, 0, reason, SEED, elapsed)
    arrangements = study.arrangements(view)
    cheapest = study.cheapest
    assert cheapest is not None
    sure = sureness(layouts, seed=SEED, habits=study.terms.crew)
    return Recommendation(
        need=study.need,
        view=view,
        layouts=_ranked(study, layouts, cheapest, sure)[:top],
        arrangements=_ranked(
            study, arrangements, cheapest,
            sureness(arrangements, seed=SEED, habits=study.terms.crew),
        ),
        complete=study.room is None or not study.room.given_up,
        valid_layouts=(
            len(layouts) if len(layouts) < max(top, DEFAULT_TOP) else study.valid_layouts
        ),
        no_layout=None,
        seed=SEED,
        seconds=time.perf_counter() - started,
        sureness=sure,
    )  # fmt: skip


def _ranked(
    study: Study, layouts: list[Layout], cheapest: Layout, sure: Sureness
) -> tuple[Ranked, ...]:
    return tuple(
        Ranked(
            rank=rank,
            layout=layout,
            payback_years=_payback(layout, cheapest),
            net_present_value=_worth(study, layout, cheapest),
            stays_first=share,
            reason=reason_for(layout, layouts, cheapest),
            drawbacks=drawbacks_of(layout, layouts[0]),
        )
        for rank, (layout, share) in enumerate(zip(layouts, sure.shares, strict=True), 1)
    )


def _payback(layout: Layout, cheapest: Layout) -> float | None:
    extra = layout.money.first_cost.typical - cheapest.money.first_cost.typical
    saving = cheapest.money.annual_total - layout.money.annual_total
    if extra <= 0:
        return 0.0
    return extra / saving if saving > 0 else None


def _worth(study: Study, layout: Layout, cheapest: Layout) -> float:
    extra = layout.money.first_cost.typical - cheapest.money.first_cost.typical
    saving = cheapest.money.annual_total - layout.money.annual_total
    return saving * annuity_factor(study.need.discount_rate, study.need.horizon_years) - extra


STRENGTHS: tuple[tuple[str, Callable[[Layout], float]], ...] = (
    ("lowest life-cycle cost", lambda layout: layout.money.life_cycle_cost.typical),
    ("fewest people", lambda layout: layout.crew.people),
    ("least floor", lambda layout: layout.floor.area_m2),
    ("quickest changeover", lambda layout: layout.changeover_person_min),
    ("fastest", lambda layout: -layout.speed.effective[0]),
)
"""What a layout can be best in, and the figure that decides: least is best."""
SHARED_BY_MOST = 3
"""A strength that more layouts than this share is none."""


NOT_RINSED, CASE_ONLY = "cans not rinsed", "date on the case only"
"""Rinsing is advised nearly always, and a code on every container is commonly asked for so that it
can be traced (common practice)."""


def reason_for(layout: Layout, others: Sequence[Layout], cheapest: Layout) -> str:
    """One line: in what the layout is best of these; empty for nothing."""
    said = []
    if layout.id == cheapest.id:
        said.append("lowest first cost of all")
    for words, figure in STRENGTHS:
        values = [round(figure(item), 2) for item in others]
        best = min(values)
        if round(figure(layout), 2) == best < max(values) and values.count(best) <= SHARED_BY_MOST:
            said.append(words)
    if layout is not others[0]:
        change = _over_life(layout, others[0])
        if change < 0:
            said.append(f"{-change:.1%} cheaper over its life than the first")
    return ", ".join(said)


def drawbacks_of(layout: Layout, first: Layout) -> tuple[str, ...]:
    """What speaks against a layout: no rinse, no code on the can, a higher cost of life."""
    said = []
    if all(station.function != "rinse" for station in layout.stations):
        said.append(NOT_RINSED)
    if codes_the_case_only(layout):
        said.append(CASE_ONLY)
    if layout is not first:
        change = _over_life(layout, first)
        if change >= 0:
            said.append(f"{change:.1%} dearer over its life than the first")
    return tuple(said)


def codes_the_case_only(layout: Layout) -> bool:
    """Whether the date is printed on the case alone."""
    places = [s.option.equipment.place for s in layout.stations if s.function == "code"]
    return all(place == "on-case" for place in places)


def _over_life(layout: Layout, first: Layout) -> float:
    """What a layout costs more than the first over its life, as a share."""
    cost, least = (item.money.life_cycle_cost.typical for item in (layout, first))
    return cost / least - 1
