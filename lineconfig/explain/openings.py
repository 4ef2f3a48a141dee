"""What would open a layout: single changes of the brief, or the cheapest pair where none does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from lineconfig.explain.clashes import Shortfall
from lineconfig.explain.levers import Change, Lever, levers
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.session import Study

MOST_PAIRS = 10
"""Pairs of levers that are worked out in full."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A change of the brief that opens a layout; it was solved again to make sure."""

    field: str
    before: str
    after: str
    text: str
    layout: Layout
    """The best layout that the change opens, in the client's order."""
    need: Need
    """The changed need."""
    shortfall: Shortfall | None = None
    """For a number of the brief: what it takes at the least, and what the brief gives."""
    size: float = 1.0
    """How much of what there was changes; 1 for a refusal that is given up."""
    rules: frozenset[str] = frozenset()
    """Rules and limits that hang on what changes."""
    said: str = ""
    """For a number of the brief: how far short it is, as a sentence of its own."""


@dataclass(frozen=True, slots=True)
class PairOpening:
    """Two changes that open a layout together, solved again to make sure."""

    changes: tuple[Change, Change]
    layout: Layout
    need: Need

    @property
    def text(self) -> str:
        """Both changes in words."""
        return " and ".join(change.text for change in self.changes)


def opened_by(study: Study, need: Need) -> Layout | None:
    """The best layout of a changed need."""
    return next(iter(study.varied(need=need).best(1)), None)


def openings(study: Study, ways: Sequence[Lever] | None = None) -> list[Opening]:
    """Each single change that opens a layout, least of its kind, numbers first."""
    found: list[Opening] = []
    for lever in levers(study) if ways is None else ways:
        change = lever.least(study)
        if change is None:
            continue
        layout = opened_by(study, change.need)
        if layout is not None:
            found.append(
                Opening(
                    change.field, change.before, change.after, change.text, layout, change.need,
                    change.shortfall, change.size, lever.rules, change.said,
                )
            )  # fmt: skip
    return found


def that_may_open(ways: Iterable[Lever], can_open: Callable[[frozenset[str]], bool]) -> list[Lever]:
    """The levers that are worth trying.

    `can_open` says whether lines exist once some rules and limits are left aside. Another form of
    supply or one format less changes the figures too, so that only trying tells.
    """
    return [lever for lever in ways if not lever.numeric or can_open(lever.rules)]


def pairs(
    study: Study,
    ways: Sequence[Lever],
    conflicts: Sequence[frozenset[str]],
    can_open: Callable[[frozenset[str]], bool],
) -> list[PairOpening]:
    """Pairs of changes that open a layout where no single one does, cheapest line to buy first.

    Parameters
    ----------
    ways : levers to pair
    conflicts : what cannot be met together: a pair must touch each of them
    can_open : whether lines exist once these rules and limits are left aside
    """
    found: list[PairOpening] = []
    tried = 0
    for first, second in combinations(ways, 2):
        touched = first.rules | second.rules
        if first.field == second.field or not all(touched & each for each in conflicts):
            continue
        if not can_open(touched):
            continue
        if tried == MOST_PAIRS:
            break
        tried += 1
        for changes in _in_both_orders(study, first, second):
            layout = opened_by(study, changes[1].need)
            if layout is not None:
                found.append(PairOpening(changes, layout, changes[1].need))
    found.sort(key=lambda pair: (_price(pair), sum(change.size for change in pair.changes)))
    return _distinct(found)


def _in_both_orders(study: Study, a: Lever, b: Lever) -> Iterator[tuple[Change, Change]]:
    """The least of one change where the other is free, then the least of the other."""
    for first, second in ((a, b), (b, a)) if a.numeric and b.numeric else ((a, b),):
        start = first.least(study.varied(without=study.without | second.rules))
        if start is None:
            continue
        rest = second.least(study.varied(need=start.need))
        if rest is not None:
            yield start, rest


def _price(pair: PairOpening) -> float:
    return pair.layout.money.first_cost.typical


def _distinct(found: Sequence[PairOpening]) -> list[PairOpening]:
    told: dict[frozenset[tuple[str, str]], PairOpening] = {}
    for pair in found:
        key = frozenset((change.field, change.after) for change in pair.changes)
        told.setdefault(key, pair)
    return list(told.values())
