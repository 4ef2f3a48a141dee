"""The table-top chain of a placed line: what its bends and straights cost and hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.assess.money import Range
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import price_range
from lineconfig.floorplan.plan import Plan
from lineconfig.layout import Station


@dataclass(frozen=True, slots=True)
class Chain:
    """The conveyors of a plan."""

    bends: int
    straight_mm: float
    holds_cans: int
    """Cans between the machines when the chain is full."""
    price: Range
    """Of these pieces, before freight and installation [currency]."""
    counted: Range
    """What the layout's price counts for its joints [currency]."""

    @property
    def beyond(self) -> float:
        """Typical price of the pieces beyond what the layout counts; below zero for fewer
        [currency]."""
        return self.price.typical - self.counted.typical


def chain_of(plan: Plan, stations: Sequence[Station], inquiry: Inquiry) -> Chain:
    """What the conveyors of a plan come to, at the catalogue's prices."""
    straight = inquiry.catalog.classes["table-top-straight"]
    bend = inquiry.catalog.classes["table-top-bend"]
    assert straight.size is not None
    pieces = plan.chain_mm / straight.size.length_mm
    counted = Range(0.0, 0.0, 0.0)
    for station in stations:
        if station.function == "convey":
            counted = counted + station.price
    bends = len(plan.turns)
    return Chain(
        bends,
        plan.chain_mm,
        round(pieces * straight.holds_cans) + bends * bend.holds_cans,
        price_range(straight.price) * pieces + price_range(bend.price) * bends,
        counted,
    )
