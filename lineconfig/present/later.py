"""What a line takes in the later years of a brief that grows: a line of text, and data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from lineconfig.growth.carrying import Carried
from lineconfig.present.text import plain_name
from lineconfig.session import Study

MOST_NAMED = 3
"""Machines to replace that are named in a line."""


def later_text(study: Study, found: Sequence[Carried]) -> str:
    """Whether a line carries each later phase as it stands, or what must give."""
    if all(each.as_it_stands for each in found):
        hours = ", ".join(
            f"{each.hours_per_week or 0.0:.0f} of {each.phase.need.hours_per_week:g}"
            f"{' h a week' if place == 0 else ''} in year {each.phase.year}"
            for place, each in enumerate(found)
        )
        return f"later: as it stands, {hours}"
    said, before = [], frozenset[str]()
    for each in found:
        refused = [name for name in each.refused if name not in before]
        before |= frozenset(refused)
        if refused or not each.refused:
            said.append(_verdict(study, each, refused))
    return f"later: {'; '.join(said)}"


def verdict_of(found: Iterable[Carried]) -> tuple[object, ...]:
    """What two lines have in common that are told alike, their hours apart."""
    return tuple(
        (tuple(each.refused), tuple(clash.rule for clash in each.against)) for each in found
    )


def _verdict(study: Study, found: Carried, refused: Sequence[str]) -> str:
    year, hours = found.phase.year, found.hours_per_week or 0.0
    if refused:
        named = [_replaced(study, found, class_id) for class_id in refused[:MOST_NAMED]]
        more = len(refused) - MOST_NAMED
        rest = f" and {more} more" if more > 0 else ""
        return f"from year {year} replace the {', the '.join(named)}{rest}"
    if found.as_it_stands:
        return f"year {year} as it stands"
    if found.hours_alone:
        there = found.phase.need.hours_per_week
        return f"from year {year} too few hours, it takes {hours:.1f} of {there:g} a week"
    texts = ", ".join(clash.text for clash in found.against[:MOST_NAMED])
    return f"from year {year} not as it stands: {texts}"


def _replaced(study: Study, found: Carried, class_id: str) -> str:
    equipment = study.catalog.classes[class_id]
    texts = [
        refusal.text.removeprefix(equipment.name).lstrip(": ").replace("the brief has", "then")
        for refusal in found.refused[class_id]
        if refusal.rule.id != "speed"
    ]
    if class_id in found.slow:
        rated_cpm, asked_cpm = found.slow[class_id]
        texts.insert(0, f"{rated_cpm:,.0f} of {asked_cpm:,.0f} cpm")
    return f"{plain_name(equipment)} ({' and '.join(texts)})"


def later_records(found: Mapping[str, Iterable[Carried]]) -> dict[str, list[dict[str, Any]]]:
    """The same as data, by layout."""
    return {
        layout_id: [
            {
                "year": each.phase.year,
                "as_it_stands": each.as_it_stands,
                "hours_per_week": (
                    None if each.hours_per_week is None else round(each.hours_per_week, 2)
                ),
                "hours_there_are": each.phase.need.hours_per_week,
                "replace": [
                    {"class": name, "text": "; ".join(refusal.text for refusal in refusals)}
                    for name, refusals in each.refused.items()
                ],
                "against": [{"rule": clash.rule, "text": clash.text} for clash in each.against],
            }
            for each in carried
        ]
        for layout_id, carried in found.items()
    }
