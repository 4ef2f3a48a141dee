"""Reach, ladders and platforms: heights of hands and feet against public thresholds.

The thresholds point out where a closer look is due; they settle nothing. What a site must provide
follows from the local code and the judgement of the people licensed to give it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative, require_positive

Work = Literal["precision", "light", "heavy"]
"""Work at the hands: close visual work; handling light things; force or heavy things."""

REACH_LIMIT_MM = 1750.0
"""Hands above this have no recommended lifting limit: NIOSH 94-110 (2021), p. 9, V. [mm]"""

FALL_THRESHOLD_MM = 1200.0
"""4 ft (1.2 m), 29 CFR 1910.28(b)(1)(i); the smaller of the two printed figures. [mm]"""

HANDRAIL_THRESHOLD_MM = 1219.2
"""4 ft, top step of a mobile ladder stand, 29 CFR 1910.23(e) (from memory). [mm]"""

GUARDRAIL_THRESHOLD_MM = 3048.0
"""10 ft, top step of a mobile ladder stand, 29 CFR 1910.23(e) (from memory). [mm]"""


HEADROOM_MM = 2032.0
"""80 in (203 cm) above any stair tread to an obstruction overhead, 29 CFR 1910.25(b)(2) (from
memory). [mm]"""


@dataclass(frozen=True, slots=True)
class HeightRange:
    """Range of work heights above the standing surface."""

    low_mm: float
    """Lowest height of the hands. [mm]"""
    high_mm: float
    """Highest height of the hands. [mm]"""


WORK_HEIGHTS: dict[Work, HeightRange] = {
    "precision": HeightRange(1020.0, 1320.0),
    "light": HeightRange(870.0, 1170.0),
    "heavy": HeightRange(720.0, 1120.0),
}
"""Adjustment ranges for standing work that serve 90 % of working people; Pheasant and Haslegrave,
Bodyspace, 3rd edition 2006, as quoted by msdprevention.com."""

_WORK_HEIGHT_BASIS = "Pheasant and Haslegrave, Bodyspace, 3rd edition (2006)"
_DEFER = "Local codes and licensed practice decide what the site must provide."


def least_standing_height_mm(
    hand_height_mm: float, *, most_reach_mm: float = REACH_LIMIT_MM
) -> float:
    """How far above the floor a person must stand to keep the hands within reach.

    Parameters
    ----------
    hand_height_mm : float
        Height of the hands above the floor. [mm]
    most_reach_mm : float, optional
        Highest wanted height of the hands above the feet. [mm]

    Returns
    -------
    float
        Least height of the standing surface above the floor, 0 where the floor does. [mm]

    Raises
    ------
    ValueError
        If the hand height is negative or the reach not above zero.

    References
    ----------
    The default is the limit of V in NIOSH 94-110 (2021), p. 9.
    """
    require_not_negative(hand_height_mm=hand_height_mm)
    require_positive(most_reach_mm=most_reach_mm)
    return max(0.0, hand_height_mm - most_reach_mm)


def _reach_cautions(reach_mm: float, work: Work) -> list[Caution]:
    comfortable = WORK_HEIGHTS[work]
    span = f"{comfortable.low_mm:.0f} to {comfortable.high_mm:.0f} mm"
    if reach_mm > REACH_LIMIT_MM:
        text = (
            f"Hands {reach_mm:.0f} mm above the feet: the NIOSH lifting equation recommends no "
            f"weight above {REACH_LIMIT_MM:.0f} mm. Lower the work or raise the person."
        )
        return [Caution("reach-above-limit", text, "NIOSH 94-110 (2021), p. 9")]
    if reach_mm > comfortable.high_mm:
        text = (
            f"Hands {reach_mm:.0f} mm above the feet lie above the {span} recommended for {work} "
            "standing work: shoulders tire, and smaller people cannot reach."
        )
        return [Caution("hands-high", text, _WORK_HEIGHT_BASIS)]
    if reach_mm < comfortable.low_mm:
        text = (
            f"Hands {reach_mm:.0f} mm above the feet lie below the {span} recommended for {work} "
            "standing work: the back bends at every touch."
        )
        return [Caution("hands-low", text, _WORK_HEIGHT_BASIS)]
    return []


def standing_cautions(
    standing_height_mm: float, *, dangerous_equipment_below: bool = False
) -> list[Caution]:
    """Point out what the height of a surface that people stand on calls for.

    Parameters
    ----------
    standing_height_mm : float
        Height of the surface above the floor. [mm]
    dangerous_equipment_below : bool, optional
        Whether a fall from it ends on or in unguarded machinery.

    Returns
    -------
    list of Caution
        Empty on the floor itself.

    Raises
    ------
    ValueError
        If the height is negative.

    References
    ----------
    29 CFR 1910.23, 1910.28 and 1910.29.
    """
    require_not_negative(standing_height_mm=standing_height_mm)
    standing_mm = standing_height_mm
    if standing_mm == 0.0:
        return []
    found = []
    text = (
        f"The person stands {standing_mm:.0f} mm above the floor. On a ladder or step one hand "
        "stays on it and nothing is carried that can upset the balance; for work with both hands "
        f"plan a platform with steps at least 16 in (41 cm) wide. {_DEFER}"
    )
    basis = (
        "29 CFR 1910.23(b) (from memory) and 1910.23(e)(1)(i), quoted in "
        "osha.gov/laws-regs/standardinterpretations/2024-06-06-0"
    )
    found.append(Caution("step-or-platform", text, basis))
    if standing_mm >= FALL_THRESHOLD_MM:
        text = (
            "An open side 4 ft (1.2 m) or more above the level below calls for fall protection: a "
            "guardrail with its top edge at 42 in, give or take 3 in (107 +/- 8 cm), a net, or a "
            f"personal system. Portable ladders have rules of their own. {_DEFER}"
        )
        found.append(
            Caution("fall-protection", text, "29 CFR 1910.28(a)(2)(i), (b)(1)(i); 1910.29(b)(1)")
        )
    elif dangerous_equipment_below:
        text = (
            "A fall of less than 4 ft (1.2 m) onto or into dangerous equipment calls for a "
            f"guardrail or a travel restraint unless that equipment is covered or guarded. {_DEFER}"
        )
        found.append(Caution("fall-onto-equipment", text, "29 CFR 1910.28(b)(6)(i)"))
    if standing_mm > GUARDRAIL_THRESHOLD_MM:
        text = (
            "A mobile ladder stand or platform higher than 10 ft (3.0 m) calls for guardrails and "
            f"toeboards. {_DEFER}"
        )
        found.append(Caution("platform-guardrail", text, "29 CFR 1910.23(e), figures from memory"))
    elif standing_mm >= HANDRAIL_THRESHOLD_MM:
        text = (
            "A mobile ladder stand or platform with its top step at 4 ft (1.2 m) or higher calls "
            f"for handrails. {_DEFER}"
        )
        found.append(Caution("platform-handrail", text, "29 CFR 1910.23(e), figures from memory"))
    return found


def headroom_cautions(standing_height_mm: float, clear_height_mm: float) -> list[Caution]:
    """Point out where too little is left overhead of people on a raised surface.

    Parameters
    ----------
    standing_height_mm : float
        Height of the surface above the floor; 0 for the floor itself. [mm]
    clear_height_mm : float
        Clear height there, from the floor. [mm]

    Returns
    -------
    list of Caution
        Empty on the floor itself and where there is room enough.

    Raises
    ------
    ValueError
        If a height is negative.

    References
    ----------
    29 CFR 1910.25(b)(2) (from memory): at least 80 in above any stair tread. It serves as a guide
    for the platform at the top of the steps.
    """
    require_not_negative(standing_height_mm=standing_height_mm, clear_height_mm=clear_height_mm)
    left_mm = clear_height_mm - standing_height_mm
    if standing_height_mm == 0.0 or left_mm >= HEADROOM_MM:
        return []
    text = (
        f"{max(0.0, left_mm):,.0f} mm are left between the platform and the ceiling, less than the "
        f"80 in ({HEADROOM_MM:,.0f} mm) that steps call for overhead: people stoop there and "
        f"strike their heads. {_DEFER}"
    )
    return [Caution("low-headroom", text, "29 CFR 1910.25(b)(2) (from memory)")]


def height_cautions(
    hand_height_mm: float,
    standing_height_mm: float = 0.0,
    *,
    work: Work = "light",
    dangerous_equipment_below: bool = False,
) -> list[Caution]:
    """Point out what the heights of hands and feet call for.

    Parameters
    ----------
    hand_height_mm : float
        Height of the hands above the floor. [mm]
    standing_height_mm : float, optional
        Height of the surface that the person stands on above the floor. [mm]
    work : {"precision", "light", "heavy"}, optional
        What the hands do.
    dangerous_equipment_below : bool, optional
        Whether a fall from the standing surface ends on or in unguarded machinery.

    Returns
    -------
    list of Caution
        Empty where no threshold is passed, which does not mean that nothing can happen.

    Raises
    ------
    ValueError
        If a height is negative.

    References
    ----------
    NIOSH 94-110 (2021), p. 9; Pheasant and Haslegrave, Bodyspace, 3rd edition (2006); 29 CFR
    1910.23, 1910.28 and 1910.29.
    """
    require_not_negative(hand_height_mm=hand_height_mm, standing_height_mm=standing_height_mm)
    return [
        *_reach_cautions(hand_height_mm - standing_height_mm, work),
        *standing_cautions(standing_height_mm, dangerous_equipment_below=dangerous_equipment_below),
    ]
