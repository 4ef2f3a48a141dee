"""Containers drawn to scale in characters."""

from __future__ import annotations

from lineconfig.containers import Container
from lineconfig.tui.glyphs import Glyphs

COLUMN_TO_ROW = 0.5
"""Width of a character cell as a share of its height."""
NECK_SHARE = 0.45
"""Width of a bottle's neck as a share of its body's, for the eye only."""
NECK_HEIGHT = 0.35


def container_picture(container: Container, mm_per_row: float, glyphs: Glyphs) -> list[str]:
    """A container's outline, standing on the last row.

    Parameters
    ----------
    container : what is drawn
    mm_per_row : millimetres to one row [mm]; a column is half of that
    glyphs : the signs to draw with
    """
    rows = max(3, round(container.height_mm / mm_per_row))
    body = max(4, round(container.diameter_mm / (mm_per_row * COLUMN_TO_ROW)))
    top_left, top_right, low_left, low_right = list(glyphs.corners)
    across, upright = glyphs.across, glyphs.upright
    necked = container.kind != "two-piece-can"
    neck_rows = max(1, round(rows * NECK_HEIGHT)) if necked and rows > 4 else 0
    width = max(3, round(body * NECK_SHARE)) if neck_rows else body
    if (body - width) % 2:
        width += 1
    side = " " * ((body - width) // 2)
    lines = [side + top_left + across * (width - 2) + top_right]
    lines += [side + upright + " " * (width - 2) + upright for _ in range(neck_rows - 1)]
    if neck_rows:
        shoulder = across * max(0, (body - width) // 2 - 1)
        lines.append(
            top_left + shoulder + low_right + " " * (width - 2) + low_left + shoulder + top_right
            if body > width
            else upright + " " * (body - 2) + upright
        )
    lines += [upright + " " * (body - 2) + upright for _ in range(rows - len(lines) - 1)]
    lines.append(low_left + across * (body - 2) + low_right)
    return lines


def with_ruler(picture: list[str], mm_per_row: float, glyphs: Glyphs) -> list[str]:
    """The picture with a mark at its side for every 100 mm of height."""
    width = max(len(line) for line in picture)
    marked = []
    for place, line in enumerate(picture):
        above_mm = (len(picture) - place) * mm_per_row
        below_mm = above_mm - mm_per_row
        passes = int(above_mm // 100) > int(below_mm // 100)
        mark = f" {glyphs.across}{int(above_mm // 100) * 100}" if passes else f" {glyphs.upright}"
        marked.append(line.ljust(width) + mark)
    return marked
