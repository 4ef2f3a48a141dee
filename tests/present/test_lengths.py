"""The length of a line: round its bends as drawn, and in a straight line as counted; both named."""

from __future__ import annotations

import json
import math
from functools import cache

import pytest

from lineconfig.choose.rules import length_text
from lineconfig.connect.stations import BESIDE_THE_FLOW
from lineconfig.drawing.elevation import Elevation
from lineconfig.present.layout import layout_text
from lineconfig.present.placement import floor_record
from lineconfig.report.sections.line import plan_section
from lineconfig.report.subject import Subject
from tests.drawing.drawings import NAMES, example
from tests.report.cases import example as brief_of
from tests.report.cases import subject_of, varied


@cache
def startup() -> Subject:
    return subject_of(brief_of("startup"))


@pytest.mark.parametrize("name", NAMES)
def test_what_is_drawn_along_the_flow_is_machines_chain_and_arcs(name: str) -> None:
    study, layout, drawn = example(name)
    floor = floor_record(study, layout)
    elevation = Elevation(study.inquiry, layout, drawn.plan)
    assert floor["along_flow_mm"] == pytest.approx(elevation.length_mm, abs=0.1)
    (below,) = [m for m in elevation.figure.measures if m.side == "below"]
    assert below.length_mm == pytest.approx(floor["along_flow_mm"], abs=0.1)
    machines_mm = sum(
        station.length_mm
        for station in layout.stations
        if station.function != "convey" and station.function not in BESIDE_THE_FLOW
    )
    # A bend of 900 mm with a chain 300 mm wide (the catalogue): a quarter circle of 750 mm.
    bends_mm = len(floor["turns"]) * math.pi / 2 * 750
    wanted_mm = machines_mm + floor["chain"]["straight_mm"] + bends_mm
    assert floor["along_flow_mm"] == pytest.approx(wanted_mm, rel=0.001)
    assert ("unrolled" in elevation.figure.title) is bool(floor["turns"])


def test_both_lengths_are_told_and_told_apart() -> None:
    study, layout, _ = example("startup")
    along_mm = floor_record(study, layout)["along_flow_mm"]
    assert along_mm > layout.floor.length_mm
    # The pieces end to end: two bends of 900 mm beside the machines and the straight chain.
    pieces_mm = sum(s.length_mm for s in layout.stations if s.function not in BESIDE_THE_FLOW)
    assert layout.floor.length_mm == pytest.approx(pieces_mm)
    text = " ".join(layout_text(study, layout).split())
    assert f"Stretched out {length_text(layout.floor.length_mm)}" in text
    assert f"Along its flow in this plan the line is {length_text(along_mm)} long" in text
    straight = example("co-packer")
    floor = floor_record(straight[0], straight[1])
    assert floor["along_flow_mm"] == pytest.approx(straight[1].floor.length_mm)


def test_the_report_tells_the_chain_and_bends_of_each_plan_and_their_price() -> None:
    subject = startup()
    text = json.dumps([getattr(block, "text", "") for block in plan_section(subject).blocks])
    for choice in subject.choices:
        chain = floor_record(subject.study, choice.layout)["chain"]
        assert chain["bends"] > 0
        said = f"{chain['straight_mm'] / 1000:,.1f} m straight, bends: {chain['bends']}"
        assert f"{said}, {chain['holds_cans']} cans when full" in text
        more = f"{abs(chain['beyond_price']):,.0f} USD more than in a straight line"
        assert f"It costs {chain['price']:,.0f} USD to buy, {more}" in text
    hidden = plan_section(varied(subject, hide_prices=True))
    assert "USD" not in json.dumps([getattr(block, "text", "") for block in hidden.blocks])
