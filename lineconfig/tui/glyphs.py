"""The few signs that the screens use, with plain letters where a terminal has nothing else."""

from __future__ import annotations

import locale
import os
import unicodedata
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set of signs; every sign is one column wide."""

    ascii: bool
    left: str
    right: str
    up: str
    down: str
    on: str
    off: str
    across: str
    upright: str
    corners: str
    """Top left, top right, bottom left, bottom right."""
    full: str
    half: str
    dot: str

    def said(self, text: str) -> str:
        """A text as this terminal can show it."""
        return to_ascii(text) if self.ascii else text


UNICODE = Glyphs(False, "◂", "▸", "▲", "▼", "●", "○", "─", "│", "╭╮╰╯", "█", "▌", "·")
PLAIN = Glyphs(True, "<", ">", "^", "v", "x", ".", "-", "|", "..''", "#", "#", ".")

_SPELLED = str.maketrans(
    {"…": "~", "×": "x", "–": "-", "—": "-", "′": "'", "″": '"', "²": "2", "³": "3", "·": ".",
     "°": " deg ", "≥": ">=", "≤": "<=", "→": "->", "│": "|", "─": "-", "┌": "+", "┐": "+",
     "└": "+", "┘": "+", "├": "+", "┤": "+", "┬": "+", "┴": "+", "┼": "+", "█": "#", "▌": "#"}
)  # fmt: skip


def to_ascii(text: str) -> str:
    """A text in plain ASCII: signs spelled out, accents taken off."""
    if text.isascii():
        return text
    flat = unicodedata.normalize("NFKD", text.translate(_SPELLED))
    return "".join(c if c.isascii() else "?" for c in flat if not unicodedata.combining(c))


def wants_ascii() -> bool:
    """Whether the terminal should get plain letters only: LINECONFIG_ASCII, or no UTF-8."""
    asked = os.environ.get("LINECONFIG_ASCII", "")
    if asked:
        return asked not in ("0", "no", "off")
    return "utf" not in locale.getpreferredencoding(False).lower()
