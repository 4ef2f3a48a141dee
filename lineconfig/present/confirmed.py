"""Speeds as simulated, and how long stopped machines wait, as text and as records."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lineconfig.layout import Layout
from lineconfig.present.wrapping import wrapped
from lineconfig.rounding import cpm_text
from lineconfig.sentences import lowered

if TYPE_CHECKING:
    from lineconfig.confirm import Confirmation, FormatSpeed
    from lineconfig.session import Study

WORTH_SAYING = 0.02
"""Share of the speed lost to waiting from which it is said where people come late."""
LEAST_SHOWN_MIN = 0.1

CONFIRMED: dict[str, tuple[str, str]] = {
    "speed_cpm.simulated": (
        ("mean over a seeded simulation of stops, room between stations, tasks and walks of the "
        "crew; low and high by batch means"),
        "event simulation; Law, Simulation Modeling and Analysis (from memory): batch means",
    ),
    "speed_cpm.estimate_differs": ("effective / simulated - 1", "arithmetic"),
    "speed_cpm.lost_to_waiting": (
        ("1 - simulated / simulated with somebody at hand for each stop, after the same cans"),
        "event simulation",
    ),
    "crew.posts.wait_min": (
        ("wait behind other stopped machines of the post + rest of the piece of work in hand + "
        "walk; machines without room between them count as one"),
        ("Peck and Hazelwood, Finite Queuing Tables, 1958; Cobham 1954 (from memory); 3 miles an "
        "hour (from memory)"),
    ),
    "crew.posts.wait_share": ("wait / (wait + mean minutes to clear a stop)", "arithmetic"),
}  # fmt: skip
"""Formula and source of these figures, by their path in the JSON."""


def confirmation_of(study: Study, layout: Layout) -> Confirmation:
    """The simulation of a layout; it takes its time, so it is run only where it is shown."""
    from lineconfig.confirm import confirm

    return confirm(study.inquiry, layout)


def confirmed_lines(study: Study, layout: Layout) -> list[str]:
    """What `show` says of the simulated speed, format by format."""
    found = confirmation_of(study, layout)
    lines = ["", *wrapped(
        f"Simulated with this crew, {found.shifts} shifts of 8 h each (seed {found.seed}); the "
        "figures above count stops and waits for people as they are on average:", 2
    )]  # fmt: skip
    for fmt, speed in zip(study.need.formats, found.formats, strict=True):
        said = _sentence(layout, speed)
        if speed.crew.throughput_cpm < fmt.needed_cpm <= speed.estimate_cpm:
            said += f". That is less than the {cpm_text(fmt.needed_cpm)} cpm asked for"
        lines += wrapped(f"{fmt.container.name}: {said}", 2, 4)
    return lines


def _sentence(layout: Layout, speed: FormatSpeed) -> str:
    run = speed.crew
    said = (
        f"simulated {cpm_text(run.throughput_cpm)} cpm (95 %: {cpm_text(run.low_cpm)} to "
        f"{cpm_text(run.high_cpm)}), estimate differs by {speed.estimate_differs:+.1%}"
    )
    lost = speed.lost_to_waiting
    if lost < WORTH_SAYING:
        return f"{said}; waiting for people takes {max(0.0, lost):.1%}"
    late = layout.stations[speed.late_at].option.equipment.name
    return f"{said}; waiting for people takes {lost:.1%}, most often at: {lowered(late)}"


def waiting_texts(study: Study, layout: Layout) -> list[str]:
    """How long a stopped machine waits for its person, a clause for each post."""
    from lineconfig.confirm import post_waits

    return [
        "" if post.always else f"; a stopped machine waits {_minutes(wait.wait_min)} for its person"
        for post, wait in zip(layout.crew.posts, post_waits(study.inquiry, layout), strict=True)
    ]


def _minutes(wait_min: float) -> str:
    return f"{wait_min:.1f} min" if wait_min >= LEAST_SHOWN_MIN else "under 0.1 min"


def add_confirmed(record: dict[str, Any], study: Study, layout: Layout) -> None:
    """Put the simulated speeds and the waits into a layout's record."""
    from lineconfig.confirm import post_waits

    found = confirmation_of(study, layout)
    speeds = record["speed_cpm"]
    for fmt, speed in zip(study.need.formats, found.formats, strict=True):
        figures = _figures(speed)
        speeds["by_format"][fmt.id] |= figures
        if fmt is study.need.main_format:
            speeds |= figures
    speeds["simulation"] = {"seed": found.seed, "hours": found.shifts * 8}
    waits = post_waits(study.inquiry, layout)
    for post, wait in zip(record["crew"]["posts"], waits, strict=True):
        post["wait_min"] = round(wait.wait_min, 3)
        post["wait_share"] = round(wait.share, 4)


def _figures(speed: FormatSpeed) -> dict[str, float]:
    return {
        "simulated": round(speed.crew.throughput_cpm, 3),
        "simulated_low": round(speed.crew.low_cpm, 3),
        "simulated_high": round(speed.crew.high_cpm, 3),
        "simulated_unhindered": round(speed.unhindered.throughput_cpm, 3),
        "estimate_differs": round(speed.estimate_differs, 4),
        "lost_to_waiting": round(speed.lost_to_waiting, 4),
    }
