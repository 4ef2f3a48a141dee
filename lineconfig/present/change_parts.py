"""Change parts of a layout: what to own for each format, price, lead time, and what is shared."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from lineconfig.assess.money import NOTHING, Range
from lineconfig.connect.stations import price_range
from lineconfig.containers import Container
from lineconfig.layout import Layout, Station
from lineconfig.present.wrapping import clip, heading, wrapped
from lineconfig.rounding import amount_text
from lineconfig.session import Study

TRACK = "Track"

SERVES: dict[str, Callable[[Container], str]] = {
    "format": lambda can: can.id,
    "diameter": lambda can: f"{can.diameter_mm:g} mm",
    "height": lambda can: f"{can.height_mm:g} mm",
    "end": lambda can: can.end,
    "closing": lambda can: can.closing,
}
"""What a set is for, in the words of the layout's own parts."""


@dataclass(frozen=True, slots=True)
class PartNeed:
    """One set of change parts that a line needs, and the formats that run with it."""

    class_id: str
    station: str
    part: str
    serves: str
    """The diameter, height, end or closing that it is for; the format's id where it is for that
    alone."""
    formats: tuple[str, ...]
    """Ids of the formats that run with it."""
    price: Range
    """Of the set; nothing where it comes with the machine [currency]."""
    included: bool
    """Whether it comes with the machine, or with one that is owned."""
    lead_time_weeks: float | None
    basis: str
    """Where price and lead time come from."""

    @property
    def shared(self) -> bool:
        """Whether more than one format runs with it."""
        return len(self.formats) > 1


def change_parts(study: Study, layout: Layout) -> list[PartNeed]:
    """Every set of change parts of a line, station by station, included ones too."""
    containers = study.inquiry.containers
    needs: list[PartNeed] = []
    for station in layout.stations:
        needs += _sets(study, station, containers)
        needs += _tracks(study, station, containers)
    return needs


def _sets(study: Study, station: Station, containers: Sequence[Container]) -> list[PartNeed]:
    equipment = station.option.equipment
    change = equipment.changeover
    needs = []
    for part in change.parts if change else []:
        served: dict[str, list[str]] = {}
        for can in containers:
            if not part.closings or can.closing in part.closings:
                served.setdefault(SERVES[part.for_each](can), []).append(can.id)
        included = part.first_included or station.option.owned
        for place, (value, formats) in enumerate(served.items()):
            with_machine = included and place == 0
            lead = part.lead_time_weeks
            needs.append(
                PartNeed(
                    class_id=equipment.id,
                    station=equipment.name,
                    part=part.part,
                    serves=value,
                    formats=tuple(formats),
                    price=NOTHING if with_machine else price_range(part.price),
                    included=with_machine,
                    lead_time_weeks=equipment.lead_time_weeks if lead is None else lead,
                    basis=study.catalog.basis(equipment.id, "changeover.parts"),
                )
            )
    return needs


def _tracks(study: Study, station: Station, containers: Sequence[Container]) -> list[PartNeed]:
    """Lowering tracks are made for one format each."""
    equipment = station.option.equipment
    if equipment.price_per_track is None:
        return []
    owned = station.option.owned
    return [
        PartNeed(
            class_id=equipment.id,
            station=equipment.name,
            part=TRACK,
            serves=can.id,
            formats=(can.id,),
            price=NOTHING if owned else price_range(equipment.price_per_track),
            included=owned,
            lead_time_weeks=equipment.lead_time_weeks,
            basis=study.catalog.basis(equipment.id, "price_per_track"),
        )
        for can in containers
    ]


def change_parts_lines(study: Study, layout: Layout) -> list[str]:
    """The change parts as a table; empty where there are none."""
    needs = change_parts(study, layout)
    if not needs:
        return []
    lines = [
        *heading("Change parts to own"),
        f"{'part':38}{'for':23}{'price':>10}{'weeks':>7}",
    ]
    station = ""
    for need in needs:
        if need.station != station:
            station = need.station
            lines += wrapped(station, 0, 2)
        price = "included" if need.included else amount_text(need.price.typical)
        weeks = "-" if need.lead_time_weeks is None else f"{need.lead_time_weeks:g}"
        lines.append(f"  {clip(need.part, 36):36}{clip(need.serves, 23):23}{price:>10}{weeks:>7}")
        if need.shared:
            lines += wrapped(f"shared by {', '.join(need.formats)}", 4, 6)
    cost = sum(need.price.typical for need in needs)
    longest = max((need.lead_time_weeks or 0.0 for need in needs if not need.included), default=0.0)
    if cost:
        said = f"To buy: {amount_text(cost)} {study.need.currency} at typical prices"
        lines += wrapped(f"{said}; from order to delivery the slowest takes {longest:g} weeks.")
    else:
        lines += wrapped("Nothing to buy: every set comes with its machine.")
    return lines


def change_parts_record(study: Study, layout: Layout) -> list[dict[str, Any]]:
    """The change parts as plain data."""
    return [
        {
            "class": need.class_id,
            "part": need.part,
            "for": need.serves,
            "formats": list(need.formats),
            "shared": need.shared,
            "included": need.included,
            "price": {
                "low": round(need.price.low, 2),
                "typical": round(need.price.typical, 2),
                "high": round(need.price.high, 2),
            },
            "lead_time_weeks": need.lead_time_weeks,
            "basis": need.basis,
        }
        for need in change_parts(study, layout)
    ]
