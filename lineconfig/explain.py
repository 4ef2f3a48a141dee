"""Why nothing fits, and why a class is not offered.

Every answer is found by solving again: with rules left aside, with limits moved, with a class
insisted on. A sentence is only said of a line that was really found that way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, Literal

from lineconfig.brief import View
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.limits import ADDITIVE, HOURS, LIMITS, PEOPLE, Limit
from lineconfig.choose.rules import RULES, Rule, length_text
from lineconfig.connect.search import Found
from lineconfig.layout import Layout
from lineconfig.need import Need
from lineconfig.quantities import Money, Quantity
from lineconfig.session import Study


@dataclass(frozen=True, slots=True)
class Clash:
    """One rule or limit that a line breaks."""

    rule: str
    field: str | None
    text: str


@dataclass(frozen=True, slots=True)
class Opening:
    """A change of one number of the brief that opens a layout; it was solved again to make sure."""

    field: str
    before: str
    after: str
    text: str
    layout: Layout


@dataclass(frozen=True, slots=True)
class NoLayout:
    """Why nothing fits."""

    conflict: tuple[Clash, ...]
    """A smallest set of rules that no line meets together."""
    openings: tuple[Opening, ...]


# --- what a line breaks ------------------------------------------------------------------------


def clashes(
    inquiry: Inquiry, found: Found, rules: Sequence[Rule] = RULES, limits: Sequence[Limit] = LIMITS
) -> list[Clash]:
    """Every rule and limit that one line breaks, with its sentence; empty for a valid line."""
    values: dict[str, Any] = {
        item.station.function: item.station.option
        for item in found.stated
        if item.station.function != "convey"
    }
    options = list(values.values())
    for scheme in found.schemes:
        values.update(scheme.ports)
    broken = []
    for rule in rules:
        asked = [(option,) for option in options] if rule.each else [
            tuple(values[name] for name in rule.scope)
        ]  # fmt: skip
        broken += [
            Clash(rule.id, rule.field, rule.refusal(inquiry, *args))
            for args in asked
            if not rule.holds(inquiry, *args)
        ]
    for limit in limits:
        allowed, used = limit.allowed(inquiry), _used(found, limit)
        if allowed is not None and used > allowed:
            broken.append(
                Clash(limit.id, limit.field, limit.text.format(used=used, allowed=allowed))
            )
    return broken


def _used(found: Found, limit: Limit) -> float:
    if limit is PEOPLE:
        return found.running.people
    if limit is HOURS:
        return found.running.hours
    column = ADDITIVE.index(limit)
    return sum(item.uses[column] for item in found.stated)


# --- the smallest conflict ---------------------------------------------------------------------


LEAST_BY: dict[str, View] = {"people": "people", "floor-area": "floor"}
"""Limits whose figure has a view of its own; the cheapest line speaks for the others."""


class Feasibility:
    """Remembers which sets of rules can be met together, and by which line."""

    def __init__(self, study: Study) -> None:
        self.study = study
        limits = [limit.id for limit in LIMITS if limit.allowed(study.inquiry) is not None]
        self.all = frozenset([rule.id for rule in study.rules] + limits)
        self._known: dict[frozenset[str], Found | None] = {}

    def line(self, active: frozenset[str]) -> Found | None:
        """The cheapest line that meets these rules and limits, the rest left aside."""
        if active not in self._known:
            varied = self.study.varied(without=self.all - active)
            self._known[active] = next(varied.found("first-cost"), None)
        return self._known[active]

    def without(self, name: str, active: frozenset[str]) -> Found | None:
        """The line that breaks one rule or limit least, the others of `active` being met."""
        view = LEAST_BY.get(name)
        if view is None:
            return self.line(active - {name})
        varied = self.study.varied(without=self.all - active | {name})
        return next(varied.found(view), None)

    def met(self, active: frozenset[str]) -> frozenset[str] | None:
        """Everything that the cheapest such line meets, more than was asked; None for no line."""
        line = self.line(active)
        if line is None:
            return None
        return self.all - {clash.rule for clash in _said(self.study, line)}


def smallest_conflict(
    met: Callable[[frozenset[str]], frozenset[str] | None],
    soft: Sequence[str],
    hard: frozenset[str] = frozenset(),
) -> frozenset[str] | None:
    """A smallest set of soft rules that cannot be met together with the hard ones.

    None where all can be met; empty where the hard ones alone cannot. By implicit hitting sets:
    a set that hits every correction set found so far and is itself infeasible is a smallest
    conflict (Ignatiev, Previti, Liffiton and Marques-Silva, "Smallest MUS extraction with minimal
    hitting set dualization", 2015).

    Parameters
    ----------
    met : for a set of rules, all rules that some line which meets these happens to meet (it may
        name more than were asked for, which saves questions); None where no line meets them
    soft : rules that may be in the conflict, most important first
    hard : rules that always hold
    """
    wanted = frozenset(soft)
    if met(hard | wanted) is not None:
        return None
    corrections: list[frozenset[str]] = []
    while True:
        candidate = _smallest_hitting_set(corrections, soft)
        kept = met(hard | candidate)
        if kept is None:
            return candidate
        kept &= wanted
        for rule in soft:
            if rule not in kept:
                more = met(hard | kept | {rule})
                if more is not None:
                    kept = more & wanted
        corrections.append(wanted - kept)


def _smallest_hitting_set(sets: Sequence[frozenset[str]], soft: Sequence[str]) -> frozenset[str]:
    involved = [rule for rule in soft if any(rule in each for each in sets)]
    for size in range(len(involved) + 1):
        for chosen in combinations(involved, size):
            picked = frozenset(chosen)
            if all(picked & each for each in sets):
                return picked
    raise AssertionError("every correction set is hit by all that is involved")


def why_nothing(study: Study) -> NoLayout | None:
    """A smallest conflict in the client's words, and what would open a layout; None where one fits.

    Rules that come from the brief may be in the conflict; those of physics and the trade always
    hold.
    """
    if study.feasible:
        return None
    checker = Feasibility(study)
    fields = {rule.id: rule.field for rule in study.rules}
    soft = [rule.id for rule in study.rules if rule.field] + [
        limit.id for limit in LIMITS if limit.id in checker.all
    ]
    soft = [name for name in soft if name in checker.all]
    hard = checker.all - frozenset(soft)
    conflict = smallest_conflict(checker.met, soft, hard)
    assert conflict is not None
    told = []
    for name in soft:
        if name not in conflict:
            continue
        line = checker.without(name, hard | conflict)
        said = [clash for clash in _said(study, line) if clash.rule == name]
        if said:
            told.append(said[0])
        else:
            told.append(Clash(name, fields.get(name), f"rule {name!r} leaves nothing over"))
    return NoLayout(tuple(told), tuple(openings(study)))


def _said(study: Study, line: Found | None) -> list[Clash]:
    return clashes(study.inquiry, line, study.rules) if line is not None else []


# --- what would open a layout ------------------------------------------------------------------


def openings(study: Study) -> list[Opening]:
    """For budget, people and ceiling: the least change that opens a layout by itself."""
    found = [_open_budget(study), _open_people(study), _open_ceiling(study)]
    return [opening for opening in found if opening is not None]


def with_budget(need: Need, amount: float) -> Need:
    """The same need with another budget."""
    money = Money(amount, f"{amount:,.0f} {need.currency}", need.currency)
    return replace(need, brief=need.brief.model_copy(update={"budget": money}))


def with_people(need: Need, people: int) -> Need:
    """The same need with another number of people on shift."""
    staff = need.brief.staff.model_copy(update={"per_shift": people})
    return replace(need, brief=need.brief.model_copy(update={"staff": staff}))


def with_ceiling(need: Need, ceiling_mm: float) -> Need:
    """The same need under another ceiling."""
    height = Quantity(ceiling_mm, f"{ceiling_mm:.0f} mm")
    site = need.brief.site.model_copy(update={"ceiling_mm": height})
    return replace(need, brief=need.brief.model_copy(update={"site": site}))


def _opened(study: Study, need: Need) -> Layout | None:
    return next(study.varied(need=need).layouts(), None)


def _open_budget(study: Study) -> Opening | None:
    budget = study.need.brief.budget
    line = next(study.varied(without={"budget"}).found("first-cost"), None)
    if budget is None or line is None:
        return None
    after = float(-(-sum(item.first_cost.typical for item in line.stated) // 100) * 100)
    layout = _opened(study, with_budget(study.need, after))
    if layout is None:
        return None
    currency = study.need.currency
    return Opening(
        "budget", budget.text, f"{after:,.0f} {currency}",
        f"a budget of {after:,.0f} {currency} ({after - budget:+,.0f})", layout,
    )  # fmt: skip


def _open_people(study: Study) -> Opening | None:
    people = study.need.brief.staff.per_shift
    line = next(study.varied(without={PEOPLE.id}).found("people"), None)
    if people is None or line is None:
        return None
    after = line.running.people
    layout = _opened(study, with_people(study.need, after))
    if layout is None:
        return None
    return Opening(
        "staff.per_shift", str(people), str(after),
        f"{after} people on shift ({after - people:+d})", layout,
    )  # fmt: skip


def _open_ceiling(study: Study) -> Opening | None:
    ceiling_rules = {"frame-under-ceiling", "machine-under-ceiling"}
    free = study.varied(without=ceiling_rules)
    if not free.feasible:
        return None
    clearance_mm = study.inquiry.habits.ceiling_clearance_mm
    heights = {
        option.equipment.size.height_mm + clearance_mm
        for options in free.admission.options.values()
        for option in options
        if option.equipment.size is not None and not option.has("sweeps-layers")
    }
    for scheme in free.joined["empties"]:
        supply, unload, lower = (scheme.first(f) for f in ("supply", "unload", "lower"))
        plan = free.inquiry.heights(supply, unload, lower, scheme.ports["infeed"], ceiling=False)
        heights.add(plan.ceiling_needed_mm)
    before = study.inquiry.ceiling_mm
    wanted = sorted({float(-(-height // 1)) for height in heights if height > before})
    low, high = 0, len(wanted)
    while low < high:
        middle = (low + high) // 2
        if study.varied(need=with_ceiling(study.need, wanted[middle])).feasible:
            high = middle
        else:
            low = middle + 1
    if low == len(wanted):
        return None
    after = wanted[low]
    layout = _opened(study, with_ceiling(study.need, after))
    assert layout is not None
    return Opening(
        "site.ceiling", study.need.brief.site.ceiling_mm.text, f"{after:.0f} mm",
        f"a ceiling of {length_text(after)} ({after - before:+,.0f} mm)", layout,
    )  # fmt: skip


# --- why not this class ------------------------------------------------------------------------


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


def why_class(
    study: Study, class_id: str, shown: Iterable[Layout], nothing: NoLayout | None = None
) -> ClassAnswer:
    """One true sentence on a class for this brief.

    `nothing` is the answer of `why_nothing` for a brief that no line meets: what rules out every
    line rules out the class.

    Raises KeyError for a class that the catalogue does not have.
    """
    equipment = study.catalog.classes[class_id]
    shown = list(shown)
    for rank, layout in enumerate(shown, 1):
        if class_id in layout.classes:
            return ClassAnswer(
                class_id, "shown", None, None,
                f"{equipment.name} is in layout {rank} ({layout.id})", layout,
            )  # fmt: skip
    refusals = study.admission.refusals.get(class_id)
    if refusals:
        rule = refusals[0].rule
        return ClassAnswer(class_id, "ruled-out", rule.id, rule.field, refusals[0].text)
    if equipment.function == "convey":
        return ClassAnswer(
            class_id, "valid", None, None,
            f"{equipment.name} joins stations; it is not chosen by itself",
        )  # fmt: skip
    if nothing is not None and nothing.conflict:
        first = nothing.conflict[0]
        text = "; and ".join(clash.text for clash in nothing.conflict)
        return ClassAnswer(
            class_id, "ruled-out", first.rule, first.field, f"no line fits at all: {text}"
        )
    best = study.with_class(class_id)
    if best is not None:
        text = _beaten(study, equipment.name, best, shown)
        return ClassAnswer(class_id, "valid", None, None, text, best)
    rule_id, field, text = _hangs_on(study, class_id)
    return ClassAnswer(class_id, "ruled-out", rule_id, field, text)


def _beaten(study: Study, name: str, layout: Layout, shown: Sequence[Layout]) -> str:
    if not shown:
        return f"{name} is valid in layout {layout.id}"
    first = shown[0]
    extra = layout.money.life_cycle_cost.typical - first.money.life_cycle_cost.typical
    people = layout.crew.people - first.crew.people
    crew = f" and {people:+d} people" if people else ""
    years = study.need.horizon_years
    return (
        f"{name} is valid; its best layout {layout.id} costs {extra:+,.0f} {study.need.currency} "
        f"over {years:g} years{crew} against {first.id}"
    )


def _hangs_on(study: Study, class_id: str) -> tuple[str, str | None, str]:
    """The rule whose absence alone would let the class in, or else a smallest conflict with it."""
    fixed = study.varied(only={study.catalog.classes[class_id].function: class_id})
    checker = Feasibility(fixed)
    several = [rule for rule in study.rules if not rule.each and len(rule.scope) > 1]
    limits = [limit.id for limit in (*ADDITIVE, PEOPLE, HOURS) if limit.id in checker.all]
    # How much is missing says more than which rule to drop, and what the client can change more
    # than what physics and the trade say.
    from_brief = [rule.id for rule in several if rule.field]
    given = [rule.id for rule in several if not rule.field]
    for name in (*limits, *from_brief, *given):
        line = checker.without(name, checker.all)
        if line is not None:
            said = next(clash for clash in _said(fixed, line) if clash.rule == name)
            return name, said.field, said.text
    everything = [rule.id for rule in study.rules] + limits
    soft = [rule.id for rule in study.rules if rule.field] + limits
    hard = frozenset(everything) - frozenset(soft)
    conflict = smallest_conflict(checker.met, soft, hard)
    if not conflict:  # physics and the trade alone rule it out
        hard = frozenset()
        conflict = smallest_conflict(checker.met, everything)
    assert conflict is not None
    told = []
    for name in everything:
        if name in conflict:
            line = checker.without(name, hard | conflict)
            told += [clash for clash in _said(fixed, line) if clash.rule == name][:1]
    if not told:
        names = ", ".join(name for name in everything if name in conflict)
        return names, None, f"{class_id} cannot meet {names} together"
    return told[0].rule, told[0].field, "; and ".join(clash.text for clash in told)
