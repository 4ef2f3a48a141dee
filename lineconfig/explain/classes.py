"""What became of one class: shown, valid but beaten, or ruled out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from lineconfig.choose.limits import ADDITIVE, HOURS, PEOPLE
from lineconfig.explain.bringing import Bringer, Bringing
from lineconfig.explain.clashes import Clash
from lineconfig.explain.conflict import Feasibility, smallest_conflict
from lineconfig.explain.levers import levers
from lineconfig.explain.nothing import NoLayout, soft_and_hard, told_conflict
from lineconfig.floorplan.room import FLOOR_PLAN
from lineconfig.layout import Layout
from lineconfig.session import Study


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
        cost = f"{abs(extra):,.0f} {study.need.currency}"
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


def why_class(
    study: Study,
    class_id: str,
    shown: Iterable[Layout],
    nothing: NoLayout | None = None,
    bringer: Bringer | None = None,
) -> ClassAnswer:
    """One true sentence on a class for this brief.

    `nothing` is the answer of `why_nothing` for a brief that no line meets: what rules out every
    line rules out the class. With a `bringer`, the sentence also says what would bring the class
    first.

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
    refusals = study.admission.refusals.get(class_id)
    if refusals:
        rule = refusals[0].rule
        return ClassAnswer(class_id, "ruled-out", rule.id, rule.field, refusals[0].text)
    if equipment.function == "convey":
        return ClassAnswer(
            class_id, "valid", None, None, f"{name} joins stations; it is not chosen by itself"
        )
    if nothing is not None and nothing.conflict:
        first = nothing.conflict[0]
        text = "; and ".join(clash.text for clash in nothing.conflict)
        return ClassAnswer(
            class_id, "ruled-out", first.rule, first.field, f"no line fits at all: {text}"
        )
    best = study.with_class(class_id, None if bringer is None else bringer.view)
    if best is None:
        rule_id, field, text = _hangs_on(study, class_id)
        return ClassAnswer(class_id, "ruled-out", rule_id, field, text)
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
        return (
            "; no wage, volume, horizon, discount rate, speed, limit or price that was looked at "
            "would bring it first"
        )
    return f"; {brought.text} would bring it first"


def _hangs_on(study: Study, class_id: str) -> tuple[str, str | None, str]:
    """The rule whose absence alone would let the class in, or else a smallest conflict with it."""
    equipment = study.catalog.classes[class_id]
    fixed = study.varied(only={equipment.function: class_id})
    checker = Feasibility(fixed)
    ways = levers(fixed)
    several = [rule for rule in study.rules if not rule.each and len(rule.scope) > 1]
    measured = [*(limit.id for limit in (*ADDITIVE, PEOPLE, HOURS)), FLOOR_PLAN]
    limits = [name for name in measured if name in checker.all]
    # How much is missing says more than which rule to drop, and what the client can change more
    # than what physics and the trade say.
    from_brief = [rule.id for rule in several if rule.field]
    given = [rule.id for rule in several if not rule.field]
    for name in (*limits, *from_brief, *given):
        if checker.line(checker.all - {name}) is not None:
            told = told_conflict(fixed, checker, ways, [name], checker.all - {name}, {name})
            return name, told[0].field, _with_name(equipment.name, told)
    # Without the room nothing fits either: it need not be asked, which takes its time.
    fixed = fixed.varied(without=fixed.without | {FLOOR_PLAN})
    checker, ways = Feasibility(fixed), levers(fixed)
    soft, hard = soft_and_hard(fixed, checker)
    conflict = smallest_conflict(checker.met, soft, hard)
    if not conflict:  # physics and the trade alone rule it out
        soft, hard = [*soft, *sorted(hard)], frozenset[str]()
        conflict = smallest_conflict(checker.met, soft)
    assert conflict is not None
    told = told_conflict(fixed, checker, ways, soft, hard, conflict)
    if not told:
        return "", None, f"{equipment.name} fits in no line"
    return told[0].rule, told[0].field, _with_name(equipment.name, told)


def _with_name(name: str, told: Sequence[Clash]) -> str:
    """Refusals joined, with the class named where they speak of such a line."""
    text = "; and ".join(clash.text for clash in told)
    return text if name in text else f"{name}: {text}"
