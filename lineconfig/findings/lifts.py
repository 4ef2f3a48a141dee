"""Lifts: the lifting index of everything that people lift at a line, and of each person's post.

The running line sets the pace: a lift comes up as often as its task does at rated speed, shared
among the people whose posts hold the station in proportion to the work that each takes on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from lineconfig.assess.cautions import Caution
from lineconfig.assess.crew import Post
from lineconfig.assess.lifting import (
    CompositeTask,
    Duration,
    HandPosition,
    LiftingTask,
    assess_lift,
    composite_lifting_index,
    composite_task,
    duration_class,
    lifting_caution,
)
from lineconfig.catalog import Lift, Task
from lineconfig.choose.inquiry import Inquiry
from lineconfig.connect.stations import ML_PER_LITRE, cans_between
from lineconfig.findings.places import Places
from lineconfig.layout import CrewFigures, Layout, Station
from lineconfig.sentences import lowered

MM_PER_CM = 10.0
LONGEST_SHIFT_H = 8.0
INFREQUENT_PER_MIN = 0.1
"""Rarer lifts leave enough rest for the shortest duration class: NIOSH 94-110 (2021), p. 15."""
DURATIONS: tuple[Duration, ...] = ("short", "moderate", "long")
EMPTIES_SIDE = frozenset({"supply", "unload", "guard", "lower", "rinse"})
"""Functions whose tasks follow the form in which the empties arrive."""
TAKES_LOADS = frozenset({"unload", "guard", "lower"})
"""Functions whose tasks come up once for each load that a delivered pallet is split into."""


@dataclass(frozen=True, slots=True)
class LiftFinding:
    """One kind of lift at the pace of the person who does most of it, with its worst format."""

    lift: str
    task: str
    station: int
    post: int
    """Index of the person's post in the crew."""
    format_id: str
    load_kg: float
    """What the hands carry."""
    lifts_per_min: float
    duration: Duration
    hands_mm: tuple[float, float]
    """Lowest and highest position of the hands above where the person stands [mm]."""
    standing_mm: float
    """Height of the platform that the person stands on [mm]."""
    recommended_kg: float
    """Load at which the index would be 1."""
    lifting_index: float
    """Over all layers of a stack together; infinite where no weight is recommended."""
    note: str
    """Why no weight is recommended; empty where one is."""


@dataclass(frozen=True, slots=True)
class PostFinding:
    """All that one person lifts, with the worst format."""

    post: int
    stations: tuple[int, ...]
    """Stations of the post at which something is lifted."""
    format_id: str
    lifts_per_min: float
    duration: Duration
    composite_index: float
    """Infinite where no weight is recommended for one of the lifts."""
    hardest: str
    """The lift with the highest index of its own."""


@dataclass(frozen=True, slots=True)
class Lifting:
    """What is lifted at a line: the hardest first."""

    lifts: tuple[LiftFinding, ...]
    posts: tuple[PostFinding, ...]


@dataclass(frozen=True, slots=True)
class _Work:
    """A lift with one format at the whole line's pace."""

    lift: Lift
    task: Task
    station: int
    format: int
    tasks: tuple[LiftingTask, ...]
    """One for each layer of a stack."""
    reduced: tuple[CompositeTask, ...]
    heights_mm: tuple[float, float]
    standing_mm: float

    @property
    def lifts_per_min(self) -> float:
        return math.fsum(task.lifts_per_min for task in self.tasks)

    def shared(self, share: float) -> list[CompositeTask]:
        """The tasks at the pace of a person who does this share of them."""
        return [replace(task, lifts_per_min=task.lifts_per_min * share) for task in self.reduced]


def lifting_of(places: Places) -> Lifting:
    """Lifting indices of a layout: by kind of lift, and by post."""
    inquiry, layout = places.inquiry, places.layout
    shares = shares_of_work(layout.crew)
    works = list(_works(places))
    return Lifting(
        tuple(sorted(_lift_findings(inquiry, shares, works), key=lambda row: -row.lifting_index)),
        tuple(sorted(_post_findings(inquiry, shares, works), key=lambda row: -row.composite_index)),
    )


def shares_of_work(crew: CrewFigures) -> tuple[dict[int, float], ...]:
    """By post: the share of each of its stations' work that falls to it, 0 to 1."""
    left = list(crew.workloads)
    return tuple(_shares(post, left, crew.workloads) for post in crew.posts)


def _shares(post: Post, left: list[float], workloads: Sequence[float]) -> dict[int, float]:
    # A post takes all that is left of each station but its last, of which it may leave some.
    if post.always:
        return {post.stations[0]: 1.0}
    taken: dict[int, float] = {}
    for place in post.stations:
        free = max(0.0, post.workload - sum(taken.values()))
        last = place == post.stations[-1]
        taken[place] = min(left[place], free) if last else left[place]
        left[place] -= taken[place]
    return {place: part / workloads[place] for place, part in taken.items() if workloads[place]}


# --- from tasks to lifts -------------------------------------------------------------------------


def case_kg(inquiry: Inquiry, index: int) -> float:
    """Mass of one full case of one format [kg]."""
    can, habits = inquiry.containers[index], inquiry.habits
    handling = inquiry.catalog.economics.handling
    fill_kg = can.volume_ml / ML_PER_LITRE * handling.fill_density_kg_per_l
    return habits.cans_per_case * (can.empty_mass_kg + fill_kg) + handling.case_packaging_kg


def load_kg(inquiry: Inquiry, task: Task, lift: Lift, index: int) -> float:
    """What the hands carry in one lift with one format [kg]."""
    can, habits = inquiry.containers[index], inquiry.habits
    handling = inquiry.catalog.economics.handling
    match lift.load:
        case "case":
            whole_kg = case_kg(inquiry, index)
        case "layer":
            whole_kg = can.pallet.per_layer * can.empty_mass_kg + handling.sheet_kg
        case "handful":
            whole_kg = (task.cans or 0.0) * can.empty_mass_kg
        case "tray":
            whole_kg = habits.cans_per_case * can.empty_mass_kg + handling.tray_kg
        case "sheet":
            whole_kg = float(handling.sheet_kg)
        case "top-frame":
            whole_kg = float(handling.top_frame_kg)
        case "empties-pallet":
            whole_kg = float(handling.empties_pallet_kg)
        case "shipping-pallet":
            whole_kg = float(handling.shipping_pallet_kg)
        case mass_kg:
            whole_kg = float(mass_kg)
    return whole_kg if lift.share is None else whole_kg * lift.share


def shift_duration(inquiry: Inquiry) -> Duration:
    """Duration class of work that goes on through a shift.

    No shift is longer than the hours of a week, and what follows it is long enough to recover.
    """
    hours = min(LONGEST_SHIFT_H, inquiry.need.hours_per_week)
    return duration_class(hours, recovery_h=hours)


def _works(places: Places) -> Iterator[_Work]:
    inquiry, layout = places.inquiry, places.layout
    duration = shift_duration(inquiry)
    for place, station in enumerate(layout.stations):
        for task in station.option.equipment.attendance.tasks:
            for index in range(len(inquiry.containers)) if task.lifts else ():
                times_per_min = _times_per_min(places, station, task, index)
                for lift in task.lifts:
                    yield _work(places, place, task, lift, index, times_per_min, duration)


def _times_per_min(places: Places, station: Station, task: Task, index: int) -> float:
    inquiry, layout, function = places.inquiry, places.layout, station.function
    cans = cans_between(
        task, inquiry.containers[index],
        places.forms[index] if function in EMPTIES_SIDE else "full-pallet",
        layout.heights.loads_per_pallet[index] if function in TAKES_LOADS else 1,
        inquiry.habits.cans_per_case, inquiry.habits.cases_per_full_pallet,
    )  # fmt: skip
    return layout.speed.rated[index] / cans


def _work(
    places: Places,
    place: int,
    task: Task,
    lift: Lift,
    index: int,
    times_per_min: float,
    duration: Duration,
) -> _Work:
    station = places.layout.stations[place]
    starts = places.above_floor_mm(lift.origin, station, index)
    ends = places.above_floor_mm(lift.destination, station, index)
    pairs = list(product(starts or (None,), ends or (None,)))
    load = load_kg(places.inquiry, task, lift, index)
    tasks, heights_mm, standing_mm = [], [], 0.0
    for start_mm, end_mm in pairs:
        raised = tuple(mm for mm in (start_mm, end_mm) if mm is not None)
        stand_mm = places.standing_mm(place, raised, platform=lift.platform)
        # A plain length counts from where the person stands, a place from the floor.
        from_mm = float(lift.origin) if start_mm is None else max(0.0, start_mm - stand_mm)
        to_mm = float(lift.destination) if end_mm is None else max(0.0, end_mm - stand_mm)
        heights_mm += [from_mm, to_mm]
        standing_mm = max(standing_mm, stand_mm)
        reach_to_mm = lift.reach_mm if lift.reach_to_mm is None else lift.reach_to_mm
        turn_to_deg = lift.turn_deg if lift.turn_to_deg is None else lift.turn_to_deg
        tasks.append(
            LiftingTask(
                load_kg=load,
                origin=HandPosition(lift.reach_mm / MM_PER_CM, from_mm / MM_PER_CM, lift.turn_deg),
                destination=HandPosition(reach_to_mm / MM_PER_CM, to_mm / MM_PER_CM, turn_to_deg),
                lifts_per_min=times_per_min * lift.times / len(pairs),
                duration=lift.duration or duration,
                coupling=lift.coupling,
                control_at_destination=lift.placed,
            )
        )
    return _Work(
        lift=lift,
        task=task,
        station=place,
        format=index,
        tasks=tuple(tasks),
        reduced=tuple(composite_task(item) for item in tasks),
        heights_mm=(min(heights_mm), max(heights_mm)),
        standing_mm=standing_mm,
    )


# --- from lifts to indices -----------------------------------------------------------------------


def _duration(works: Sequence[_Work], lifts_per_min: float) -> Duration:
    if lifts_per_min < INFREQUENT_PER_MIN:
        return "short"
    return max((task.duration for work in works for task in work.tasks), key=DURATIONS.index)


def _lift_findings(
    inquiry: Inquiry, shares: Sequence[dict[int, float]], works: Sequence[_Work]
) -> Iterator[LiftFinding]:
    worst: dict[tuple[int, str], LiftFinding] = {}
    for work in works:
        share, post = max(
            ((by_station.get(work.station, 0.0), -post) for post, by_station in enumerate(shares)),
            default=(0.0, 0),
        )
        if share <= 0.0:
            continue
        found = _lift_finding(inquiry, work, share, -post)
        key = (work.station, work.lift.lift)
        if key not in worst or found.lifting_index > worst[key].lifting_index:
            worst[key] = found
    yield from worst.values()


def _lift_finding(inquiry: Inquiry, work: _Work, share: float, post: int) -> LiftFinding:
    lifts_per_min = work.lifts_per_min * share
    duration = _duration([work], lifts_per_min)
    composite = composite_lifting_index(work.shared(share), duration)
    index, load = composite.composite_index, work.tasks[0].load_kg
    note = ""
    if math.isinf(index):
        limits = (assess_lift(task).governing for task in work.tasks)
        note = next((limit.note for limit in limits if limit.note), composite.note)
    # Indices grow in proportion to the load, so this is the load with an index of 1.
    recommended = load / index if load > 0 else min(composite.single_task_limits_kg)
    return LiftFinding(
        lift=work.lift.lift,
        task=work.task.task,
        station=work.station,
        post=post,
        format_id=inquiry.containers[work.format].id,
        load_kg=load,
        lifts_per_min=lifts_per_min,
        duration=duration,
        hands_mm=work.heights_mm,
        standing_mm=work.standing_mm,
        recommended_kg=recommended,
        lifting_index=index,
        note=note,
    )


def _post_findings(
    inquiry: Inquiry, shares: Sequence[dict[int, float]], works: Sequence[_Work]
) -> Iterator[PostFinding]:
    for post, by_station in enumerate(shares):
        by_format = [
            _together(
                [w for w in works if w.format == index and by_station.get(w.station)], by_station
            )
            for index in range(len(inquiry.containers))
        ]
        together = max(by_format, key=lambda found: found.index)
        if together.works:
            yield _post_finding(inquiry, post, by_station, together)


@dataclass(frozen=True, slots=True)
class _Together:
    """All that one person lifts with one format."""

    works: Sequence[_Work]
    lifts_per_min: float
    duration: Duration
    index: float


def _together(works: Sequence[_Work], by_station: dict[int, float]) -> _Together:
    if not works:
        return _Together((), 0.0, "short", 0.0)
    lifts_per_min = math.fsum(work.lifts_per_min * by_station[work.station] for work in works)
    duration = _duration(works, lifts_per_min)
    tasks = [task for work in works for task in work.shared(by_station[work.station])]
    index = composite_lifting_index(tasks, duration).composite_index
    return _Together(works, lifts_per_min, duration, index)


def _post_finding(
    inquiry: Inquiry, post: int, by_station: dict[int, float], together: _Together
) -> PostFinding:
    def alone(work: _Work) -> float:
        tasks = work.shared(by_station[work.station])
        return composite_lifting_index(tasks, together.duration).composite_index

    return PostFinding(
        post=post,
        stations=tuple(sorted({work.station for work in together.works})),
        format_id=inquiry.containers[together.works[0].format].id,
        lifts_per_min=together.lifts_per_min,
        duration=together.duration,
        composite_index=together.index,
        hardest=max(together.works, key=alone).lift.lift,
    )


def lifting_cautions(layout: Layout, lifting: Lifting) -> list[Caution]:
    """One caution for each post whose composite index exceeds 1, the hardest first."""
    found = []
    for post in lifting.posts:
        where = layout.stations[post.stations[0]].option.equipment.name
        more = len(post.stations) - 1
        if more:
            where += f" and {more} more station{'s' if more > 1 else ''}"
        hardest = lowered(post.hardest)
        what = f"Person {post.post + 1} of the crew, all lifts together ({where}; {hardest})"
        caution = lifting_caution(post.composite_index, what)
        if caution is not None:
            found.append(caution)
    return found
