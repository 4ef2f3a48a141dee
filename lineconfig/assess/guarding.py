"""Distances between a protective device and the hazard that it guards.

Implemented are ISO 13855:2010, for light curtains at right angles to the approach, for two-hand
controls and for interlocked guards, and the US formula of 29 CFR 1910.217 for mechanical power
presses, which the trade also uses as a guide elsewhere. A 2024 edition of ISO 13855 arranges its
terms anew (from memory), and neither text covers running, jumping or falling. The results take
floor in a plan; the machine's builder and licensed practice settle the real distance from the
measured stopping time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.inputs import require_not_negative, require_positive

ISO_EDITION = "ISO 13855:2010"
US_RULE = "29 CFR 1910.217"

HAND_SPEED_MM_S = 2000.0
"""Approach of the hand within 500 mm; ISO 13855:2010, 6.2.3 (from memory). [mm/s]"""

WALKING_SPEED_MM_S = 1600.0
"""Approach of the body, and of the hand beyond 500 mm; ISO 13855:2010 (from memory). [mm/s]"""

US_HAND_SPEED_MM_S = 63.0 * 25.4
"""Hand-speed constant of 63 in/s; 29 CFR 1910.217(c)(3)(iii)(e). [mm/s]"""

_INCH_MM = 25.4
_FINGER_MM = 14.0
_HAND_RESOLUTION_MM = 40.0
_NEAR_MM = 500.0
_LEAST_MM = 100.0
_ARM_MM = 850.0
_SINGLE_BEAM_MM = 1200.0
_TWO_HAND_MM = 250.0


@dataclass(frozen=True, slots=True)
class GuardingDistance:
    """Least distance from a protective device to the hazard."""

    distance_mm: float
    """Least distance. [mm]"""
    formula: str
    """The formula with its numbers, for the report."""
    standard: str
    """The text and edition that it comes from."""


def light_curtain_distance(stopping_time_s: float, resolution_mm: float) -> GuardingDistance:
    """Least distance of a light curtain that stands at right angles to the approach.

    Reaching over, under or round the field is a matter of its height and of further guards, and is
    not covered here.

    Parameters
    ----------
    stopping_time_s : float
        From the interruption of the field to the end of the hazard: response of the curtain, the
        control and the machine together. [s]
    resolution_mm : float
        Detection capability d: the smallest object that is always seen. [mm]

    Returns
    -------
    GuardingDistance
        Up to d = 40 mm: S = 2000 T + 8 (d - 14), at least 100 mm; where that exceeds 500 mm, with
        1600 in place of 2000, and then at least 500 mm. Coarser fields and several beams:
        S = 1600 T + 850.

    Raises
    ------
    ValueError
        If the time is negative or the resolution not above zero.

    References
    ----------
    ISO 13855:2010, 6.2.3 and 6.2.4 (from memory; the rule as quoted in makers' manuals).
    """
    require_not_negative(stopping_time_s=stopping_time_s)
    require_positive(resolution_mm=resolution_mm)
    if resolution_mm > _HAND_RESOLUTION_MM:
        distance_mm = WALKING_SPEED_MM_S * stopping_time_s + _ARM_MM
        return GuardingDistance(
            distance_mm, f"1600 mm/s x {stopping_time_s:g} s + 850 mm", ISO_EDITION
        )
    intrusion_mm = max(0.0, 8.0 * (resolution_mm - _FINGER_MM))
    tail = f"{stopping_time_s:g} s + 8 ({resolution_mm:g} mm - 14 mm)"
    distance_mm = HAND_SPEED_MM_S * stopping_time_s + intrusion_mm
    if distance_mm <= _NEAR_MM:
        return GuardingDistance(
            max(_LEAST_MM, distance_mm), f"2000 mm/s x {tail}, at least 100 mm", ISO_EDITION
        )
    distance_mm = WALKING_SPEED_MM_S * stopping_time_s + intrusion_mm
    return GuardingDistance(
        max(_NEAR_MM, distance_mm), f"1600 mm/s x {tail}, at least 500 mm", ISO_EDITION
    )


def single_beam_distance(stopping_time_s: float) -> GuardingDistance:
    """Least distance of a single light beam, where a risk assessment allows one at all.

    Parameters
    ----------
    stopping_time_s : float
        From the interruption of the beam to the end of the hazard. [s]

    Returns
    -------
    GuardingDistance
        S = 1600 T + 1200.

    Raises
    ------
    ValueError
        If the time is negative.

    References
    ----------
    ISO 13855:2010, 6.2.5 (clause from memory; the rule as quoted in a maker's guide to access
    guarding with beams).
    """
    require_not_negative(stopping_time_s=stopping_time_s)
    distance_mm = WALKING_SPEED_MM_S * stopping_time_s + _SINGLE_BEAM_MM
    return GuardingDistance(
        distance_mm, f"1600 mm/s x {stopping_time_s:g} s + 1200 mm", ISO_EDITION
    )


def interlocked_guard_distance(
    stopping_time_s: float, *, reach_through_mm: float = 0.0
) -> GuardingDistance:
    """Least distance of an interlocked door or hatch that is not locked while the machine runs.

    Parameters
    ----------
    stopping_time_s : float
        From opening the guard to the end of the hazard: response of the interlock, the control and
        the machine together. [s]
    reach_through_mm : float, optional
        How far fingers or a hand get through the opening before the stop signal is given, from the
        table of ISO 13857; 0 where nothing gets through. [mm]

    Returns
    -------
    GuardingDistance
        S = 1600 T + C.

    Raises
    ------
    ValueError
        If the time or the reach is negative.

    References
    ----------
    ISO 13855:2010, clause 9 (as quoted in manuals of interlock switches). The time that opening
    the guard takes, which the clause lets one deduct, is left out.
    """
    require_not_negative(stopping_time_s=stopping_time_s, reach_through_mm=reach_through_mm)
    distance_mm = WALKING_SPEED_MM_S * stopping_time_s + reach_through_mm
    tail = f" + {reach_through_mm:g} mm" if reach_through_mm else ""
    return GuardingDistance(distance_mm, f"1600 mm/s x {stopping_time_s:g} s{tail}", ISO_EDITION)


def two_hand_control_distance(stopping_time_s: float) -> GuardingDistance:
    """Least distance of a two-hand control.

    Parameters
    ----------
    stopping_time_s : float
        From releasing a button to the end of the hazard. [s]

    Returns
    -------
    GuardingDistance
        S = 1600 T + 250.

    Raises
    ------
    ValueError
        If the time is negative.

    References
    ----------
    ISO 13855:2010, clause on two-hand control devices (from memory).
    """
    require_not_negative(stopping_time_s=stopping_time_s)
    distance_mm = WALKING_SPEED_MM_S * stopping_time_s + _TWO_HAND_MM
    return GuardingDistance(distance_mm, f"1600 mm/s x {stopping_time_s:g} s + 250 mm", ISO_EDITION)


def _round_up_mm(distance_mm: float, step_in: float) -> float:
    # An exact multiple must not climb a whole step for the last bit of a product.
    steps = math.ceil(distance_mm / (_INCH_MM * step_in) - 1e-9)
    return steps * step_in * _INCH_MM


def us_distance(stopping_time_s: float, *, round_up_to_in: float = 0.5) -> GuardingDistance:
    """Least distance of a presence-sensing device or two-hand control after the US rule.

    The agency's chart rounds to the nearest half inch and so falls short of its own formula by up
    to .04 in; here the formula is rounded up.

    Parameters
    ----------
    stopping_time_s : float
        Stopping time. [s]
    round_up_to_in : float, optional
        Step to round up to. [in]

    Returns
    -------
    GuardingDistance
        Ds = 63 in/s x Ts, rounded up.

    Raises
    ------
    ValueError
        If the time is negative or the step not above zero.

    References
    ----------
    29 CFR 1910.217(c)(3)(iii)(e) and (vii)(c); chart:
    osha.gov/SLTC/etools/machineguarding/presses/safetydistance.html.
    """
    require_not_negative(stopping_time_s=stopping_time_s)
    require_positive(round_up_to_in=round_up_to_in)
    distance_mm = _round_up_mm(US_HAND_SPEED_MM_S * stopping_time_s, round_up_to_in)
    return GuardingDistance(distance_mm, f"63 in/s x {stopping_time_s:g} s, rounded up", US_RULE)


def two_hand_trip_distance(
    engagement_points: int, time_per_revolution_s: float
) -> GuardingDistance:
    """Least distance of a two-hand trip on a full-revolution clutch.

    Parameters
    ----------
    engagement_points : int
        N, engagement points of the clutch per revolution. [-]
    time_per_revolution_s : float
        Time of one revolution of the crankshaft. [s]

    Returns
    -------
    GuardingDistance
        Dm = 63 in/s x Tm with Tm = (1/2 + 1/N) x time per revolution, not rounded.

    Raises
    ------
    ValueError
        If an argument is not above zero.

    References
    ----------
    29 CFR 1910.217(c)(3)(viii)(c).
    """
    require_positive(
        engagement_points=engagement_points, time_per_revolution_s=time_per_revolution_s
    )
    trip_s = (0.5 + 1.0 / engagement_points) * time_per_revolution_s
    formula = f"63 in/s x (1/2 + 1/{engagement_points}) x {time_per_revolution_s:g} s"
    return GuardingDistance(US_HAND_SPEED_MM_S * trip_s, formula, US_RULE)
