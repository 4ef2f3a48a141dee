"""What a report is made of: sections of paragraphs, lists, tables, pictures and verbatim text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MOST_ON_A_PAGE = 12
"""Rows of a table that is kept on one page."""
Align = Literal["text", "number", "blank", "space"]
"""How a column is set; a blank one is to be written in by hand, with more room in a space."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    text: str
    style: Literal["plain", "lead", "note", "warning"] = "plain"
    kind: str = "paragraph"


@dataclass(frozen=True, slots=True)
class Subheading:
    """A heading within a section."""

    text: str
    kind: str = "subheading"


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list."""

    items: tuple[str, ...]
    kind: str = "bullets"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    label: str
    align: Align = "text"


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first cell of each row is its heading."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    totals: int = 0
    """How many of the last rows are sums."""
    whole: bool = False
    """Whether it stays on one page."""
    labels: bool = False
    """Whether the first column holds long labels and must not be pressed by the others."""
    kind: str = "table"

    def __post_init__(self) -> None:
        for row in self.rows:
            assert len(row) == len(self.columns), f"{self.caption}: {row}"


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG picture of our own making, with its title and description inside."""

    svg: str
    caption: str
    sheet: bool = False
    """Whether it is a whole sheet, to be printed on a page of its own laid across."""
    kind: str = "picture"


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Text as somebody wrote it."""

    text: str
    label: str
    kind: str = "verbatim"


Block = Paragraph | Subheading | Bullets | Table | Picture | Verbatim


@dataclass(frozen=True, slots=True)
class Section:
    """One section."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    new_page: bool = False
    """Whether it begins on a page of its own in print."""


@dataclass(frozen=True, slots=True)
class Report:
    """The whole document."""

    lang: str
    title: str
    subtitle: str
    contents: str
    """Heading of the table of contents."""
    letterhead: tuple[str, ...]
    logo: str
    """A data URI; empty for none."""
    logo_words: str
    """What stands for the logo where it is not seen."""
    sections: tuple[Section, ...]
    footer: str
