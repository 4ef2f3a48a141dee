"""Figures of the catalogue as sentences with their units, for whoever asks where they come from."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

HANDS: Mapping[str, str] = {
    "deck": "the deck",
    "deck-top": "the top of the load on the deck",
    "stack-base": "the foot of the stack",
    "pallet-stack": "the stack on the pallet",
    "infeed": "the infeed",
    "discharge": "the discharge",
}
"""Places of hands that are no plain height."""
EVERY: Mapping[str, str] = {
    "pallet": "for every pallet",
    "load": "for every load",
    "layer": "for every layer",
    "case": "for every case",
    "full-pallet-out": "for every full pallet that leaves",
}


def entry_text(group: str, item: Mapping[str, Any]) -> str:
    """One task, lift or change part of a class as a sentence; its own lifts have theirs."""
    if group.endswith("tasks"):
        return _task(item)
    if group.endswith("lifts"):
        return _lift(item)
    if group.endswith("parts"):
        return _part(item)
    return ", ".join(f"{key.replace('_', ' ')} {plain_value(value)}" for key, value in item.items())


def group_text(group: str, figures: Mapping[str, str]) -> str:
    """The figures of one group of a catalogue entry, by name and value, as a sentence."""
    tell = GROUPS.get(group)
    if tell is not None:
        return tell(figures)
    said = ", ".join(_single(name, value) for name, value in figures.items())
    words = group.replace("_", " ").replace(".", " ")
    return f"{words}: {said}" if words else said


def parted(text: str) -> str:
    """A sentence with the thousands of its numbers parted, as they are everywhere."""
    return re.sub(r"(?<![\w.,])\d{4,}(?= [a-zA-Z°]| to )", lambda m: f"{int(m[0]):,}", text)


def plain_value(value: Any) -> str:
    """A value of the catalogue as it is written; truth as yes or no."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer() and not hasattr(value, "text"):
        return f"{int(value)}"
    if isinstance(value, list):
        return ", ".join(plain_value(item) for item in value)
    return str(value)


def _number(text: str) -> str:
    """A number without a decimal that says nothing."""
    return text.removesuffix(".0")


def _task(item: Mapping[str, Any]) -> str:
    often = EVERY.get(str(item["every"]), "")
    if not often:
        often = f"for every {plain_value(item['cans'])}"
        if item["every"] == "handful":
            often = f"for every handful of {plain_value(item['cans'])}"
    said = f"task: {item['task']}: {plain_value(item['minutes'])} {often}"
    if item.get("hands") is not None:
        said += f", hands at {_height(item['hands'])}"
    return said + (", from a platform where that is overhead" if item.get("platform") else "")


def _height(value: Any) -> str:
    return HANDS.get(str(value), str(value))


def _lift(item: Mapping[str, Any]) -> str:
    load = str(item["load"])
    load = load if load[0].isdigit() else load.replace("-", " ")
    said = (
        f"lift: {item['lift']}: {load} from {_height(item['from'])} to {_height(item['to'])}, "
        f"{plain_value(item['reach'])} in front"
    )
    if item.get("reach_to") is not None:
        said += f" ({plain_value(item['reach_to'])} at the end)"
    if item.get("turn_deg"):
        said += f", turned by {plain_value(item['turn_deg'])} degrees"
    if item.get("turn_to_deg"):
        said += f", turned by {plain_value(item['turn_to_deg'])} degrees at the end"
    said += f", {item['coupling']} grip"
    if item.get("times"):
        said += f", {plain_value(item['times'])} times each time"
    if item.get("share") is not None:
        said += f", hands carry {plain_value(item['share'])} of it"
    if item.get("placed"):
        said += ", set down with care"
    if item.get("duration") is not None:
        said += f", {item['duration']} duration"
    return said + (", from a platform where that is overhead" if item.get("platform") else "")


def _part(item: Mapping[str, Any]) -> str:
    said = f"change part: {item['part']}: one for each {item['for_each']}"
    if item.get("closings"):
        said += f" of containers closed by {' or '.join(map(str, item['closings']))}"
    said += f", {_amounts({key: str(value) for key, value in item['price'].items()})}"
    if item.get("first_included"):
        said += ", the first comes with the machine"
    if item.get("lead_time_weeks") is not None:
        said += f", {plain_value(item['lead_time_weeks'])} weeks to deliver"
    return said


def _amounts(figures: Mapping[str, str]) -> str:
    """A range of prices: `68000 to 110000 USD, typically 85000 USD`."""
    if set(figures) != {"low", "typical", "high"}:
        return ", ".join(f"{name} {value}" for name, value in figures.items())
    low, typical, high = (figures[name] for name in ("low", "typical", "high"))
    return typical if low == high else f"{low} to {high}, typically {typical}"


def _listed(*words: tuple[str, str]) -> Callable[[Mapping[str, str]], str]:
    """Tells figures by templates in their order; any other by its name."""

    def tell(figures: Mapping[str, str]) -> str:
        known = dict(words)
        said = [
            template.format(_number(figures[name])) for name, template in words if name in figures
        ]
        said += [_single(name, value) for name, value in figures.items() if name not in known]
        return ", ".join(said)

    return tell


SINGLE: Mapping[str, str] = {
    "upkeep": "upkeep takes {} of the price a year",
    "can_loss": "{} of the cans are lost",
    "product_loss": "{} of the product is lost",
    "consumables_per_1000": "consumables cost {} for 1000 cans",
    "water_l_per_1000": "{} l of water go with 1000 cans",
    "noise": "{} a metre away",
    "holds_cans": "holds {} cans",
    "header": "header {} long",
    "inverted_run": "cans run upside down for {}",
    "stopping": "stands still {} after it is stopped",
    "dwell": "cans are {} inside",
    "mass": "weighs {}",
    "lead_time_weeks": "takes {} weeks to deliver",
    "always": "somebody is always there",
    "electricity_per_kwh": "a kilowatt-hour costs {}",
    "water_per_m3": "a cubic metre of water costs {}",
    "empties_per_1000": "1000 empties cost {}",
    "half_stack_premium_per_1000": "half stacks cost {} more for 1000",
    "loose_premium_per_1000": "loose trays cost {} more for 1000",
    "product_per_litre": "a litre of product is worth {}",
    "specific_air_power_kw_per_m3_min": "a compressor draws {} kW for each m3/min of free air",
    "startup_and_cleaning": "start-up and cleaning take {} of the running time",
    "hours_per_week": "{} hours a week",
    "weeks_per_year": "{} weeks a year",
    "changeovers_per_week": "format changes a week: {}",
    "cover_days": "stock for {} days",
    "split_pallet_minutes": "splitting a pallet takes {} minutes",
    "fill_density_kg_per_l": "a litre of the content weighs {} kg",
    "allowed_utilisation": "people are planned with {} of their time",
    "planning_efficiency": "lines are planned with {} of their speed",
    "stations_per_person": "a person minds at most {} stations",
    "overspeed": "neighbours of the filler are {} faster",
    "cans_per_case": "{} cans in a case",
    "cases_per_full_pallet": "{} cases on a pallet",
    "cases_per_layer": "{} cases in a layer",
}
"""Figures that stand by themselves."""


def _single(name: str, value: str) -> str:
    template = SINGLE.get(name)
    if template is None:
        return f"{name.replace('_', ' ')} {_number(value)}".strip()
    return template.format(_number(value))


GROUPS: Mapping[str, Callable[[Mapping[str, str]], str]] = {
    "speed": _listed(
        ("most", "runs at up to {}"), ("layers_per_min", "layers a minute: {}"),
        ("cases_per_min", "cases a minute: {}"), ("at_volume_ml", "stated for {} ml a container"),
        ("volume_share", "{} of the cycle grows with the content"),
    ),
    "stops": _listed(("every", "stops once in {} on average"), ("minutes", "{} to clear")),
    "price": lambda figures: f"price {_amounts(figures)}",
    "price_per_track": lambda figures: f"each track {_amounts(figures)}",
    "area_price": lambda figures: f"each square metre of belt {_amounts(figures)}",
    "size": _listed(("length", "{} long"), ("width", "{} wide"), ("height", "{} high")),
    "clearance": _listed(
        ("left", "keeps {} free on the left"), ("right", "{} free on the right"),
        ("infeed_end", "{} free at the infeed end"),
        ("discharge_end", "{} free at the discharge end"),
    ),
    "heights": _listed(
        ("infeed", "cans enter at {}"), ("discharge", "cans leave at {}"),
        ("head", "mechanism {} above the top of a can on the deck"),
        ("lip", "lip {} above the discharge"),
    ),
    "heights.drop": _listed(
        ("base", "needs a drop of {}"), ("container_heights", "and {} heights of the container"),
        ("most", "at most {}"),
    ),
    "utilities": _listed(
        ("power", "{} connected"), ("water", "{} of water"), ("air", "{} of free air"),
    ),
    "changeover": _listed(
        ("minutes", "a format change takes {}"), ("persons", "{} at work on a format change"),
    ),
    "changeover.by": _listed(
        ("any", "of a format change {} come with any"), ("diameter", "{} with another diameter"),
        ("height", "{} with another height"), ("end", "{} with another end"),
        ("closing", "{} with another closing"),
    ),
    "guarding": _listed(
        ("response", "the guard answers within {}"), ("resolution", "notices what is {} thick"),
    ),
    "heat": _listed(("temperature", "holds at {}"), ("hold", "for {}")),
    "pallet": _listed(
        ("per_layer", "{} in a layer"), ("layers", "{} layers on a full pallet"),
        ("half_stack_layers", "{} layers on a half stack"), ("length", "pallet {} long"),
        ("width", "pallet {} wide"), ("base", "pallet {} high"), ("sheet", "sheets of {}"),
    ),
}  # fmt: skip
"""How the figures of a group are told, by its path."""
