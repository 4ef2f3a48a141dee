"""Lines of text that fit 80 columns."""

from __future__ import annotations

import textwrap

WIDTH = 80


def wrapped(text: str, indent: int = 0, hanging: int | None = None) -> list[str]:
    """Lines of at most WIDTH columns."""
    following = indent if hanging is None else hanging
    return textwrap.wrap(
        text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * following,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def heading(text: str) -> list[str]:
    """A heading with an empty line before it."""
    return ["", text, "-" * min(len(text), WIDTH)]


def named_row(lead: str, name: str, width: int, figures: str) -> list[str]:
    """A row of a table: the name whole beside its figures, or above them where it is too long."""
    if len(name) < width:
        return [f"{lead}{name:{width}}{figures}"]
    indent = len(lead)
    first, *more = wrapped(name, indent)
    return [lead + first[indent:], *more, " " * (indent + width) + figures]


def clip(text: str, width: int) -> str:
    """A text cut short so that a blank is left before the next column."""
    return text if len(text) < width else text[: width - 2] + "…"
