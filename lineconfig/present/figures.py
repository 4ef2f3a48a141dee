"""Figures: the flat list of everything a catalogue entry states, each with its basis."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from lineconfig.catalog import Catalog
from lineconfig.present.spoken import entry_text, plain_value

NOT_FIGURES = frozenset(
    (
        "id", "name", "summary", "function", "absent", "basis", "kind", "closing", "traits",
        "cautions", "supply_form", "medium", "place", "treatment",
    )
)  # fmt: skip
"""Keys that hold words, not figures: what a thing is, not how much."""


def class_figures(catalog: Catalog, class_id: str) -> list[tuple[str, str, str]]:
    """Path, value as written and basis of every figure of a class.

    Raises KeyError for a class that the catalogue does not have.
    """
    equipment = catalog.classes[class_id]
    plain = equipment.model_dump(by_alias=True, exclude_unset=True)
    figures = [
        (path, value, catalog.basis(class_id, path)) for path, value in _leaves(plain) if value
    ]
    cautions = [(f"caution {item.code}", item.text, item.basis) for item in equipment.cautions]
    return figures + cautions


def container_figures(catalog: Catalog, container_id: str) -> list[tuple[str, str, str]]:
    """Path, value as written and basis of every figure of a container."""
    plain = catalog.containers[container_id].model_dump(by_alias=True, exclude_unset=True)
    return [
        (path, value, catalog.container_basis(container_id, path))
        for path, value in _leaves(plain)
        if value
    ]


def _leaves(plain: Mapping[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    for key, value in plain.items():
        if not path and key in NOT_FIGURES:
            continue
        here = f"{path}.{key}" if path else key
        if isinstance(value, Mapping):
            yield from _leaves(value, here)
        elif _are_entries(value):
            for item in value:
                below = {k: v for k, v in item.items() if _are_entries(v)}
                yield here, entry_text(here, {k: v for k, v in item.items() if k not in below})
                yield from _leaves(below, here)
        else:
            yield here, _text(value)


def _are_entries(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], Mapping)


def _text(value: Any) -> str:
    if isinstance(value, Mapping):
        return "/".join(_text(item) for item in value.values())
    if isinstance(value, list):
        return ", ".join(_text(item) for item in value)
    return "" if value is None else plain_value(value)
