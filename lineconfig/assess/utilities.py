"""Utilities: current of an electrical load, and the compressor that a demand of air implies."""

from __future__ import annotations

import math

from lineconfig.assess.inputs import require_not_negative, require_positive

W_PER_KW = 1000.0
L_PER_M3 = 1000.0

MOTOR_SIZES_KW = (
    *(0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 11.0, 15.0, 18.5, 22.0, 30.0, 37.0),
    *(45.0, 55.0, 75.0, 90.0, 110.0, 132.0, 160.0, 200.0, 250.0, 315.0, 355.0, 400.0, 500.0),
)
"""Preferred outputs of motors, IEC 60072-1 (from memory). [kW]"""


def apparent_kva(power_kw: float, power_factor: float) -> float:
    """Give the apparent power of a load.

    Parameters
    ----------
    power_kw : float
        Real power drawn. [kW]
    power_factor : float
        Real power over apparent power, 0 to 1. [-]

    Returns
    -------
    float
        Apparent power. [kVA]

    Raises
    ------
    ValueError
        If the power is negative, or the power factor is not above 0 and at most 1.

    References
    ----------
    Definition of the power factor, any handbook of electrical engineering.

    Examples
    --------
    >>> apparent_kva(17.0, 0.85)
    20.0
    """
    require_not_negative(power_kw=power_kw)
    require_positive(power_factor=power_factor)
    if power_factor > 1.0:
        raise ValueError(f"power_factor must be at most 1, found {power_factor}")
    return power_kw / power_factor


def line_amperes(power_kw: float, volts: float, phases: int, power_factor: float) -> float:
    """Give the current in each line of a load that is spread evenly over the phases.

    Parameters
    ----------
    power_kw : float
        Real power drawn. [kW]
    volts : float
        Voltage between lines; for one phase, of the two wires. [V]
    phases : int
        1 or 3. [-]
    power_factor : float
        Real power over apparent power, 0 to 1. [-]

    Returns
    -------
    float
        Current. [A]

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    P = sqrt(3) V I cos phi for three phases, V I cos phi for one.

    Examples
    --------
    >>> round(line_amperes(10, 480, 3, 0.85), 1)
    14.2
    """
    require_positive(volts=volts)
    if phases not in (1, 3):
        raise ValueError(f"phases must be 1 or 3, found {phases}")
    factor = math.sqrt(3.0) if phases == 3 else 1.0
    return apparent_kva(power_kw, power_factor) * W_PER_KW / (factor * volts)


def compressor_kw(air_l_min: float, specific_kw_per_m3_min: float) -> float:
    """Give the power that a compressor draws for a flow of free air.

    Parameters
    ----------
    air_l_min : float
        Free air. [l/min]
    specific_kw_per_m3_min : float
        Power for one cubic metre of free air a minute at the usual 7 bar. [kW/(m3/min)]

    Returns
    -------
    float
        Electrical power. [kW]

    Raises
    ------
    ValueError
        If the flow is negative or the specific power is not above zero.

    References
    ----------
    Specific power as compressors' data sheets state it at 7 bar gauge.

    Examples
    --------
    >>> compressor_kw(1000, 7.0)
    7.0
    """
    require_not_negative(air_l_min=air_l_min)
    require_positive(specific_kw_per_m3_min=specific_kw_per_m3_min)
    return air_l_min / L_PER_M3 * specific_kw_per_m3_min


def motor_size_kw(power_kw: float) -> float:
    """Give the next preferred motor output that a power fits into.

    Parameters
    ----------
    power_kw : float
        Power needed. [kW]

    Returns
    -------
    float
        Preferred output; beyond the largest, the power itself. 0 for no power. [kW]

    Raises
    ------
    ValueError
        If the power is negative or not finite.

    References
    ----------
    IEC 60072-1, preferred outputs (from memory).

    Examples
    --------
    >>> motor_size_kw(4.2)
    5.5
    """
    require_not_negative(power_kw=power_kw)
    if power_kw == 0.0:
        return 0.0
    return next((size for size in MOTOR_SIZES_KW if size >= power_kw), power_kw)
