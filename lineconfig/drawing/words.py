"""Text on a drawing: made harmless, measured with care, and cut to its place."""

from __future__ import annotations

import unicodedata

CAP_HEIGHT = 0.72
"""Height of a capital as a share of the type's size (common practice for plain sans-serif type)."""

_NARROW = frozenset("iljrtfI.,:;'|!/\\ ()[]-")
_WIDE = frozenset("mwMW%@&+=<>~^#_QOGD")
_NARROW_EM, _PLAIN_EM, _CAPITAL_EM, _WIDE_EM, _OTHER_EM = 0.42, 0.64, 0.77, 1.02, 1.06
"""Widths in parts of the type's size: no narrower than those of the widest plain sans-serif faces
in common use, so that text stays in its place whichever of them a reader has."""

BOLD = 1.12
"""How much wider bold type runs than plain type."""

ELLIPSIS = "…"


def plain(text: str) -> str:
    """A text in one line without control characters, marks of direction or unassigned signs."""
    kept = (sign if not unicodedata.category(sign).startswith("C") else " " for sign in text)
    return " ".join("".join(kept).split())


def _em(sign: str) -> float:
    if sign in _NARROW:
        return _NARROW_EM
    if sign in _WIDE:
        return _WIDE_EM
    if sign.isascii():
        return _CAPITAL_EM if sign.isupper() else _PLAIN_EM
    if unicodedata.combining(sign):
        return 0.0
    return _OTHER_EM


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width that a text needs at the most, in the unit of the type's size."""
    return size * sum(_em(sign) for sign in text) * (BOLD if bold else 1.0)


def clipped(text: str, width: float, size: float) -> str:
    """A text cut so that it is no wider than its place."""
    if text_width(text, size) <= width:
        return text
    kept = text
    while kept and text_width(kept + ELLIPSIS, size) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,;(") + ELLIPSIS if kept else ""


def lines_of(text: str, width: float, size: float, most: int) -> list[str]:
    """A text in lines no wider than their place; what does not fit into the last is cut."""
    lines: list[str] = []
    words = text.split(" ")
    while words and len(lines) < most:
        count = 1
        while count < len(words) and text_width(" ".join(words[: count + 1]), size) <= width:
            count += 1
        last = len(lines) == most - 1
        lines.append(clipped(" ".join(words if last else words[:count]), width, size))
        words = words[count:]
    return lines
