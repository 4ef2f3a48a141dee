"""The caution: what every assessment says where work can hurt someone."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard in plain words; it points out and defers, it never certifies anything."""

    code: str
    """Short stable name that scripts may match, for example `reach-above-limit`."""
    text: str
    """One or two sentences for the reader of the report."""
    basis: str
    """The published source, `common practice`, `from memory` or `invented`."""
