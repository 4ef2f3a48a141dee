"""What a layout needs around it and what it brings, as records and as text.

Noise, utilities, stores, format changes and returns.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from lineconfig.assess.noise import CRITERION_DBA, RECOMMENDED_DBA
from lineconfig.findings.changeover import PairChange, mean_minutes
from lineconfig.findings.noise import Noise
from lineconfig.findings.returns import Returns, returns_of
from lineconfig.findings.stores import Pallets, Stores
from lineconfig.findings.utilities import UtilityFinding
from lineconfig.findings.whole import Findings
from lineconfig.layout import Layout
from lineconfig.present.money import ROUNDED, worth
from lineconfig.present.wrapping import heading, named_row, wrapped
from lineconfig.quantities import LITRES_PER_CUBIC_FOOT
from lineconfig.rounding import (
    air_text,
    amount_text,
    amperes_text,
    area_text,
    difference,
    minutes_text,
    mm_text,
    tenths_text,
)
from lineconfig.session import Study

ASSESSED: dict[str, tuple[str, str]] = {
    "noise.shift_h": ("hours of a week, at most 8", "common practice"),
    "noise.stations.own_dba": ("level of the class a metre away", "the catalogue's noise"),
    "noise.stations.there_dba": (
        ("10 log10 of the sum over all machines of 10^(L / 10), L = level at 1 m less 4 dB for "
        "each doubling of the distance along the line stretched out"),
        "addition of sound energies; decay in a hall of hard surfaces from memory",
    ),
    "noise.posts.dose_percent": (
        ("100 x sum of hours / T, T = 8 / 2^((L - 90) / 5), levels from 80 dBA; a person's hours "
        "go to the stations as the work does"),
        "29 CFR 1910.95 Appendix A, Table G-16a",
    ),
    "noise.posts.average_dba": (
        "16.61 log10(dose / 100) + 90", "29 CFR 1910.95 Appendix A",
    ),
    "noise.posts.recommended_dose_percent": (
        "100 x sum of hours / T, T = 8 / 2^((L - 85) / 3)", "NIOSH 98-126",
    ),
    "noise.posts.recommended_average_dba": ("10 log10(dose / 100) + 85", "NIOSH 98-126"),
    "utilities.kw": ("sum of connected power", "the catalogue's utilities"),
    "utilities.at_once_kw": ("connected x simultaneity", "economics.yaml: habits"),
    "utilities.average_kw": ("connected x motor load", "economics.yaml: habits"),
    "utilities.at_once_kva": ("kW at once / power factor", "definition of the power factor"),
    "utilities.simultaneity": (
        "share of the connected power that runs at once", "economics.yaml: habits",
    ),
    "utilities.power_factor": ("of motors and drives together", "economics.yaml: habits"),
    "utilities.with_compressor_a": (
        "amperes of the line + compressor kW / power factor / (sqrt 3 x volts)",
        "three-phase power",
    ),
    "utilities.water_l_min": ("sum of the stations' peaks", "the catalogue's utilities"),
    "utilities.air_l_min": ("sum of the stations' peaks, free air", "the catalogue's utilities"),
    "utilities.site.amperes": ("what the connection carries", "the brief"),
    "utilities.site.water_l_min": ("what the site gives", "the brief"),
    "utilities.site.air_l_min": ("what the site gives", "the brief"),
    "utilities.compressor.air_l_min": ("the line's free air", "as there"),
    "utilities.compressor.drawn_kw": (
        "free air x specific power", "economics.yaml: tariffs.specific_air_power_kw_per_m3_min",
    ),
    "utilities.compressor.motor_kw": (
        "next preferred output of a motor", "IEC 60072-1 (from memory)",
    ),
    "utilities.compressor.on_site": ("whether the brief says that the site has air", "the brief"),
    "utilities.stations.kw": ("connected power", "the catalogue's utilities"),
    "utilities.stations.average_kw": ("connected x motor load", "economics.yaml: habits"),
    "utilities.stations.phases": ("of the class", "the catalogue's utilities"),
    "utilities.stations.water_l_min": ("of the class x pieces", "the catalogue's utilities"),
    "utilities.stations.air_l_min": ("of the class x pieces", "the catalogue's utilities"),
    "stores.cover_days": ("days of stock asked for, or the default", "the brief; economics.yaml"),
    "stores.assumed": ("whether the brief leaves the days of stock open", "the brief"),
    "stores.empties_m2": ("sum over formats", "arithmetic"),
    "stores.goods_m2": ("sum over formats", "arithmetic"),
    "stores.area_m2": ("empties + full goods", "arithmetic"),
    "stores.empties.cans_each": (
        "containers per layer x layers of the form in which they come", "the container's pallet",
    ),
    "stores.goods.cans_each": ("cans per case x cases per pallet", "economics.yaml: habits"),
    **{
        f"stores.{kind}.{name}": basis
        for kind in ("empties", "goods")
        for name, basis in {
            "per_week": ("yearly cans / weeks / cans on a pallet", "arithmetic"),
            "in_store": (
                "pallets a week x cover days / 7, rounded up", "days of supply, arithmetic",
            ),
            "height_mm": (
                "pallet + layers x (container + sheet, or + case board)", "geometry",
            ),
            "high": (
                "as many on one another as economics.yaml: stores says and the ceiling lets",
                "economics.yaml: stores; geometry",
            ),
            "area_m2": (
                ("lanes x (depth x (pallet length + gap) + half an aisle) x (pallet width + gap); "
                "a lane holds one kind"),
                ("block stacking, Bartholdi and Hackman (from memory); economics.yaml: stores; "
                "shipping pallet 48 x 40 in, ISO 6780:2003"),
            ),
        }.items()
    },
    "stores.goods.pallet_kg": ("cases x mass of a full case + pallet", "economics.yaml: handling"),
    "stores.half_stack.extra_per_year": (
        "yearly cans / 1000 x premium", "economics.yaml: tariffs.half_stack_premium_per_1000",
    ),
    "stores.half_stack.half_stacks_per_week": (
        "weekly cans / (containers per layer x half-stack layers)", "the container's pallet",
    ),
    "stores.half_stack.full_pallets_per_week": (
        "weekly cans / (containers per layer x layers)", "the container's pallet",
    ),
    "changeover_min.pairs.minutes": (
        ("max(longest station, person-minutes / people); a station takes its minutes for any "
        "change and for what differs, at most its whole"),
        "the catalogue's changeover",
    ),
    "changeover_min.pairs.person_minutes": (
        "sum of minutes x persons", "the catalogue's changeover",
    ),
    "changeover_min.pairs.stations": ("as the minutes from one format to another", "as there"),
    "changeover_min.person_minutes": (
        "sum over stations of the longest change's minutes x persons", "the catalogue's changeover",
    ),
    "changeover_min.stations": (
        "longest change among the formats, as the minutes from one to another", "as there",
    ),
    "changeover_min.mean": (
        "mean over ordered pairs, weighed by the yearly cans of both formats", "arithmetic",
    ),
    "returns.equivalent_annual_cost": (
        "cost of life / (P/A, discount rate, horizon)",
        "engineering economics, annual-worth method",
    ),
    "returns.cost_per_1000": ("as the cost of 1000 cans", "as there"),
    "returns.cost_per_case": ("per 1000 x cans in a case / 1000", "arithmetic"),
    "returns.cost_per_can": ("per 1000 / 1000", "arithmetic"),
    "returns.against.extra_first_cost": (
        "first cost - that of the valid layout with the lowest", "typical prices",
    ),
    "returns.against.yearly_saving": ("its yearly cost - this one's", "arithmetic"),
    "returns.against.net_present_value": (
        "yearly saving x (P/A) - extra first cost", "engineering economics",
    ),
    "returns.against.rate_of_return": (
        "rate at which (P/A, rate, horizon) = extra first cost / yearly saving",
        "engineering economics, internal rate of return",
    ),
    "returns.against.payback_years": ("extra first cost / yearly saving", "simple payback"),
    "returns.against.discounted_payback_years": (
        "-ln(1 - rate x extra / saving) / ln(1 + rate)", "uniform-series formula solved for years",
    ),
    "returns.by_year.year": ("0, 1, 2, ... to the horizon", "the brief"),
    "returns.by_year.spent": ("first cost + years x yearly cost", "arithmetic"),
    "returns.by_year.present_value": ("first cost + (P/A, year) x yearly cost", "arithmetic"),
    "returns.by_year.cheapest_spent": ("the same of the cheapest to buy", "arithmetic"),
    "returns.by_year.cheapest_present_value": ("the same of the cheapest to buy", "arithmetic"),
}  # fmt: skip
"""Formula and source of these figures, by their path in the JSON."""


def _round(value: float | None, digits: int) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, digits)


# --- records -----------------------------------------------------------------------------------


def add_assessed(record: dict[str, Any], study: Study, layout: Layout, findings: Findings) -> None:
    """Put these findings into what `show --json` has of a layout."""
    record["noise"] = _noise_record(layout, findings.noise)
    record["utilities"] |= _utilities_record(layout, findings.utilities)
    record["stores"] = _stores_record(findings.stores)
    record["changeover_min"] |= {
        "mean": round(mean_minutes(study.inquiry, findings.changes), 2),
        "pairs": _pairs_record(layout, findings.changes),
    }
    record["returns"] = _returns_record(_returns(study, layout))


def _returns(study: Study, layout: Layout) -> Returns:
    cheapest = study.cheapest
    return returns_of(study.inquiry, layout, layout if cheapest is None else cheapest)


def _class_of(layout: Layout, station: int) -> str:
    return layout.stations[station].option.id


def _noise_record(layout: Layout, noise: Noise) -> dict[str, Any]:
    return {
        "shift_h": noise.hours,
        "stations": [
            {
                "station": row.station,
                "class": _class_of(layout, row.station),
                "own_dba": _round(row.own_dba, 1),
                "there_dba": round(row.there_dba, 1),
            }
            for row in noise.stations
        ],
        "posts": [
            {
                "post": post.post,
                "stations": list(post.stations),
                "most_at": post.most_at,
                "dose_percent": round(post.dose_percent, 1),
                "average_dba": _round(post.average_dba, 1),
                "recommended_dose_percent": round(post.recommended_dose_percent, 1),
                "recommended_average_dba": _round(post.recommended_average_dba, 1),
            }
            for post in noise.posts
        ],
    }


def _utilities_record(layout: Layout, found: UtilityFinding) -> dict[str, Any]:
    electrical, compressor = found.electrical, found.compressor
    return {
        "at_once_kw": round(found.at_once_kw, 2),
        "average_kw": round(found.average_kw, 2),
        "at_once_kva": round(found.at_once_kva, 2),
        "simultaneity": found.simultaneity,
        "power_factor": found.power_factor,
        "with_compressor_a": None if electrical is None else round(electrical.together_a, 1),
        "site": {
            "amperes": None if electrical is None else electrical.site_a,
            "water_l_min": _round(found.site_water_l_min, 2),
            "air_l_min": _round(found.site_air_l_min, 1),
        },
        "compressor": None
        if compressor is None
        else {
            "air_l_min": round(compressor.air_l_min, 1),
            "drawn_kw": round(compressor.drawn_kw, 2),
            "motor_kw": compressor.motor_kw,
            "on_site": compressor.on_site,
        },
        "stations": [
            {
                "station": row.station,
                "class": _class_of(layout, row.station),
                "kw": round(row.power_kw, 2),
                "average_kw": round(row.average_kw, 2),
                "phases": row.phases,
                "water_l_min": round(row.water_l_min, 2),
                "air_l_min": round(row.air_l_min, 1),
            }
            for row in found.stations
        ],
    }


def _pallets_record(pallets: Pallets) -> dict[str, Any]:
    return {
        "cans_each": pallets.cans_each,
        "per_week": round(pallets.per_week, 2),
        "in_store": pallets.in_store,
        "height_mm": round(pallets.height_mm, 1),
        "high": pallets.high,
        "area_m2": round(pallets.area_m2, 2),
    }


def _stores_record(stores: Stores) -> dict[str, Any]:
    return {
        "cover_days": stores.cover_days,
        "assumed": stores.assumed,
        "stacking": "block",
        "empties_m2": round(stores.empties_m2, 2),
        "goods_m2": round(stores.goods_m2, 2),
        "area_m2": round(stores.area_m2, 2),
        "formats": {
            row.format_id: {
                "form": row.form,
                "empties": _pallets_record(row.empties),
                "goods": {**_pallets_record(row.goods), "pallet_kg": round(row.goods_kg, 1)},
                "half_stack": {
                    "extra_per_year": round(row.half_stack_extra, 2),
                    "half_stacks_per_week": round(row.half_stacks_per_week, 2),
                    "full_pallets_per_week": round(row.full_pallets_per_week, 2),
                },
            }
            for row in stores.formats
        },
    }


def _pairs_record(layout: Layout, changes: Sequence[PairChange]) -> dict[str, dict[str, Any]]:
    pairs: dict[str, dict[str, Any]] = {}
    for change in changes:
        stations: dict[str, float] = {}
        for turn in change.stations:
            class_id = _class_of(layout, turn.station)
            stations[class_id] = max(stations.get(class_id, 0.0), round(turn.minutes, 2))
        pairs.setdefault(change.before, {})[change.after] = {
            "minutes": round(change.minutes, 2),
            "person_minutes": round(change.person_min, 2),
            "differing": sorted(change.differing),
            "stations": stations,
            "parts": list(change.parts),
        }
    return pairs


def _returns_record(returns: Returns) -> dict[str, Any]:
    against = returns.against
    return {
        "equivalent_annual_cost": round(returns.equivalent_annual_cost, 2),
        "cost_per_1000": round(returns.per_1000, 4),
        "cost_per_case": round(returns.per_case, 4),
        "cost_per_can": round(returns.per_can, 6),
        "against": {
            "id": against.id,
            "extra_first_cost": round(against.extra_first_cost, 2),
            "yearly_saving": round(against.yearly_saving, 2),
            "net_present_value": round(against.net_present_value, 2),
            "rate_of_return": _round(against.rate_of_return, 6),
            "payback_years": _round(against.payback_years, 2),
            "discounted_payback_years": _round(against.discounted_payback_years, 2),
        },
        "by_year": [
            {
                "year": end.year,
                "spent": round(end.spent, 2),
                "present_value": round(end.present_value, 2),
                "cheapest_spent": round(end.cheapest_spent, 2),
                "cheapest_present_value": round(end.cheapest_present_value, 2),
            }
            for end in returns.by_year
        ],
    }


# --- text --------------------------------------------------------------------------------------


def assessed_lines(study: Study, layout: Layout, findings: Findings) -> list[str]:
    """The sections of `show` on noise, utilities, stores, format changes and returns."""
    sections: dict[str, Callable[[], list[str]]] = {
        "Format changes, from one to another": lambda: _change_lines(study, layout, findings),
        f"Beside the cheapest to buy ({study.need.currency})": lambda: _return_lines(study, layout),
        "Utilities, station by station": lambda: _utility_lines(layout, findings.utilities),
        "Stores": lambda: _store_lines(study, layout, findings.stores),
        "Noise": lambda: _noise_lines(layout, findings.noise),
    }
    lines: list[str] = []
    for title, make in sections.items():
        made = make()
        if made:
            lines += [*heading(title), *made]
    return lines


def _name(layout: Layout, station: int) -> str:
    return layout.stations[station].option.equipment.name


def _change_lines(study: Study, layout: Layout, findings: Findings) -> list[str]:
    changes = findings.changes
    if not changes:
        return []
    formats = study.need.formats
    minutes = {(change.before, change.after): change.minutes for change in changes}
    lines = [f"  {'minutes from, to':34}" + "".join(f"{i:>6}" for i in range(1, len(formats) + 1))]
    for row, before in enumerate(formats, 1):
        cells = "".join(
            f"{'-' if before is after else f'{minutes_text(minutes[before.id, after.id])}':>6}"
            for after in formats
        )
        lines += named_row("  ", f"{row} {before.container.name}", 34, cells)
    longest = max(changes, key=lambda change: (change.minutes, change.person_min))
    names = {fmt.id: fmt.container.name for fmt in formats}
    differs = ", ".join(sorted(longest.differing))
    lines += wrapped(
        f"The longest, {names[longest.before]} to {names[longest.after]} (other {differs}): "
        f"{minutes_text(longest.person_min)} person-minutes for {layout.crew.people}.", 2,
    )  # fmt: skip
    most = sorted(longest.stations, key=lambda turn: -turn.minutes)[:4]
    where = (f"{_name(layout, turn.station)} {minutes_text(turn.minutes)} min" for turn in most)
    lines += wrapped(f"Most of it: {'; '.join(where)}.", 2, 4)
    if longest.parts:
        lines += wrapped(f"Parts exchanged: {', '.join(dict.fromkeys(longest.parts))}.", 2, 4)
    mean = mean_minutes(study.inquiry, changes)
    return [
        *lines,
        *wrapped(
            f"Mean over the formats as they are run: {minutes_text(mean)} min; the yearly cost "
            "counts the longest for every change.", 2,
        ),
    ]  # fmt: skip


def _return_lines(study: Study, layout: Layout) -> list[str]:
    returns = _returns(study, layout)
    cases = study.inquiry.habits.cans_per_case
    lines = [
        f"  {'equivalent annual cost':34}{amount_text(returns.equivalent_annual_cost):>14}",
        f"  {f'a case of {cases}':34}{returns.per_case:>14,.3f}",
        f"  {'a can':34}{returns.per_can:>14,.4f}",
    ]
    if returns.is_cheapest:
        lines += wrapped("No valid layout has a lower first cost than this one.", 2)
    else:
        lines += _against_lines(study, layout, returns)
    beside = "" if returns.is_cheapest else f"{'cheapest: spent':>18}{'present value':>15}"
    lines += ["", f"  {'end of year':14}{'spent':>14}{'present value':>15}{beside}"]
    for end in returns.by_year:
        base = f"{amount_text(end.cheapest_spent):>18}{amount_text(end.cheapest_present_value):>15}"
        lines.append(
            f"  {end.year:<14g}{amount_text(end.spent):>14}{amount_text(end.present_value):>15}"
            f"{'' if returns.is_cheapest else base}"
        )
    return lines


def _against_lines(study: Study, layout: Layout, returns: Returns) -> list[str]:
    against, cheapest = returns.against, study.cheapest
    assert cheapest is not None
    money, base = layout.money, cheapest.money
    spent = "extra first cost" if against.extra_first_cost >= 0 else "less first cost"
    saved = "yearly saving" if against.yearly_saving >= 0 else "yearly extra cost"
    extra = difference(money.first_cost.typical, base.first_cost.typical)
    saving = difference(base.annual_total, money.annual_total)
    lines = [
        f"  {spent:34}{abs(extra):>14,}",
        f"  {saved:34}{abs(saving):>14,}",
        f"  {'net present value':34}{worth(study, layout):>14,}",
    ]
    if against.rate_of_return is not None:
        lines.append(f"  {'internal rate of return':34}{against.rate_of_return:>14.1%}")
    payback = _years_text(against.payback_years)
    discounted = _years_text(against.discounted_payback_years)
    rate = f"{study.need.discount_rate:.1%}"
    lines += [f"  {'payback':34}{payback:>14}", f"  {f'payback at {rate}':34}{discounted:>14}"]
    return [*lines, *wrapped(f"The cheapest to buy is {against.id}.", 2)]


def _years_text(years: float | None) -> str:
    return "never" if years is None else f"{years:.1f} years"


def _utility_lines(layout: Layout, found: UtilityFinding) -> list[str]:
    lines = [
        f"  {'':34}{'kW':>8}{'phases':>8}{'average':>9}{'water':>8}{'air':>8}",
        f"  {'':34}{'':>8}{'':>8}{'kW':>9}{'l/min':>8}{'l/min':>8}",
    ]
    for row in found.stations:
        lines += named_row(
            "  ", _name(layout, row.station), 34,
            f"{tenths_text(row.power_kw):>8}{row.phases:>8}{tenths_text(row.average_kw):>9}"
            f"{tenths_text(row.water_l_min):>8}{air_text(row.air_l_min):>8}",
        )  # fmt: skip
    lines.append(
        f"  {'together':34}{tenths_text(found.connected_kw):>8}{'':>8}"
        f"{tenths_text(found.average_kw):>9}"
        f"{tenths_text(found.water_l_min):>8}{air_text(found.air_l_min):>8}"
    )
    lines += wrapped(f"{ROUNDED} {_power_text(found)}", 2)
    if found.site_water_l_min is not None:
        lines += wrapped(
            f"Water: {tenths_text(found.water_l_min)} of {tenths_text(found.site_water_l_min)} "
            "l/min there are.", 2,
        )  # fmt: skip
    return lines + (wrapped(_air_text(found), 2) if found.compressor is not None else [])


def _power_text(found: UtilityFinding) -> str:
    text = (
        f"At once {tenths_text(found.at_once_kw)} kW ({found.simultaneity:.0%} of it), "
        f"{tenths_text(found.at_once_kva)} kVA at a power factor of {found.power_factor:.2f}"
    )
    electrical = found.electrical
    if electrical is None:
        return f"{text}; the brief states no connection."
    phases = "three phases" if electrical.phases == 3 else "one phase"
    text += f": {amperes_text(electrical.line_a)} A at {electrical.volts:g} V, {phases}"
    if electrical.compressor_a:
        text += f", {amperes_text(electrical.together_a)} A with the compressor"
    return f"{text}; the site carries {amperes_text(electrical.site_a)} A."


def _air_text(found: UtilityFinding) -> str:
    compressor = found.compressor
    assert compressor is not None
    cfm = compressor.air_l_min / LITRES_PER_CUBIC_FOOT
    text = (
        f"Air: {air_text(compressor.air_l_min)} l/min ({cfm:,.0f} cfm) free air with every user at "
        f"its most, a compressor that draws {compressor.drawn_kw:,.1f} kW (motor of "
        f"{compressor.motor_kw:g} kW)"
    )
    if found.site_air_l_min is not None:
        return f"{text}; the site gives {air_text(found.site_air_l_min)} l/min."
    return f"{text}; it is not in these prices."


def _store_lines(study: Study, layout: Layout, stores: Stores) -> list[str]:
    lines = [
        f"  {'':35}{'a week':>9}{'in store':>10}{'high':>6}{'m2':>8}",
    ]
    names = {fmt.id: fmt.container.name for fmt in study.need.formats}
    words = {"full-pallet": "full pallets", "half-stack": "half stacks", "loose": "loose trays"}
    for row in stores.formats:
        lines.append(f"  {names[row.format_id]}")
        for title, pallets in (
            (f"empties in {words[row.form]}", row.empties),
            (f"full goods, {row.goods_kg:,.0f} kg a pallet", row.goods),
        ):
            lines.append(
                f"    {title:33}{pallets.per_week:>9,.1f}{pallets.in_store:>10,}{pallets.high:>6}"
                f"{area_text(pallets.area_m2):>8}"
            )
    assumed = ", as assumed" if stores.assumed else ""
    lines += wrapped(
        f"For {stores.cover_days:g} calendar days{assumed}: {area_text(stores.empties_m2)} m2 of "
        f"empties and {area_text(stores.goods_m2)} m2 of full goods in block stacks, lanes "
        f"{stores.lane_depth} deep with half of a {mm_text(stores.aisle_mm)} mm aisle, under the "
        "ceiling of the brief. The line's own floor is not in it.", 2,
    )  # fmt: skip
    room = _room_text(study, layout, stores)
    if room:
        lines += wrapped(room, 2)
    extra = sum(row.half_stack_extra for row in stores.formats)
    half = sum(row.half_stacks_per_week for row in stores.formats)
    full = sum(row.full_pallets_per_week for row in stores.formats)
    return [
        *lines,
        *wrapped(
            f"In half stacks a year's empties cost {amount_text(extra)} {study.need.currency} more "
            f"than on full pallets, and come as {half:,.1f} stacks a week instead of {full:,.1f} "
            "pallets.",
            2,
        ),
    ]


def _room_text(study: Study, layout: Layout, stores: Stores) -> str:
    site = study.need.brief.site
    if site.length_mm is None or site.width_mm is None:
        return ""
    room_m2 = site.length_mm * site.width_mm / 1e6
    both_m2 = stores.area_m2 + layout.floor.area_m2
    if both_m2 <= room_m2:
        return ""
    return (
        f"Line and stores together take {area_text(both_m2)} m2, more than the "
        f"{area_text(room_m2)} m2 of the room: plan the stores elsewhere, or fewer days of them."
    )


def _noise_lines(layout: Layout, noise: Noise) -> list[str]:
    lines = [
        f"  {'person, most of it at':38}{'5 dB rule':>11}{'dose':>7}{'3 dB rule':>11}{'dose':>8}",
    ]
    for post in noise.posts:
        lines += named_row(
            f"  {post.post + 1:<3}", _name(layout, post.most_at), 35,
            f"{_dba_text(post.average_dba):>11}{post.dose_percent:>6.0f}%"
            f"{_dba_text(post.recommended_average_dba):>11}{post.recommended_dose_percent:>7.0f}%",
        )  # fmt: skip
    # Chains run past everything: nobody works at one.
    worked_at = [r for r in noise.stations if layout.stations[r.station].function != "convey"]
    loudest = max(worked_at, key=lambda row: row.there_dba)
    return [
        *lines,
        *wrapped(
            f"Eight-hour averages of a shift of {noise.hours:g} h beside the running line: by "
            f"29 CFR 1910.95 ({CRITERION_DBA:.0f} dBA is 100 %, action from 85) and by the NIOSH "
            f"recommendation ({RECOMMENDED_DBA:.0f} dBA is 100 %). Loudest is "
            f"{_name(layout, loudest.station)} with {loudest.there_dba:.0f} dBA, all machines "
            "together. Planner's figures: the room and the running line decide.", 2,
        ),
    ]  # fmt: skip


def _dba_text(average_dba: float) -> str:
    return f"{average_dba:.1f} dBA" if math.isfinite(average_dba) else "-"
