"""Solves the working brief in a thread; the newest change wins.

The worker touches no widget: it posts messages that carry the stamp of their question.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lineconfig.errors import InputError, Problem

if TYPE_CHECKING:
    from lineconfig.catalog import Catalog
    from lineconfig.changes import Answered, Change
    from lineconfig.layout import Layout
    from lineconfig.session import Study
    from lineconfig.varying.pooled import Pool

LATEST = 3
"""Edited briefs whose stations are kept, so that the next edit need not work them out again."""
QUESTIONS = 30
"""After so many questions everything is worked out anew: what is learned takes memory."""
LONGEST_PAINTING_S = 0.2
"""How long the first place is waited for to be on the screen."""


@dataclass(frozen=True)
class First:
    """What comes first, before the rest is worked out; no layout where nothing fits."""

    stamp: int
    study: Study
    layouts: Sequence[Layout]
    painted: threading.Event = field(default_factory=threading.Event)
    """Set once it is on the screen: the rest is gone on with then, for one thread at a time works.
    """


@dataclass(frozen=True)
class Whole:
    """The whole recommendation, and what changed since the one before."""

    stamp: int
    answered: Answered
    changes: Sequence[Change]


@dataclass(frozen=True)
class Told:
    """The same changes with their reasons."""

    stamp: int
    changes: Sequence[Change]


@dataclass(frozen=True)
class Unsound:
    """The brief has problems, so there is nothing to solve."""

    stamp: int
    problems: Sequence[Problem]


News = First | Whole | Told | Unsound


@dataclass
class Solver:
    """Asks one question at a time and calls off the one before."""

    catalog: Catalog
    stamp: int = 0
    turn: threading.Lock = field(default_factory=threading.Lock)
    cancel: threading.Event = field(default_factory=threading.Event)
    last: Answered | None = None
    """The newest answer."""
    base: Answered | None = None
    """The answer to compare with: the one before the field in hand was touched."""
    at_work: threading.Lock = field(default_factory=threading.Lock)
    """Held while a question is worked on: the pool is for one thread at a time."""
    pool: Pool | None = None
    asked: int = 0
    """Questions put to the pool."""

    def question(self) -> tuple[int, threading.Event]:
        """Call off what is being solved; the stamp and switch of the next question."""
        with self.turn:
            self.cancel.set()
            self.cancel = threading.Event()
            self.stamp += 1
            return self.stamp, self.cancel

    def _is_answered(self, stamp: int, answered: Answered) -> bool:
        """Keep an answer; False where it comes too late.

        What is asked of its study from now on is not called off by the next question.
        """
        with self.turn:
            if stamp != self.stamp:
                return False
            self.cancel = threading.Event()
            self.last = answered
            return True

    def compare_from_here(self) -> None:
        """Let the next changes be told against the newest answer."""
        self.base = self.last or self.base

    def solve(
        self, text: str, label: str, stamp: int, cancel: threading.Event,
        tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        """Answer one question; for a thread. Ends early, and without a word, when called off."""
        from lineconfig.choose.sections import CancelledError

        try:
            self._solve(text, label, stamp, cancel, tell)
        except InputError as error:
            if not cancel.is_set():
                tell(Unsound(stamp, error.problems))
        except CancelledError:
            return  # the next question is on its way

    def _solve(
        self, text: str, label: str, stamp: int, cancel: threading.Event,
        tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        from lineconfig.changes import Answered, ranking_changes, with_reasons
        from lineconfig.choose.sections import CancelledError
        from lineconfig.need_reading import need_of_text
        from lineconfig.rank import recommend
        from lineconfig.tui.listing import ListingStudy

        need = need_of_text(text, label, self.catalog)
        with self.at_work:
            if cancel.is_set():
                raise CancelledError("called off")
            last = self.last.answer.layouts if self.last is not None else ()
            study = ListingStudy(
                need, self.catalog, cancel=cancel, pool=self._pool(),
                before=last[0].layout if last else None,
            )  # fmt: skip
            shown = study.plain()
            first = First(stamp, shown, study.best(1))
            tell(first)
            first.painted.wait(LONGEST_PAINTING_S)
            answered = Answered(study, recommend(study))
            study.settle()
            self._tidy()
            if not self._is_answered(stamp, answered):
                return
            before = self.base
            changes = ranking_changes(before, answered) if before else []
            tell(Whole(stamp, Answered(shown, answered.answer), changes))
            if before and any(change.move in ("new", "gone") for change in changes):
                told = with_reasons(changes, before, answered, lambda: stamp != self.stamp)
                tell(Told(stamp, told))

    def _pool(self) -> Pool:
        """What the briefs before this have in common with it."""
        from lineconfig.varying.pooled import Pool

        self.asked += 1
        if self.pool is None or self.asked % QUESTIONS == 0:
            self.pool = Pool()
        return self.pool

    def _tidy(self) -> None:
        """Keep what the next edit may need, and let go of the rest."""
        from lineconfig.tui.memory import let_go_of_rooms

        if self.pool is not None:
            self.pool.trim(LATEST)
        let_go_of_rooms()
