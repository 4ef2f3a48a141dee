"""Whether a line bought today carries the later phases as it stands, and what must give if not.

The very line is put to the need of each later phase: its classes to the rules of one machine, then
the whole line, built for that need, to all other rules and limits. Nothing is planned: `plan.py`
does that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from lineconfig.catalog import Function
from lineconfig.choose.limits import HOURS, LIMITS
from lineconfig.choose.options import Option
from lineconfig.choose.sections import Refusal
from lineconfig.connect.assemble import assemble
from lineconfig.connect.search import Found
from lineconfig.explain.clashes import Clash, clashes
from lineconfig.floorplan.room import FLOOR_PLAN, stations_of
from lineconfig.growth.phases import Phase, phases_of
from lineconfig.layout import Layout
from lineconfig.session import Study

WHOLE = frozenset({*(limit.id for limit in LIMITS), FLOOR_PLAN})


@dataclass(frozen=True, slots=True)
class Carried:
    """One line in one later phase."""

    phase: Phase
    layout: Layout | None
    """The line as built for the phase, whether it keeps to the limits or not; None where a machine
    of it does not serve."""
    refused: Mapping[str, tuple[Refusal, ...]]
    """Class ids that do not serve by themselves, with why: these must be replaced."""
    against: tuple[Clash, ...]
    """Other rules and limits that the line breaks."""
    slow: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """Of the refused ones, those that are too slow: rated and asked for, with the format with which
    they lack most [cpm]."""

    @property
    def as_it_stands(self) -> bool:
        """Whether the line carries the phase without any change."""
        return not self.refused and not self.against

    @property
    def hours_per_week(self) -> float | None:
        """What it would have to run; None where a machine of it does not serve."""
        if self.layout is None:
            return None
        return self.layout.money.hours / self.phase.need.weeks_per_year

    @property
    def hours_alone(self) -> bool:
        """Whether nothing but the hours stands against it."""
        return not self.refused and [clash.rule for clash in self.against] == [HOURS.id]


def carried(study: Study, layouts: Iterable[Layout]) -> dict[str, tuple[Carried, ...]]:
    """Each layout in each later phase of the brief, by id; empty tuples where nothing grows."""
    later = phases_of(study.need, study.catalog)[1:]
    studies = [(phase, study.varied(need=phase.need)) for phase in later]
    return {
        layout.id: tuple(_carried(there, phase, layout.classes) for phase, there in studies)
        for layout in layouts
    }


def _carried(study: Study, phase: Phase, classes: tuple[str, ...]) -> Carried:
    wanted, refusals = set(classes), study.admission.refusals
    refused = {name: refusals[name] for name in classes if name in refusals}
    options: dict[Function, list[Option]] = {
        function: [option for option in choices if option.id in wanted]
        for function, choices in study.inquiry.options.items()
    }
    if refused:
        return Carried(phase, None, refused, (), dict(_slow(phase, options, refused)))
    rules = frozenset(rule.id for rule in study.rules)
    free = study.varied(without=study.without | WHOLE | rules)
    free.inquiry = free.inquiry.narrowed({**options})
    found = [line for line in free.found("first-cost") if line.order == classes]
    if not found:  # its pieces join otherwise for the other need: no more can be said of it
        return Carried(phase, None, refused, (Clash("", None, "its sections do not join"),))
    judged = [(_against(study, line), line) for line in found]
    against, line = min(judged, key=lambda pair: len(pair[0]))
    return Carried(phase, assemble(free.inquiry, free.terms, line), refused, against)


def _slow(
    phase: Phase,
    options: Mapping[Function, Iterable[Option]],
    refused: Mapping[str, tuple[Refusal, ...]],
) -> Iterator[tuple[str, tuple[float, float]]]:
    for choices in options.values():
        for option in choices:
            rules = [refusal.rule.id for refusal in refused.get(option.id, ())]
            if "speed" in rules:
                speeds = [
                    (rated, fmt.needed_cpm)
                    for rated, fmt in zip(option.rated_cpm, phase.need.formats, strict=True)
                ]
                yield option.id, min(speeds, key=lambda pair: pair[0] / pair[1])


def _against(study: Study, line: Found) -> tuple[Clash, ...]:
    room = study.room
    aside = study.without if room is None else study.without | room.supersedes
    limits = [limit for limit in LIMITS if limit.id not in aside]
    rules = [rule for rule in study.rules if rule.id not in aside]
    broken = clashes(study.inquiry, line, rules, limits)
    if room is not None and not room.fits(stations_of(line)):
        broken.append(Clash(FLOOR_PLAN, "site.length", "it does not fit the room"))
    return tuple(broken)
