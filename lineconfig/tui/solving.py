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


@dataclass(frozen=True)
class First:
    """What comes first, before the rest is worked out; no layout where nothing fits."""

    stamp: int
    study: Study
    layouts: Sequence[Layout]


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
        from lineconfig.need_reading import need_of_text
        from lineconfig.rank import recommend
        from lineconfig.tui.listing import ListingStudy

        study = ListingStudy(need_of_text(text, label, self.catalog), self.catalog, cancel=cancel)
        tell(First(stamp, study, study.best(1)))
        answered = Answered(study, recommend(study))
        study.settle()
        if not self._is_answered(stamp, answered):
            return
        before = self.base
        changes = ranking_changes(before, answered) if before else []
        tell(Whole(stamp, answered, changes))
        if before and any(change.move in ("new", "gone") for change in changes):
            told = with_reasons(changes, before, answered, lambda: stamp != self.stamp)
            tell(Told(stamp, told))
