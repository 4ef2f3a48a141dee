"""What a change of the brief did to the ranking: which arrangements went up, down, came or went.

Arrangements are told apart by their kind (unloading and lowering class), so that a line that only
got another coder is still the same line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from lineconfig.brief import View
from lineconfig.connect.assemble import FAMILY_FUNCTIONS
from lineconfig.connect.search import Found
from lineconfig.explain import clashes
from lineconfig.layout import Layout
from lineconfig.rank import Ranked, Recommendation
from lineconfig.sentences import lowered
from lineconfig.session import Study

Move = Literal["up", "down", "new", "gone", "same"]

VIEW_FIGURES: dict[View, tuple[str, Callable[[Layout], float]]] = {
    "life-cycle-cost": ("cost of life", lambda layout: layout.money.life_cycle_cost.typical),
    "first-cost": ("first cost", lambda layout: layout.money.first_cost.typical),
    "people": ("people", lambda layout: float(layout.crew.people)),
    "floor": ("floor m2", lambda layout: layout.floor.area_m2),
    "changeover": ("person-minutes a change", lambda layout: layout.changeover_person_min),
}
"""The figure that orders each view, and what it is called."""
MOST_REASONS = 3
"""Reasons that are looked for by solving again."""


@dataclass(frozen=True, slots=True)
class Change:
    """What became of one kind of arrangement."""

    family: str
    name: str
    """Unloading and lowering class in words."""
    move: Move
    before: int | None
    """Rank among the kinds, from 1."""
    after: int | None
    reason: str
    """Why, as far as it has been found out; else empty."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A study with its recommendation."""

    study: Study
    answer: Recommendation


def ranking_changes(before: Answered, after: Answered) -> list[Change]:
    """Every arrangement of before and after with its places; nothing is solved for it.

    Those that went come last; the others are in their new order.
    """
    old = {item.layout.family: item for item in before.answer.arrangements}
    new = {item.layout.family: item for item in after.answer.arrangements}
    changes = [
        Change(
            family, arrangement_name(after.study, item.layout), _move(old.get(family), item),
            old[family].rank if family in old else None, item.rank,
            _figures(before, after, old.get(family), item),
        )
        for family, item in new.items()
    ]  # fmt: skip
    changes += [
        Change(family, arrangement_name(before.study, item.layout), "gone", item.rank, None, "")
        for family, item in old.items()
        if family not in new
    ]
    return changes


def with_reasons(
    changes: Sequence[Change],
    before: Answered,
    after: Answered,
    called_off: Callable[[], bool] = lambda: False,
) -> list[Change]:
    """The same changes with the reason for the first few that came or went."""
    told, left = [], MOST_REASONS
    for change in changes:
        reason = change.reason
        if change.move in ("new", "gone") and left and not called_off():
            left -= 1
            refusing = after if change.move == "gone" else before
            knowing = before if change.move == "gone" else after
            reason = _refusal(change.family, refusing, knowing)
            if change.move == "new" and reason:
                reason = f"before: {reason}"
        told.append(
            Change(
                change.family, change.name, change.move, change.before, change.after, reason
            )
        )  # fmt: skip
    return told


def arrangement_name(study: Study, layout: Layout) -> str:
    """The kind of arrangement in words: what unloads, and what lowers."""
    unload, lower = (study.catalog.classes[class_id].name for class_id in _pair(study, layout))
    return f"{unload} + {lowered(lower)}"


def _pair(study: Study, layout: Layout) -> list[str]:
    """The class ids that make the kind of arrangement."""
    classes = study.catalog.classes
    return [
        class_id
        for function in FAMILY_FUNCTIONS
        for class_id in layout.classes
        if classes[class_id].function == function
    ]


def _move(old: Ranked | None, new: Ranked) -> Move:
    if old is None:
        return "new"
    if old.rank == new.rank:
        return "same"
    return "up" if new.rank < old.rank else "down"


def _figures(before: Answered, after: Answered, old: Ranked | None, new: Ranked) -> str:
    if old is None:
        return ""
    words, figure = VIEW_FIGURES[after.answer.view]
    was, now = figure(old.layout), figure(new.layout)
    if round(was) == round(now):
        return f"{words} {now:,.0f} as before"
    return f"{words} {was:,.0f} -> {now:,.0f}"


def _refusal(family: str, refusing: Answered, knowing: Answered) -> str:
    """Why a kind of arrangement is not offered by a study, in one sentence."""
    layout = next(
        item.layout for item in knowing.answer.arrangements if item.layout.family == family
    )
    if refusing.answer.no_layout is not None:
        return "; and ".join(clash.text for clash in refusing.answer.no_layout.conflict)
    pair = _pair(knowing.study, layout)
    for class_id in pair:
        refusals = refusing.study.admission.refusals.get(class_id)
        if refusals:
            return refusals[0].text
    line = _line_of(knowing, pair)
    if line is not None and _formats(knowing) == _formats(refusing):
        broken = clashes(refusing.study.inquiry, line, refusing.study.active_rules)
        broken.sort(key=lambda clash: clash.field is None)
        if broken:
            return broken[0].text
    return "no line of this kind meets every rule and limit"


def _line_of(answered: Answered, pair: Sequence[str]) -> Found | None:
    """The best line of a kind of arrangement."""
    only: dict[str, frozenset[str]] = {
        function: frozenset((class_id,))
        for function, class_id in zip(FAMILY_FUNCTIONS, pair, strict=True)
    }
    return next(answered.study.found(answered.answer.view, only), None)


def _formats(answered: Answered) -> tuple[str, ...]:
    return tuple(fmt.id for fmt in answered.study.need.formats)
