"""Comparisons as text and JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from lineconfig.compare import Asked, Change, Comparison, Crossing, Figure
from lineconfig.present.text import short_amount, title_text
from lineconfig.present.wrapping import WIDTH, clip, heading, wrapped
from lineconfig.rank import LETTERS, Ranked, Recommendation
from lineconfig.session import Study

LABEL = 33


def comparison_text(
    study: Study, names: Sequence[str], found: Comparison, *, everything: bool = False
) -> str:
    """Layouts side by side; only what differs, unless everything is asked for."""
    lines = []
    for name, layout in zip(names, found.layouts, strict=True):
        lines += wrapped(f"{name:3}{title_text(layout)}", 0, 3)
    column = (WIDTH - LABEL) // len(names)
    lines += ["", f"{'':{LABEL}}" + "".join(f"{name:>{column}}" for name in names)]
    figures = [each for each in found.figures if everything or each.differs]
    lines += [_row(each, column) for each in figures]
    left_out = len(found.figures) - len(figures)
    if any(each.best for each in figures):
        lines.append("* best of its row")
    lines += [*heading("Equipment" if everything else "Where the equipment differs")]
    for function, ids in found.classes:
        if everything or len(set(ids)) > 1:
            lines.append(function)
            for name, class_id in zip(names, ids, strict=True):
                equipment = study.catalog.classes[class_id].name if class_id else "none"
                lines += wrapped(f"{name:>4}  {equipment}", 0, 6)
    lines += [*heading("What changes their order")]
    for crossing in found.crossings:
        lines += wrapped(_crossing(study, names, crossing), 2)
    if not found.crossings:
        lines += wrapped(
            "No wage up to five times as high and no horizon up to 40 years: the order by "
            "life-cycle cost stays.", 2,
        )  # fmt: skip
    if left_out:
        lines += ["", *wrapped(f"{left_out} figures are the same for all (`--all` shows them).", 0)]
    return "\n".join(lines)


def _row(figure: Figure, column: int) -> str:
    label = f"{figure.name} ({figure.unit})" if figure.unit else figure.name
    cells = (text + ("*" if i in figure.best else " ") for i, text in enumerate(figure.shown))
    return f"{clip(label, LABEL - 1):{LABEL}}" + "".join(f"{cell:>{column}}" for cell in cells)


def _crossing(study: Study, names: Sequence[str], crossing: Crossing) -> str:
    below, above = names[crossing.below], names[crossing.above]
    if crossing.what == "wage":
        currency = study.need.currency
        value, now = f"{crossing.value:,.2f} {currency}/h", study.need.wage_per_h
        return (
            f"Wage: {below} costs less over its life below {value}, {above} above it "
            f"(now {now:,.2f})."
        )
    return (
        f"Horizon: {below} costs less over fewer than {crossing.value:.1f} years, {above} over "
        f"more (now {study.need.horizon_years:g})."
    )


def comparison_record(names: Sequence[str], found: Comparison) -> dict[str, Any]:
    """The comparison as data."""
    return {
        "layouts": [
            {"name": name, "id": layout.id, "title": layout.title}
            for name, layout in zip(names, found.layouts, strict=True)
        ],
        "figures": [
            {
                "name": each.name,
                "unit": each.unit,
                "values": list(each.values),
                "better": each.better or None,
                "differs": each.differs,
            }
            for each in found.figures
        ],
        "classes": {function: [i or None for i in ids] for function, ids in found.classes},
        "crossings": [
            {
                "what": each.what,
                "value": each.value,
                "cheaper_below": names[each.below],
                "cheaper_above": names[each.above],
            }
            for each in found.crossings
        ],
    }


def changes_text(
    before: Recommendation,
    after: Recommendation,
    found: Sequence[Change],
    differing: Sequence[Asked] = (),
    reasons: Mapping[str, str] = MappingProxyType({}),
) -> str:
    """What two briefs ask differently, and what became of each kind of arrangement.

    `reasons` are those of kinds that came or went, by family, as far as they are known.
    """
    lines = [
        *wrapped(f"before  {before.need.brief.name}", 0, 8),
        *wrapped(f"after   {after.need.brief.name}", 0, 8),
        *heading("What changed in"),
    ]
    for each in differing:
        old, new = each.before or "not there", each.after or "not there"
        lines += wrapped(f"{each.path}: {old} -> {new}", 0, 4)
    if not differing:
        lines.append("Nothing: both ask the same.")
    lines += [
        *heading("What changed out"),
        f"{'before':8}{'after':8}{'first cost':>24}{'people':>14}{'cost of life':>24}",
    ]
    for change in found:
        sides = (change.before, change.after)
        known = change.after or change.before
        assert known is not None
        places = [LETTERS[side.rank - 1] if side else "-" for side in sides]
        word = "in" if change.before is None else "out" if change.after is None else ""
        told = [_told(side) for side in sides]
        cost, people, life = (" -> ".join(each) for each in zip(*told, strict=True))
        lines.append(f"{places[0]:8}{places[1]:8}{cost:>24}{people:>14}{life:>24}")
        unload, lower = (known.layout.station(f).option.equipment.name for f in ("unload", "lower"))
        lines += wrapped(f"{unload} + {lower}" + (f" ({word})" if word else ""), 3, 5)
        if word and reasons.get(change.family):
            lines += wrapped(reasons[change.family], 5)
    if not found:
        lines.append("Neither brief can be met.")
    for word, answer in (("before", before), ("after", after)):
        if answer.no_layout is not None and found:
            lines += ["", *wrapped(f"{word}: no layout fits.")]
            for clash in answer.no_layout.conflict:
                lines += wrapped(f"* {clash.text}", 2, 4)
    return "\n".join(lines)


def _told(side: Ranked | None) -> tuple[str, str, str]:
    """First cost, people and life-cycle cost; dashes where there is no such layout."""
    if side is None:
        return "-", "-", "-"
    money = side.layout.money
    return (
        short_amount(money.first_cost.typical),
        f"{side.layout.crew.people}",
        short_amount(money.life_cycle_cost.typical),
    )


def changes_record(
    found: Sequence[Change], reasons: Mapping[str, str] = MappingProxyType({})
) -> list[dict[str, Any]]:
    """The same as data."""
    return [
        {
            "family": change.family,
            "before": change.before.layout.id if change.before else None,
            "after": change.after.layout.id if change.after else None,
            "rank_before": change.before.rank if change.before else None,
            "rank_after": change.after.rank if change.after else None,
            "reason": reasons.get(change.family) or None,
        }
        for change in found
    ]


def asked_record(differing: Sequence[Asked]) -> list[dict[str, Any]]:
    """What two briefs ask differently, as data."""
    return [{"field": each.path, "before": each.before, "after": each.after} for each in differing]
