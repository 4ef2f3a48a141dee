"""A study for quick answers while a brief is edited.

Its list is made once: asked for one layout first, then for ten, it goes on from the one instead of
beginning anew. So the first place is on the screen while the rest is looked for. What an edit
leaves as it was comes from a pool, and what came first before shortens the search: nothing of this
changes an answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from lineconfig.brief import View
from lineconfig.layout import Layout
from lineconfig.session import DEFAULT_TOP, Study
from lineconfig.varying.pooled import PooledStudy

SETTLED: Iterator[Layout] = iter(())
"""Stands for a list that is not gone on with."""


@dataclass
class _List:
    """Layouts so far, and where more come from."""

    more: Iterator[Layout]
    layouts: list[Layout] = field(default_factory=list)
    ended: bool = False

    def reach(self, count: int) -> None:
        """Go on until there are so many, or no more."""
        wanted = count - len(self.layouts)
        if wanted > 0 and not self.ended:
            self.layouts += islice(self.more, wanted)
            self.ended = len(self.layouts) < count


@dataclass(eq=False)
class ListingStudy(PooledStudy):
    """A study for one thread that keeps its lists until it is settled."""

    before: Layout | None = None
    """What came first before the brief was edited."""
    _lists: dict[View, _List] = field(init=False, default_factory=dict)

    def best(
        self, count: int, view: View | None = None, *, reached: float = math.inf
    ) -> list[Layout]:
        """The best few layouts."""
        if reached < math.inf:
            return super().best(count, view, reached=reached)
        view = view or self.need.view
        kept = self._lists.get(view)
        if kept is None:
            kept = self._lists[view] = _List(self.layouts(view, reached=self._reached(view)))
        if kept.more is SETTLED and not kept.ended and count > len(kept.layouts):
            return super().best(count, view)
        kept.reach(count)
        if not kept.layouts and self.room is not None and self.room.given_up:
            # The list begins anew among fewer machines, and that is not gone on from.
            kept.layouts = super().best(max(count, DEFAULT_TOP), view)
            kept.ended, kept.more = len(kept.layouts) < DEFAULT_TOP, SETTLED
        return kept.layouts[:count]

    def _reached(self, view: View) -> float:
        """A life-cycle cost that some line has: the one that came first before, where it is still
        allowed."""
        if self.before is None or view != "life-cycle-cost":
            return math.inf
        only: dict[str, frozenset[str]] = {}
        for station in self.before.stations:
            if station.function != "convey":
                only[station.function] = only.get(station.function, frozenset()) | {
                    station.option.id
                }
        found = next(self.search.ranked(view, only), None)
        return math.inf if found is None else found.cost

    def plain(self) -> Study:
        """The same study by itself: for other threads, and to be kept."""
        return Study(self.need, self.catalog, self.rules, self.without, self.only)

    def settle(self) -> None:
        """Let go of what more layouts would come from: the search's open ends take memory."""
        for kept in self._lists.values():
            kept.more = SETTLED
