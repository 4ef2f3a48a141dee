"""Drawings as they stand inside a document: ids of their own, and no rules for a page."""

from __future__ import annotations

import re

from lineconfig.drawing.paper import PaperName
from lineconfig.layout import Layout
from lineconfig.session import Study

_ID = re.compile(r'\b(id|aria-labelledby)="([^"]*)"')
_USED = re.compile(r"url\(#([^)]*)\)")


def drawing(study: Study, layout: Layout, paper: PaperName, name: str) -> str:
    """Plan and elevation of one layout as an SVG element.

    `name` goes before every id, so that several of them can stand in one document.
    """
    from lineconfig.drawing.sheet import draw
    from lineconfig.drawing.svg import svg_text

    return inside(svg_text(draw(study, layout, "both", paper)), name)


def inside(svg: str, name: str) -> str:
    """An SVG file as an element of a document."""
    element = svg[svg.index("<svg") :]
    element = "\n".join(line for line in element.splitlines() if not line.startswith("@page"))
    element = _ID.sub(
        lambda found: '{}="{}"'.format(
            found[1], " ".join(f"{name}-{part}" for part in found[2].split())
        ),
        element,
    )
    return _USED.sub(lambda found: f"url(#{name}-{found[1]})", element)
