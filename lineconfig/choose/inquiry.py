"""An inquiry: one client's need put to one catalogue."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from lineconfig.catalog import Catalog, Function
from lineconfig.choose.heights import HeightPlan, plan_heights
from lineconfig.choose.options import Option, options_for
from lineconfig.containers import Container, SupplyForm
from lineconfig.economics import TradeHabits
from lineconfig.need import Need


@dataclass(frozen=True, eq=False)
class Inquiry:
    """What the rules look at: the need, the catalogue, the options and the heights they make."""

    need: Need
    catalog: Catalog
    _plans: dict[tuple[str, str, str, float, float], HeightPlan] = field(
        default_factory=dict, repr=False
    )

    @cached_property
    def options(self) -> dict[Function, tuple[Option, ...]]:
        """Every option of every function, before any rule."""
        return options_for(self.need, self.catalog)

    @cached_property
    def habits(self) -> TradeHabits:
        """The trade's planning numbers."""
        return self.catalog.economics.habits

    @cached_property
    def containers(self) -> tuple[Container, ...]:
        """The containers of the need, in its order."""
        return tuple(fmt.container for fmt in self.need.formats)

    @cached_property
    def ceiling_mm(self) -> float:
        """Lowest clear height where the line would stand [mm]."""
        return float(self.need.brief.site.ceiling_mm)

    def forms(self, supply: Option) -> tuple[SupplyForm, ...]:
        """The form in which each format arrives with this way of supply."""
        chosen = supply.equipment.supply_form
        assert chosen is not None, f"{supply.id} has no supply form"
        return tuple(fmt.supply or chosen for fmt in self.need.formats)

    def heights(
        self, supply: Option, unload: Option, lower: Option, infeed_mm: float, *, ceiling: bool
    ) -> HeightPlan:
        """The heights of one combination, under the client's ceiling or under none."""
        ceiling_mm = self.ceiling_mm if ceiling else math.inf
        key = (supply.id, unload.id, lower.id, infeed_mm, ceiling_mm)
        if key not in self._plans:
            self._plans[key] = plan_heights(
                supply.equipment, unload.equipment, lower.equipment, infeed_mm,
                self.containers, self.forms(supply), self.habits, ceiling_mm,
            )  # fmt: skip
        return self._plans[key]

    def narrowed(self, options: dict[Function, Sequence[Option]]) -> Inquiry:
        """The same inquiry with fewer options for some functions."""
        inquiry = replace(self)
        inquiry.__dict__["options"] = {**self.options, **{f: tuple(o) for f, o in options.items()}}
        return inquiry
