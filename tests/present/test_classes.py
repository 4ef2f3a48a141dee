"""What `catalog` prints: every class with all of its price."""

from __future__ import annotations

from lineconfig.present.classes import catalog_text
from tests.findings.lines import shipped


def row(class_id: str) -> str:
    lines = catalog_text(shipped()).splitlines()
    return next(line for line in lines if line.strip().startswith(f"{class_id} "))


def test_prices_by_track_and_by_area_are_part_of_the_price() -> None:
    tunnel = shipped().classes["tunnel-pasteurizer"]
    assert tunnel.price is not None and tunnel.area_price is not None
    assert row("tunnel-pasteurizer").endswith(
        f" {tunnel.price.typical / 1000:g}k + {tunnel.area_price.typical / 1000:g}k a m2"
    )
    pair = shipped().classes["twist-rinser-pair"]
    assert pair.price_per_track is not None
    assert row("twist-rinser-pair").endswith(f" {pair.price_per_track.typical / 1000:g}k each")
    assert row("no-guard").endswith(" -")


def test_the_list_fits_80_columns() -> None:
    assert max(map(len, catalog_text(shipped()).splitlines())) <= 80
