"""Platforms that people work from: the floor that the platform and its steps take.

Figures of the United States' rule for stairs and landings; local codes and licensed practice decide
what a site must provide.
"""

from __future__ import annotations

import math

from lineconfig.assess.inputs import require_not_negative

MM_PER_INCH = 25.4
MM2_PER_M2 = 1e6

DEPTH_MM = 30 * MM_PER_INCH
"""Least depth of a landing or platform, 29 CFR 1910.25(b)(4). [mm]"""

RISER_MOST_MM = 9.5 * MM_PER_INCH
"""Highest riser of a standard stair, 29 CFR 1910.25(c)(2) (from memory). [mm]"""

TREAD_LEAST_MM = 9.5 * MM_PER_INCH
"""Least depth of its treads, 29 CFR 1910.25(c)(3) (from memory). [mm]"""

STEPS_WIDTH_MM = 22 * MM_PER_INCH
"""Least clear width between its rails, 29 CFR 1910.25(c)(4) (from memory). [mm]"""

# A height of exactly so many risers must not get one more by the last bit of a division.
_SLACK = 1e-9


def risers(height_mm: float) -> int:
    """Count the risers of the fewest steps up to a platform.

    Parameters
    ----------
    height_mm : float
        Height of the platform above the floor. [mm]

    Returns
    -------
    int
        Risers, the last of them onto the platform; 0 for no platform. [-]

    Raises
    ------
    ValueError
        If the height is negative or not finite.

    References
    ----------
    29 CFR 1910.25(c)(2) (from memory): risers of at most 9.5 in.

    Examples
    --------
    >>> risers(1200)
    5
    """
    require_not_negative(height_mm=height_mm)
    return math.ceil(height_mm / RISER_MOST_MM - _SLACK)


def steps_run_mm(height_mm: float) -> float:
    """Give the length along the floor of the steepest standard steps up to a platform.

    Parameters
    ----------
    height_mm : float
        Height of the platform above the floor. [mm]

    Returns
    -------
    float
        Run; 0 where one riser is enough. [mm]

    Raises
    ------
    ValueError
        If the height is negative or not finite.

    References
    ----------
    29 CFR 1910.25(c)(2)-(3) (from memory): one tread of at least 9.5 in less than there are risers.

    Examples
    --------
    >>> round(steps_run_mm(1200))
    965
    """
    return max(0, risers(height_mm) - 1) * TREAD_LEAST_MM


def platform_floor_m2(height_mm: float, along_mm: float, kept_free_mm: float) -> float:
    """Give the floor that a platform takes beside a machine, besides what is kept free there.

    Parameters
    ----------
    height_mm : float
        Height of the platform above the floor; 0 for no platform. [mm]
    along_mm : float
        Length of the machine that the platform stands along. [mm]
    kept_free_mm : float
        Clearance that is kept free beside the machine in any case. [mm]

    Returns
    -------
    float
        Platform beyond the clearance, and the steps at its end. [m2]

    Raises
    ------
    ValueError
        If an argument is negative or not finite.

    References
    ----------
    29 CFR 1910.25(b)(4) and (c) (figures of (c) from memory).

    Examples
    --------
    >>> round(platform_floor_m2(1200, 3000, 900), 2)
    0.54
    """
    require_not_negative(height_mm=height_mm, along_mm=along_mm, kept_free_mm=kept_free_mm)
    if height_mm == 0.0:
        return 0.0
    beyond_mm2 = along_mm * max(0.0, DEPTH_MM - kept_free_mm)
    return (beyond_mm2 + steps_run_mm(height_mm) * STEPS_WIDTH_MM) / MM2_PER_M2
