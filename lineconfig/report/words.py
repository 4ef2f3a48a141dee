"""Words of document and workbook: English in `en.yaml`, which a language file may replace."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from string import Formatter

from lineconfig.errors import InputError, Problem, did_you_mean
from lineconfig.reading import Node, read_text, read_tree

ENGLISH = Path(__file__).with_name("en.yaml")
SHEET = "sheet."
"""Begins the keys of the names of sheets."""
SAID = "said."
"""Begins the keys of sentences that the engine makes."""
MOST_IN_SHEET = 31
MOST_NAMED = 5
"""Keys that a note names."""
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_NOT_IN_SHEET = re.compile(r"[\[\]:*?/\\\x00-\x1f]|^'|'$|^\s|\s$")


class Words:
    """Sentences and headings by their key."""

    def __init__(self, texts: Mapping[str, str], notes: Sequence[Problem] = ()) -> None:
        self._texts = texts
        self.notes = tuple(notes)
        """What a language file leaves in English."""

    def __call__(self, key: str, **values: object) -> str:
        """The words of a key with values in their places.

        Raises KeyError for an unknown key.
        """
        return self._texts[key].format(**values)

    def of(self, group: str, name: str) -> str:
        """The word for a name that the catalogue or the engine uses; that name where none is."""
        key = f"{group}.{name.replace(' ', '-').replace('_', '-')}"
        return self._texts.get(key, self._texts.get(f"{group}.{name}", name))

    def said(self, text: str) -> str:
        """A sentence of the engine in these words: found by its English, its values kept; the
        sentence itself where the list does not have it."""
        for key, pattern in _sentences():
            found = pattern.fullmatch(text)
            if found is not None:
                return self(key, **found.groupdict())
        return text

    def text(self, key: str) -> str:
        """The words of a key as they are written, places for values included."""
        return self._texts[key]

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key there is."""
        return tuple(self._texts)


@cache
def _sentences() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """The engine's sentences that the list has, as patterns for them."""
    return tuple(
        (key, re.compile(_pattern(text)))
        for key, text in _english().items()
        if key.startswith(SAID)
    )


def _pattern(template: str) -> str:
    return "".join(
        re.escape(literal) + (f"(?P<{name}>.+?)" if name else "")
        for literal, name, _, _ in Formatter().parse(template)
    )


def load_words(file: str | None = None) -> Words:
    """English, with what a language file replaces.

    Raises InputError with every line of the file that cannot be used.
    """
    english = _english()
    if file is None:
        return Words(english)
    root, problems = read_tree(*read_text(file))
    found = list(problems)
    texts = dict(english)
    if not isinstance(root.value, dict):
        found.append(Problem(root.file, root.line, "is not a map of headings as in en.yaml"))
    lines: dict[str, int] = {}
    for key, node in _leaves(root):
        lines[key] = node.line
        text = node.written if not isinstance(node.value, str) else node.value
        if key not in english:
            found.append(
                Problem(node.file, node.line, f"no such words: {key}{did_you_mean(key, english)}")
            )
        elif isinstance(node.value, list) or not text:
            found.append(Problem(node.file, node.line, f"{key} must be a text"))
        else:
            wrong = _misfit(text, english[key])
            if wrong:
                found.append(Problem(node.file, node.line, f"{key}: {wrong}"))
            texts[key] = text
    found += [Problem(root.file, lines.get(key, 0), text) for key, text in _sheet_misfits(texts)]
    if found:
        raise InputError.of(found)
    left = [key for key in english if key not in lines]
    return Words(texts, [_left_note(root, left, len(english))] if left else [])


def _left_note(root: Node, left: Sequence[str], count: int) -> Problem:
    shown = ", ".join(left[:MOST_NAMED])
    if len(left) > MOST_NAMED:
        shown += f" and {len(left) - MOST_NAMED} more"
    return Problem(root.file, 0, f"{len(left)} of {count} words stay English: {shown}")


def _sheet_misfits(texts: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What no workbook takes as the name of a sheet."""
    taken: dict[str, str] = {}
    for key, text in texts.items():
        if not key.startswith(SHEET):
            continue
        name = text.casefold()
        if len(text) > MOST_IN_SHEET or _NOT_IN_SHEET.search(text) or name == "history":
            yield (
                key,
                (
                    f"{key}: {text!r} cannot name a sheet: at most {MOST_IN_SHEET} characters, "
                    "none of [ ] : * ? / \\, no apostrophe at its ends, and not 'History'"
                ),
            )
        elif name in taken:
            yield key, f"{key}: {taken[name]} has the same name: {text!r}"
        taken.setdefault(name, key)


def raised(text: str) -> str:
    """A text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


@cache
def _english() -> dict[str, str]:
    root, problems = read_tree(ENGLISH.read_text(encoding="utf-8"), ENGLISH.name)
    assert not problems, problems
    return {key: str(node.value) for key, node in _leaves(root)}


def _leaves(node: Node, path: str = "") -> Iterator[tuple[str, Node]]:
    if isinstance(node.value, dict):
        for name, below in node.value.items():
            yield from _leaves(below, f"{path}.{name}" if path else str(name))
    elif path:
        yield path, node


def _misfit(text: str, english: str) -> str:
    """What is wrong with the places for values in a replaced text; empty where nothing is."""
    known = {name for _, name, _, _ in Formatter().parse(english) if name is not None}
    try:
        parts = list(Formatter().parse(text))
    except ValueError:
        return "has a brace without its counterpart; write {{ or }} for one that is meant"
    for _, name, spec, conversion in parts:
        if name is None:
            continue
        if not _NAME.fullmatch(name) or spec or conversion or name not in known:
            places = ", ".join(f"{{{place}}}" for place in sorted(known)) or "none"
            return f"has a place that is not filled: {{{name}}}; there are: {places}"
    return ""
