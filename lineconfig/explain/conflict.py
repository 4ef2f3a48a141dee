"""Smallest conflicts: sets of rules and limits that no line meets together, none of them spare.

By implicit hitting sets. A *correction set* is what a line that meets as much as possible still
breaks; a smallest conflict holds one member of every correction set. So a set that hits every
correction set found so far is put to the solver: a line refutes it and gives another correction
set, and where there is no line it is a conflict.

References
----------
.. [1] A. Ignatiev, A. Previti, M. Liffiton and J. Marques-Silva, "Smallest MUS extraction with
   minimal hitting set dualization", CP 2015.
.. [2] M. Liffiton, A. Previti, A. Malik and J. Marques-Silva, "Fast, flexible MUS enumeration",
   Constraints 21 (2016).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from lineconfig.brief import View
from lineconfig.choose.limits import LIMITS
from lineconfig.connect.search import Found
from lineconfig.explain.clashes import clashes
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.session import Study

Met = Callable[[frozenset[str]], frozenset[str] | None]

LEAST_BY: dict[str, View] = {"people": "people", "floor-area": "floor"}
"""Limits whose figure has a view of its own; the cheapest line speaks for the others."""
MOST_QUESTIONS = 150
"""Questions to the solver after which further conflicts are no longer looked for."""
MOST_CONFLICTS = 6


class Feasibility:
    """Remembers which sets of rules can be met together, and by which line.

    Where the brief states a room, whether a line stands in it is one of the rules, and the limits
    that only estimate it are left aside.
    """

    def __init__(self, study: Study) -> None:
        self.study = study
        limits = [limit.id for limit in LIMITS if limit.allowed(study.inquiry) is not None]
        names = {*(rule.id for rule in study.rules), *limits}
        self._estimates: frozenset[str] = frozenset()
        if study.room is not None:
            self._estimates = study.room.supersedes
            names.add(FLOOR_PLAN)
        self.all = frozenset(names) - study.without - self._estimates
        self._known: dict[frozenset[str], Found | None] = {}
        self._met: list[frozenset[str]] = []
        """What the lines found so far meet: some line meets every part of it too."""
        self._never: list[frozenset[str]] = []
        """Sets that cannot be met: nor can any set that holds one of them."""

    def leaving(self, active: frozenset[str]) -> Study:
        """The study in which only these rules and limits hold."""
        aside = self.study.without | self._estimates | (self.all - active)
        return self.study.varied(without=aside)

    def line(self, active: frozenset[str]) -> Found | None:
        """The cheapest line that meets these rules and limits, the rest left aside."""
        if active not in self._known:
            never = any(each <= active for each in self._never)
            self._known[active] = None if never else line_of(self.leaving(active))
            if self._known[active] is None and not never:
                self._never.append(active)
        return self._known[active]

    def without(self, name: str, active: frozenset[str]) -> Found | None:
        """The line that breaks one rule or limit least, the others of `active` being met."""
        view = LEAST_BY.get(name)
        if view is None:
            return self.line(active - {name})
        return next(self.leaving(active - {name}).found(view), None)

    def met(self, active: frozenset[str]) -> frozenset[str] | None:
        """Everything that some such line meets, more than was asked; None for no line."""
        known = next((each for each in self._met if active <= each), None)
        if known is not None:
            return known
        line = self.line(active)
        if line is None:
            return None
        study = self.study
        broken = {clash.rule for clash in clashes(study.inquiry, line, study.rules)}
        if FLOOR_PLAN in self.all - active and study.room is not None:
            # With the chain that it has in the room it may cost too much, or take too much power.
            stated = study.room.stated(line, study.terms)
            placed = replace(line, stated=stated) if stated else line
            over = {clash.rule for clash in clashes(study.inquiry, placed, ())}
            if stated is None or over & self.all - broken:
                broken.add(FLOOR_PLAN)
        self._met.append(self.all - broken)
        return self._met[-1]


def line_of(study: Study) -> Found | None:
    """The cheapest line to buy; where that list gives up on a tight room, the one that takes least
    floor."""
    line = next(study.found("first-cost"), None)
    if line is None and study.room is not None and study.room.given_up:
        line = next(study.found("floor"), None)
    return line


def smallest_conflict(
    met: Met, soft: Sequence[str], hard: frozenset[str] = frozenset()
) -> frozenset[str] | None:
    """A smallest set of soft rules that cannot be met together with the hard ones.

    None where all can be met; empty where the hard ones alone cannot. Reference: [1]_ of the
    module.

    Parameters
    ----------
    met : for a set of rules, all rules that some line which meets these happens to meet (it may
        name more than were asked for, which saves questions); None where no line meets them
    soft : rules that may be in the conflict, most important first
    hard : rules that always hold
    """
    return next(conflicts(met, soft, hard), None)


def conflicts(
    met: Met,
    soft: Sequence[str],
    hard: frozenset[str] = frozenset(),
    most_questions: float = float("inf"),
) -> Iterator[frozenset[str]]:
    """Every irreducible conflict, smallest first; nothing where all rules can be met.

    Parameters as for `smallest_conflict`; the search ends after `most_questions` calls of `met`,
    but not before the first conflict. Reference: [2]_ of the module.
    """
    wanted = frozenset(soft)
    if met(hard | wanted) is not None:
        return
    corrections: list[frozenset[str]] = []
    told: list[frozenset[str]] = []
    asked = 0
    while asked < most_questions or not told:
        candidates = _hitting_sets(corrections, soft, told)
        if not candidates:
            return
        candidate = candidates[0]
        asked += 1
        kept = met(hard | candidate)
        if kept is None:
            told.append(candidate)
            yield candidate
            if not candidate:
                return
            continue
        kept &= wanted
        for rule in soft:
            if rule not in kept:
                asked += 1
                more = met(hard | kept | {rule})
                if more is not None:
                    kept = more & wanted
        corrections.append(wanted - kept)


def _hitting_sets(
    sets: Sequence[frozenset[str]], soft: Sequence[str], told: Sequence[frozenset[str]]
) -> list[frozenset[str]]:
    """Irreducible sets that hit all these, smallest first, those told already left out.

    Set by set: what misses the next set is extended by each of its members (Berge).
    """
    hitting: list[frozenset[str]] = [frozenset()]
    for each in sets:
        hit = [known for known in hitting if known & each]
        extended = {known | {rule} for known in hitting if not known & each for rule in each}
        hitting = hit + [new for new in extended if not any(known <= new for known in hit)]
    place = {rule: number for number, rule in enumerate(soft)}
    left = (known for known in hitting if known not in told)
    return sorted(left, key=lambda known: (len(known), sorted(place[rule] for rule in known)))
