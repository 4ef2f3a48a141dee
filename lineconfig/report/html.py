"""A report as one HTML file that needs nothing beside it: no network, no script."""

from __future__ import annotations

import unicodedata
from typing import Any

from lineconfig.report.document import Report

_TURNED = frozenset("\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks that turn the direction of writing, and so what a reader believes to see."""
_KEPT = frozenset("\n\t")
_REPLACED = "\ufffd"


def clean(text: str) -> str:
    """A text without control characters, marks of direction and code points that are no signs."""
    return "".join(_REPLACED if _is_hostile(sign) else sign for sign in text)


def _is_hostile(sign: str) -> bool:
    if sign in _KEPT:
        return False
    return sign in _TURNED or unicodedata.category(sign) in ("Cc", "Cs", "Cn")


def html_of(report: Report) -> str:
    """The whole file; the same report gives the same text.

    Everything that is put into the template is escaped; only the pictures, which are of our own
    making and escape what they show, go in as they are.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("lineconfig.report"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_finalized,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("report.html").render(report=report)


def _finalized(value: Any) -> Any:
    """Every text that goes into the page, made harmless; what is marked as markup stays so."""
    return type(value)(clean(value)) if isinstance(value, str) else value
