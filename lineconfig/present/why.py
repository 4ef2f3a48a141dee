"""Why this one, how sure, and what changes the answer, as text and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from lineconfig.explain import Against, ClassAnswer, Opening, against, reasons
from lineconfig.explain.nothing import NoLayout
from lineconfig.layout import Layout
from lineconfig.present.switching import (
    change_lines,
    limits_record,
    switching_lines,
    switching_record,
)
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.rank import Recommendation
from lineconfig.robustness import SPREADS, SPREADS_BASIS, Sureness
from lineconfig.sentences import lowered
from lineconfig.session import Study
from lineconfig.switching import PARAMETERS, Switcher, Switching
from lineconfig.switching_limits import LimitSwitch, LimitSwitcher

MOST_EXPLAINED = 5
"""Layouts whose reasons are told in text; JSON has all."""

LEAST_TOLD = 0.005
"""Shares below this come out as nothing when they are rounded."""


class Explained:
    """What explains a recommendation; each part is worked out once.

    A `switcher` that has traced some of it already is gone on with.
    """

    def __init__(
        self, study: Study, answer: Recommendation, switcher: Switcher | None = None
    ) -> None:
        self.study = study
        self.layouts = [item.layout for item in answer.layouts]
        self.reasons = reasons(study, self.layouts, answer.view)
        self.sureness = answer.sureness
        self.switching: list[Switching] = []
        self.limits: list[LimitSwitch] = []
        if self.layouts:
            switcher = switcher or Switcher(study, answer.view, answer.known)
            self.switching = _traced(study, answer, switcher)
            self.limits = LimitSwitcher(switcher, self.layouts).all()


def why_first_lines(found: Explained) -> list[str]:
    """Why the first layout comes first, how sure that is, and what changes it."""
    lines = [*heading("Why the first")]
    told = found.reasons[0]
    if not told:
        lines += wrapped("It is the only layout that is valid.")
    for each in told:
        lines += wrapped(" ".join(each.sentences))
    if found.sureness is not None:
        lines += ["", *sureness_lines(found.layouts, found.sureness)]
    return lines + change_lines(found.study, found.switching, found.limits, found.layouts)


def why_each_lines(found: Explained) -> list[str]:
    """Every shown layout against its neighbours, how sure, and which is first on which stretch."""
    lines = [*heading("Each layout against its neighbours")]
    for place, told in enumerate(found.reasons[:MOST_EXPLAINED], 1):
        lines += wrapped(f"{place}  {found.layouts[place - 1].id}", 0, 3)
        # The one before has said it already of the two of them.
        for each in told[-1:]:
            lines += wrapped(" ".join(each.sentences), 3, 3)
        if not told:
            lines += wrapped("It is the only layout that is valid.", 3)
    if found.sureness is not None:
        lines += [*heading("How sure"), *sureness_lines(found.layouts, found.sureness)]
    return lines + switching_lines(found.switching, "Which layout is first on which stretch")


def sureness_lines(layouts: Sequence[Layout], found: Sureness) -> list[str]:
    """How often the first stays first, and what decides that."""
    text = (
        f"In {found.shares[0]:.1%} of {found.draws:,} draws of prices, wages, stops, work and "
        f"volume (seed {found.seed}), the first costs least over its life"
    )
    if found.rival is not None:
        share = found.shares[found.rival]
        name = f"{found.rival + 1} ({layouts[found.rival].id})" if found.rival < len(layouts) else (
            f"{found.rival + 1}"
        )  # fmt: skip
        text += f"; in {share:.1%}, layout {name} does"
    lines = wrapped(text + ".")
    deciding = [each for each in found.deciding if each.share >= LEAST_TOLD]
    if deciding and found.rival is not None:
        parts = [f"{lowered(each.input)} ({each.share:.0%})" for each in deciding]
        lines += wrapped(f"What decides between them: {', '.join(parts)}.")
    return lines


def why_first_record(found: Explained) -> dict[str, Any]:
    """The same as data."""
    return {
        "reasons": {
            layout.id: [against_record(each) for each in told]
            for layout, told in zip(found.layouts, found.reasons, strict=True)
        },
        "sureness": (
            None if found.sureness is None else sureness_record(found.layouts, found.sureness)
        ),
        "switching": switching_record(found.switching),
        "limits": limits_record(found.limits),
    }


def beside_lines(
    study: Study, answer: Recommendation, layouts: Sequence[Layout], names: Sequence[str]
) -> list[str]:
    """The first of some layouts beside the others in sentences, and what changes the answer."""
    lines = [*heading(f"{names[0]} beside the others")]
    for other, name in zip(layouts[1:], names[1:], strict=True):
        found = against(study, layouts[0], other, name, answer.view)
        lines += wrapped(" ".join(found.sentences), 0, 2)
    return lines + switching_lines(_traced(study, answer), "What comes first of all")


def beside_record(
    study: Study, answer: Recommendation, layouts: Sequence[Layout]
) -> dict[str, Any]:
    """The same as data; layouts go by their ids."""
    return {
        "beside": [
            against_record(against(study, layouts[0], other, other.id, answer.view))
            for other in layouts[1:]
        ],
        "switching": switching_record(_traced(study, answer)),
    }


def _traced(
    study: Study, answer: Recommendation, switcher: Switcher | None = None
) -> list[Switching]:
    switcher = switcher or Switcher(study, answer.view, answer.known)
    traced = [switcher.of(parameter) for parameter in PARAMETERS]
    return [found for found in traced if found is not None]


def against_record(found: Against) -> dict[str, Any]:
    """One layout beside a neighbour."""
    return {
        "name": found.name,
        "layout": found.id,
        "ours": asdict(found.ours),
        "theirs": asdict(found.theirs),
        "difference": found.ours.less(found.theirs),
        "machines": [
            {"function": function, "ours": ours, "theirs": theirs}
            for function, ours, theirs in found.machines
        ],
        "text": " ".join(found.sentences),
    }


def sureness_record(layouts: Sequence[Layout], found: Sureness) -> dict[str, Any]:
    """The draws as data."""
    return {
        "draws": found.draws,
        "seed": found.seed,
        "first_in": {
            layout.id: share for layout, share in zip(layouts, found.shares, strict=False)
        },
        "rival": None if found.rival is None else found.rival + 1,
        "deciding": [
            {
                "input": each.input,
                "share": round(each.share, 4),
                "correlation": round(each.correlation, 4),
            }
            for each in found.deciding
        ],
        "spreads": {name: list(ends) for name, ends in SPREADS.items()},
        "basis_of_spreads": SPREADS_BASIS,
    }


def class_record(answer: ClassAnswer) -> dict[str, Any]:
    """What became of one class."""
    beaten, brought = answer.beaten, answer.brought
    return {
        "status": answer.status,
        "rule": answer.rule,
        "field": answer.field,
        "text": answer.text,
        "layout": answer.layout.id if answer.layout else None,
        "beaten": None if beaten is None else {
            "by": beaten.by,
            "extra_life_cycle_cost": round(beaten.extra_life_cycle_cost, 2),
            "extra_people": beaten.extra_people,
        },
        "brought_first_by": None if brought is None else {
            "field": brought.field,
            "from": brought.before,
            "to": brought.after,
            "unit": brought.unit,
            "text": brought.text,
        },
        "openings": [opening_record(opening) for opening in answer.openings],
    }  # fmt: skip


def opening_record(opening: Opening, **more: str) -> dict[str, Any]:
    """A change that opens a layout, and that layout, with what `more` tells of it."""
    layout = opening.layout
    return {
        "field": opening.field,
        "from": opening.before,
        "to": opening.after,
        "text": opening.text,
        "verified": True,
        "layout": layout.id,
        **more,
        "first_cost": round(layout.money.first_cost.typical, 2),
        "people": layout.crew.people,
    }


# --- nothing fits --------------------------------------------------------------------------------


def nothing_record(answer: NoLayout) -> dict[str, Any]:
    """What is told of a brief that nothing meets, beside its first conflict and single changes."""
    return {
        "conflicts": [
            [
                {
                    "rule": clash.rule,
                    "field": clash.field,
                    "text": clash.text,
                    "needed": clash.shortfall.needed if clash.shortfall else None,
                    "given": clash.shortfall.given if clash.shortfall else None,
                    "short": clash.shortfall.short if clash.shortfall else None,
                    "unit": clash.shortfall.unit if clash.shortfall else None,
                    "line": None if clash.line is None else _line_record(clash.line),
                }
                for clash in conflict
            ]
            for conflict in answer.conflicts
        ],
        "all_conflicts": answer.all_conflicts,
        "pairs": [
            {
                "changes": [
                    {
                        "field": change.field,
                        "from": change.before,
                        "to": change.after,
                        "text": change.text,
                    }
                    for change in pair.changes
                ],
                "text": pair.text,
                "verified": True,
                "layout": pair.layout.id,
                "title": pair.layout.title,
                "first_cost": round(pair.layout.money.first_cost.typical, 2),
                "people": pair.layout.crew.people,
            }
            for pair in answer.pairs
        ],
    }


def _line_record(layout: Layout) -> dict[str, Any]:
    return {
        "layout": layout.id,
        "title": layout.title,
        "first_cost": round(layout.money.first_cost.typical, 2),
        "people": layout.crew.people,
        "rated_cpm": round(min(layout.speed.rated), 3),
    }
