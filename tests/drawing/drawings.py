"""Drawings for the tests: the shipped examples, and a plain brief with some keys changed."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.paper import PaperName, Sheet
from lineconfig.drawing.sheet import What, sheet_of
from lineconfig.drawing.source import Drawn, drawn_plan
from lineconfig.drawing.svg import svg_text
from lineconfig.layout import Layout
from lineconfig.session import Study, open_study
from tests.findings.lines import line

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = tuple(sorted(file.stem for file in EXAMPLES.glob("*.yaml") if file.stem != "cannot-be-met"))
PAPERS: tuple[PaperName, ...] = ("letter", "a4", "a3", "tabloid")
SVG = "{http://www.w3.org/2000/svg}"


@cache
def example(name: str) -> tuple[Study, Layout, Drawn]:
    """A shipped example with its best line and that line's plan."""
    study = open_study(EXAMPLES / f"{name}.yaml")
    layout = study.best(1)[0]
    return study, layout, drawn_plan(study, layout)


@cache
def example_sheet(name: str, what: What = "both", paper: PaperName = "letter") -> Sheet:
    """The page of a shipped example."""
    return sheet_of(*example(name), what, paper)


def parsed(sheet: Sheet) -> ET.Element:
    """The page as an XML tree."""
    return ET.fromstring(svg_text(sheet))  # noqa: S314 - our own output


def elevation_of(name: str) -> Elevation:
    """The elevation of a shipped example."""
    study, layout, drawn = example(name)
    return Elevation(study.inquiry, layout, drawn.plan)


def drawn_line(**changes: Any) -> tuple[Study, Layout, Drawn]:
    """The best line for a plain brief with some keys changed, with its plan."""
    study, layout = line(**changes)
    return study, layout, drawn_plan(study, layout)


def renamed(study: Study, name: str) -> Study:
    """The same study for a client of another name, whatever a brief would accept."""
    brief = study.need.brief.model_copy(update={"name": name})
    return study.varied(need=replace(study.need, brief=brief))
