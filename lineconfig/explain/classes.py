"""What became of one class: shown, valid but beaten, or ruled out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Literal

from lineconfig.catalog import EquipmentClass
from lineconfig.choose.limits import ADDITIVE, HOURS, PEOPLE
from lineconfig.choose.sections import Refusal
from lineconfig.explain.bringing import Bringer, Bringing
from lineconfig.explain.clashes import Clash
from lineconfig.explain.conflict import Feasibility, conflicts
from lineconfig.explain.levers import Lever, levers
from lineconfig.explain.nothing import NoLayout, soft_and_hard, told_conflict
from lineconfig.explain.openings import Opening, openings, that_may_open
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.layout import Layout
from lineconfig.rounding import amount_text
from lineconfig.sentences import lowered
from lineconfig.session import Study
from lineconfig.varying.pooled import pooled


@dataclass(frozen=True, slots=True)
class Beaten:
    """A layout beside the first one."""

    by: str
    """Id of the first layout."""
    extra_life_cycle_cost: float
    extra_people: int
    text: str

    @classmethod
    def of(cls, study: Study, layout: Layout, first: Layout) -> Beaten:
        """What a layout costs more than the first, in words as well."""
        extra = layout.money.life_cycle_cost.typical - first.money.life_cycle_cost.typical
        people = layout.crew.people - first.crew.people
        years = study.need.horizon_years
        cost = f"{amount_text(abs(extra))} {study.need.currency}"
        if cost.startswith("0 "):
            text = f"costs as much over {years:g} years as {first.id}"
        else:
            text = f"costs {cost} {'more' if extra > 0 else 'less'} over {years:g} years than "
            text += first.id
        if people:
            persons = "person" if abs(people) == 1 else "people"
            text += f", with {abs(people)} {persons} {'more' if people > 0 else 'less'}"
        return cls(first.id, extra, people, text)


@dataclass(frozen=True, slots=True)
class ClassAnswer:
    """What became of one class."""

    class_id: str
    status: Literal["shown", "valid", "ruled-out"]
    rule: str | None
    field: str | None
    text: str
    layout: Layout | None = None
    """The best valid layout that has the class."""
    beaten: Beaten | None = None
    """What it costs beside the first layout, where it is in another."""
    brought: Bringing | None = None
    """What would bring it first, where that was asked and found."""
    openings: tuple[Opening, ...] = ()
    """For a class that no valid line has: what would let it in, each alone."""
    reason: str = ""
    """For such a class: the text without what would let it in."""


def why_class(
    study: Study,
    class_id: str,
    shown: Iterable[Layout],
    nothing: NoLayout | None = None,
    bringer: Bringer | None = None,
    *,
    refused_too: bool = False,
) -> ClassAnswer:
    """One true sentence on a class for this brief.

    `nothing` is the answer of `why_nothing` for a brief that no line meets: what rules out every
    line rules out the class. With a `bringer`, the sentence also says what would bring the class
    first. For a class that no valid line has it names every single change of the brief that would
    let it in; for one that is refused by itself, whatever stands beside it, only with
    `refused_too`, since that takes time.

    Raises KeyError for a class that the catalogue does not have.
    """
    equipment = study.catalog.classes[class_id]
    name, shown = equipment.name, list(shown)
    for rank, layout in enumerate(shown, 1):
        if class_id in layout.classes:
            text = f"{name} is in layout {rank} ({layout.id})"
            if rank == 1:
                return ClassAnswer(class_id, "shown", None, None, text, layout)
            beaten = Beaten.of(study, layout, shown[0])
            brought = _brought(bringer, class_id, layout, shown[0])
            return ClassAnswer(
                class_id, "shown", None, None,
                f"{text}, which {beaten.text}{_would(bringer, brought)}", layout, beaten, brought,
            )  # fmt: skip
    if class_id in study.admission.refusals:
        return _ruled_out(study, equipment, refused_too=refused_too)
    if equipment.function == "convey":
        return ClassAnswer(
            class_id, "valid", None, None, f"{name} joins stations; it is not chosen by itself"
        )
    if nothing is not None and nothing.conflict:
        first = nothing.conflict[0]
        text = "; and ".join(clash.text for clash in nothing.conflict)
        reason = f"No line fits at all: {text}"
        found = ways_in(study, class_id) if refused_too else []
        return ClassAnswer(
            class_id, "ruled-out", first.rule, first.field, _letting_in(reason, found, every=True),
            openings=tuple(found), reason=reason,
        )  # fmt: skip
    best = study.with_class(class_id, None if bringer is None else bringer.view)
    if best is None:
        return _ruled_out(study, equipment, refused_too=refused_too)
    if not shown:
        return ClassAnswer(
            class_id, "valid", None, None, f"{name} is valid in layout {best.id}", best
        )
    beaten = Beaten.of(study, best, shown[0])
    brought = _brought(bringer, class_id, best, shown[0])
    text = f"{name} is valid; its best layout {best.id} {beaten.text}{_would(bringer, brought)}"
    return ClassAnswer(class_id, "valid", None, None, text, best, beaten, brought)


def _brought(
    bringer: Bringer | None, class_id: str, best: Layout, first: Layout
) -> Bringing | None:
    if bringer is None:
        return None
    return bringer.of(class_id) or bringer.by_price(class_id, best, first)


def _would(bringer: Bringer | None, brought: Bringing | None) -> str:
    if bringer is None:
        return ""
    if brought is None:
        return "; nothing that was looked at would bring it first"
    return f"; {brought.text} would bring it first"


@dataclass(frozen=True)
class _Insisted:
    """The study with one class insisted on, which no line of it meets."""

    study: Study
    name: str
    checker: Feasibility
    ways: list[Lever]

    @classmethod
    def on(cls, study: Study, equipment: EquipmentClass) -> _Insisted:
        fixed = pooled(study).varied(only={equipment.function: equipment.id})
        return cls(fixed, equipment.name, Feasibility(fixed), levers(fixed))

    def opens(self, aside: frozenset[str]) -> bool:
        """Whether some line has the class once these rules and limits are left aside."""
        return self.checker.line(self.checker.all - aside) is not None

    @property
    def by_telling(self) -> list[str]:
        """Rules and limits, most telling first.

        How much is missing says more than which rule to drop, and what the client can change more
        than what physics and the trade say.
        """
        several = [rule for rule in self.study.rules if not rule.each and len(rule.scope) > 1]
        measured = [*(limit.id for limit in (*ADDITIVE, PEOPLE, HOURS)), FLOOR_PLAN]
        limits = [name for name in measured if name in self.checker.all]
        from_brief = [rule.id for rule in several if rule.field]
        return [*limits, *from_brief, *(rule.id for rule in several if not rule.field)]


def ways_in(study: Study, class_id: str) -> list[Opening]:
    """Every single change of the brief with which some line that has a class is valid.

    Each is the least of its kind and was solved again; the nearest number comes first, what is
    given up as a whole last. Nothing for a class that is in a valid line as it is.
    """
    equipment = study.catalog.classes[class_id]
    return _ways_in(_Insisted.on(study, equipment)) if equipment.function != "convey" else []


def _ways_in(insisted: _Insisted) -> list[Opening]:
    found = openings(insisted.study, that_may_open(insisted.ways, insisted.opens))
    return sorted(found, key=lambda opening: (opening.shortfall is None, opening.size))


def _ruled_out(study: Study, equipment: EquipmentClass, *, refused_too: bool) -> ClassAnswer:
    refusals = study.admission.refusals.get(equipment.id, ())
    insisted = _Insisted.on(study, equipment)
    found = _ways_in(insisted) if refused_too or not refusals else []
    told = found
    rule_id: str | None
    if refusals:
        rule_id, field = refusals[0].rule.id, refusals[0].rule.field
        reason = _refused(equipment.name, refusals, every=refused_too)
    elif len(found) == 1 and found[0].said:
        rule_id, field = _rule_of(insisted, found[0]), found[0].field
        # The sentence says already what it takes.
        reason, told = f"{equipment.name}: {found[0].said}", []
    elif len({opening.field for opening in found}) > 1:
        rule_id, field = _rule_of(insisted, found[0]), found[0].field
        reason = f"{equipment.name}: no line with it fits as the brief stands"
    else:
        rule_id, field, reason = _hangs_on(insisted)
    return ClassAnswer(
        equipment.id, "ruled-out", rule_id, field, _letting_in(reason, told, every=refused_too),
        openings=tuple(found), reason=reason,
    )  # fmt: skip


def _refused(name: str, refusals: Sequence[Refusal], *, every: bool) -> str:
    """Why a class is refused by itself: the first reason and how many more, or all of them."""
    first, *more = (refusal.text for refusal in refusals)
    if not every:
        rules = "rule refuses" if len(more) == 1 else "rules refuse"
        return f"{first}; and {len(more)} more {rules} it" if more else first
    told = [
        text.removeprefix(f"{name}: ") if text.startswith(f"{name}: ")
        else text.replace(f"{name} ", "it ", 1)
        for text in more
    ]  # fmt: skip
    return "; and ".join((first, *told))


def _letting_in(reason: str, found: Sequence[Opening], *, every: bool) -> str:
    """A refusal with what would let the class in: the nearest few, or all."""
    if not found:
        return reason
    which = "this alone would let it in" if len(found) == 1 else (
        "any one of these alone would let it in"
    )  # fmt: skip
    told = [opening.text for opening in (found if every else found[:MOST_WAYS])]
    more = len(found) - len(told)
    if more:
        told.append(f"{more} more {'change' if more == 1 else 'changes'}")
    return f"{reason}; {which}: {'; or '.join(told)}"


MOST_WAYS = 3
"""Changes that would let a class in which a list of classes tells."""


def _rule_of(insisted: _Insisted, opening: Opening) -> str | None:
    """The rule or limit that an opening speaks for."""
    named = [name for name in insisted.by_telling if name in opening.rules]
    named = named or sorted(opening.rules & insisted.checker.all)
    alone = (name for name in named if insisted.opens(frozenset((name,))))
    return next(alone, named[0] if named else None)


def _hangs_on(insisted: _Insisted) -> tuple[str | None, str | None, str]:
    """The rule whose absence alone would let the class in, or else what stands against it."""
    fixed, checker, ways = insisted.study, insisted.checker, insisted.ways
    for name in insisted.by_telling:
        if insisted.opens(frozenset((name,))):
            told = told_conflict(fixed, checker, ways, [name], checker.all - {name}, {name})
            return name, told[0].field, _with_name(insisted.name, told)
    # Without the room nothing fits either: it need not be asked, which takes its time.
    roomless = fixed.varied(without=fixed.without | {FLOOR_PLAN})
    checker, ways = Feasibility(roomless), levers(roomless)
    soft, hard = soft_and_hard(roomless, checker)
    found = list(islice(conflicts(checker.met, soft, hard, MOST_ASKED), MOST_AGAINST))
    if not found:  # the room and something else, each by itself
        return FLOOR_PLAN, "site.length", f"no line with {lowered(insisted.name)} fits the room"
    if not found[0]:  # physics and the trade alone rule it out
        soft, hard = [*soft, *sorted(hard)], frozenset[str]()
        found = list(islice(conflicts(checker.met, soft, hard), 1))
    parts = [told_conflict(roomless, checker, ways, soft, hard, conflict) for conflict in found]
    parts = [part for part in parts if part]
    if not parts:
        return None, None, f"{insisted.name} fits in no line"
    text = "; and besides, ".join("; and ".join(clash.text for clash in part) for part in parts)
    against = frozenset().union(*found)
    # One thing more is enough to say that the first is not all; the room takes its time.
    if fixed.room is not None and len(parts) == 1 and not insisted.opens(against):
        text += f"; and were that met, no such line that was looked at {_stands(fixed)}"
    return parts[0][0].rule, parts[0][0].field, (
        text if insisted.name in text else f"{insisted.name}: {text}"
    )  # fmt: skip


MOST_ASKED = 40
"""Questions after which no further conflict with a class is looked for."""
MOST_AGAINST = 2
"""Conflicts with a class that are told."""


def _stands(study: Study) -> str:
    site = study.need.brief.site
    roomy = site.length_mm is not None and site.width_mm is not None
    return "fits the room" if roomy else "goes onto the vehicle"


def _with_name(name: str, told: Sequence[Clash]) -> str:
    """Refusals joined, with the class named where they speak of such a line."""
    text = "; and ".join(clash.text for clash in told)
    return text if name in text else f"{name}: {text}"
