"""The part of `show` that draws the line in characters."""

from __future__ import annotations

from lineconfig.drawing.source import drawn_plan
from lineconfig.drawing.terminal import drawing_lines, has_unicode
from lineconfig.layout import Layout
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.session import Study


def drawing_section(study: Study, layout: Layout) -> list[str]:
    """Plan and elevation under their heading, in what standard output can show."""
    remark = drawn_plan(study, layout).remark
    return [
        *heading("Plan and elevation (`lineconfig draw` makes a drawing to scale)"),
        *drawing_lines(study, layout, ascii=not has_unicode()),
        *(wrapped(remark, 2) if remark else []),
    ]
