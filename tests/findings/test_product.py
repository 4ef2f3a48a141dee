"""Pressure and heat of whole lines against published tables."""

from __future__ import annotations

from typing import Any

import pytest

from lineconfig.assess.pasteurizing import tunnel_size
from lineconfig.findings.product import heat_of, pressure_of, product_cautions
from lineconfig.layout import Layout
from lineconfig.session import Study
from tests.findings.lines import formats, line, study

PSI_KPA = 6.894757


def product(volumes: str, temperature: str, **more: Any) -> dict[str, Any]:
    return {"kind": "beer", "carbonation": volumes, "fill_temperature": temperature, **more}


@pytest.mark.parametrize(
    ("volumes", "degf", "psi"),
    # brewery.org/library/CO2charts.html.
    [(2.0, 32, 3.5), (2.5, 38, 11.2), (2.7, 38, 13.3), (2.5, 50, 17.6), (2.7, 60, 25.9)],
)
def test_pressure_at_filling_is_the_charts(volumes: float, degf: int, psi: float) -> None:
    found = study(product=product(f"{volumes} vol", f"{degf} degF"))
    pressure = pressure_of(found.inquiry)
    assert pressure is not None and pressure.fill_kpa is not None
    assert pressure.fill_kpa / PSI_KPA == pytest.approx(psi, abs=0.06)


def test_warm_cans_hold_the_charts_pressure_at_80_degf() -> None:
    # brewery.org/library/CO2charts.html: 43.7 psi at 80 degF and 3.0 vol.
    pressure = pressure_of(study(product=product("3.0 vol", "40 degF")).inquiry)
    assert pressure is not None and pressure.warm_kpa is not None
    assert pressure.warm_kpa / PSI_KPA == pytest.approx(43.7, abs=0.06)
    assert pressure.rating_kpa is not None and pressure.warm_kpa < pressure.rating_kpa


@pytest.mark.parametrize(("volumes", "degc"), [("3.8 vol", "4 degC"), ("1.2 vol", "4 degC")])
def test_outside_the_published_table_there_is_no_figure(volumes: str, degc: str) -> None:
    pressure = pressure_of(study(product=product(volumes, degc)).inquiry)
    assert pressure is not None
    assert pressure.fill_kpa is None and pressure.warm_kpa is None


def test_a_hot_fill_leaves_only_the_warm_figure() -> None:
    pressure = pressure_of(study(product=product("2.5 vol", "60 degC")).inquiry)
    assert pressure is not None
    assert pressure.fill_kpa is None and pressure.warm_kpa is not None


def test_still_product_has_no_pressure_and_bottles_no_can_class() -> None:
    assert pressure_of(study(product=product("0 vol", "4 degC")).inquiry) is None
    glass = pressure_of(study(formats=formats("bottle-500")).inquiry)
    assert glass is not None and glass.rating_kpa is None


# --- heat ----------------------------------------------------------------------------------------


def heated(treatment: str, speed: str = "100 cpm", **more: Any) -> tuple[Study, Layout]:
    return line(product=product("2.6 vol", "4 degC", heat_treatment=treatment), speed=speed, **more)


def test_a_tunnel_gives_the_units_of_its_hold() -> None:
    found, layout = heated("tunnel")
    heat = heat_of(found.inquiry, layout)
    assert heat is not None
    # Del Vecchio et al. 1951: 1.393^(T - 60) units a minute; 10 min at 62 degC by hand.
    assert heat.units == pytest.approx(10 * 1.393**2)
    assert heat.units == pytest.approx(19.40, abs=0.01)


def test_the_tunnels_belt_and_length_agree_with_its_price_and_floor() -> None:
    found, layout = heated("tunnel")
    heat = heat_of(found.inquiry, layout)
    station = layout.station("pasteurize")
    equipment = station.option.equipment
    assert heat is not None and heat.belt_m2 is not None and equipment.size is not None
    need = found.need.formats[0]
    size = tunnel_size(
        need.needed_cpm * 1.1, 40.0, need.container.diameter_mm, equipment.size.width_mm
    )
    assert heat.belt_m2 == pytest.approx(size.area_m2)
    assert heat.length_mm == pytest.approx(equipment.size.length_mm + size.length_mm)
    assert station.price.typical == pytest.approx(300_000 + 12_000 * heat.belt_m2)
    # Triangular packing of 66.09 mm circles: 264 on a square metre (plane geometry).
    assert size.containers / heat.belt_m2 == pytest.approx(264.4, abs=0.1)


def test_a_cabinet_has_no_belt() -> None:
    found, layout = heated("batch", "25 cpm", formats=formats("can-355-standard"))
    heat = heat_of(found.inquiry, layout)
    assert heat is not None and heat.belt_m2 is None
    # 20 minutes at the reference temperature are 20 units.
    assert heat.units == pytest.approx(20)


def test_carbonated_cans_that_are_heated_get_a_caution_and_others_none() -> None:
    for treatment, expected in (("tunnel", True), ("none", False)):
        found, layout = heated(treatment)
        heat = heat_of(found.inquiry, layout)
        cautions = product_cautions(found.inquiry, pressure_of(found.inquiry), heat)
        assert ("heated-carbonated-can" in {c.code for c in cautions}) is expected


def test_heat_within_the_practitioners_range_is_not_remarked_on() -> None:
    # community.mbaa.com (a forum): 12 to 20 PU for beer, taste changes above 30.
    found, layout = heated("tunnel")
    heat = heat_of(found.inquiry, layout)
    codes = {c.code for c in product_cautions(found.inquiry, None, heat)}
    assert not codes & {"pasteurization-low", "pasteurization-high"}
