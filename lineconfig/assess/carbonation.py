"""Carbonation: the pressure over carbonated product, and what the can is rated for.

The equilibrium formula is a fit to a table for beer near sea level. It is used only inside that
table; at pasteurizer temperatures neither it nor other public formulas hold, and the headspace
rules the pressure there.
"""

from __future__ import annotations

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative, require_positive

PSI_KPA = 6.894757293168
"""One pound-force per square inch. [kPa]"""

COLDEST_C, WARMEST_C = 0.0, (80.0 - 32.0) / 1.8
"""Range of the table that the formula reproduces, 32 to 80 degF. [degC]"""

LEAST_VOLUMES, MOST_VOLUMES = 2.0, 3.0
"""Range of the table that the formula reproduces. [vol]"""

CAN_RATING_KPA = 620.0
"""Internal pressure that a beverage can of the common 90 psi class must withstand, 6.2 bar;
de.wiki.li/Getraenkedose. The can maker's own figure counts. [kPa]"""

# A limit that is exact in degrees Fahrenheit must not be lost in the conversion.
_SLACK = 1e-9


def carbonation_pressure_kpa(temperature_c: float, volumes: float) -> float:
    """Gauge pressure at which beer of a carbonation is in balance with its headspace.

    Parameters
    ----------
    temperature_c : float
        Temperature of the product, 0 to 26.7. [degC]
    volumes : float
        Carbonation, 2.0 to 3.0: litres of CO2 at 0 degC and 1 atm per litre of product. [vol]

    Returns
    -------
    float
        Equilibrium gauge pressure near sea level. [kPa]

    Raises
    ------
    ValueError
        If the temperature or the carbonation lies outside the table behind the formula.

    References
    ----------
    brewery.org/library/CO2charts.html: with T in degF and V in volumes, P [psig] = -16.6999
    - 0.0101059 T + 0.00116512 T^2 + 0.173354 T V + 4.24267 V - 0.0684226 V^2, tabulated there from
    32 to 80 degF and 2.0 to 3.0 volumes.

    Examples
    --------
    >>> round(carbonation_pressure_kpa(10, 2.5) / PSI_KPA, 1)
    17.6
    """
    if not COLDEST_C - _SLACK <= temperature_c <= WARMEST_C + _SLACK:
        raise ValueError(
            f"temperature_c must lie within {COLDEST_C:g} to {WARMEST_C:.1f}, "
            f"the range of the published table, found {temperature_c}"
        )
    if not LEAST_VOLUMES - _SLACK <= volumes <= MOST_VOLUMES + _SLACK:
        raise ValueError(
            f"volumes must lie within {LEAST_VOLUMES:g} to {MOST_VOLUMES:g}, "
            f"the range of the published table, found {volumes}"
        )
    warm = 1.8 * temperature_c + 32.0
    pressure_psi = (
        -16.6999
        - 0.0101059 * warm
        + 0.00116512 * warm**2
        + 0.173354 * warm * volumes
        + 4.24267 * volumes
        - 0.0684226 * volumes**2
    )
    return pressure_psi * PSI_KPA


def can_pressure_caution(
    pressure_kpa: float, *, rating_kpa: float = CAN_RATING_KPA, usable_share: float = 0.8
) -> Caution | None:
    """Point out a pressure that comes near what the can is rated for.

    Parameters
    ----------
    pressure_kpa : float
        Gauge pressure inside the closed can. [kPa]
    rating_kpa : float, optional
        Pressure that the can must withstand; the default is the 90 psi class. [kPa]
    usable_share : float, optional
        Share of the rating from which to warn; 0.8 is `invented`. [-]

    Returns
    -------
    Caution or None
        None below that share of the rating.

    Raises
    ------
    ValueError
        If the pressure is negative, or the rating or share not above zero.

    References
    ----------
    6.2 bar: de.wiki.li/Getraenkedose; no US standard was found.
    """
    require_not_negative(pressure_kpa=pressure_kpa)
    require_positive(rating_kpa=rating_kpa, usable_share=usable_share)
    if pressure_kpa < usable_share * rating_kpa:
        return None
    pressure_psi, rating_psi = pressure_kpa / PSI_KPA, rating_kpa / PSI_KPA
    text = (
        f"{pressure_kpa:.0f} kPa ({pressure_psi:.0f} psi) inside the can, against a rating of "
        f"{rating_kpa:.0f} kPa ({rating_psi:.0f} psi): cans may bulge or burst. Ask the can maker "
        "for the rating of this can and end."
    )
    return Caution("can-pressure", text, "6.2 bar, de.wiki.li/Getraenkedose; the share is invented")


def heated_can_caution(volumes: float, hottest_c: float) -> Caution | None:
    """Point out carbonated cans that are heated beyond what public formulas cover.

    Parameters
    ----------
    volumes : float
        Carbonation. [vol]
    hottest_c : float
        Highest temperature of the closed can. [degC]

    Returns
    -------
    Caution or None
        None for still product, and up to the warmest temperature of the published table.

    Raises
    ------
    ValueError
        If the carbonation is negative.

    References
    ----------
    Range of brewery.org/library/CO2charts.html.
    """
    require_not_negative(volumes=volumes)
    if volumes == 0.0 or hottest_c <= WARMEST_C + _SLACK:
        return None
    text = (
        f"Closed cans with {volumes:g} volumes of CO2 are heated to {hottest_c:g} degC, where no "
        "public formula gives their pressure: it depends on the headspace. Have the can maker "
        "confirm fill height, carbonation and temperature together before the first run."
    )
    return Caution("heated-carbonated-can", text, "range of brewery.org/library/CO2charts.html")
