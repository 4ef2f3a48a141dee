"""Occupational noise after 29 CFR 1910.95: permitted time, dose and time-weighted average.

The rule trades 5 dB for a factor of two in time. Its Table G-16 rounds a few times to handier
figures; dose is computed as Appendix A asks, from the formula under Table G-16a.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative

CRITERION_DBA = 90.0
"""Level that is permitted for eight hours, 1910.95(b). [dBA]"""

PERMITTED_DOSE_PERCENT = 100.0
"""Dose of eight hours at 90 dBA, 1910.95(b). [%]"""

ACTION_DOSE_PERCENT = 50.0
"""Dose from which hearing is to be looked after, the same as 85 dBA on average, 1910.95(c). [%]"""

CEILING_DBA = 115.0
"""Highest level of Table G-16. [dBA]"""

DOSE_THRESHOLD_DBA = 80.0
"""Lowest level that Appendix A lets into the dose, 1910.95(d)(2)(i) (from memory). [dBA]"""

_DAY_H = 8.0
_EXCHANGE_DB = 5.0

# A shift cut into many stretches must not slip under a threshold by the last bit of their sum.
_SLACK_PERCENT = 1e-6


@dataclass(frozen=True, slots=True)
class Exposure:
    """A stretch of the shift at one level."""

    level_dba: float
    """A-weighted sound level at the ear, slow response. [dBA]"""
    hours: float
    """How long. [h]"""


def permitted_h(level_dba: float) -> float:
    """Reference duration: how long a level may last if it is all the noise of the shift.

    Parameters
    ----------
    level_dba : float
        A-weighted sound level. [dBA]

    Returns
    -------
    float
        Reference duration T. [h]

    Raises
    ------
    ValueError
        If the level is negative or not finite.

    References
    ----------
    29 CFR 1910.95 Appendix A, Table G-16a: T = 8 / 2^((L - 90) / 5).

    Examples
    --------
    >>> permitted_h(95)
    4.0
    """
    require_not_negative(level_dba=level_dba)
    return float(_DAY_H / 2.0 ** ((level_dba - CRITERION_DBA) / _EXCHANGE_DB))


def noise_dose_percent(
    exposures: Iterable[Exposure], *, threshold_dba: float = DOSE_THRESHOLD_DBA
) -> float:
    """Noise dose of a shift.

    Parameters
    ----------
    exposures : iterable of Exposure
        The stretches of the shift. [dBA], [h]
    threshold_dba : float, optional
        Levels below it do not count. [dBA]

    Returns
    -------
    float
        Dose; 100 is eight hours at 90 dBA. [%]

    Raises
    ------
    ValueError
        If a level or a time is negative or not finite.

    References
    ----------
    29 CFR 1910.95 Appendix A, I(1): D = 100 (C1 / T1 + C2 / T2 + ...).
    """
    shares = []
    for exposure in exposures:
        require_not_negative(level_dba=exposure.level_dba, hours=exposure.hours)
        if exposure.level_dba >= threshold_dba:
            shares.append(exposure.hours / permitted_h(exposure.level_dba))
    return 100.0 * math.fsum(shares)


def time_weighted_average_dba(dose_percent: float) -> float:
    """Eight-hour time-weighted average level that belongs to a dose.

    Parameters
    ----------
    dose_percent : float
        Noise dose. [%]

    Returns
    -------
    float
        TWA, minus infinity at no dose. [dBA]

    Raises
    ------
    ValueError
        If the dose is negative or not finite.

    References
    ----------
    29 CFR 1910.95 Appendix A, I(2): TWA = 16.61 log10(D / 100) + 90.
    """
    require_not_negative(dose_percent=dose_percent)
    if dose_percent == 0.0:
        return -math.inf
    return 16.61 * math.log10(dose_percent / 100.0) + CRITERION_DBA


def noise_cautions(exposures: Iterable[Exposure]) -> list[Caution]:
    """Point out what the noise of a shift calls for.

    Parameters
    ----------
    exposures : iterable of Exposure
        The stretches of the shift. [dBA], [h]

    Returns
    -------
    list of Caution
        Empty below the action level. Estimates from figures of single machines leave the room out
        of account; measurements on the running line decide.

    Raises
    ------
    ValueError
        If a level or a time is negative or not finite.

    References
    ----------
    29 CFR 1910.95(b), (c) and Table G-16.
    """
    stretches = list(exposures)
    dose_percent = noise_dose_percent(stretches)
    average_dba = time_weighted_average_dba(dose_percent)
    found = []
    defer = "Measure at the ear on the running line; local codes may ask for more."
    if dose_percent > PERMITTED_DOSE_PERCENT + _SLACK_PERCENT:
        text = (
            f"A time-weighted average of {average_dba:.1f} dBA exceeds 90 dBA: quieter equipment, "
            f"enclosures or shorter stays come before hearing protectors. {defer}"
        )
        found.append(Caution("noise-above-limit", text, "29 CFR 1910.95(b), Table G-16"))
    elif dose_percent >= ACTION_DOSE_PERCENT - _SLACK_PERCENT:
        text = (
            f"A time-weighted average of {average_dba:.1f} dBA reaches the action level of 85 dBA: "
            f"a hearing conservation programme with hearing tests and protectors. {defer}"
        )
        found.append(Caution("noise-action-level", text, "29 CFR 1910.95(c)"))
    loudest_dba = max((each.level_dba for each in stretches if each.hours > 0), default=0.0)
    if loudest_dba > CEILING_DBA:
        text = (
            f"{loudest_dba:.0f} dBA lies above 115 dBA, the highest level for which Table G-16 "
            f"permits any time. {defer}"
        )
        found.append(Caution("noise-above-ceiling", text, "29 CFR 1910.95(b), Table G-16"))
    return found
