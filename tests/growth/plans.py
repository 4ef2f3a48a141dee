"""Growing needs for the tests: a small line of which only the unloading side is open. Invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.need_reading import settle
from lineconfig.session import Study

OWNED = (
    {"function": "fill", "speed": "80 cpm"},
    {"function": "pack"},
    {"function": "palletize"},
    {"function": "wrap"},
    {"function": "dry"},
    {"function": "inspect"},
    {"function": "gather", "class": "rotary-table"},
    {"function": "code", "class": "case-only-thermal-ink-jet"},
)
TABLE_OR_DEPALLETIZER = (
    "hand-loading-shelf", "rotary-unscrambling-table", "gravity-trough", "gravity-trough-raised",
    "half-height-depalletizer", "tall-depalletizer", "layer-grip-depalletizer",
    "bulk-depalletizer", "short-twist-rinser", "twist-rinser", "twist-rinser-pair",
    "twist-rinser-row", "twist-rinser-quad", "gripper-lowerator", "gripper-elevator",
    "light-curtain",
)  # fmt: skip
"""Refused, so that the single-filing table and the full-height depalletizer are left."""


@cache
def shipped() -> Catalog:
    return load_catalog()


def without_credit(folder: Path) -> Catalog:
    """The catalogue with a single-filing table of which nothing serves again."""
    file = folder / "overlay.yaml"
    file.write_text(
        "function: unload\nclasses:\n  - id: single-filing-table\n    reuse: []\n", encoding="utf-8"
    )
    return load_catalog([file])


def brief_of(
    cans: int = 600_000, rate: str = "8 %", later: int = 3_000_000, **changes: Any
) -> dict[str, Any]:
    """A brief that grows in year 4, with some keys changed, as plain data."""
    brief: dict[str, Any] = {
        "brief": 1,
        "name": "Stepstone Drinks",
        "product": {"kind": "beer", "carbonation": "2.5 vol", "fill_temperature": "2 degC"},
        "speed": "60 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": cans}],
        "operation": {"hours_per_week": 40, "weeks_per_year": 50},
        "site": {"ceiling": "16 ft"},
        "staff": {"wage": "30 USD/h", "ladder_work": True},
        "rinse": "none-accepted",
        "existing": list(OWNED),
        "exclude": list(TABLE_OR_DEPALLETIZER),
        "horizon": "8 years",
        "discount_rate": rate,
        "growth": [{"year": 4, "volume": f"{100 * later / cans} %"}],
    }
    plain: dict[str, Any] = yaml.safe_load(yaml.safe_dump(brief | changes))
    return plain


def study(
    cans: int = 600_000,
    rate: str = "8 %",
    later: int = 3_000_000,
    catalog: Catalog | None = None,
    **changes: Any,
) -> Study:
    """The study of such a brief."""
    catalog = catalog or shipped()
    brief = Brief.model_validate(brief_of(cans, rate, later, **changes))
    return Study(settle(brief, catalog), catalog)


def write_brief(folder: Path, **changes: Any) -> str:
    """Such a brief in a file."""
    file = folder / "brief.yaml"
    file.write_text(yaml.safe_dump(brief_of(**changes)), encoding="utf-8")
    return str(file)
