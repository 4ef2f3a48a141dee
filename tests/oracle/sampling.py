"""Random small catalogues and random briefs: the same number makes the same case.

A catalogue is a sample of the shipped one, one to three classes for each function, with other
prices, speeds, stops, tasks, sizes and heights; now and then two classes are twins that differ
only in their ids, so that ties must be settled. All briefs are invented.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from bench.synthetic import FIGURES, varied
from lineconfig.brief import VIEWS, Brief
from lineconfig.catalog import FUNCTIONS, Catalog, EquipmentClass
from lineconfig.catalog_loading import load_catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.need import Need
from lineconfig.need_reading import settle
from tests.oracle.arithmetic import Arithmetic, Figures
from tests.oracle.flat import problem_of, valid_lines

MORE_FIGURES = (
    *FIGURES,
    (("size", "length"), 0.9, 1.1),
    (("size", "width"), 0.9, 1.1),
    (("clearance", "left"), 0.8, 1.2),
    (("heights", "drop", "base"), 0.8, 1.2),
    (("heights", "head"), 0.8, 1.2),
    (("utilities", "water"), 0.7, 1.4),
    (("utilities", "air"), 0.7, 1.4),
    (("consumables_per_1000",), 0.7, 1.4),
    (("upkeep",), 0.7, 1.4),
    (("can_loss",), 0.5, 1.5),
    (("holds_cans",), 0.3, 2.0),
)
CANS = (
    "can-250-slim", "can-330-sleek", "can-355-sleek", "can-330-standard", "can-355-standard",
    "can-440-standard", "can-473-standard", "can-500-standard", "can-568-standard",
    "threaded-473", "bottle-330-long-neck",
)  # fmt: skip
MOST_COMBINATIONS = 30_000
"""Products of the numbers of classes that still serve, beyond which a case is made smaller."""


@dataclass(frozen=True)
class Case:
    """One catalogue and one need."""

    number: int
    catalog: Catalog
    need: Need


@cache
def shipped() -> Catalog:
    """The shipped catalogue."""
    return load_catalog()


@cache
def case(number: int) -> Case:
    """One random case; most have some lines, some have none."""
    rng = random.Random(number)
    plain, core = _brief(rng, number), set[str]()
    for _ in range(8 if rng.random() < 0.93 else 0):
        core = _core(rng, plain)
        if core:
            break
        plain = _brief(rng, number)
    catalog = _catalog(rng, plain, core)
    need = settle(Brief.model_validate(plain), catalog)
    if rng.random() < 0.7:
        arithmetic = Arithmetic(need, catalog)
        lines = list(valid_lines(need, catalog, arithmetic))
        if lines:
            _limit(rng, plain, arithmetic, lines)
            need = settle(Brief.model_validate(plain), catalog)
    return Case(number, catalog, need)


def _brief(rng: random.Random, number: int) -> dict[str, Any]:
    """A brief without limits on people and money."""
    speed = rng.choice((15, 25, 30, 40, 60, 80, 110, 150, 220))
    pool = CANS[:9] if rng.random() < 0.85 else CANS
    formats: list[dict[str, Any]] = []
    for name in rng.sample(pool, rng.choice((1, 1, 2, 2, 3))):
        entry: dict[str, Any] = {
            "container": name,
            "annual_cans": round(speed * 60 * 1200 * rng.uniform(0.15, 0.7)),
            "rehandled": rng.random() < 0.2,
            "open_storage": rng.random() < 0.1,
        }
        if rng.random() < 0.15:
            entry["supply"] = rng.choice(("full-pallet", "half-stack", "loose"))
        if rng.random() < 0.08:
            entry["label"] = "wrap"
        formats.append(entry)
    site: dict[str, Any] = {"ceiling": f"{rng.choice((2700, 3300, 4200, 5500, 7000, 7000))} mm"}
    if rng.random() < 0.5:
        site |= {
            "length": f"{rng.randint(12, 50)} m",
            "width": f"{rng.randint(5, 16)} m",
        }
        if rng.random() < 0.3:
            site["obstacles"] = [
                {"name": "column", "x": "1 m", "y": "1 m", "length": "400 mm", "width": "500 mm"}
            ]
    if rng.random() < 0.3:
        site["door"] = {"width": f"{rng.randint(20, 40)}00 mm", "height": "3000 mm"}
    if rng.random() < 0.5:
        site["power"] = {
            "phases": rng.choice((1, 3, 3, 3)), "volts": 400, "amperes": rng.randint(60, 300),
        }  # fmt: skip
    if rng.random() < 0.2:
        site["water"] = f"{rng.randint(20, 90)} l/min"
    if rng.random() < 0.2:
        site["air"] = f"{rng.randint(10, 120)} cfm"
    plain: dict[str, Any] = {
        "brief": 1,
        "name": f"Case {number}",
        "speed": f"{speed} cpm",
        "formats": formats,
        "product": {"carbonation": rng.choice(("2.5 vol", "2.5 vol", "2.8 vol", "0.4 vol"))},
        "operation": {
            "hours_per_week": rng.choice((40, 60, 80)),
            "changeovers_per_week": rng.choice((0, 1, 3, 8)),
        },
        "site": site,
        "staff": {"wage": f"{rng.randint(18, 45)} USD/h", "ladder_work": rng.random() < 0.4},
        "rinse": rng.choice(("auto", "auto", "required", "none-accepted")),
        "mobility": rng.choice(("fixed",) * 5 + ("stowed", "mobile")),
        "horizon": f"{rng.randint(3, 12)} years",
        "discount_rate": f"{rng.choice((0, 4, 8, 12))} %",
        "prefer": VIEWS[number % len(VIEWS)],
    }
    if rng.random() < 0.06:
        plain["product"]["heat_treatment"] = rng.choice(("batch", "tunnel"))
    return plain


def _catalog(rng: random.Random, plain: dict[str, Any], core: Collection[str]) -> Catalog:
    """One to three classes for each function, those of the core among them."""
    base = shipped()
    classes: dict[str, EquipmentClass] = {}
    combinations = 1
    for function in FUNCTIONS:
        pool = base.of(function)
        wide = function in ("supply", "unload", "guard", "lower", "rinse")
        number = min(len(pool), rng.choice((2, 3, 3, 3) if wide else (1, 2, 2, 3)))
        if combinations * number > MOST_COMBINATIONS:
            number = 1
        combinations *= number
        chosen = [item for item in pool if item.id in core][:1]
        others = [item for item in pool if item not in chosen]
        chosen += rng.sample(others, number - len(chosen))
        for item in sorted(chosen, key=pool.index):
            made = item if item.absent else varied(item, rng, figures=MORE_FIGURES)
            classes[made.id] = made
    if rng.random() < 0.35:
        _add_twin(rng, classes)
    if rng.random() < 0.15:
        filler = next(item for item in classes.values() if item.function == "fill")
        speed_cpm = float(plain["speed"].split()[0]) * rng.uniform(1, 1.6)
        plain["existing"] = [
            {"function": "fill", "speed": f"{speed_cpm:.0f} cpm"}
            if rng.random() < 0.5
            else {"function": "fill", "class": filler.id, "infeed_height": "1000 mm"}
        ]
    elif rng.random() < 0.15:
        spare = [item for item in classes.values() if item.function in ("code", "inspect", "wrap")]
        plain[rng.choice(("exclude", "require"))] = [rng.choice(spare).id]
    classes |= {item.id: item for item in base.of("convey")}
    return replace(base, classes=classes)


def _core(rng: random.Random, plain: dict[str, Any]) -> set[str]:
    """The classes of some line that the shipped catalogue allows for this brief; none if none."""
    base = shipped()
    inquiry = Inquiry(settle(Brief.model_validate(plain), base), base)
    mixed = {
        function: rng.sample(options, len(options)) for function, options in inquiry.options.items()
    }
    solution = problem_of(inquiry.narrowed(mixed)).getSolution()
    return {solution[function].id for function in FUNCTIONS} if solution else set()


def _add_twin(rng: random.Random, classes: dict[str, EquipmentClass]) -> None:
    """Give one class a twin that has another id and nothing else of its own."""
    item = rng.choice([item for item in classes.values() if not item.absent])
    twin = item.model_copy(update={"id": rng.choice(("a-", "z-")) + item.id})
    after = list(classes.values())
    after.insert(after.index(item) + 1, twin)
    classes.clear()
    classes |= {each.id: each for each in after}


def _limit(
    rng: random.Random, plain: dict[str, Any], arithmetic: Arithmetic, lines: Sequence[Figures]
) -> None:
    """Limit a brief so that some of its lines are lost, and now and then all."""

    def among(values: Sequence[float]) -> float:
        ordered = sorted(values)
        share = rng.choice((0.3, 0.5, 0.7, 0.9))
        at = ordered[int(share * (len(ordered) - 1))]
        return at * rng.choice((1.0, 1.0, 1.0, 1.0, 1.0, 0.9))

    if rng.random() < 0.5:
        people = among([figures.people for figures in lines])
        plain["staff"]["per_shift"] = max(1, round(people))
    if rng.random() < 0.5:
        # A whole amount above the figure: rounding then decides nothing.
        budget = among([figures.first_cost[1] for figures in lines])
        plain["budget"] = f"{int(budget) + 1} USD"
    if rng.random() < 0.25:
        hours = among([arithmetic.used(figures)["hours"] for figures in lines])
        plain["operation"]["hours_per_week"] = round(hours / arithmetic.need.weeks_per_year, 2)
