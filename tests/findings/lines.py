"""Lines for the tests of findings: a plain brief with some keys changed, solved."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.findings.lifts import LiftFinding, Lifting, lifting_of
from lineconfig.findings.places import Places
from lineconfig.layout import Layout
from lineconfig.need_reading import settle
from lineconfig.session import Study


@cache
def shipped() -> Catalog:
    return load_catalog()


def overlaid(folder: Path, text: str) -> Catalog:
    file = folder / "overlay.yaml"
    file.write_text(text, encoding="utf-8")
    return load_catalog([file])


def study(catalog: Catalog | None = None, **changes: Any) -> Study:
    brief: dict[str, Any] = {
        "brief": 1,
        "name": "Test Lane Drinks",
        "product": {"kind": "beer", "carbonation": "2.5 vol", "fill_temperature": "38 degF"},
        "speed": "100 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": 3_000_000}],
        "site": {"ceiling": "7 m"},
        "operation": {"hours_per_week": 60},
    }
    brief |= changes
    text = yaml.safe_dump(brief)
    catalog = catalog or shipped()
    return Study(settle(Brief.model_validate(yaml.safe_load(text)), catalog), catalog)


def formats(*containers: str, **more: Any) -> list[dict[str, Any]]:
    return [{"container": can, "annual_cans": 900_000, **more} for can in containers]


def line(catalog: Catalog | None = None, **changes: Any) -> tuple[Study, Layout]:
    """The best line for a plain brief with some keys changed."""
    found = study(catalog, **changes)
    return found, found.best(1)[0]


def lifting(found: Study, layout: Layout) -> Lifting:
    return lifting_of(Places(found.inquiry, layout))


def lift_called(lifting: Lifting, name: str) -> LiftFinding:
    (lift,) = [lift for lift in lifting.lifts if lift.lift == name]
    return lift


def at_speed(layout: Layout, factor: float) -> Layout:
    """The same line with the same people, run so much faster."""
    speed = layout.speed
    return replace(layout, speed=replace(speed, rated=tuple(cpm * factor for cpm in speed.rated)))
