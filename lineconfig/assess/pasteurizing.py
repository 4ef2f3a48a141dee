"""Pasteurization units, and the tunnel or cabinet that a wanted dwell asks for.

One pasteurization unit (PU) is the effect of one minute at 60 degC. How many units a product needs
is a matter for its process authority: it depends on acidity, alcohol, preservatives and the
organisms to be dealt with.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative, require_positive
from lineconfig.assess.pallets import nested_per_m2

Z_VALUE_C = 1.0 / math.log10(1.393)
"""Rise that makes heat ten times as effective, 6.947 K: the factor of 1.393 per degree of Del
Vecchio, Dayharsh and Baselt (1951), sizes.com/units/pasteurization_unit.htm. 7 K is used as well;
the two differ by a quarter of a per cent for each degree from 60 degC. [K]"""

REFERENCE_C = 60.0
"""Temperature at which a minute is one unit. [degC]"""

LEAST_UNITS = 12.0
"""Lower end of practitioners' range for beer, 12 to 20; community.mbaa.com (a forum). [PU]"""

MOST_UNITS = 30.0
"""Above it practitioners report a change of taste; community.mbaa.com (a forum). [PU]"""


@dataclass(frozen=True, slots=True)
class Hold:
    """A stretch of the heat treatment at one product temperature."""

    minutes: float
    """How long. [min]"""
    temperature_c: float
    """Temperature in the coldest spot of the container. [degC]"""


@dataclass(frozen=True, slots=True)
class TunnelSize:
    """Belt of a tunnel pasteurizer."""

    containers: float
    """Containers on the belt at a time. [containers]"""
    area_m2: float
    """Belt area, all decks together. [m^2]"""
    length_mm: float
    """Length of belt inside the tunnel. [mm]"""


def pasteurization_units(
    holds: Iterable[Hold], *, z_c: float = Z_VALUE_C, reference_c: float = REFERENCE_C
) -> float:
    """Pasteurization units of a heat treatment.

    Parameters
    ----------
    holds : iterable of Hold
        The stretches of the treatment. [min], [degC]
    z_c : float, optional
        Rise that makes heat ten times as effective. [K]
    reference_c : float, optional
        Temperature at which a minute is one unit. [degC]

    Returns
    -------
    float
        Pasteurization units. [PU]

    Raises
    ------
    ValueError
        If a time is negative or z not above zero.

    References
    ----------
    H. W. Del Vecchio, C. A. Dayharsh and F. C. Baselt, Thermal death time studies on beer spoilage
    organisms, ASBC Proceedings 1951: PU = t * 1.393^(T - 60).

    Examples
    --------
    >>> round(pasteurization_units([Hold(10, 62)]), 2)
    19.4
    """
    require_positive(z_c=z_c)
    units = []
    for hold in holds:
        require_not_negative(minutes=hold.minutes)
        units.append(hold.minutes * 10.0 ** ((hold.temperature_c - reference_c) / z_c))
    return math.fsum(units)


def dwell_min(
    target_units: float,
    temperature_c: float,
    *,
    z_c: float = Z_VALUE_C,
    reference_c: float = REFERENCE_C,
) -> float:
    """Time at one temperature that gives the wanted pasteurization units.

    Parameters
    ----------
    target_units : float
        Pasteurization units wanted. [PU]
    temperature_c : float
        Holding temperature of the product. [degC]
    z_c : float, optional
        Rise that makes heat ten times as effective. [K]
    reference_c : float, optional
        Temperature at which a minute is one unit. [degC]

    Returns
    -------
    float
        Holding time; warming up and cooling down come on top. [min]

    Raises
    ------
    ValueError
        If the target is negative or z not above zero.

    References
    ----------
    The inverse of `pasteurization_units`.
    """
    require_not_negative(target_units=target_units)
    per_minute = pasteurization_units([Hold(1.0, temperature_c)], z_c=z_c, reference_c=reference_c)
    return target_units / per_minute


def pasteurization_caution(
    units: float, *, least_units: float = LEAST_UNITS, most_units: float = MOST_UNITS
) -> Caution | None:
    """Point out a treatment outside the range that practitioners use for beer.

    Parameters
    ----------
    units : float
        Pasteurization units. [PU]
    least_units, most_units : float, optional
        The range. [PU]

    Returns
    -------
    Caution or None
        None inside the range, which says nothing about other products.

    Raises
    ------
    ValueError
        If the units are negative.

    References
    ----------
    Practitioners' range: community.mbaa.com; a survey of US breweries in 1955 found 2.4 to 45.6 PU
    with a mean of 14.8 (sizes.com/units/pasteurization_unit.htm).
    """
    require_not_negative(units=units)
    basis = "practitioners' range for beer, community.mbaa.com"
    if units < least_units:
        text = (
            f"{units:.1f} PU lie below the {least_units:g} PU that practitioners give beer. The "
            "process authority for this product decides how many it needs."
        )
        return Caution("pasteurization-low", text, basis)
    if units > most_units:
        text = (
            f"{units:.1f} PU exceed {most_units:g} PU, from where beer is said to change its "
            "taste. The process authority for this product decides how many it needs."
        )
        return Caution("pasteurization-high", text, basis)
    return None


def tunnel_size(
    speed_cpm: float,
    total_dwell_min: float,
    diameter_mm: float,
    belt_width_mm: float,
    *,
    decks: int = 1,
    covered_share: float = 1.0,
) -> TunnelSize:
    """Belt area and length of a tunnel that holds a nested mass for the whole dwell.

    Parameters
    ----------
    speed_cpm : float
        Line speed. [containers/min]
    total_dwell_min : float
        From entry to exit: warming, holding and cooling zones together. [min]
    diameter_mm : float
        Outside diameter of the container. [mm]
    belt_width_mm : float
        Usable width of one belt. [mm]
    decks : int, optional
        Belts above one another. [-]
    covered_share : float, optional
        Share of the belt that the nested mass covers; 1 leaves edges and gaps out of account. [-]

    Returns
    -------
    TunnelSize
        Containers inside, belt area and belt length.

    Raises
    ------
    ValueError
        If an argument is not above zero, the covered share exceeds 1, or the belt is narrower than
        the container.

    References
    ----------
    Arithmetic: containers inside = speed * dwell; a nested container takes d^2 * sqrt(3) / 2.
    """
    require_positive(
        speed_cpm=speed_cpm,
        total_dwell_min=total_dwell_min,
        diameter_mm=diameter_mm,
        belt_width_mm=belt_width_mm,
        decks=decks,
        covered_share=covered_share,
    )
    if covered_share > 1.0:
        raise ValueError(f"covered_share must not exceed 1, found {covered_share}")
    if belt_width_mm < diameter_mm:
        raise ValueError(
            f"belt_width_mm must be at least one container of {diameter_mm:g} mm, "
            f"found {belt_width_mm:g}"
        )
    containers = speed_cpm * total_dwell_min
    area_m2 = containers / (nested_per_m2(diameter_mm) * covered_share)
    return TunnelSize(containers, area_m2, 1.0e6 * area_m2 / (belt_width_mm * decks))


def batch_speed_cpm(
    containers_per_load: int, cycle_min: float, *, handling_min: float = 0.0, cabinets: int = 1
) -> float:
    """Containers per minute that batch spray cabinets treat in the long run.

    Parameters
    ----------
    containers_per_load : int
        Containers in a cabinet at a time. [containers]
    cycle_min : float
        Warming, holding and cooling of one load. [min]
    handling_min : float, optional
        Unloading and loading between two cycles. [min]
    cabinets : int, optional
        Cabinets that work side by side. [-]

    Returns
    -------
    float
        Mean speed. [containers/min]

    Raises
    ------
    ValueError
        If the load, the cycle or the cabinets are not above zero, or the handling is negative.

    References
    ----------
    Arithmetic: load over cycle.
    """
    require_positive(
        containers_per_load=containers_per_load, cycle_min=cycle_min, cabinets=cabinets
    )
    require_not_negative(handling_min=handling_min)
    return cabinets * containers_per_load / (cycle_min + handling_min)


def batch_cabinets_needed(
    speed_cpm: float, containers_per_load: int, cycle_min: float, *, handling_min: float = 0.0
) -> int:
    """Batch spray cabinets that keep up with a line.

    Parameters
    ----------
    speed_cpm : float
        Line speed. [containers/min]
    containers_per_load : int
        Containers in a cabinet at a time. [containers]
    cycle_min : float
        Warming, holding and cooling of one load. [min]
    handling_min : float, optional
        Unloading and loading between two cycles. [min]

    Returns
    -------
    int
        Least number of cabinets. [-]

    Raises
    ------
    ValueError
        As `batch_speed_cpm`, or if the speed is not above zero.

    References
    ----------
    The inverse of `batch_speed_cpm`, rounded up.
    """
    require_positive(speed_cpm=speed_cpm)
    one_cpm = batch_speed_cpm(containers_per_load, cycle_min, handling_min=handling_min)
    # An exact multiple must not ask for one cabinet more for the last bit of a division.
    return math.ceil(speed_cpm / one_cpm - 1e-9)
