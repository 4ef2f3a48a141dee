"""Changes single values in the text of a brief and leaves the rest as it stands.

Whoever wrote comments into a brief finds them again after a program has changed a number in it.
Only what YAML calls block and flow collections of plain keys is edited; where an edit does not come
out as it should, the whole brief is written anew instead, so that no value is ever lost.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from lineconfig.reading import read_tree

Path = tuple[str | int, ...]
"""Keys and places of lists that lead to a value."""


def with_value(
    text: str, path: Path, value: Any, order: Mapping[Path, Sequence[str]] | None = None
) -> str:
    """The text with one value changed or added.

    `order` names the keys of a mapping in the order in which a new one is put in, by the mapping's
    path (places of lists left out).

    Raises InputError where the text is no mapping of keys.
    """
    wanted = _plain_with(_plain(text), path, value)
    try:
        edited = _set(text, path, value, order or {})
    except _CannotEditError:
        edited = ""
    return edited if edited and _reads_as(edited, wanted) else _written_anew(wanted)


def without_value(text: str, path: Path) -> str:
    """The text without one key or entry, and without mappings that would be left empty.

    Raises InputError where the text is no mapping of keys.
    """
    plain = _plain(text)
    if not _holds(plain, path):
        return text
    while len(path) > 1 and len(_at(plain, path[:-1])) == 1:
        path = path[:-1]
    wanted = _plain_without(plain, path)
    try:
        edited = _removed(text, path)
    except _CannotEditError:
        edited = ""
    return edited if edited and _reads_as(edited, wanted) else _written_anew(wanted)


class _CannotEditError(Exception):
    """The text has a form that is not edited in place."""


# --- plain data ----------------------------------------------------------------------------------


def _plain(text: str) -> Any:
    return read_tree(text, "brief")[0].plain()


def _reads_as(text: str, wanted: Any) -> bool:
    from lineconfig.errors import InputError

    try:
        root, problems = read_tree(text, "brief")
    except InputError:
        return False
    return not problems and root.plain() == wanted


def _written_anew(plain: Any) -> str:
    import yaml

    written: str = yaml.safe_dump(plain, sort_keys=False, allow_unicode=True, width=90)
    return written


def _at(plain: Any, path: Path) -> Any:
    for part in path:
        plain = plain[part]
    return plain


def _holds(plain: Any, path: Path) -> bool:
    try:
        _at(plain, path)
    except (KeyError, IndexError, TypeError):
        return False
    return True


def _plain_with(plain: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    key, rest = path[0], path[1:]
    if isinstance(key, int):
        entries = list(plain) if isinstance(plain, list) else []
        if key >= len(entries):
            return [*entries, _plain_with(None, rest, value)]
        entries[key] = _plain_with(entries[key], rest, value)
        return entries
    keys = dict(plain) if isinstance(plain, dict) else {}
    keys[key] = _plain_with(keys.get(key), rest, value)
    return keys


def _plain_without(plain: Any, path: Path) -> Any:
    key, rest = path[0], path[1:]
    if isinstance(plain, list):
        return [
            _plain_without(entry, rest) if place == key else entry
            for place, entry in enumerate(plain)
            if place != key or rest
        ]
    return {
        name: _plain_without(entry, rest) if name == key else entry
        for name, entry in plain.items()
        if name != key or rest
    }


# --- text ----------------------------------------------------------------------------------------


def _compose(text: str) -> Any:
    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return yaml.compose(text, Loader=loader)


def _end(node: Any) -> int:
    """Where a node's own text ends; a block collection's mark stands behind comments."""
    import yaml

    if isinstance(node, yaml.ScalarNode) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(last[1] if isinstance(last, tuple) else last)


def _flow(value: Any) -> str:
    """A value in one line, as it stands behind a key."""
    import yaml

    written: str = yaml.safe_dump(
        value, default_flow_style=True, sort_keys=False, allow_unicode=True, width=10_000
    )
    return written.removesuffix("\n").removesuffix("\n...")


def _below(value: Any, indent: int) -> str:
    """A value behind the colon of a key: lists of mappings one entry a line."""
    if isinstance(value, list) and value and all(isinstance(entry, dict) for entry in value):
        lead = "\n" + " " * (indent + 2) + "- "
        return "".join(lead + _flow(entry) for entry in value)
    return " " + _flow(value)


def _find(text: str, path: Path) -> tuple[Any, Path]:
    """The deepest node on a path, and the part of the path that it does not have."""
    import yaml

    node = _compose(text)
    for place, part in enumerate(path):
        below = None
        if isinstance(node, yaml.MappingNode) and isinstance(part, str):
            below = next((v for k, v in node.value if k.value == part), None)
        elif isinstance(node, yaml.SequenceNode) and isinstance(part, int):
            below = node.value[part] if part < len(node.value) else None
        if below is None:
            return node, path[place:]
        node = below
    return node, ()


def _set(text: str, path: Path, value: Any, order: Mapping[Path, Sequence[str]]) -> str:
    import yaml

    node, missing = _find(text, path)
    if not missing:
        return _replaced(text, path, node, value)
    nested: Any = value
    for part in reversed(missing[1:]):
        nested = [nested] if isinstance(part, int) else {part: nested}
    if isinstance(node, yaml.MappingNode) and isinstance(missing[0], str):
        known = order.get(tuple(p for p in path[: len(path) - len(missing)] if isinstance(p, str)))
        return _with_key(text, node, missing[0], nested, known or ())
    if isinstance(node, yaml.SequenceNode) and node.value and not node.flow_style:
        last = node.value[-1]
        end = _line_end(text, _end(last))
        return f"{text[:end]}\n{' ' * node.start_mark.column}- {_flow(nested)}{text[end:]}"
    entry = [nested] if isinstance(missing[0], int) else {missing[0]: nested}
    if isinstance(node, yaml.ScalarNode):  # a key without a value
        return _replaced(text, path[: len(path) - len(missing)], node, entry)
    if isinstance(node, yaml.SequenceNode):
        inner = text[node.start_mark.index + 1 : node.end_mark.index - 1].strip()
        joined = ", ".join(filter(None, (inner, _flow(nested))))
        return f"{text[: node.start_mark.index]}[{joined}]{text[node.end_mark.index :]}"
    raise _CannotEditError


def _replaced(text: str, path: Path, node: Any, value: Any) -> str:
    start, end = node.start_mark.index, _end(node)
    if isinstance(value, list | dict):
        parent, _ = _find(text, path[:-1])
        keys = parent.value if path and isinstance(path[-1], str) else []
        key = next((k for k, _ in keys if k.value == path[-1]), None)
        if key is not None and not parent.flow_style:
            colon = text.index(":", key.end_mark.index)
            if "\n" in text[start:end]:  # what stands behind the last entry spoke of that entry
                end = _line_end(text, end)
            return text[: colon + 1] + _below(value, key.start_mark.column) + text[end:]
    blank = " " if start == end and text[start - 1 : start] == ":" else ""
    return text[:start] + blank + _flow(value) + text[end:]


def _with_key(text: str, node: Any, key: str, value: Any, order: Sequence[str]) -> str:
    if node.flow_style:
        inner = text[node.start_mark.index + 1 : node.end_mark.index - 1].strip()
        entry = _flow({key: value})[1:-1]
        joined = ", ".join(filter(None, (inner, entry)))
        return f"{text[: node.start_mark.index]}{{{joined}}}{text[node.end_mark.index :]}"
    before = set(order[: list(order).index(key)]) if key in order else set()
    place = max((i for i, (k, _) in enumerate(node.value) if k.value in before), default=None)
    if place is None:
        place = len(node.value) - 1
    indent = node.start_mark.column
    end = _line_end(text, _end(node.value[place][1]))
    return f"{text[:end]}\n{' ' * indent}{key}:{_below(value, indent)}{text[end:]}"


def _line_end(text: str, index: int) -> int:
    end = text.find("\n", index)
    return len(text) if end < 0 else end


def _removed(text: str, path: Path) -> str:
    import yaml

    parent, missing = _find(text, path[:-1])
    if missing:
        raise _CannotEditError
    pairs = (
        [(k, v) for k, v in parent.value]
        if isinstance(parent, yaml.MappingNode)
        else [(v, v) for v in parent.value]
    )
    place = next(
        i for i, (k, _) in enumerate(pairs)
        if (i == path[-1] if isinstance(path[-1], int) else k.value == path[-1])
    )  # fmt: skip
    start, end = pairs[place][0].start_mark.index, _end(pairs[place][1])
    if parent.flow_style:
        if place + 1 < len(pairs):
            return text[:start] + text[pairs[place + 1][0].start_mark.index :]
        if place:
            return text[: _end(pairs[place - 1][1])] + text[end:]
        return text[:start] + text[end:]
    line = text.rfind("\n", 0, start) + 1
    lead = text[line:start].strip()
    if lead == ("-" if isinstance(parent, yaml.SequenceNode) else ""):
        return text[:line] + text[_line_end(text, end) + 1 :]
    if place + 1 < len(pairs):  # the first key of an entry, behind its dash
        return text[:start] + text[pairs[place + 1][0].start_mark.index :]
    raise _CannotEditError
