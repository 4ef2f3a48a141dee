"""Gravity tracks and rinsing: slopes, speeds, twists, times over the header, water.

Containers slide in single file down a guided track. A twist is a track whose rails wind once half
round the line of travel, so that a can comes out upside down; after the rinse header a second half
turn sets it upright again.

Assumptions, each a named parameter where it is a number:

* Sliding friction is proportional to weight, and one coefficient holds along the whole section.
  Handbooks disagree by a factor of nearly two for aluminium on steel, so the coefficient has no
  default: see `ALUMINIUM_ON_STEEL_AT_REST` and its neighbours for the published ranges.
* Air drag and the extra rubbing in plain bends are neglected; wet and soiled rails differ.
* A track that feeds a filler stands full most of the time (primed): its cans touch and move at the
  line's speed. Right after a gap they run free, faster than that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative, require_positive

GRAVITY_M_S2 = 9.80665
"""Standard acceleration of gravity (ISO 80000-3). [m/s^2]"""

WATER_DENSITY_KG_M3 = 998.0
"""Water at 20 degC, handbook value, from memory. [kg/m^3]"""

WATER_VISCOSITY_M2_S = 1.0e-6
"""Kinematic viscosity of water at 20 degC, handbook value, from memory. [m^2/s]"""


@dataclass(frozen=True, slots=True)
class FrictionRange:
    """Lowest and highest published friction coefficient of a pair of materials."""

    low: float
    """Lowest published coefficient. [-]"""
    high: float
    """Highest published coefficient; the one to design slopes with. [-]"""
    basis: str
    """The handbooks."""


_STEEL_BASIS = (
    "Handbook of Surface Improvement and Modification, Table 11.1 (low); "
    "lbl.gov/~ajdemell/coefficients_of_friction.html, aluminium on mild steel, dry (high)"
)

ALUMINIUM_ON_STEEL_AT_REST = FrictionRange(0.35, 0.61, _STEEL_BASIS)
"""Static friction: what a can must overcome to start again after a stop."""

ALUMINIUM_ON_STEEL_SLIDING = FrictionRange(0.25, 0.47, _STEEL_BASIS)
"""Sliding friction: what slows a moving can."""

POLYETHYLENE_ON_STEEL_AT_REST = FrictionRange(
    0.15, 0.20, "copies of ASTM D1894 results, polyethylene on polished steel (low authority)"
)
"""Static friction of a plastic-lined rail, the nearest published pair."""


@dataclass(frozen=True, slots=True)
class TwistDrop:
    """A half turn, an inverted run and a half turn back, at the least slope that keeps moving."""

    half_turn_mm: float
    """Length of one half turn along the line of travel. [mm]"""
    inverted_mm: float
    """Length of the run between the half turns, upside down. [mm]"""
    path_mm: float
    """Whole length along the line of travel, lead track included. [mm]"""
    run_mm: float
    """Its horizontal length. [mm]"""
    drop_mm: float
    """Height lost from the first to the last can position. [mm]"""
    line_speed_m_s: float
    """Speed of the cans on a primed track at the line's speed. [m/s]"""
    free_speed_m_s: float
    """Speed of a can that has run down freely. [m/s]"""


@dataclass(frozen=True, slots=True)
class InvertedTimes:
    """What happens to a can while it is upside down."""

    rinse_s: float
    """Time over the header. [s]"""
    drain_s: float
    """Time upside down after the header. [s]"""


def friction_angle_deg(friction: float) -> float:
    """Slope angle at which a can just slides: the least slope of a gravity track.

    Parameters
    ----------
    friction : float
        Friction coefficient. [-]

    Returns
    -------
    float
        Angle to the horizontal. [deg]

    Raises
    ------
    ValueError
        If the coefficient is negative.

    References
    ----------
    Coulomb friction: tan(angle) = coefficient.

    Examples
    --------
    >>> round(friction_angle_deg(0.61), 1)
    31.4
    """
    require_not_negative(friction=friction)
    return math.degrees(math.atan(friction))


def speed_along_track_m_s(
    entry_speed_m_s: float, drop_mm: float, run_mm: float, friction: float
) -> float:
    """Speed of a can that slides freely down a section of track.

    Parameters
    ----------
    entry_speed_m_s : float
        Speed at the top. [m/s]
    drop_mm : float
        Height lost along the section; negative where it climbs. [mm]
    run_mm : float
        Horizontal length of the section. [mm]
    friction : float
        Sliding friction coefficient. [-]

    Returns
    -------
    float
        Speed at the bottom, 0 where the can stops on the way. [m/s]

    Raises
    ------
    ValueError
        If the entry speed, the run or the coefficient is negative.

    References
    ----------
    Energy balance of a sliding body: v^2 = v0^2 + 2 g (dh - mu dx).
    """
    require_not_negative(entry_speed_m_s=entry_speed_m_s, run_mm=run_mm, friction=friction)
    gained_m = (drop_mm - friction * run_mm) / 1000.0
    return math.sqrt(max(0.0, entry_speed_m_s**2 + 2.0 * GRAVITY_M_S2 * gained_m))


def track_capacity_cpm(speed_m_s: float, pitch_mm: float) -> float:
    """Cans per minute that pass a point of a single-file track.

    Parameters
    ----------
    speed_m_s : float
        Speed of the cans. [m/s]
    pitch_mm : float
        Distance between can centres; the diameter where they touch. [mm]

    Returns
    -------
    float
        Capacity. [containers/min]

    Raises
    ------
    ValueError
        If the speed is negative or the pitch not above zero.

    References
    ----------
    Arithmetic: speed over pitch.
    """
    require_not_negative(speed_m_s=speed_m_s)
    require_positive(pitch_mm=pitch_mm)
    return speed_m_s * 60_000.0 / pitch_mm


def line_speed_m_s(speed_cpm: float, pitch_mm: float) -> float:
    """Speed of cans in single file at a given number of cans per minute.

    Parameters
    ----------
    speed_cpm : float
        Line speed. [containers/min]
    pitch_mm : float
        Distance between can centres; the diameter where they touch. [mm]

    Returns
    -------
    float
        Speed of the cans. [m/s]

    Raises
    ------
    ValueError
        If the line speed is negative or the pitch not above zero.

    References
    ----------
    The inverse of `track_capacity_cpm`.
    """
    require_not_negative(speed_cpm=speed_cpm)
    require_positive(pitch_mm=pitch_mm)
    return speed_cpm * pitch_mm / 60_000.0


def half_turn_length_mm(container_height_mm: float, rail_angle_deg: float = 30.0) -> float:
    """Length of track that turns a can upside down.

    The can turns about the line of travel, its ends sweep a cylinder whose diameter is the can's
    height, and a half turn carries each end round half of that cylinder. The rails at the ends
    stand at the rail angle to the line of travel, so the length is a fixed multiple of the
    height: pi / (2 tan(angle)), 2.7 at 30 degrees.

    Parameters
    ----------
    container_height_mm : float
        Height of the can, the pitch diameter of the helix. [mm]
    rail_angle_deg : float, optional
        Angle of the rails to the line of travel at the can's ends. Steeper twists are shorter but
        let neighbouring cans catch each other's rims; 30 degrees is `invented`. [deg]

    Returns
    -------
    float
        Length of the half turn along the line of travel. [mm]

    Raises
    ------
    ValueError
        If the height is not above zero or the angle not between 0 and 90 degrees.

    References
    ----------
    Geometry of the helix: tan(angle) = circumference / lead.
    """
    require_positive(container_height_mm=container_height_mm, rail_angle_deg=rail_angle_deg)
    if rail_angle_deg >= 90.0:
        raise ValueError(f"rail_angle_deg must lie below 90, found {rail_angle_deg}")
    return math.pi * container_height_mm / (2.0 * math.tan(math.radians(rail_angle_deg)))


def inverted_run_mm(speed_cpm: float, pitch_mm: float, rinse_s: float, drain_s: float) -> float:
    """Length of inverted track that gives the wanted times on a primed track.

    Parameters
    ----------
    speed_cpm : float
        Line speed. [containers/min]
    pitch_mm : float
        Distance between can centres; the diameter where they touch. [mm]
    rinse_s : float
        Time wanted over the header. [s]
    drain_s : float
        Time wanted upside down after the header. [s]

    Returns
    -------
    float
        Length between the two half turns. [mm]

    Raises
    ------
    ValueError
        If a time or the line speed is negative, or the pitch not above zero.

    References
    ----------
    Arithmetic: speed times time.
    """
    require_not_negative(rinse_s=rinse_s, drain_s=drain_s)
    return 1000.0 * line_speed_m_s(speed_cpm, pitch_mm) * (rinse_s + drain_s)


def inverted_times(
    inverted_mm: float, header_mm: float, entry_speed_m_s: float, exit_speed_m_s: float
) -> InvertedTimes:
    """Rinse and drain times of a can on the inverted run.

    The header starts where the first half turn ends. Speed changes evenly along the run, as it
    does on a constant slope; give the line's speed twice for a primed track.

    Parameters
    ----------
    inverted_mm : float
        Length between the two half turns. [mm]
    header_mm : float
        Length of the header. [mm]
    entry_speed_m_s, exit_speed_m_s : float
        Speed of the can at the start and the end of the run. [m/s]

    Returns
    -------
    InvertedTimes
        Time over the header and time inverted after it. [s]

    Raises
    ------
    ValueError
        If the run is not above zero, the header is longer than the run or negative, or both
        speeds are zero.

    References
    ----------
    Constant acceleration: v^2 is linear in the way, and time is way over the mean speed.
    """
    require_positive(inverted_mm=inverted_mm)
    require_not_negative(
        header_mm=header_mm, entry_speed_m_s=entry_speed_m_s, exit_speed_m_s=exit_speed_m_s
    )
    require_positive(mean_speed_m_s=(entry_speed_m_s + exit_speed_m_s) / 2.0)
    if header_mm > inverted_mm:
        raise ValueError(
            f"header_mm must not exceed the inverted run of {inverted_mm} mm, found {header_mm}"
        )
    whole_s = inverted_mm / 1000.0 / ((entry_speed_m_s + exit_speed_m_s) / 2.0)
    if header_mm == 0.0:
        return InvertedTimes(0.0, whole_s)
    share = header_mm / inverted_mm
    middle_m_s = math.sqrt((1.0 - share) * entry_speed_m_s**2 + share * exit_speed_m_s**2)
    rinse_s = header_mm / 1000.0 / ((entry_speed_m_s + middle_m_s) / 2.0)
    return InvertedTimes(rinse_s, max(0.0, whole_s - rinse_s))


def least_twist_drop(
    container_height_mm: float,
    pitch_mm: float,
    speed_cpm: float,
    *,
    friction: float,
    inverted_mm: float,
    entry_speed_m_s: float = 0.0,
    lead_mm: float = 0.0,
    rail_angle_deg: float = 30.0,
    slope_margin: float = 1.15,
) -> TwistDrop:
    """Least height that a twist to upside down and back needs to carry the line's cans.

    Every section slopes at the friction angle with a margin, so that a can that was stopped
    anywhere starts again; on top comes the drop that brings arriving cans up to the line's speed.
    In the twists the rails run at the rail angle to the travel, so a can rubs along
    1 / cos(angle) of its way and the slope grows by as much.

    Parameters
    ----------
    container_height_mm : float
        Height of the can. [mm]
    pitch_mm : float
        Distance between can centres; the diameter where they touch. [mm]
    speed_cpm : float
        Line speed to carry. [containers/min]
    friction : float
        Friction coefficient; the static one, where cans must start again after a stop. [-]
    inverted_mm : float
        Length between the half turns, from `inverted_run_mm` or the header's own length. [mm]
    entry_speed_m_s : float, optional
        Speed of the cans as they arrive. [m/s]
    lead_mm : float, optional
        Straight upright track before and after the turns, together. [mm]
    rail_angle_deg : float, optional
        Angle of the twist's rails to the line of travel; 30 degrees is `invented`. [deg]
    slope_margin : float, optional
        Slope over the least slope that friction allows; 1.15 is `invented`. [-]

    Returns
    -------
    TwistDrop
        Lengths, the least drop, and the speeds that go with it.

    Raises
    ------
    ValueError
        If a length or speed is out of its range, or the margin is below 1.

    References
    ----------
    Energy balance as `speed_along_track_m_s`; helix as `half_turn_length_mm`. The assumptions are
    named in the parameters and at the head of this module.
    """
    require_positive(speed_cpm=speed_cpm)
    require_not_negative(
        friction=friction,
        inverted_mm=inverted_mm,
        entry_speed_m_s=entry_speed_m_s,
        lead_mm=lead_mm,
    )
    if not (math.isfinite(slope_margin) and slope_margin >= 1.0):
        raise ValueError(f"slope_margin must be 1 or more, found {slope_margin}")
    half_turn_mm = half_turn_length_mm(container_height_mm, rail_angle_deg)
    line_m_s = line_speed_m_s(speed_cpm, pitch_mm)
    twist_friction = friction / math.cos(math.radians(rail_angle_deg))
    drop_mm = run_mm = rubbed_mm = 0.0
    for path_mm, coefficient in (
        (2.0 * half_turn_mm, twist_friction),
        (inverted_mm + lead_mm, friction),
    ):
        slope = math.atan(slope_margin * coefficient)
        drop_mm += path_mm * math.sin(slope)
        run_mm += path_mm * math.cos(slope)
        rubbed_mm += coefficient * path_mm * math.cos(slope)
    surplus_mm = drop_mm - rubbed_mm
    wanted_mm = 1000.0 * (line_m_s**2 - entry_speed_m_s**2) / (2.0 * GRAVITY_M_S2)
    # The margin of the slope already speeds the cans up; only what it leaves lacking is added.
    run_up_mm = max(0.0, wanted_mm - surplus_mm)
    free_m_s = speed_along_track_m_s(entry_speed_m_s, surplus_mm + run_up_mm, 0.0, 0.0)
    return TwistDrop(
        half_turn_mm=half_turn_mm,
        inverted_mm=inverted_mm,
        path_mm=2.0 * half_turn_mm + inverted_mm + lead_mm,
        run_mm=run_mm,
        drop_mm=drop_mm + run_up_mm,
        line_speed_m_s=line_m_s,
        free_speed_m_s=free_m_s,
    )


def track_slope_caution(drop_mm: float, run_mm: float, friction: FrictionRange) -> Caution | None:
    """Point out a gravity track whose slope the published friction does not clearly allow.

    Parameters
    ----------
    drop_mm : float
        Height lost along the track. [mm]
    run_mm : float
        Horizontal length of the track. [mm]
    friction : FrictionRange
        Published range for can and rail. [-]

    Returns
    -------
    Caution or None
        None where the slope exceeds the highest published coefficient.

    Raises
    ------
    ValueError
        If the run is not above zero.

    References
    ----------
    Coulomb friction; the handbooks are named in the range.
    """
    require_positive(run_mm=run_mm)
    slope = drop_mm / run_mm
    if slope > friction.high:
        return None
    if slope <= friction.low:
        text = (
            f"A slope of {slope:.2f} lies at or below every published friction coefficient "
            f"({friction.low:.2f} to {friction.high:.2f}): cans will not slide by themselves."
        )
        return Caution("track-too-flat", text, friction.basis)
    text = (
        f"A slope of {slope:.2f} lies among the published friction coefficients "
        f"({friction.low:.2f} to {friction.high:.2f}): try the track with the real cans, dry and "
        "wet, before relying on it."
    )
    return Caution("track-may-hang", text, friction.basis)


def flow_at_pressure_l_min(
    known_flow_l_min: float, known_pressure_kpa: float, pressure_kpa: float
) -> float:
    """Flow of a nozzle or header at another pressure than the one it was measured at.

    Parameters
    ----------
    known_flow_l_min : float
        Measured flow. [L/min]
    known_pressure_kpa : float
        Gauge pressure it was measured at. [kPa]
    pressure_kpa : float
        Gauge pressure wanted. [kPa]

    Returns
    -------
    float
        Flow at that pressure. [L/min]

    Raises
    ------
    ValueError
        If the known pressure is not above zero, or another argument is negative.

    References
    ----------
    Flow through an orifice grows with the square root of pressure.
    """
    require_positive(known_pressure_kpa=known_pressure_kpa)
    require_not_negative(known_flow_l_min=known_flow_l_min, pressure_kpa=pressure_kpa)
    return known_flow_l_min * math.sqrt(pressure_kpa / known_pressure_kpa)


def nozzle_flow_l_min(
    bore_mm: float, pressure_kpa: float, *, discharge_coefficient: float = 0.97
) -> float:
    """Flow of cold water from a plain round nozzle.

    Parameters
    ----------
    bore_mm : float
        Bore of the nozzle. [mm]
    pressure_kpa : float
        Gauge pressure at the nozzle. [kPa]
    discharge_coefficient : float, optional
        Real over ideal flow; the default lies in the middle of the irrigation-nozzle table that
        the tests read, sharp-edged holes have about 0.6. [-]

    Returns
    -------
    float
        Flow. [L/min]

    Raises
    ------
    ValueError
        If the bore or coefficient is not above zero, or the pressure is negative.

    References
    ----------
    Torricelli / Bernoulli: Q = C A sqrt(2 p / rho).
    """
    require_positive(bore_mm=bore_mm, discharge_coefficient=discharge_coefficient)
    require_not_negative(pressure_kpa=pressure_kpa)
    area_m2 = math.pi / 4.0 * (bore_mm / 1000.0) ** 2
    jet_m_s = math.sqrt(2.0 * 1000.0 * pressure_kpa / WATER_DENSITY_KG_M3)
    return discharge_coefficient * area_m2 * jet_m_s * 60_000.0


def rinse_water_l_per_1000(flow_l_min: float, speed_cpm: float) -> float:
    """Water that a header running without pause uses on a thousand cans.

    Parameters
    ----------
    flow_l_min : float
        Flow of the header. [L/min]
    speed_cpm : float
        Line speed. [containers/min]

    Returns
    -------
    float
        Water per thousand cans. [L]

    Raises
    ------
    ValueError
        If the flow is negative or the speed not above zero.

    References
    ----------
    Arithmetic: flow over speed.
    """
    require_not_negative(flow_l_min=flow_l_min)
    require_positive(speed_cpm=speed_cpm)
    return 1000.0 * flow_l_min / speed_cpm


def film_left_ml(
    container_diameter_mm: float,
    container_height_mm: float,
    drain_s: float,
    *,
    viscosity_m2_s: float = WATER_VISCOSITY_M2_S,
) -> float:
    """Water left as a film on the wall of an inverted can that drains.

    The wall is taken as a straight cylinder; drops that hang on the rim and in the dome come on
    top, and a neck holds more. So this is the least that stays inside.

    Parameters
    ----------
    container_diameter_mm : float
        Diameter of the body. [mm]
    container_height_mm : float
        Height of the can. [mm]
    drain_s : float
        Time upside down after the header. [s]
    viscosity_m2_s : float, optional
        Kinematic viscosity of the water; the default is that at 20 degC. [m^2/s]

    Returns
    -------
    float
        Volume of the film, infinite at no drain time. [mL]

    Raises
    ------
    ValueError
        If a dimension or the viscosity is not above zero, or the time is negative.

    References
    ----------
    H. Jeffreys, The draining of a vertical plate, Proc. Camb. Phil. Soc. 26 (1930) 204: film
    thickness sqrt(nu z / (g t)) at the depth z, here summed over the wall.
    """
    require_positive(
        container_diameter_mm=container_diameter_mm,
        container_height_mm=container_height_mm,
        viscosity_m2_s=viscosity_m2_s,
    )
    require_not_negative(drain_s=drain_s)
    if drain_s == 0.0:
        return math.inf
    height_m = container_height_mm / 1000.0
    rim_film_m = math.sqrt(viscosity_m2_s * height_m / (GRAVITY_M_S2 * drain_s))
    wall_m2 = math.pi * container_diameter_mm / 1000.0 * height_m
    return 1.0e6 * wall_m2 * rim_film_m * 2.0 / 3.0


def wet_can_caution(
    drain_s: float,
    container_diameter_mm: float,
    container_height_mm: float,
    *,
    most_water_ml: float = 1.0,
) -> Caution | None:
    """Point out cans that reach the filler with more water inside than wanted.

    Parameters
    ----------
    drain_s : float
        Time upside down after the header. [s]
    container_diameter_mm : float
        Diameter of the body. [mm]
    container_height_mm : float
        Height of the can. [mm]
    most_water_ml : float, optional
        Water that may stay in a can; 1 mL is `invented`. [mL]

    Returns
    -------
    Caution or None
        None where the film on the wall alone stays within the limit.

    Raises
    ------
    ValueError
        If a dimension or the limit is not above zero, or the time is negative.

    References
    ----------
    As `film_left_ml`.
    """
    require_positive(most_water_ml=most_water_ml)
    film_ml = film_left_ml(container_diameter_mm, container_height_mm, drain_s)
    if film_ml <= most_water_ml:
        return None
    # The film falls with the square root of time, so the time needed grows with its square.
    at_one_second_ml = film_left_ml(container_diameter_mm, container_height_mm, 1.0)
    needed_s = (at_one_second_ml / most_water_ml) ** 2
    text = (
        f"{drain_s:.1f} s to drain after the header; at least {needed_s:.1f} s bring the film on "
        f"the wall down to {most_water_ml:g} ml. Rinse water that is left inside dilutes the "
        "product and may carry sanitizer into it: lengthen the inverted run, or measure what stays."
    )
    basis = "Jeffreys 1930, draining of a vertical plate; the limit is invented"
    return Caution("wet-can", text, basis)
