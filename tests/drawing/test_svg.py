"""The SVG file: sound XML, real text, harmless, and the same every time."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace

import pytest

from lineconfig.drawing.sheet import sheet_of
from lineconfig.drawing.svg import svg_text
from lineconfig.floorplan.plan import Obstacle
from tests.drawing.drawings import (
    EXAMPLES,
    NAMES,
    PAPERS,
    SVG,
    drawn_line,
    example,
    example_sheet,
    parsed,
    renamed,
)

HOSTILE = "</text></svg><script>alert(1)</script>&amp;\x00\x1b[31m\u202e]]>\"'<!--"


@pytest.mark.parametrize("paper", PAPERS)
def test_the_page_has_its_size_in_millimetres(paper: str) -> None:
    # ISO 216 and ANSI/ASME Y14.1: sizes laid across
    sizes = {
        "letter": (279.4, 215.9),
        "a4": (297, 210),
        "a3": (420, 297),
        "tabloid": (431.8, 279.4),
    }
    root = parsed(example_sheet("startup", "both", paper))  # type: ignore[arg-type]
    width, height = sizes[paper]
    assert root.attrib["width"] == f"{width:g}mm" and root.attrib["height"] == f"{height:g}mm"
    assert root.attrib["viewBox"] == f"0 0 {width:g} {height:g}"


@pytest.mark.parametrize("name", NAMES)
def test_it_has_a_title_a_description_and_real_text(name: str) -> None:
    study, layout, _ = example(name)
    sheet = example_sheet(name)
    root = parsed(sheet)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and title.text is not None
    assert title.text.startswith(study.need.brief.name)
    assert description is not None and description.text is not None
    for station in layout.stations:
        assert station.option.equipment.name in description.text
    written = sorted(text.text or "" for text in root.iter(f"{SVG}text"))
    assert written == sorted(words.text for words in sheet.words)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_fetched_or_run(name: str) -> None:
    root = parsed(example_sheet(name))
    plain = {"svg", "title", "desc", "style", "defs", "pattern", "path", "rect", "g", "circle",
             "text"}  # fmt: skip
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= plain
    for element in root.iter():
        for attribute, value in element.attrib.items():
            assert not attribute.startswith("on") and "href" not in attribute
            assert "url(" not in value or value.startswith("url(#hatch-")


def test_hostile_text_is_only_text() -> None:
    study, layout, drawn = example("startup")
    plan = replace(drawn.plan, obstacles=(Obstacle(HOSTILE, 12_000.0, 500.0, 300.0, 300.0),))
    drawn = replace(drawn, plan=plan, remark=HOSTILE)
    root = parsed(sheet_of(renamed(study, HOSTILE), layout, drawn))
    assert not list(root.iter(f"{SVG}script"))
    text = "".join(root.itertext())
    assert "<script>" in text
    assert "\x1b" not in text and "\u202e" not in text and "\x00" not in text


def test_every_hatch_that_is_used_is_defined_and_no_two_are_alike() -> None:
    root = parsed(example_sheet("growing-brewery"))
    patterns = {p.attrib["id"]: p for p in root.iter(f"{SVG}pattern")}
    used = {
        element.attrib["fill"][5:-1]
        for element in root.iter()
        if element.attrib.get("fill", "").startswith("url(#")
    }
    assert used <= set(patterns)
    looks = {
        (
            p.attrib["width"], p.attrib["height"], p.attrib["patternTransform"],
            tuple(line.attrib["d"] for line in p),
        )
        for p in patterns.values()
    }  # fmt: skip
    assert len(looks) == len(patterns)


def test_views_state_their_scale() -> None:
    root = parsed(example_sheet("startup"))
    groups = {g.attrib["id"]: g.attrib.get("data-scale") for g in root.iter(f"{SVG}g")}
    for view in example_sheet("startup").views:
        assert groups[view.figure.name] == f"1:{view.scale:g}"


def test_the_same_line_gives_the_same_bytes_in_another_process() -> None:
    program = (
        "import sys; from lineconfig.session import open_study;"
        "from lineconfig.drawing.files import drawing_bytes;"
        "s = open_study(sys.argv[1]); l = s.best(1)[0];"
        "sys.stdout.buffer.write(drawing_bytes(s, l, sys.argv[2])[0])"
    )
    for kind in (".svg", ".dxf"):
        outputs = [
            subprocess.run(
                [sys.executable, "-c", program, str(EXAMPLES / "startup.yaml"), kind],
                capture_output=True, check=True, env={**os.environ, "PYTHONHASHSEED": seed},
            ).stdout
            for seed in ("1", "2")
        ]  # fmt: skip
        assert outputs[0] and outputs[0] == outputs[1]


def test_open_floor_is_drawn_as_well() -> None:
    assert "stretched out" in svg_text(sheet_of(*drawn_line()))
