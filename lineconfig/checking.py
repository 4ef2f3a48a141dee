"""Checks a file that somebody wrote, be it a brief, a catalogue file or a folder of these."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lineconfig.errors import InputError, Problem
from lineconfig.reading import STDIN, Node, read_text, read_tree

_BRIEF_KEYS = frozenset(("brief", "formats", "site", "speed", "product", "staff", "operation"))


def check_file(source: str | Path, overlays: Sequence[str | Path] = ()) -> list[Problem]:
    """Every problem of a brief (`-` for standard input), a catalogue file or a folder of them.

    `overlays` are laid over the catalogue before. Empty where nothing is wrong.
    """
    from lineconfig.catalog_loading import load_catalog

    try:
        if str(source) != "-" and Path(source).is_dir():
            load_catalog([*overlays, source])
            return []
        text, label = read_text(source)
        root, _ = read_tree(text, label)
        if _is_brief(root):
            from lineconfig.need_reading import need_of_text

            need_of_text(text, label, load_catalog(overlays))
        elif label == STDIN:
            return [Problem(label, 0, "is not a brief: a brief begins with 'brief: 1'")]
        else:
            load_catalog([*overlays, source])
    except InputError as error:
        return list(error.problems)
    return []


def _is_brief(root: Node) -> bool:
    """Whether a file means to be a brief, though it may lack its first key."""
    assert isinstance(root.value, dict)
    keys = root.value.keys()
    if "brief" in keys:
        return True
    # `formats` alone is a catalogue's key as well.
    return len(keys & _BRIEF_KEYS) > 1
