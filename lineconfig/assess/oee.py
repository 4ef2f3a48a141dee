"""Overall equipment effectiveness after ISO 22400-2."""

from __future__ import annotations

from dataclasses import dataclass

from lineconfig.assess.inputs import require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Effectiveness:
    """The three ratios; their product is the overall equipment effectiveness."""

    availability: float
    """Actual production time over planned busy time, APT / PBT. [-]"""
    effectiveness: float
    """Planned run time of what was made over actual production time, PRI * PQ / APT; above 1 where
    the planned speed was beaten. [-]"""
    quality_ratio: float
    """Good over produced quantity, GQ / PQ; 0 where nothing was made. [-]"""

    @property
    def oee(self) -> float:
        """Overall equipment effectiveness. [-]"""
        return self.availability * self.effectiveness * self.quality_ratio


def overall_equipment_effectiveness(
    *,
    planned_busy_min: float,
    actual_production_min: float,
    planned_run_min_per_item: float,
    produced: float,
    good: float,
) -> Effectiveness:
    """Availability, effectiveness and quality ratio of a work unit.

    Parameters
    ----------
    planned_busy_min : float
        PBT: time planned for production, planned downtime already taken off. [min]
    actual_production_min : float
        APT: time in which it really produced. [min]
    planned_run_min_per_item : float
        PRI: planned run time per item, the inverse of the planned speed. [min]
    produced : float
        PQ: produced quantity, rejects included. [items]
    good : float
        GQ: good quantity. [items]

    Returns
    -------
    Effectiveness
        The three ratios, with their product as `oee`.

    Raises
    ------
    ValueError
        If the planned busy time or run time is not above zero, another argument is negative, more
        time was produced than planned, more was good than produced, or items were made in no time.

    References
    ----------
    ISO 22400-2:2014, quoted in reference.opcfoundation.org/v105/MachineTool/v101/docs/C.2.4.
    """
    require_positive(
        planned_busy_min=planned_busy_min, planned_run_min_per_item=planned_run_min_per_item
    )
    require_not_negative(actual_production_min=actual_production_min, produced=produced, good=good)
    if actual_production_min > planned_busy_min:
        raise ValueError(
            f"actual_production_min must not exceed the planned {planned_busy_min} min, "
            f"found {actual_production_min}"
        )
    if good > produced:
        raise ValueError(f"good must not exceed the produced {produced}, found {good}")
    if produced > 0.0 and actual_production_min == 0.0:
        raise ValueError("actual_production_min must be above 0 where items were produced")
    made = produced > 0.0
    return Effectiveness(
        availability=actual_production_min / planned_busy_min,
        effectiveness=planned_run_min_per_item * produced / actual_production_min if made else 0.0,
        quality_ratio=good / produced if made else 0.0,
    )
