"""Solves the working brief in a thread; the newest change wins.

The worker touches no widget: it posts messages that carry the stamp of their question.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lineconfig.errors import InputError, LineconfigError, Problem

if TYPE_CHECKING:
    from lineconfig.catalog import Catalog
    from lineconfig.changes import Answered, Change
    from lineconfig.layout import Layout
    from lineconfig.session import Study


@dataclass(frozen=True)
class First:
    """The best layouts, before everything else is worked out."""

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
    cancel: threading.Event = field(default_factory=threading.Event)
    last: Answered | None = None
    """The newest answer."""
    base: Answered | None = None
    """The answer to compare with: the one before the field in hand was touched."""

    def question(self) -> tuple[int, threading.Event]:
        """Call off what is being solved; the stamp and switch of the next question."""
        self.cancel.set()
        self.cancel = threading.Event()
        self.stamp += 1
        return self.stamp, self.cancel

    def compare_from_here(self) -> None:
        """Let the next changes be told against the newest answer."""
        self.base = self.last or self.base

    def solve(
        self, text: str, label: str, stamp: int, cancel: threading.Event,
        tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        """Answer one question; for a thread. Ends early, and without a word, when called off."""
        try:
            self._solve(text, label, stamp, cancel, tell)
        except InputError as error:
            if not cancel.is_set():
                tell(Unsound(stamp, error.problems))
        except LineconfigError:
            # Called off: the next question is on its way. Anything else is an error to be seen.
            if not cancel.is_set():
                raise

    def _solve(
        self, text: str, label: str, stamp: int, cancel: threading.Event,
        tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        from lineconfig.changes import Answered, ranking_changes, with_reasons
        from lineconfig.need_reading import need_of_text
        from lineconfig.rank import recommend
        from lineconfig.session import DEFAULT_TOP, Study

        study = Study(need_of_text(text, label, self.catalog), self.catalog, cancel=cancel)
        layouts = study.best(DEFAULT_TOP)
        tell(First(stamp, study, layouts))
        answered = Answered(study, recommend(study))
        if cancel.is_set():
            return
        before, self.last = self.base, answered
        changes = ranking_changes(before, answered) if before else []
        tell(Whole(stamp, answered, changes))
        if before and any(change.move in ("new", "gone") for change in changes):
            told = with_reasons(changes, before, answered, cancel.is_set)
            if not cancel.is_set():
                tell(Told(stamp, told))
