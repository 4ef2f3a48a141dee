"""Names and texts put inside a sentence."""

from __future__ import annotations


def lowered(text: str) -> str:
    """The text with a small first letter, as it stands inside a sentence."""
    return text[:1].lower() + text[1:]
