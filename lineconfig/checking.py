"""Checks a file that somebody wrote, be it a brief, a catalogue file or a folder of these."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from lineconfig.errors import InputError, Problem
from lineconfig.reading import STDIN, Node, read_text, read_tree

_BRIEF_KEYS = frozenset(("brief", "formats", "site", "speed", "product", "staff", "operation"))


@dataclass(frozen=True, slots=True)
class Checked:
    """What is wrong with a file, and what of it is odd but taken as it stands."""

    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()


def check_file(source: str | Path, overlays: Sequence[str | Path] = ()) -> list[Problem]:
    """Every problem of a brief (`-` for standard input), a catalogue file or a folder of them.

    `overlays` are laid over the catalogue before. Empty where nothing is wrong.
    """
    return list(examined(source, overlays).problems)


def examined(source: str | Path, overlays: Sequence[str | Path] = ()) -> Checked:
    """The same with the notes on a file that has no problems."""
    from lineconfig.catalog_loading import load_catalog

    try:
        if str(source) != "-" and Path(source).is_dir():
            return Checked(notes=load_catalog([*overlays, source]).notes)
        text, label = read_text(source)
        root, _ = read_tree(text, label)
        if _is_brief(root):
            from lineconfig.need_reading import need_of_text

            return Checked(notes=need_of_text(text, label, load_catalog(overlays)).notes)
        if label == STDIN:
            wrong = Problem(label, 0, "is not a brief: a brief begins with 'brief: 1'")
            return Checked((wrong,))
        return Checked(notes=load_catalog([*overlays, source]).notes)
    except InputError as error:
        return Checked(error.problems)


def _is_brief(root: Node) -> bool:
    """Whether a file means to be a brief, though it may lack its first key."""
    assert isinstance(root.value, dict)
    keys = root.value.keys()
    if "brief" in keys:
        return True
    # `formats` alone is a catalogue's key as well.
    return len(keys & _BRIEF_KEYS) > 1
