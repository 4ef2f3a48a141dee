"""Which limit of the brief changes the answer: the nearest budget, people and ceiling at which
another layout comes first.

A layout stays first while a limit shrinks down to what the layout itself takes of it: nothing that
is ordered before it was allowed at the wider limit either. Under a lower ceiling it may still stand
by taking its stacks in parts, with more work: there, and beyond the brief's own limit, the value is
closed in on from both sides. A layout found at some value is allowed from what it takes of the
limit on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Literal

from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.sections import infeed_heights_mm
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.session import Study
from lineconfig.switching import Switcher
from lineconfig.varying import needs
from lineconfig.varying.pooled import PooledStudy

LimitName = Literal["budget", "people", "ceiling"]
LIMIT_NAMES: tuple[LimitName, ...] = ("budget", "people", "ceiling")
HIGH_CEILING_MM = 100_000.0
"""Higher than any line: with its rules left aside a ceiling would still part the stacks."""
MOST_SOLVED = 12
"""Values beyond the brief's own that are solved for, limit by limit."""
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Edge:
    """A value of a limit from which on, or below which, another layout is first."""

    value: float
    layout: Layout | None
    """What is first there; None where nothing is valid."""
    exact: bool = True
    """False where the first place may change a little nearer to the brief's value."""


@dataclass(frozen=True, slots=True)
class LimitSwitch:
    """Where the first place changes as one limit moves."""

    limit: LimitName
    field: str
    unit: str
    now: float | None
    """As the brief has it; None where it states none."""
    below: Edge | None
    """Below this the first drops out; what comes first then."""
    above: Edge | None
    """From this on another comes first; None where none does, however wide the limit."""


@dataclass(frozen=True)
class _Limit:
    name: LimitName
    field: str
    unit: str
    step: float
    taken: Callable[[Inquiry, Layout], float]
    """What a layout takes of the limit, in whole steps."""
    write: Callable[[Need, float], Need]
    given_up: Callable[[Study], Study]
    """The same study without the limit."""


def ceiling_taken_mm(inquiry: Inquiry, layout: Layout) -> float:
    """The lowest ceiling under which a layout stands as it is [mm]."""
    highest_mm = layout.highest.height_mm
    return float(math.ceil(highest_mm + inquiry.habits.ceiling_clearance_mm - SLACK))


def least_ceiling_mm(inquiry: Inquiry, layout: Layout) -> float:
    """The lowest ceiling under which a layout stands at all, its stacks taken in parts [mm]."""
    machines_mm = [
        station.height_mm + inquiry.habits.ceiling_clearance_mm
        for station in layout.stations
        if station.function != "unload"  # its deck may be lower then: the heights know it
    ]
    return float(math.ceil(max(layout.heights.ceiling_needed_mm, *machines_mm) - SLACK))


def _first_cost(_: Inquiry, layout: Layout) -> float:
    return float(math.ceil(layout.money.first_cost.typical - SLACK))


def _without(limit: str) -> Callable[[Study], Study]:
    return lambda study: study.varied(without=study.without | {limit})


def under_no_ceiling(study: Study) -> Study:
    """The same study under a ceiling that no line reaches."""
    return study.varied(need=needs.with_ceiling(study.need, HIGH_CEILING_MM))


def _limits(study: PooledStudy) -> dict[LimitName, tuple[_Limit, float | None]]:
    brief, currency = study.need.brief, study.need.currency
    budget, people = brief.budget, brief.staff.per_shift
    return {
        "budget": (
            _Limit("budget", "budget", currency, 1.0, _first_cost, needs.with_budget,
                   _without("budget")),
            None if budget is None else float(budget),
        ),
        "people": (
            _Limit("people", "staff.per_shift", "people", 1.0,
                   lambda _, layout: float(layout.crew.people), needs.with_people,
                   _without("people")),
            None if people is None else float(people),
        ),
        "ceiling": (
            _Limit("ceiling", "site.ceiling", "mm", 1.0, ceiling_taken_mm, needs.with_ceiling,
                   under_no_ceiling),
            study.inquiry.ceiling_mm,
        ),
    }  # fmt: skip


class LimitSwitcher:
    """Finds the edges of one study's limits; it shares what a `Switcher` has worked out.

    `ranked` are the first layouts of the brief in their order, none left out: a smaller budget or
    crew only takes some of them away.
    """

    def __init__(self, switcher: Switcher, ranked: Sequence[Layout] = ()) -> None:
        self.switcher = switcher
        self.study = switcher.study
        self.ranked = ranked

    def all(self) -> list[LimitSwitch]:
        """Each limit, whether the brief states it or not.

        Raises ValueError for a brief that no layout meets.
        """
        first = self.switcher.first
        if first is None:
            raise ValueError("no layout is valid: there is none to change hands")
        limits = _limits(self.study)
        # Mostly no limit keeps a better layout out: one question settles all of them then.
        binding = [
            limit
            for limit, now in limits.values()
            if now is not None and (limit.name != "ceiling" or self._ceiling_binds)
        ]
        better = self._better(binding, first) if binding else None
        return [
            LimitSwitch(
                limit.name, limit.field, limit.unit, now, self._below(limit, first),
                None
                if better is None or now is None or limit not in binding
                else self._above(limit, now, first),
            )
            for limit, now in limits.values()
        ]  # fmt: skip

    @cached_property
    def _ceiling_binds(self) -> bool:
        """Whether any unloader would stand otherwise, or any machine come in, without a ceiling."""
        refusals = self.study.admission.refusals.values()
        if any(each.rule.id == "machine-under-ceiling" for found in refusals for each in found):
            return True
        inquiry, options = self.study.inquiry, self.study.admission.options
        return any(
            inquiry.heights(*chosen, ceiling=True) != inquiry.heights(*chosen, ceiling=False)
            for chosen in product(
                options["supply"], options["unload"], options["lower"],
                infeed_heights_mm(options["fill"]),
            )
        )  # fmt: skip

    def _better(self, limits: Sequence[_Limit], first: Layout) -> Layout | None:
        """What comes before the first once some limits are given up."""
        free: Study = self.study
        for limit in limits:
            free = limit.given_up(free)
        best = free.best(1, self.switcher.view, reached=self._reached(first))
        return best[0] if best and best[0].id != first.id else None

    def _reached(self, layout: Layout) -> float:
        by_cost = self.switcher.view == "life-cycle-cost"
        return layout.money.life_cycle_cost.typical if by_cost else math.inf

    def _at(self, limit: _Limit, value: float, reached: float = math.inf) -> Layout | None:
        return self.switcher.solved(limit.write(self.study.need, value), reached)

    # --- a smaller limit -------------------------------------------------------------------------

    def _below(self, limit: _Limit, first: Layout) -> Edge | None:
        value = limit.taken(self.study.inquiry, first)
        if value - limit.step <= 0:
            return Edge(value, None)
        if limit.name != "ceiling":
            for layout in self.ranked:
                if limit.taken(self.study.inquiry, layout) < value:
                    return Edge(value, layout)
        found = self._at(limit, value - limit.step, self._known_below(limit, value))
        if found is None or found.id != first.id:
            return Edge(value, found)
        if limit.name != "ceiling":
            return None
        high, low = value - limit.step, least_ceiling_mm(self.study.inquiry, first) - limit.step
        if low >= high:
            return None
        below = self._at(limit, low)
        # Mostly it stays first as long as it stands at all.
        tried = low + limit.step
        while high - low > limit.step:
            found = self._at(limit, tried)
            if found is not None and found.id == first.id:
                high = tried
            else:
                low, below = tried, found
            tried = low + math.ceil((high - low) / limit.step / 2) * limit.step
        return Edge(high, below)

    def _known_below(self, limit: _Limit, value: float) -> float:
        """What some known layout costs that keeps to a smaller limit as it is."""
        if limit.name == "ceiling":
            return math.inf  # under another ceiling it may cost something else
        return min(
            (
                self._reached(layout)
                for layout in self.switcher.known.values()
                if limit.taken(self.study.inquiry, layout) < value
            ),
            default=math.inf,
        )

    # --- a wider limit ---------------------------------------------------------------------------

    def _above(self, limit: _Limit, now: float, first: Layout) -> Edge | None:
        free = self._better([limit], first)
        if free is None:
            return None
        low, high, best = now, limit.taken(self.study.inquiry, free), free
        if high <= now:
            return None
        reached = self._reached(first) if limit.name != "ceiling" else math.inf
        for number in range(MOST_SOLVED):
            if high - low <= limit.step:
                return Edge(high, best)
            # Just below what is known to do, then half way: which is sooner there is not known.
            middle = low + math.floor((high - low) / limit.step / 2) * limit.step
            tried = high - limit.step if number % 2 == 0 else middle
            found = self._at(limit, tried, reached)
            if found is None or found.id == first.id:
                low = tried
            else:
                high, best = min(tried, limit.taken(self.study.inquiry, found)), found
        return Edge(high, best, exact=False)
