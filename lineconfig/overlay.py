"""Lays one tree of a catalogue over another: maps merge, lists and single values are replaced.

A figure that an overlay changes loses the basis that the catalogue gave it. Where the overlay gives
none of its own, its file's name is the basis, so that a price of the client's is never shown as
one of the catalogue's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from lineconfig.catalog import DEFAULT_BASIS, basis_in
from lineconfig.errors import InputError, Problem
from lineconfig.reading import Node, leaves

SUFFIXES = (".yaml", ".yml")

NOT_FIGURES = frozenset(
    ("id", "name", "summary", "function", "absent", "supply_form", "medium", "place", "treatment",
     "kind", "closing", "traits", "cautions", "currency", "basis")
)  # fmt: skip
"""Keys that say what a thing is, rather than how much; cautions carry a basis of their own."""


def files_of(source: str | Path) -> list[Path]:
    """The YAML files of an overlay: the file itself, or those of a folder in order of name.

    Raises InputError for a folder without any, or one that cannot be read.
    """
    folder = Path(source)
    try:
        if str(source) == "-" or not folder.is_dir():
            return [folder]
        found = sorted(path for path in folder.rglob("*") if _is_overlay(path, folder))
    except (OSError, ValueError):
        return [folder]  # reading it says why not
    if not found:
        raise InputError.single("is a folder without any .yaml file", file=str(source))
    return found


def _is_overlay(path: Path, folder: Path) -> bool:
    hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
    return path.suffix.lower() in SUFFIXES and not hidden and path.is_file()


def laid_over(base: Node, over: Node) -> Node:
    """`base` with what `over` says; places are those of the overlay wherever it says anything."""
    if not (isinstance(base.value, dict) and isinstance(over.value, dict)):
        return over
    merged = dict(base.value)
    for key, node in over.value.items():
        merged[key] = laid_over(merged[key], node) if key in merged else node
    return Node(over.file, over.line, merged)


def entry_laid_over(base: Node, entry: Node) -> Node:
    """A class, a format or the economics of the catalogue with what an overlay's entry says.

    Each figure that the entry states has the entry's basis, or the name of its file.
    """
    assert isinstance(base.value, dict) and isinstance(entry.value, dict)
    stated = entry.child("basis")
    own = {} if stated is None else stated.value
    if not isinstance(own, dict):
        return laid_over(base, entry)  # the schema complains
    words = {key: node.written for key, node in own.items()}
    # An overlay's default serves its own figures, not those of the catalogue below.
    kept = {key: node for key, node in own.items() if key != DEFAULT_BASIS}
    below = base.child("basis")
    basis = dict(below.value) if below is not None and isinstance(below.value, dict) else {}
    basis |= kept
    merged_words = {key: node.written for key, node in basis.items()}
    for path in figure_paths(entry):
        named = ".".join(path)
        wanted = _basis_or_none(words, named) or f"{Path(entry.file).name}, which gives no basis"
        if _basis_or_none(merged_words, named) != wanted:
            basis[named] = Node(entry.file, entry.line, wanted, wanted)
    merged = laid_over(base, entry)
    assert isinstance(merged.value, dict)
    where = stated or below or entry
    merged.value["basis"] = Node(where.file, where.line, basis)
    return merged


ON_TOP = {"area_price": "for each square metre of belt", "price_per_track": "for each track"}
"""Prices of a class that are added to its `price`."""


def price_notes(base: Node, entry: Node) -> Iterator[Problem]:
    """What an overlay's `price` leaves on top of itself, where that may not be meant."""
    price = entry.child("price")
    if price is None:
        return
    for key, words in ON_TOP.items():
        below = base.child(key)
        if below is not None and below.value is not None and entry.child(key) is None:
            typical = (below.child("typical") or below).written
            name = entry.at(("id",)).written
            nothing = f"0 {typical.split()[-1]}" if typical else "0"
            yield price.problem(
                f"{name}.price: the catalogue's {key} ({typical} {words}) is added on top of it; "
                f"where the quotation covers everything, write '{key}: {nothing}' beside it"
            )


def _basis_or_none(basis: Mapping[str, str], path: str) -> str | None:
    try:
        return basis_in(basis, path)
    except KeyError:
        return None


def figure_paths(entry: Node) -> Iterable[tuple[str, ...]]:
    """The paths of the figures that an entry states, each once."""
    assert isinstance(entry.value, dict)
    found: dict[tuple[str, ...], None] = {}
    for key, node in entry.value.items():
        if key not in NOT_FIGURES:
            found.update((path, None) for path, leaf in leaves(node, (key,)) if leaf.written)
    return found
