"""Occupational noise: levels at a place, permitted time, dose and time-weighted average.

The rule of 29 CFR 1910.95 trades 5 dB for a factor of two in time. Its Table G-16 rounds a few
times to handier figures; dose is computed as Appendix A asks, from the formula under Table G-16a.
The recommendation of NIOSH starts 5 dB lower and trades 3 dB, as equal energy does.
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

RECOMMENDED_DBA = 85.0
"""Level that NIOSH recommends as the most for eight hours (REL), NIOSH 98-126. [dBA]"""

DECAY_DB = 4.0
"""What doubling the distance takes off in a hall of hard surfaces (from memory: 6 dB outdoors, 3 to
5 dB in workrooms). [dB]"""

NEAR_M = 1.0
"""Distance at which a machine's level is stated, and the nearest that anybody stands. [m]"""

_DAY_H = 8.0
_EXCHANGE_DB = 5.0
_EQUAL_ENERGY_DB = 3.0

# A shift cut into many stretches must not slip under a threshold by the last bit of their sum.
_SLACK_PERCENT = 1e-6


@dataclass(frozen=True, slots=True)
class Exposure:
    """A stretch of the shift at one level."""

    level_dba: float
    """A-weighted sound level at the ear, slow response. [dBA]"""
    hours: float
    """How long. [h]"""


def combined_level_dba(levels_dba: Iterable[float]) -> float:
    """Level of several sources together at one place.

    Parameters
    ----------
    levels_dba : iterable of float
        Level of each source there. [dBA]

    Returns
    -------
    float
        Level of all of them, minus infinity without any. [dBA]

    Raises
    ------
    ValueError
        If a level is negative or not finite.

    References
    ----------
    Addition of sound energies: L = 10 log10 (sum of 10^(Li / 10)), any handbook of acoustics.

    Examples
    --------
    >>> round(combined_level_dba([90, 90]), 1)
    93.0
    """
    energies = []
    for level_dba in levels_dba:
        require_not_negative(level_dba=level_dba)
        energies.append(10.0 ** (level_dba / 10.0))
    return 10.0 * math.log10(math.fsum(energies)) if energies else -math.inf


def level_at_dba(near_dba: float, distance_m: float, decay_db: float = DECAY_DB) -> float:
    """Level of a source some way off.

    Parameters
    ----------
    near_dba : float
        Level a metre from the source. [dBA]
    distance_m : float
        Distance from it; nearer than a metre counts as a metre. [m]
    decay_db : float, optional
        Taken off by each doubling of the distance. [dB]

    Returns
    -------
    float
        Level there, never below zero. [dBA]

    Raises
    ------
    ValueError
        If an argument is negative or not finite.

    References
    ----------
    Spatial decay per doubling of distance as in ISO 14257 (from memory); 6 dB is a point source in
    the open, 20 log10 r.

    Examples
    --------
    >>> level_at_dba(86, 4.0)
    78.0
    """
    require_not_negative(near_dba=near_dba, distance_m=distance_m, decay_db=decay_db)
    return max(0.0, near_dba - decay_db * math.log2(max(distance_m, NEAR_M) / NEAR_M))


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


def recommended_h(level_dba: float) -> float:
    """How long a level may last by the recommendation of NIOSH.

    Parameters
    ----------
    level_dba : float
        A-weighted sound level. [dBA]

    Returns
    -------
    float
        Time that reaches the recommended exposure limit. [h]

    Raises
    ------
    ValueError
        If the level is negative or not finite.

    References
    ----------
    NIOSH 98-126, Criteria for a Recommended Standard: T = 8 / 2^((L - 85) / 3).

    Examples
    --------
    >>> recommended_h(94)
    1.0
    """
    require_not_negative(level_dba=level_dba)
    return float(_DAY_H / 2.0 ** ((level_dba - RECOMMENDED_DBA) / _EQUAL_ENERGY_DB))


def recommended_dose_percent(exposures: Iterable[Exposure]) -> float:
    """Noise dose of a shift by the recommendation of NIOSH.

    Parameters
    ----------
    exposures : iterable of Exposure
        The stretches of the shift; every level counts. [dBA], [h]

    Returns
    -------
    float
        Dose; 100 is eight hours at 85 dBA. [%]

    Raises
    ------
    ValueError
        If a level or a time is negative or not finite.

    References
    ----------
    NIOSH 98-126: D = 100 (C1 / T1 + C2 / T2 + ...).
    """
    shares = []
    for exposure in exposures:
        require_not_negative(hours=exposure.hours)
        shares.append(exposure.hours / recommended_h(exposure.level_dba))
    return 100.0 * math.fsum(shares)


def recommended_average_dba(dose_percent: float) -> float:
    """Eight-hour time-weighted average level that belongs to a dose by NIOSH.

    Parameters
    ----------
    dose_percent : float
        Noise dose by the recommendation. [%]

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
    NIOSH 98-126: TWA = 10 log10 (D / 100) + 85.
    """
    require_not_negative(dose_percent=dose_percent)
    if dose_percent == 0.0:
        return -math.inf
    return 10.0 * math.log10(dose_percent / 100.0) + RECOMMENDED_DBA


def recommended_caution(exposures: Iterable[Exposure]) -> Caution | None:
    """Point out a shift that reaches the recommended exposure limit.

    Parameters
    ----------
    exposures : iterable of Exposure
        The stretches of the shift. [dBA], [h]

    Returns
    -------
    Caution or None
        None below 85 dBA on average.

    Raises
    ------
    ValueError
        If a level or a time is negative or not finite.

    References
    ----------
    NIOSH 98-126: recommended exposure limit of 85 dBA as an eight-hour average, 3 dB exchange.
    """
    dose_percent = recommended_dose_percent(exposures)
    if dose_percent < PERMITTED_DOSE_PERCENT - _SLACK_PERCENT:
        return None
    text = (
        f"An average of {recommended_average_dba(dose_percent):.1f} dBA over eight hours (3 dB "
        "exchange) reaches the recommended limit of 85 dBA: quieter equipment, enclosures or "
        "shorter stays, and until then hearing protectors. Measure at the ear on the running line; "
        "local codes may ask for more."
    )
    return Caution("noise-recommended-limit", text, "NIOSH 98-126, recommended exposure limit")


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
