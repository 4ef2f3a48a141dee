"""Charts as SVG of our own: cumulative cost with its crossings, and a timeline of tasks.

Lines are told apart by dash, colour and a label at their end; text is text; nothing is fetched.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

COLOURS = ("#0b3c5d", "#a4343a", "#2f6b2f", "#6a3d9a", "#7a5200", "#444444")
"""Each at least 5:1 against white."""
DASHES = ("", "9 4", "2 3", "12 3 2 3", "6 2", "1 2")
INK, FAINT, SLACK = "#1a1a1a", "#c9ced3", "#d7dde3"
FACES = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
WIDTH = 720.0
LETTER_WIDTH = 0.56
"""Mean width of a letter in parts of the type's size."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One layout's cost over the years."""

    label: str
    points: tuple[tuple[float, float], ...]
    """Year and cost."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place where two curves cross."""

    year: float
    cost: float
    label: str


@dataclass(frozen=True, slots=True)
class Bar:
    """One task of a timeline [weeks]."""

    label: str
    start: float
    end: float
    slack: float
    critical: bool


def nice_step(span: float, most: int) -> float:
    """A round step that cuts a span into no more than so many parts."""
    least = span / most
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in STEPS if step * power >= least * (1 - 1e-9))


def cost_chart(
    name: str, title: str, description: str, curves: Sequence[Curve], marks: Sequence[Mark],
    axis_x: str, axis_y: str,
) -> str:  # fmt: skip
    """Cost over the years, with crossings marked; `name` makes the ids of the picture its own."""
    height, left, right, top, low = 380.0, 74.0, WIDTH - 150.0, 30.0, 330.0
    years = max(x for curve in curves for x, _ in curve.points)
    costs = [0.0, *(y for curve in curves for _, y in curve.points)]
    step_y = nice_step(max(costs) - min(costs) or 1.0, 6)
    step_x = max(1.0, nice_step(years, 10))
    top_y = math.ceil(max(costs) / step_y - 1e-9) * step_y
    low_y = math.floor(min(costs) / step_y + 1e-9) * step_y
    if top_y <= low_y:
        top_y = low_y + step_y

    def at(x: float, y: float) -> tuple[float, float]:
        up = (y - low_y) / (top_y - low_y)
        return left + (right - left) * x / years, low - (low - top) * up

    def lines() -> Iterator[str]:
        for count in range(round(low_y / step_y), round(top_y / step_y) + 1):
            _, y = at(0, count * step_y)
            yield _line(left, y, right, y, FAINT if count else INK, 1)
            yield _text(left - 6, y + 4, _amount(count * step_y), anchor="end")
        for count in range(int(years / step_x + 1e-9) + 1):
            x, _ = at(count * step_x, low_y)
            yield _line(x, low, x, low + 5, INK, 1)
            yield _text(x, low + 19, f"{count * step_x:g}", anchor="middle")
        yield _line(left, low, right, low, INK, 1.2)
        yield _text((left + right) / 2, low + 40, axis_x, anchor="middle")
        yield _text(left - 60, top - 12, axis_y)
        ends = _spread([at(*curve.points[-1])[1] for curve in curves], 15.0)
        for number, (curve, end) in enumerate(zip(curves, ends, strict=True)):
            colour = COLOURS[number % len(COLOURS)]
            path = " ".join(f"{x:.1f},{y:.1f}" for x, y in (at(*p) for p in curve.points))
            dash = DASHES[number % len(DASHES)]
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            yield (
                f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="2.4"'
                f"{dashed}/>"
            )
            x, y = at(*curve.points[-1])
            yield _line(x + 2, y, x + 12, end, colour, 1)
            yield _text(x + 15, end + 4, curve.label, colour=colour, bold=True)
        for number, mark in enumerate(marks):
            x, y = at(mark.year, mark.cost)
            yield (
                f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="#fff" stroke="{INK}" '
                'stroke-width="2"/>'
            )
            yield _line(x, y + 5, x, low, INK, 1, "2 3")
            label = low - 8 - 16 * (number % 6)
            near_end = x > (left + right) / 2
            beside = x - 5 if near_end else x + 5
            wide = len(mark.label) * 12 * LETTER_WIDTH + 4
            yield (
                f'<rect x="{beside - wide + 2 if near_end else beside - 2:.1f}" '
                f'y="{label - 11:.1f}" width="{wide:.1f}" height="14" fill="#fff"/>'
            )
            yield _text(beside, label, mark.label, anchor="end" if near_end else "start")

    return _svg(name, title, description, height, lines())


def timeline_chart(
    name: str, title: str, description: str, bars: Sequence[Bar], axis: str
) -> str:  # fmt: skip
    """Tasks as bars over the weeks: dark and outlined where they decide the date."""
    row, left, right, top = 20.0, 320.0, WIDTH - 12.0, 34.0
    low = top + row * len(bars)
    weeks = max(bar.end for bar in bars) or 1.0
    step = max(1.0, math.ceil(nice_step(weeks, 12)))

    def at(week: float) -> float:
        return left + (right - left) * week / weeks

    def lines() -> Iterator[str]:
        for count in range(int(weeks / step + 1e-9) + 1):
            x = at(count * step)
            yield _line(x, top, x, low, FAINT, 1)
            yield _text(x, top - 6, f"{count * step:g}", anchor="middle")
        yield _text(0, top - 6, axis, bold=True)
        for number, bar in enumerate(bars):
            y = top + row * number
            most = int((left - 10) / (12 * LETTER_WIDTH))
            label = bar.label if len(bar.label) <= most else f"{bar.label[: most - 1]}…"
            yield _text(left - 8, y + 14, label, anchor="end", bold=bar.critical)
            start, end = at(bar.start), at(bar.end)
            until = min(right, at(bar.end + bar.slack))
            if until > end:
                yield _line(end, y + row / 2, until, y + row / 2, INK, 1, "2 3")
            fill = COLOURS[0] if bar.critical else SLACK
            yield (
                f'<rect x="{start:.1f}" y="{y + 4:.1f}" width="{max(1.5, end - start):.1f}" '
                f'height="{row - 8:.1f}" fill="{fill}" stroke="{INK}" stroke-width="1"/>'
            )

    return _svg(name, title, description, low + 8, lines())


def _spread(places: Sequence[float], apart: float) -> list[float]:
    """Places moved down as little as it takes to stand apart, in the same order."""
    order = sorted(range(len(places)), key=lambda index: places[index])
    moved = list(places)
    last = -math.inf
    for index in order:
        moved[index] = last = max(moved[index], last + apart)
    return moved


def _amount(value: float) -> str:
    return f"{value:,.0f}"


def _line(
    x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = ""
) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" '
        f'stroke-width="{width:g}"{dashed}/>'
    )


def _text(
    x: float, y: float, text: str, *, anchor: str = "start", colour: str = INK, bold: bool = False
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}"{weight}>'
        f"{escape(text)}</text>"
    )


def _svg(name: str, title: str, description: str, height: float, lines: Iterator[str]) -> str:
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" '
        f'width="{WIDTH:g}" height="{height:g}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" font-family="{FACES}" font-size="12">'
    )
    said = (
        f'<title id="{name}-title">{escape(title)}</title>'
        f'<desc id="{name}-desc">{escape(description)}</desc>'
    )
    return "".join((head, said, *lines, "</svg>"))
