"""Findings as records and as text: lifts, reach, guards, rinse, pressure and heat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from lineconfig.assess.carbonation import PSI_KPA
from lineconfig.choose.rules import length_text
from lineconfig.findings.guards import GuardFinding
from lineconfig.findings.lifts import LiftFinding, PostFinding
from lineconfig.findings.product import HeatFinding, PressureFinding
from lineconfig.findings.reach import PlatformFinding, ReachFinding
from lineconfig.findings.rinse import RinseFinding
from lineconfig.findings.whole import Findings
from lineconfig.layout import Layout
from lineconfig.present.wrapping import clip, heading, wrapped
from lineconfig.rounding import cpm_text
from lineconfig.session import Study

MIN_PER_H = 60.0
MOST_LIFTS = 12
"""Lifts that the text lists; the JSON has them all."""


def _index(value: float) -> float | None:
    return round(value, 3) if math.isfinite(value) else None


def _round(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


# --- records -----------------------------------------------------------------------------------


def findings_record(layout: Layout, findings: Findings) -> dict[str, Any]:
    """What `show --json` has of a layout besides its own figures; no index means no limit."""
    return {
        "lifting": [_lift_record(layout, lift) for lift in findings.lifting.lifts],
        "lifting_posts": [_post_record(post) for post in findings.lifting.posts],
        "reaching": [_reach_record(layout, reach) for reach in findings.reach],
        "platforms": [_platform_record(layout, platform) for platform in findings.platforms],
        "guarding": [_guard_record(layout, guard) for guard in findings.guards],
        "rinsing": None if findings.rinse is None else _rinse_record(findings.rinse),
        "pressure": None if findings.pressure is None else _pressure_record(findings.pressure),
        "pasteurizing": None if findings.heat is None else _heat_record(layout, findings.heat),
    }


def _class_of(layout: Layout, station: int) -> str:
    return layout.stations[station].option.id


def _lift_record(layout: Layout, lift: LiftFinding) -> dict[str, Any]:
    return {
        "task": lift.lift,
        "within": lift.task,
        "station": lift.station,
        "class": _class_of(layout, lift.station),
        "post": lift.post,
        "format": lift.format_id,
        "load_kg": round(lift.load_kg, 3),
        "recommended_kg": round(lift.recommended_kg, 3),
        "lifting_index": _index(lift.lifting_index),
        "lifts_per_min": round(lift.lifts_per_min, 4),
        "duration": lift.duration,
        "hands_mm": {"lowest": round(lift.hands_mm[0], 1), "highest": round(lift.hands_mm[1], 1)},
        "standing_mm": round(lift.standing_mm, 1),
        "note": lift.note,
    }


def _post_record(post: PostFinding) -> dict[str, Any]:
    return {
        "post": post.post,
        "stations": sorted(post.stations),
        "format": post.format_id,
        "lifts_per_min": round(post.lifts_per_min, 4),
        "duration": post.duration,
        "composite_index": _index(post.composite_index),
        "hardest": post.hardest,
    }


def _reach_record(layout: Layout, reach: ReachFinding) -> dict[str, Any]:
    return {
        "station": reach.station,
        "class": _class_of(layout, reach.station),
        "task": reach.task,
        "hands_mm": round(reach.hands_mm, 1),
        "lowest_mm": round(reach.lowest_mm, 1),
        "standing_mm": round(reach.standing_mm, 1),
    }


def _platform_record(layout: Layout, platform: PlatformFinding) -> dict[str, Any]:
    return {
        "station": platform.station,
        "class": _class_of(layout, platform.station),
        "height_mm": round(platform.height_mm, 1),
        "steps_mm": round(platform.steps_mm, 1),
        "area_m2": round(platform.area_m2, 3),
    }


def _guard_record(layout: Layout, guard: GuardFinding) -> dict[str, Any]:
    iso, us = guard.iso, guard.us
    return {
        "station": guard.station,
        "class": _class_of(layout, guard.station),
        "device": guard.device,
        "distance_mm": None if iso is None else round(iso.distance_mm, 1),
        "formula": None if iso is None else iso.formula,
        "standard": None if iso is None else iso.standard,
        "us_distance_mm": None if us is None else round(us.distance_mm, 1),
        "us_standard": None if us is None else us.standard,
        "stopping_s": guard.stopping_s,
        "response_s": guard.response_s,
        "resolution_mm": guard.resolution_mm,
        "floor_mm": _round(guard.floor_mm, 1),
        "beyond_clearance_mm": _round(guard.beyond_mm, 1),
        "area_m2": round(guard.area_m2, 3),
    }


def _rinse_record(rinse: RinseFinding) -> dict[str, Any]:
    return {
        "station": rinse.station,
        "medium": rinse.medium,
        "header_mm": rinse.header_mm,
        "inverted_run_mm": rinse.run_mm,
        "water_l_per_1000_counted": rinse.counted_l_per_1000,
        "formats": {
            row.format_id: {
                "speed_cpm": round(row.speed_cpm, 3),
                "rinse_s": round(row.rinse_s, 3),
                "drain_s": round(row.drain_s, 3),
                "film_ml": _round(row.film_ml, 3),
                "water_l_per_1000": round(row.water_l_per_1000, 2),
            }
            for row in rinse.formats
        },
    }


def _pressure_record(pressure: PressureFinding) -> dict[str, Any]:
    return {
        "carbonation_vol": round(pressure.volumes, 4),
        "fill_temperature_degc": round(pressure.fill_temperature_c, 3),
        "fill_kpa": _round(pressure.fill_kpa, 1),
        "warm_degc": round(pressure.warm_c, 1),
        "warm_kpa": _round(pressure.warm_kpa, 1),
        "can_class_kpa": pressure.rating_kpa,
    }


def _heat_record(layout: Layout, heat: HeatFinding) -> dict[str, Any]:
    return {
        "station": heat.station,
        "class": _class_of(layout, heat.station),
        "temperature_degc": heat.temperature_c,
        "hold_min": heat.hold_min,
        "pasteurization_units": round(heat.units, 2),
        "dwell_min": heat.dwell_min,
        "belt_m2": _round(heat.belt_m2, 2),
        "length_mm": round(heat.length_mm, 1),
    }


# --- text --------------------------------------------------------------------------------------


def findings_lines(study: Study, layout: Layout, findings: Findings) -> list[str]:
    """The sections of `show` on lifting, guarding, rinse and pressure; empty ones are left out."""
    names = {fmt.id: fmt.container.name for fmt in study.need.formats}
    sections = {
        "Lifting": [*_lift_lines(layout, findings), *_platform_lines(layout, findings)],
        "Guarding": _guard_lines(layout, findings.guards),
        "Rinse and pressure": [
            *_rinse_lines(findings.rinse, names),
            *_pressure_lines(findings.pressure),
            *_heat_lines(findings.heat),
        ],
    }
    return [
        line for title, lines in sections.items() if lines for line in (*heading(title), *lines)
    ]


def _lift_lines(layout: Layout, findings: Findings) -> list[str]:
    lifts, posts = findings.lifting.lifts, findings.lifting.posts
    if not lifts:
        return []
    lines = [f"  {'lift':40}{'person':>7}{'an h':>7}{'kg':>7}{'limit':>7}{'index':>8}"]
    lines += [
        f"  {clip(lift.lift, 40):40}{lift.post + 1:>7}{lift.lifts_per_min * MIN_PER_H:>7.1f}"
        f"{lift.load_kg:>7.1f}{lift.recommended_kg:>7.1f}{_index_text(lift.lifting_index):>8}"
        for lift in lifts[:MOST_LIFTS]
    ]
    if len(lifts) > MOST_LIFTS:
        lines.append(f"  and {len(lifts) - MOST_LIFTS} lighter ones (see --json)")
    for lift in lifts:
        if lift.note:
            lines += wrapped(f"{lift.lift}: {lift.note}", 2, 4)
    together = ", ".join(
        f"person {post.post + 1} {_index_text(post.composite_index)}"
        for post in sorted(posts, key=lambda post: post.post)
    )
    lines += wrapped(f"All lifts together: {together}.", 2)
    lines += wrapped(
        "Revised NIOSH equation at rated speed, with the worst format: an index of 1 is the "
        "recommended limit; above 1 some and above 3 many workers are at a raised risk.", 2,
    )  # fmt: skip
    return lines


def _index_text(index: float) -> str:
    return f"{index:.1f}" if math.isfinite(index) else "none"


def _platform_lines(layout: Layout, findings: Findings) -> list[str]:
    raised = {reach.station: reach for reach in findings.reach if reach.standing_mm > 0}
    lines: list[str] = []
    for platform in findings.platforms:
        name = layout.stations[platform.station].option.equipment.name
        hands = ""
        if platform.station in raised:
            hands = f"hands at {length_text(raised[platform.station].hands_mm)}, so "
        lines += wrapped(
            f"{name}: {hands}from a platform about {length_text(platform.height_mm)} high; with "
            f"its steps it takes {platform.area_m2:,.1f} m2 beside what is kept free there.", 2,
        )  # fmt: skip
    return lines


def _guard_lines(layout: Layout, guards: Sequence[GuardFinding]) -> list[str]:
    lines: list[str] = []
    for guard in guards:
        name = layout.stations[guard.station].option.equipment.name
        if guard.iso is None:
            lines += wrapped(f"{name}: the unloader's stopping time is not stated.", 2, 4)
            continue
        lines += wrapped(
            f"{name}: at least {length_text(guard.iso.distance_mm)} from the moving parts, "
            f"{guard.iso.standard}: {guard.iso.formula}.", 2, 4,
        )  # fmt: skip
        if guard.us is not None:
            lines += wrapped(
                f"For comparison {length_text(guard.us.distance_mm)}, {guard.us.standard}: "
                f"{guard.us.formula}.", 4,
            )  # fmt: skip
        lines += wrapped(
            f"That depth of floor lies between guard and machine: {guard.area_m2:,.1f} m2 of the "
            f"line's floor.{_doors(guard)}", 4,
        )  # fmt: skip
    return lines


def _doors(guard: GuardFinding) -> str:
    if guard.device != "interlocked-doors":
        return ""
    return " For doors that are interlocked, but not locked while the machine runs."


def _rinse_lines(rinse: RinseFinding | None, names: dict[str, str]) -> list[str]:
    if rinse is None:
        return []
    lines: list[str] = []
    for row in rinse.formats:
        text = (
            f"{names[row.format_id]} at the rated {cpm_text(row.speed_cpm)} cpm: "
            f"{row.rinse_s:.1f} s over the header, then {row.drain_s:.1f} s upside down"
        )
        if row.film_ml is not None:
            text += f", which leaves a film of about {row.film_ml:.1f} ml"
        if rinse.flow_l_min:
            text += f"; {row.water_l_per_1000:,.0f} l of water per 1000"
        lines += wrapped(f"{text}.", 2, 4)
    if rinse.flow_l_min:
        lines += wrapped(
            f"One header flows at {rinse.flow_l_min:.1f} l/min as long as cans run: at the "
            f"effective speeds {rinse.counted_l_per_1000:,.0f} l per 1000 over a year, as the "
            "yearly cost counts.", 2,
        )  # fmt: skip
    return lines


def _kpa_text(pressure_kpa: float) -> str:
    return f"{pressure_kpa:,.0f} kPa ({pressure_kpa / PSI_KPA:.0f} psi)"


def _pressure_lines(pressure: PressureFinding | None) -> list[str]:
    if pressure is None:
        return []
    known = [
        f"{_kpa_text(kpa)} at {degc:.0f} degC"
        for kpa, degc in (
            (pressure.fill_kpa, pressure.fill_temperature_c),
            (pressure.warm_kpa, pressure.warm_c),
        )
        if kpa is not None
    ]
    text = f"In the closed container, {pressure.volumes:.2g} vol of CO2: "
    text += ", ".join(known) if known else "outside the published table of pressures"
    text += "." if len(known) != 1 else "; the rest lies outside the published table."
    if pressure.rating_kpa is not None:
        text += f" Cans of the common class are made for {_kpa_text(pressure.rating_kpa)}."
    return wrapped(text, 2)


def _heat_lines(heat: HeatFinding | None) -> list[str]:
    if heat is None:
        return []
    text = (
        f"Pasteurizing: {heat.hold_min:.0f} min at {heat.temperature_c:.0f} degC give "
        f"{heat.units:.1f} PU"
    )
    if heat.belt_m2 is not None and heat.dwell_min is not None:
        text += (
            f"; {heat.dwell_min:.0f} min inside take a belt of {heat.belt_m2:,.1f} m2, and "
            f"{length_text(heat.length_mm)} of length with the end modules"
        )
    return wrapped(f"{text}.", 2)
