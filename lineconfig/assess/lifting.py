"""The revised NIOSH lifting equation: recommended weight limit, lifting index, composite index.

``RWL = LC * HM * VM * DM * AM * FM * CM`` and ``LI = load / RWL``, in metric units. The manual's US
units correspond to these at 2.5 cm to the inch (not 2.54) and at a load constant of 51 lb to 23 kg,
so a US example is read with lengths times 2.5 and ``load_constant=51``; all masses are then pounds.

Multipliers are computed from the formulas. The manual's printed tables differ from its own formulas
by up to .01 in a few rows, and its worksheets multiply rounded multipliers: ``rounded=True`` does
as the worksheets do.

References
----------
.. [1] T. R. Waters, V. Putz-Anderson and A. Garg, Applications Manual for the Revised NIOSH Lifting
   Equation, DHHS (NIOSH) Publication No. 94-110, revised 9/2021.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from lineconfig.assess.cautions import Caution
from lineconfig.assess.inputs import require_not_negative, require_positive

Duration = Literal["short", "moderate", "long"]
"""Lifting for at most 1 h, 2 h or 8 h, with the recovery time that the class asks for."""

Coupling = Literal["good", "fair", "poor"]
"""Hold on the load: handles; hand-holds or fingers bent 90 degrees under; neither."""

LOAD_CONSTANT_KG = 23.0
"""Recommended limit under ideal conditions [1]_, p. 7. [kg]"""

_LEAST_REACH_CM = 25.0
_MOST_REACH_CM = 63.0
_MOST_HEIGHT_CM = 175.0
_KNUCKLE_CM = 75.0
_LEAST_TRAVEL_CM = 25.0
_MOST_TRAVEL_CM = 175.0
_MOST_ASYMMETRY_DEG = 135.0
_MOST_LIFTS_PER_MIN = 15.0
_SAMPLE_MIN = 15.0

FREQUENCY_MULTIPLIERS: dict[tuple[Duration, bool], tuple[float, ...]] = {
    ("short", False): (
        *(1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70),
        *(0.60, 0.52, 0.45, 0.41, 0.37, 0.00, 0.00, 0.00),
    ),
    ("short", True): (
        *(1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70),
        *(0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
    ),
    ("moderate", False): (
        *(0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42),
        *(0.35, 0.30, 0.26, 0.00, 0.00, 0.00, 0.00, 0.00),
    ),
    ("moderate", True): (
        *(0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42),
        *(0.35, 0.30, 0.26, 0.23, 0.21, 0.00, 0.00, 0.00),
    ),
    ("long", False): (
        *(0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22),
        *(0.18, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    ),
    ("long", True): (
        *(0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22),
        *(0.18, 0.15, 0.13, 0.00, 0.00, 0.00, 0.00, 0.00),
    ),
}
"""FM by duration and by whether V at the origin is 75 cm (30 in) or more; [1]_, Table 5, p. 15."""

FREQUENCY_ROWS = (0.2, 0.5, *(float(lifts) for lifts in range(1, 16)))
"""Lifts per minute of the rows of `FREQUENCY_MULTIPLIERS`. [1/min]"""

COUPLING_MULTIPLIERS: dict[Coupling, tuple[float, float]] = {
    "good": (1.00, 1.00),
    "fair": (0.95, 1.00),
    "poor": (0.90, 0.90),
}
"""CM for V below 75 cm, and for 75 cm or more; [1]_, Table 7, p. 18."""


@dataclass(frozen=True, slots=True)
class HandPosition:
    """Where the hands are at one end of a lift."""

    horizontal_cm: float
    """H: from the midpoint between the ankles to the hands. [cm]"""
    vertical_cm: float
    """V: from the floor the lifter stands on to the hands. [cm]"""
    asymmetry_deg: float = 0.0
    """A: how far the load lies off the lifter's mid-plane. [deg]"""


@dataclass(frozen=True, slots=True)
class LiftingTask:
    """One kind of lift, repeated."""

    load_kg: float
    """Average load. [kg]"""
    origin: HandPosition
    destination: HandPosition
    lifts_per_min: float
    """Average frequency over a sample of 15 minutes. [1/min]"""
    duration: Duration
    coupling: Coupling
    control_at_destination: bool = False
    """Whether the load must be placed with care, so that the destination counts as well."""


@dataclass(frozen=True, slots=True)
class LiftingLimit:
    """The lifting equation evaluated at one end of a lift."""

    horizontal: float
    """HM. [-]"""
    vertical: float
    """VM. [-]"""
    distance: float
    """DM. [-]"""
    asymmetry: float
    """AM. [-]"""
    frequency: float
    """FM. [-]"""
    coupling: float
    """CM. [-]"""
    frequency_independent_kg: float
    """FIRWL: the recommended weight limit without FM. [kg]"""
    recommended_kg: float
    """RWL. [kg]"""
    lifting_index: float
    """LI, infinite where the recommended limit is zero. [-]"""
    note: str
    """Why the recommended limit is zero; empty where it is not."""


@dataclass(frozen=True, slots=True)
class LiftingAssessment:
    """One task assessed at its origin and, where control is needed, at its destination."""

    origin: LiftingLimit
    destination: LiftingLimit | None
    """None where the load may be dropped or slid into place."""

    @property
    def governing(self) -> LiftingLimit:
        """The end with the lower recommended limit."""
        if self.destination and self.destination.recommended_kg < self.origin.recommended_kg:
            return self.destination
        return self.origin

    @property
    def lifting_index(self) -> float:
        """Lifting index of the governing end. [-]"""
        return self.governing.lifting_index


@dataclass(frozen=True, slots=True)
class CompositeTask:
    """What the composite index needs to know of one task of a job."""

    load_kg: float
    """Average load. [kg]"""
    frequency_independent_kg: float
    """FIRWL of the task. [kg]"""
    lifts_per_min: float
    """Frequency of the task within the job. [1/min]"""
    vertical_cm: float
    """V at the origin, which chooses the column of the frequency table. [cm]"""
    largest_load_kg: float | None = None
    """Largest single load; the average load where None. [kg]"""


@dataclass(frozen=True, slots=True)
class CompositeLifting:
    """A job of several lifting tasks."""

    single_task_limits_kg: tuple[float, ...]
    """STRWL of each task, in the order given. [kg]"""
    frequency_independent_indices: tuple[float, ...]
    """FILI of each task, in the order given. [-]"""
    single_task_indices: tuple[float, ...]
    """STLI of each task, in the order given. [-]"""
    increments: tuple[float, ...]
    """What each task adds, from the hardest (its whole STLI) to the easiest. [-]"""
    composite_index: float
    """CLI, infinite where a limit or multiplier is zero. [-]"""
    note: str
    """Why the index is infinite; empty where it is not."""


def horizontal_multiplier(horizontal_cm: float) -> float:
    """HM: 25 / H between 25 and 63 cm, 1 nearer, 0 farther.

    Parameters
    ----------
    horizontal_cm : float
        H, midpoint between the ankles to the hands. [cm]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If H is negative.

    References
    ----------
    [1]_ of the module, p. 8.
    """
    require_not_negative(horizontal_cm=horizontal_cm)
    if horizontal_cm > _MOST_REACH_CM:
        return 0.0
    return _LEAST_REACH_CM / max(horizontal_cm, _LEAST_REACH_CM)


def vertical_multiplier(vertical_cm: float) -> float:
    """VM: 1 - 0.003 |V - 75| up to 175 cm, 0 above.

    Parameters
    ----------
    vertical_cm : float
        V, floor to hands. [cm]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If V is negative.

    References
    ----------
    [1]_ of the module, p. 9.
    """
    require_not_negative(vertical_cm=vertical_cm)
    if vertical_cm > _MOST_HEIGHT_CM:
        return 0.0
    return 1.0 - 0.003 * abs(vertical_cm - _KNUCKLE_CM)


def distance_multiplier(distance_cm: float) -> float:
    """DM: 0.82 + 4.5 / D between 25 and 175 cm, 1 below, 0 above.

    Parameters
    ----------
    distance_cm : float
        D, vertical travel of the hands. [cm]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If D is negative.

    References
    ----------
    [1]_ of the module, pp. 10-11.
    """
    require_not_negative(distance_cm=distance_cm)
    if distance_cm > _MOST_TRAVEL_CM:
        return 0.0
    return 0.82 + 4.5 / max(distance_cm, _LEAST_TRAVEL_CM)


def asymmetry_multiplier(asymmetry_deg: float) -> float:
    """AM: 1 - 0.0032 A up to 135 degrees, 0 above.

    Parameters
    ----------
    asymmetry_deg : float
        A, angle between the load and the lifter's mid-plane. [deg]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If A is negative.

    References
    ----------
    [1]_ of the module, p. 12.
    """
    require_not_negative(asymmetry_deg=asymmetry_deg)
    if asymmetry_deg > _MOST_ASYMMETRY_DEG:
        return 0.0
    return 1.0 - 0.0032 * asymmetry_deg


def frequency_multiplier(lifts_per_min: float, duration: Duration, vertical_cm: float) -> float:
    """FM from the manual's table, in a straight line between its rows, 0 above 15 a minute.

    Parameters
    ----------
    lifts_per_min : float
        Average frequency. [1/min]
    duration : {"short", "moderate", "long"}
        Duration class.
    vertical_cm : float
        V at the origin, also where the destination is assessed. [cm]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If the frequency or V is negative.

    References
    ----------
    [1]_ of the module, Table 5, p. 15, and pp. 7, 14.

    Examples
    --------
    >>> round(frequency_multiplier(2.4, "short", 100), 3)
    0.898
    """
    require_not_negative(lifts_per_min=lifts_per_min, vertical_cm=vertical_cm)
    column = FREQUENCY_MULTIPLIERS[duration, vertical_cm >= _KNUCKLE_CM]
    if lifts_per_min <= FREQUENCY_ROWS[0]:
        return column[0]
    if lifts_per_min > _MOST_LIFTS_PER_MIN:
        return 0.0
    rows = zip(pairwise(FREQUENCY_ROWS), pairwise(column), strict=True)
    for (slower, faster), (more, less) in rows:
        if lifts_per_min <= faster:
            return more + (less - more) * (lifts_per_min - slower) / (faster - slower)
    raise AssertionError("the table ends at 15 lifts a minute")


def coupling_multiplier(coupling: Coupling, vertical_cm: float) -> float:
    """CM from the manual's table.

    Parameters
    ----------
    coupling : {"good", "fair", "poor"}
        Quality of the hold.
    vertical_cm : float
        V at the end that is assessed. [cm]

    Returns
    -------
    float
        Multiplier. [-]

    Raises
    ------
    ValueError
        If V is negative.

    References
    ----------
    [1]_ of the module, Table 7, p. 18.
    """
    require_not_negative(vertical_cm=vertical_cm)
    return COUPLING_MULTIPLIERS[coupling][vertical_cm >= _KNUCKLE_CM]


def adjusted_frequency(lifts_per_min: float, work_min: float) -> float:
    """Frequency of lifting that pauses within the 15-minute sample.

    Parameters
    ----------
    lifts_per_min : float
        Rate while lifting. [1/min]
    work_min : float
        Minutes of lifting in 15. [min]

    Returns
    -------
    float
        Frequency to use in the table. [1/min]

    Raises
    ------
    ValueError
        If the rate is negative or the minutes are not within 0 to 15.

    References
    ----------
    [1]_ of the module, p. 16: the special frequency adjustment.

    Examples
    --------
    >>> round(adjusted_frequency(10, 8), 2)
    5.33
    """
    require_not_negative(lifts_per_min=lifts_per_min, work_min=work_min)
    if work_min > _SAMPLE_MIN:
        raise ValueError(f"work_min must lie within 0 to 15, found {work_min}")
    return lifts_per_min * work_min / _SAMPLE_MIN


def duration_class(work_h: float, recovery_h: float) -> Duration:
    """Duration class of a stretch of lifting and the recovery that follows it.

    Parameters
    ----------
    work_h : float
        Time of lifting without a recovery break. [h]
    recovery_h : float
        Light work or rest that follows. [h]

    Returns
    -------
    {"short", "moderate", "long"}
        Short: at most 1 h and recovery at least as long; moderate: at most 2 h and recovery of at
        least 0.3 times the work; long: everything else up to 8 h.

    Raises
    ------
    ValueError
        If the work is not above zero or longer than 8 h, or the recovery is negative.

    References
    ----------
    [1]_ of the module, pp. 13-14 (2021; the 1994 print asked 1.2 times the work for short).
    """
    require_positive(work_h=work_h)
    require_not_negative(recovery_h=recovery_h)
    if work_h > 8.0:
        raise ValueError(f"work_h must not exceed 8, beyond which no table exists, found {work_h}")
    if work_h <= 1.0 and recovery_h >= work_h:
        return "short"
    if work_h <= 2.0 and recovery_h >= 0.3 * work_h:
        return "moderate"
    return "long"


def _half_up(value: float, digits: int) -> float:
    # Worksheets round halves up; the built-in rounds them to even and stumbles over 1.25.
    if not math.isfinite(value):
        return value
    scale = 10.0**digits
    return math.floor(value * scale + 0.5 + 1e-9) / scale


def _index(load: float, limit: float) -> float:
    return load / limit if limit > 0 else math.inf


def _zero_reasons(
    position: HandPosition, distance_cm: float, task: LiftingTask, frequency: float
) -> str:
    reasons = []
    if position.horizontal_cm > _MOST_REACH_CM:
        reasons.append(f"the hands reach {position.horizontal_cm:.0f} cm out, beyond 63 cm")
    if position.vertical_cm > _MOST_HEIGHT_CM:
        reasons.append(f"the hands are {position.vertical_cm:.0f} cm up, above 175 cm")
    if distance_cm > _MOST_TRAVEL_CM:
        reasons.append(f"the load travels {distance_cm:.0f} cm up or down, more than 175 cm")
    if position.asymmetry_deg > _MOST_ASYMMETRY_DEG:
        reasons.append(f"the load lies {position.asymmetry_deg:g} degrees aside, beyond 135")
    if frequency == 0.0:
        reasons.append(
            f"{task.lifts_per_min:g} lifts a minute exceed the table for {task.duration} duration"
        )
    if not reasons:
        return ""
    return "No weight is recommended here: " + "; ".join(reasons) + "."


def _limit(
    task: LiftingTask, position: HandPosition, load_constant: float, rounded: bool
) -> LiftingLimit:
    distance_cm = abs(task.destination.vertical_cm - task.origin.vertical_cm)
    multipliers = [
        horizontal_multiplier(position.horizontal_cm),
        vertical_multiplier(position.vertical_cm),
        distance_multiplier(distance_cm),
        asymmetry_multiplier(position.asymmetry_deg),
        frequency_multiplier(task.lifts_per_min, task.duration, task.origin.vertical_cm),
        coupling_multiplier(task.coupling, position.vertical_cm),
    ]
    if rounded:
        multipliers = [_half_up(multiplier, 2) for multiplier in multipliers]
    horizontal, vertical, distance, asymmetry, frequency, coupling = multipliers
    independent = load_constant * horizontal * vertical * distance * asymmetry * coupling
    recommended = independent * frequency
    if rounded:
        independent, recommended = _half_up(independent, 1), _half_up(recommended, 1)
    index = _index(task.load_kg, recommended)
    note = _zero_reasons(position, distance_cm, task, frequency)
    if recommended == 0.0 and not note:
        note = "No weight is recommended here: the limit rounds to zero."
    return LiftingLimit(
        horizontal=horizontal,
        vertical=vertical,
        distance=distance,
        asymmetry=asymmetry,
        frequency=frequency,
        coupling=coupling,
        frequency_independent_kg=independent,
        recommended_kg=recommended,
        lifting_index=_half_up(index, 1) if rounded else index,
        note=note,
    )


def assess_lift(
    task: LiftingTask, *, load_constant: float = LOAD_CONSTANT_KG, rounded: bool = False
) -> LiftingAssessment:
    """Recommended weight limit and lifting index of one task.

    The equation holds for two-handed lifting by a standing person on an even, dry floor, in a
    moderate climate; not for one hand, sitting, kneeling, wheelbarrows, shovels or falls.

    Parameters
    ----------
    task : LiftingTask
        The lift.
    load_constant : float, optional
        Load constant; with 51 and the load in pounds every mass is in pounds. [kg]
    rounded : bool, optional
        Round as the manual's worksheets do: multipliers to two decimals, limits and indices to one.

    Returns
    -------
    LiftingAssessment
        The limits at the origin and, where control is needed there, at the destination.

    Raises
    ------
    ValueError
        If the load, a position or the frequency is negative, or the load constant not above zero.

    References
    ----------
    [1]_ of the module, section 1.3 and pp. 29-31.
    """
    require_not_negative(load_kg=task.load_kg)
    require_positive(load_constant=load_constant)
    origin = _limit(task, task.origin, load_constant, rounded)
    destination = None
    if task.control_at_destination:
        destination = _limit(task, task.destination, load_constant, rounded)
    return LiftingAssessment(origin, destination)


def composite_task(
    task: LiftingTask,
    *,
    largest_load_kg: float | None = None,
    load_constant: float = LOAD_CONSTANT_KG,
) -> CompositeTask:
    """Reduce a task to what the composite index needs, at its governing end.

    Parameters
    ----------
    task : LiftingTask
        The lift; its duration class is not used here, the job has one for all tasks.
    largest_load_kg : float, optional
        Largest single load; the average load where not given. [kg]
    load_constant : float, optional
        As in `assess_lift`. [kg]

    Returns
    -------
    CompositeTask
        Load, frequency-independent limit, frequency and origin height.

    Raises
    ------
    ValueError
        As `assess_lift`.

    References
    ----------
    [1]_ of the module, section 2.4.
    """
    assessment = assess_lift(task, load_constant=load_constant)
    limits = [assessment.origin.frequency_independent_kg]
    if assessment.destination:
        limits.append(assessment.destination.frequency_independent_kg)
    return CompositeTask(
        load_kg=task.load_kg,
        frequency_independent_kg=min(limits),
        lifts_per_min=task.lifts_per_min,
        vertical_cm=task.origin.vertical_cm,
        largest_load_kg=largest_load_kg,
    )


def composite_lifting_index(tasks: Sequence[CompositeTask], duration: Duration) -> CompositeLifting:
    """Composite lifting index of a job that mixes several lifting tasks.

    Tasks are ranked by their single-task index; to the highest of these every further task adds
    FILI * (1 / FM of the frequencies so far with it - 1 / FM without it). Both multipliers of an
    increment are read in the column of the added task's own origin height, which the manual leaves
    open.

    Parameters
    ----------
    tasks : sequence of CompositeTask
        The tasks of the job.
    duration : {"short", "moderate", "long"}
        Duration class of the job as a whole.

    Returns
    -------
    CompositeLifting
        Indices of the tasks and of the job.

    Raises
    ------
    ValueError
        If no task is given, or a load, limit or frequency is negative.

    References
    ----------
    [1]_ of the module, section 2.4: multi-task procedure.
    """
    if not tasks:
        raise ValueError("tasks must hold at least one task")
    limits, independent, single = [], [], []
    for task in tasks:
        largest_kg = task.load_kg if task.largest_load_kg is None else task.largest_load_kg
        require_not_negative(
            load_kg=task.load_kg,
            largest_load_kg=largest_kg,
            frequency_independent_kg=task.frequency_independent_kg,
        )
        alone = frequency_multiplier(task.lifts_per_min, duration, task.vertical_cm)
        limits.append(task.frequency_independent_kg * alone)
        independent.append(_index(largest_kg, task.frequency_independent_kg))
        single.append(_index(task.load_kg, limits[-1]))
    ranked = sorted(range(len(tasks)), key=lambda place: -single[place])
    increments = [single[ranked[0]]]
    lifts_per_min = tasks[ranked[0]].lifts_per_min
    for place in ranked[1:]:
        height_cm = tasks[place].vertical_cm
        before = frequency_multiplier(lifts_per_min, duration, height_cm)
        lifts_per_min += tasks[place].lifts_per_min
        after = frequency_multiplier(lifts_per_min, duration, height_cm)
        if math.isinf(independent[place]) or after == 0.0:
            increments.append(math.inf)
        else:
            increments.append(independent[place] * (1.0 / after - 1.0 / before))
    note = ""
    if any(task.frequency_independent_kg == 0.0 for task in tasks):
        note = "No weight is recommended for at least one task, whatever its frequency."
    elif math.inf in increments:
        note = (
            f"{lifts_per_min:g} lifts a minute together exceed the table for {duration} duration."
        )
    return CompositeLifting(
        single_task_limits_kg=tuple(limits),
        frequency_independent_indices=tuple(independent),
        single_task_indices=tuple(single),
        increments=tuple(increments),
        composite_index=math.fsum(increments) if math.inf not in increments else math.inf,
        note=note,
    )


def lifting_caution(lifting_index: float, what: str) -> Caution | None:
    """Point out a lift whose index exceeds 1.

    Parameters
    ----------
    lifting_index : float
        LI of a task or CLI of a job. [-]
    what : str
        The work, as the report shall name it.

    Returns
    -------
    Caution or None
        None up to an index of 1.

    Raises
    ------
    ValueError
        If the index is negative or not a number.

    References
    ----------
    [1]_ of the module, section 1.4: above 1 some, above 3 many workers are at increased risk.
    """
    if not lifting_index >= 0.0:
        raise ValueError(f"lifting_index must be 0 or more, found {lifting_index}")
    if lifting_index <= 1.0:
        return None
    basis = "NIOSH 94-110 (2021), section 1.4"
    if math.isinf(lifting_index):
        text = f"{what}: the NIOSH lifting equation recommends no weight at all for this lift."
        return Caution(
            "lifting-no-limit", f"{text} Change the reach, the height or the pace.", basis
        )
    who, code = ("many", "lifting-high") if lifting_index > 3.0 else ("some", "lifting-raised")
    text = (
        f"{what}: lifting index {lifting_index:.1f}, a raised risk of low back pain for {who} "
        "workers. Bring the load nearer, raise or lower the shelf, or lift less often."
    )
    return Caution(code, text, basis)
