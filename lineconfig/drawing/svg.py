"""A page as SVG: real text, hatches as patterns, sizes in millimetres of paper."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from lineconfig.drawing.paper import Disc, Item, Sheet, View, Words, scale_text
from lineconfig.drawing.shapes import Point, Role
from lineconfig.drawing.styles import HATCHES, STYLES, Hatch, Style
from lineconfig.drawing.words import plain

FACES = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"


def svg_text(sheet: Sheet) -> str:
    """The whole file; the same page gives the same text."""
    return "".join(f"{line}\n" for line in _lines(sheet))


def _lines(sheet: Sheet) -> Iterator[str]:
    width, height = _number(sheet.width), _number(sheet.height)
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title desc">'
    )
    yield f'<title id="title">{_escaped(sheet.title)}</title>'
    yield f'<desc id="desc">{_escaped(sheet.description)}</desc>'
    yield "<style>"
    yield f"@page {{ size: {width}mm {height}mm; margin: 0 }}"
    yield f"text {{ font-family: {FACES}; fill: #000 }}"
    yield "</style>"
    yield "<defs>"
    for role, style in STYLES.items():
        if style.hatch is not None:
            yield from _pattern(role, style, HATCHES[style.hatch])
    yield "</defs>"
    yield f'<rect width="{width}" height="{height}" fill="#fff"/>'
    for view in sheet.views:
        yield from _view(view)
    yield '<g id="sheet">'
    for item in sheet.items:
        yield from _item(item)
    yield "</g>"
    yield "</svg>"


def _view(view: View) -> Iterator[str]:
    name = view.figure.name
    yield f'<g id="{name}" data-scale="{scale_text(view.scale)}">'
    for shape in view.figure.shapes:
        points = tuple(view.on_paper(point) for point in shape.points)
        extra = f' data-role="{shape.role}"'
        if shape.station is not None:
            extra += f' data-station="{shape.station + 1}"'
        yield from _outline(points, shape.role, shape.closed, shape.name, extra)
    for dimension in view.dimensions:
        for line in dimension.lines:
            yield from _item(line)
        yield _words(dimension.words)
    for item in view.items:
        yield from _item(item)
    yield "</g>"


def _item(item: Item) -> Iterator[str]:
    if isinstance(item, Words):
        yield _words(item)
    elif isinstance(item, Disc):
        style = STYLES[item.role]
        fill = style.stroke if item.filled else style.fill or "none"
        x, y = map(_number, item.at)
        yield (
            f'<circle cx="{x}" cy="{y}" r="{_number(item.radius)}" fill="{fill}" '
            f'stroke="{style.stroke}" stroke-width="{_number(style.width_mm)}"/>'
        )
    elif item.filled:
        colour = STYLES[item.role].stroke
        yield f'<path d="{_path(item.points, closed=True)}" fill="{colour}" stroke="none"/>'
    else:
        yield from _outline(item.points, item.role, item.closed, item.name, "")


def _outline(
    points: tuple[Point, ...], role: Role, closed: bool, name: str, extra: str
) -> Iterator[str]:
    style, path = STYLES[role], _path(points, closed=closed)
    title = f"<title>{_escaped(name)}</title>" if name else ""
    if closed and style.hatch is not None:
        if style.fill:
            yield f'<path d="{path}" fill="{style.fill}"/>'
        fill = f"url(#hatch-{role})"
        if not style.outlined:
            yield f'<path d="{path}" fill="{fill}"{extra}>{title}</path>'
            return
    else:
        fill = (style.fill if closed else None) or "none"
    dash = ""
    if style.dash_mm:
        dash = f' stroke-dasharray="{" ".join(_number(part) for part in style.dash_mm)}"'
    start = (
        f'<path d="{path}" fill="{fill}" stroke="{style.stroke}" '
        f'stroke-width="{_number(style.width_mm)}" stroke-linejoin="round"{dash}{extra}'
    )
    yield f"{start}>{title}</path>" if title else f"{start}/>"


def _words(words: Words) -> str:
    x, y = map(_number, words.at)
    place = f'x="{x}" y="{y}"'
    if words.upwards:
        place += f' transform="rotate(-90 {x} {y})"'
    if words.anchor != "start":
        place += f' text-anchor="{words.anchor}"'
    if words.bold:
        place += ' font-weight="bold"'
    if words.key:
        place += f" data-key={quoteattr(words.key)}"
    halo = ' stroke="#fff" stroke-width="0.7" stroke-linejoin="round" paint-order="stroke"'
    return f'<text {place} font-size="{_number(words.size)}"{halo}>{_escaped(words.text)}</text>'


def _pattern(role: Role, style: Style, hatch: Hatch) -> Iterator[str]:
    """A hatch as a tile: one family of lines, or two at right angles."""
    angle, distance = hatch.families[0]
    across = len(hatch.families) > 1
    period = sum(hatch.dash_mm) or distance
    size = f'width="{_number(period)}" height="{_number(distance)}"'
    ink = f'stroke="{style.ink or style.stroke}" stroke-width="{_number(hatch.width_mm)}"'
    # Angles count against the clock from the paper's lower edge; those of SVG run with it.
    yield (
        f'<pattern id="hatch-{role}" patternUnits="userSpaceOnUse" {size} '
        f'patternTransform="rotate({_number(-angle)})">'
    )
    middle = _number(distance / 2)
    stroke = hatch.dash_mm[0] if hatch.dash_mm else period
    yield f'<path d="M0 {middle}H{_number(stroke)}" {ink}/>'
    if across:
        yield f'<path d="M{_number(period / 2)} 0V{_number(distance)}" {ink}/>'
    yield "</pattern>"


def _path(points: tuple[Point, ...], *, closed: bool) -> str:
    places = "L".join(f"{_number(x)} {_number(y)}" for x, y in points)
    return f"M{places}" + ("Z" if closed else "")


def _number(value: float) -> str:
    """A number with three decimals at the most, always written alike."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _escaped(text: str) -> str:
    return escape(plain(text))
