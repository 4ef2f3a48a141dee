"""Why nothing fits, why a class is not offered, and why one layout stands before another.

Every answer is found by solving again: with rules left aside, with limits moved, with a class
insisted on. A sentence is only said of a line that was really found that way.
"""

from __future__ import annotations

from lineconfig.explain.bringing import Bringer, Bringing
from lineconfig.explain.clashes import Clash, Shortfall, clashes
from lineconfig.explain.classes import ClassAnswer, ways_in, why_class
from lineconfig.explain.conflict import Feasibility, conflicts, smallest_conflict
from lineconfig.explain.nothing import NoLayout, why_nothing
from lineconfig.explain.openings import Opening, PairOpening, openings
from lineconfig.explain.reasons import Against, Figures, against, reasons

__all__ = [
    "Against",
    "Bringer",
    "Bringing",
    "Clash",
    "ClassAnswer",
    "Feasibility",
    "Figures",
    "NoLayout",
    "Opening",
    "PairOpening",
    "Shortfall",
    "against",
    "clashes",
    "conflicts",
    "openings",
    "reasons",
    "smallest_conflict",
    "ways_in",
    "why_class",
    "why_nothing",
]
