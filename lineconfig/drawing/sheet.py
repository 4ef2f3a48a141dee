"""One page: views, key to the numbers, hatches, title block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal, get_args

from lineconfig import __version__
from lineconfig.choose.rules import length_text
from lineconfig.drawing.elevation import Elevation
from lineconfig.drawing.flow import host_of
from lineconfig.drawing.paper import PAPERS, Item, Line, PaperName, Sheet, View, Words, scale_text
from lineconfig.drawing.plan_figure import PlanFigure
from lineconfig.drawing.setting import HEADING_MM, TYPE_MM, paper_size, set_out
from lineconfig.drawing.shapes import Box, Figure, Role
from lineconfig.drawing.source import Drawn, drawn_plan
from lineconfig.drawing.styles import LEGEND
from lineconfig.drawing.words import BOLD, clipped, lines_of, plain, text_width
from lineconfig.layout import Layout
from lineconfig.session import Study

What = Literal["plan", "elevation", "both", "stowed"]

MARGIN_MM = 7.0
PADDING_MM = 2.0
TITLE_MM = 19.4
LIST_LINE_MM = 3.4
TITLE_LINE_MM = 3.0
KEY_COLUMN_MM = 92.0
LEGEND_MM = 50.0
LEGEND_SAMPLE_MM = 7.0
BETWEEN_VIEWS_MM = 2.0

_STEPS = (10, 15, 20, 25, 30, 40, 50, 75)
SCALES: tuple[float, ...] = tuple(
    float(step * power) for power in (1, 10, 100, 1000, 10_000) for step in _STEPS
)
"""1 to how many: the scales that are tried, the largest drawing first."""

CAVEAT = (
    "Planning sketch from the catalogue's sizes, not for construction. Makers' drawings, local "
    "codes and licensed practice decide."
)
UNITS = "Millimetres (feet and inches)"
_PAPER_WORDS: dict[PaperName, str] = {
    "letter": "Letter", "a4": "A4", "a3": "A3", "tabloid": "Tabloid",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Strips:
    """How a page is divided, from above to below."""

    views: Box
    key: Box
    legend: Box
    title: Box


def draw(study: Study, layout: Layout, what: What = "both", paper: PaperName = "letter") -> Sheet:
    """The page with the plan, the elevation or both of one layout.

    Raises ValueError when a name of a part or of a paper is not known, or a packed-away
    arrangement is wanted of a line that has none.
    """
    if paper not in PAPERS or what not in get_args(What):
        raise ValueError(f"unknown paper {paper!r} or part {what!r}")
    return sheet_of(study, layout, wanted_of(drawn_plan(study, layout), what), what, paper)


def wanted_of(drawn: Drawn, what: What) -> Drawn:
    """The plan itself, or its packed-away arrangement where that is what is wanted.

    Raises ValueError where there is none.
    """
    if what != "stowed":
        return drawn
    if drawn.packed is None:
        raise ValueError(
            "only a line whose brief says `mobility: stowed`, or `mobility: mobile` with a "
            "`vehicle` that takes it, is packed away"
        )
    return drawn.packed


def sheet_of(
    study: Study, layout: Layout, drawn: Drawn, what: What = "both", paper: PaperName = "letter"
) -> Sheet:
    """The page for a plan that is at hand."""
    figures: list[Figure] = []
    if what != "elevation":
        figures.append(PlanFigure(drawn, layout).figure)
    if what in ("elevation", "both"):
        figures.append(Elevation(study.inquiry, layout, drawn.plan).figure)
    legend = _legend_rows(figures)
    strips = _strips(paper, len(layout.stations), len(legend))
    views = _views(figures, strips.views)
    name = plain(study.need.brief.name)
    items = [
        *_frame(paper, strips),
        *_key(layout, strips.key),
        *_legend(legend, strips.legend),
        *_title(name, layout, drawn, views, paper, strips.title),
        *_north(drawn, figures, strips.views),
    ]
    scales = ", ".join(f"{view.figure.name} {scale_text(view.scale)}" for view in views)
    return Sheet(
        paper=paper,
        title=f"{name}: {plain(layout.title)}",
        description=_description(study, layout, drawn, scales),
        views=tuple(views),
        items=tuple(items),
    )


# --- division of the page ----------------------------------------------------------------------


def _columns(paper: PaperName) -> int:
    width = PAPERS[paper][0] - 2 * MARGIN_MM - LEGEND_MM
    return max(1, int(width // KEY_COLUMN_MM))


def _strips(paper: PaperName, stations: int, samples: int) -> _Strips:
    width, height = PAPERS[paper]
    left, right = MARGIN_MM, width - MARGIN_MM
    rows = max(-(-stations // _columns(paper)), samples)
    title = Box(left, height - MARGIN_MM - TITLE_MM, right, height - MARGIN_MM)
    key_height = HEADING_MM + 3.0 + rows * LIST_LINE_MM + PADDING_MM
    key = Box(left, title.low - key_height, right - LEGEND_MM, title.low)
    return _Strips(
        views=Box(left + PADDING_MM, MARGIN_MM + PADDING_MM, right - PADDING_MM,
                  key.low - PADDING_MM),
        key=key,
        legend=Box(key.right, key.low, right, key.high),
        title=title,
    )  # fmt: skip


def _views(figures: Sequence[Figure], place: Box) -> list[View]:
    """The figures at the largest scales that fit, one below the other."""
    pairs = sorted(
        product(SCALES, repeat=len(figures)), key=lambda scales: (max(scales), sum(scales))
    )
    for scales in pairs:
        sizes = [paper_size(figure, s) for figure, s in zip(figures, scales, strict=True)]
        height = sum(size[1] for size in sizes) + BETWEEN_VIEWS_MM * (len(sizes) - 1)
        if height <= place.height and all(size[0] <= place.width for size in sizes):
            break
    else:
        raise AssertionError("a page of this size holds no drawing")
    views, low = [], place.low
    spare = (place.height - height) / len(figures)
    for figure, scale, (_, size) in zip(figures, scales, sizes, strict=True):
        high = low + size + spare
        views.append(set_out(figure, scale, Box(place.left, low, place.right, high)))
        low = high + BETWEEN_VIEWS_MM
    return views


def _frame(paper: PaperName, strips: _Strips) -> Iterator[Item]:
    width, height = PAPERS[paper]
    m = MARGIN_MM
    page = Box(m, m, width - m, height - m)
    yield Line(page.corners(), "sheet", closed=True, name="frame")
    for box in (strips.title, strips.legend):
        yield Line(box.corners(), "sheet", closed=True)
    yield Line(((strips.key.left, strips.key.low), (strips.key.right, strips.key.low)), "sheet")


# --- lists -------------------------------------------------------------------------------------


def _size_text(layout: Layout, index: int) -> str:
    """Length and width of a station, or on which one it sits."""
    station = layout.stations[index]
    if station.length_mm:
        return f"{station.length_mm:,.0f} × {station.width_mm:,.0f}"
    there = {place for place, other in enumerate(layout.stations) if other.length_mm}
    host = host_of(layout, index, there)
    return "" if host is None else f"at {host + 1}"


def _key(layout: Layout, box: Box) -> Iterator[Item]:
    x, y = box.left + PADDING_MM, box.low + HEADING_MM + 1.0
    yield Words((x, y), "Stations in flow order, length × width in mm", HEADING_MM, bold=True)
    rows = int((box.high - y - PADDING_MM) // LIST_LINE_MM)
    columns = -(-len(layout.stations) // rows)
    width = (box.width - PADDING_MM) / columns
    for index, station in enumerate(layout.stations):
        column, row = divmod(index, rows)
        left = box.left + PADDING_MM + column * width
        line = y + 0.6 + (row + 1) * LIST_LINE_MM
        number = str(index + 1)
        yield Words((left + 4.2, line), number, TYPE_MM, "end", bold=True, key=f"key-{number}")
        size = _size_text(layout, index)
        right = left + width - 2.0
        yield Words((right, line), size, TYPE_MM, "end", key=f"size-{number}")
        room = right - text_width(size, TYPE_MM) - 2.0 - (left + 6.0)
        pieces = f"{station.quantity:.0f} × " if _counted(layout, index) else ""
        name = clipped(pieces + plain(station.option.equipment.name), room, TYPE_MM)
        yield Words((left + 6.0, line), name, TYPE_MM, key=f"name-{number}")


def _counted(layout: Layout, index: int) -> bool:
    station = layout.stations[index]
    return station.function == "rinse" and station.quantity > 1


def _legend_rows(figures: Sequence[Figure]) -> list[tuple[Role, str]]:
    shown = {shape.role for figure in figures for shape in figure.shapes}
    return [(role, words) for role, words in LEGEND if role in shown]


def _legend(rows: Sequence[tuple[Role, str]], box: Box) -> Iterator[Item]:
    x, y = box.left + PADDING_MM, box.low + HEADING_MM + 1.0
    yield Words((x, y), "Lines and hatches", HEADING_MM, bold=True)
    for row, (role, words) in enumerate(rows):
        line = y + 0.6 + (row + 1) * LIST_LINE_MM
        sample = Box(x, line - 2.3, x + LEGEND_SAMPLE_MM, line + 0.4)
        if role == "path":
            middle = line - 0.95
            yield Line(((x, middle), (x + LEGEND_SAMPLE_MM - 2.0, middle)), role)
            tip = x + LEGEND_SAMPLE_MM
            head = ((tip, middle), (tip - 2.8, middle - 0.8), (tip - 2.8, middle + 0.8))
            yield Line(head, role, closed=True, filled=True)
        else:
            yield Line(sample.corners(), role, closed=True)
        room = box.right - PADDING_MM - (x + LEGEND_SAMPLE_MM + 1.5)
        text = clipped(words, room, TYPE_MM)
        yield Words((x + LEGEND_SAMPLE_MM + 1.5, line), text, TYPE_MM, key="legend")


# --- title block and north ---------------------------------------------------------------------


def _title(
    name: str, layout: Layout, drawn: Drawn, views: Sequence[View], paper: PaperName, box: Box
) -> Iterator[Item]:
    shares = (0.41, 0.2, 0.39)
    lefts, left = [], box.left
    for share in shares:
        lefts.append((left, left + share * box.width))
        left += share * box.width
    for edge, _ in lefts[1:]:
        yield Line(((edge, box.low), (edge, box.high)), "sheet")
    first, second, third = ((start + PADDING_MM, end - PADDING_MM) for start, end in lefts)
    y = box.low
    big = 4.2
    shown = clipped(name, (first[1] - first[0]) / BOLD, big)
    yield Words((first[0], y + 5.2), shown, big, bold=True, key="project")
    for k, line in enumerate(lines_of(plain(layout.title), first[1] - first[0], TYPE_MM, 3)):
        yield Words((first[0], y + 8.9 + k * TITLE_LINE_MM), line, TYPE_MM, key="layout")
    ident = clipped(f"Layout {layout.id}, lineconfig {__version__}", first[1] - first[0], TYPE_MM)
    yield Words((first[0], y + 17.9), ident, TYPE_MM, key="id")
    facts = [
        f"{view.figure.name[0].upper()}{view.figure.name[1:]} {scale_text(view.scale)}"
        for view in views
    ]
    facts.append(f"{_PAPER_WORDS[paper]} sheet, printed at 100 %")
    if drawn.placed:
        plan = drawn.plan
        place = "Bed" if drawn.on_vehicle else "Room"
        facts.append(f"{place} {plan.room_length_mm:,.0f} × {plan.room_width_mm:,.0f}")
    facts.append(UNITS)
    for k, fact in enumerate(facts):
        text = clipped(fact, second[1] - second[0], TYPE_MM)
        key = "scale" if k < len(views) else "fact"
        yield Words((second[0], y + 3.6 + k * 3.4), text, TYPE_MM, key=key)
    remarks = " ".join(part for part in (drawn.remark, CAVEAT) if part)
    for k, line in enumerate(lines_of(remarks, third[1] - third[0], TYPE_MM, 5)):
        yield Words((third[0], y + 3.6 + k * 3.4), line, TYPE_MM, key="remark")


def _north(drawn: Drawn, figures: Sequence[Figure], place: Box) -> Iterator[Item]:
    """An arrow to the north, where the room's corners are known."""
    if drawn.on_vehicle or not (drawn.placed and any(figure.name == "plan" for figure in figures)):
        return
    x, top = place.right - 3.0, place.low
    yield Line(((x, top), (x - 1.5, top + 5.0), (x, top + 4.0)), "dimension", closed=True,
               filled=True, name="north")  # fmt: skip
    yield Line(((x, top), (x + 1.5, top + 5.0), (x, top + 4.0)), "dimension", closed=True)
    yield Words((x - 3.0, top + 4.0), "N", HEADING_MM, "end", bold=True, key="north")


def _description(study: Study, layout: Layout, drawn: Drawn, scales: str) -> str:
    heights, floor = layout.heights, drawn.plan
    where = "placed in the room" if drawn.placed else "stretched out on open floor"
    if drawn.on_vehicle:
        where = "on its vehicle"
    sentences = [
        f"Drawing of one canning line with {len(layout.stations)} stations, {where}; {scales}.",
        (
            f"With what it keeps free it takes {length_text(floor.length_mm)} by "
            f"{length_text(floor.width_mm)}."
        ),
        (
            f"Filler infeed {length_text(layout.infeed_mm)}; unloader deck "
            f"{length_text(heights.deck_mm)}; unloader's top {length_text(heights.top_mm)}; "
            f"highest point {length_text(layout.highest.height_mm)}; ceiling "
            f"{length_text(study.inquiry.ceiling_mm)}."
        ),
        "Stations: "
        + "; ".join(
            f"{number} {plain(station.option.equipment.name)}"
            for number, station in enumerate(layout.stations, 1)
        )
        + ".",
    ]
    return " ".join(sentences)
