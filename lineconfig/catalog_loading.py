"""Reads the shipped catalogue and lays overlays over it.

Every file may hold `classes:` (with `function:` for all of them, or in each), `formats:` and
`economics:`. Entries are merged as trees that remember their file and line, and only then put to
the schema, so that a problem of the merged entry is reported where it was written.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from lineconfig.catalog import FUNCTIONS, Catalog, EquipmentClass
from lineconfig.catalog_checks import (
    class_problems,
    container_problems,
    currency_problems,
    economics_problems,
)
from lineconfig.containers import Container
from lineconfig.economics import Economics
from lineconfig.errors import InputError, Problem, did_you_mean, shown
from lineconfig.locate import catalog_dir
from lineconfig.overlay import entry_laid_over, files_of, price_notes
from lineconfig.reading import Node, checked, read_text, read_tree

FLOW: tuple[str, ...] = (*FUNCTIONS, "convey")
FILE_KEYS = ("function", "classes", "formats", "economics")


def load_catalog(overlays: Sequence[str | Path] = (), *, base: Path | None = None) -> Catalog:
    """Read the catalogue and its overlays, each a YAML file or a folder of them, in this order.

    `base` is the folder of the catalogue itself; left out, the one that is shipped.

    Raises InputError with every problem found.
    """
    draft = _Draft()
    folder = catalog_dir() if base is None else base
    for path in _shipped_files(folder):
        draft.add(path, f"catalog/{path.relative_to(folder).as_posix()}", shipped=True)
    for source in overlays:
        draft.begin()
        try:
            paths = files_of(source)
        except InputError as error:
            draft.problems += error.problems
            continue
        for path in paths:
            draft.add(path, str(path), shipped=False)
    return draft.finished()


def _shipped_files(folder: Path) -> list[Path]:
    equipment = sorted(
        (folder / "equipment").glob("*.yaml"),
        key=lambda path: (FLOW.index(path.stem) if path.stem in FLOW else len(FLOW), path.stem),
    )
    return [folder / "formats.yaml", folder / "economics.yaml", *equipment]


class _Draft:
    """A catalogue in the making: trees by id, and what is wrong so far."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.notes: list[Problem] = []
        self.sources: list[str] = []
        self.classes: dict[str, Node] = {}
        self.formats: dict[str, Node] = {}
        self.economics: Node | None = None
        self.begin()

    def begin(self) -> None:
        """Start a new overlay: from here on, an id may come once more."""
        self.seen: dict[tuple[str, str], Node] = {}

    def add(self, path: Path, label: str, *, shipped: bool) -> None:
        """Add one file."""
        self.sources.append(label)
        try:
            text, _ = read_text(path)
            root, problems = read_tree(text, label)
        except InputError as error:
            self.problems += [Problem(label, p.line, p.text) for p in error.problems]
            return
        self.problems += problems
        assert isinstance(root.value, dict)
        if _is_economics(root):
            self._add_economics(root, shipped)
            return
        function = self._function_of(root)
        for key, node in root.value.items():
            if key == "economics":
                self._add_economics(node, shipped)
            elif key == "classes":
                for entry in self._entries(node, key):
                    self._add_class(entry, function, shipped)
            elif key == "formats":
                for entry in self._entries(node, key):
                    self._add_entry(self.formats, entry, "format", shipped)
            elif key != "function":
                hint = did_you_mean(key, FILE_KEYS)
                if key == "brief":
                    hint = "; this is a brief, not a catalogue"
                self.problems.append(
                    node.problem(f"unknown key {shown(key)}{hint} (known: {', '.join(FILE_KEYS)})")
                )

    def _function_of(self, root: Node) -> Node | None:
        node = root.child("function")
        if node is None:
            return None
        if node.value not in FLOW:
            hint = did_you_mean(node.written, FLOW)
            self.problems.append(
                node.problem(
                    f"function: {shown(node.written)} is not a function{hint}: "
                    f"write one of {', '.join(FLOW)}"
                )
            )
            return None
        return node

    def _entries(self, node: Node, key: str) -> list[Node]:
        """The entries of a list that are mappings with an id."""
        if node.refused:
            return []
        if not isinstance(node.value, list):
            self.problems.append(
                node.problem(f"{key}: a list is needed, each entry after '- ' with an id")
            )
            return []
        found = []
        for place, entry in enumerate(node.value, 1):
            label = f"{key}[{place}]"
            name = entry.child("id")
            if entry.refused:
                continue
            if not isinstance(entry.value, dict):
                self.problems.append(entry.problem(f"{label}: a mapping with an id is needed"))
            elif name is None or name.value is None:
                self.problems.append(entry.problem(f"{label}.id is missing: write an id"))
            elif not isinstance(name.value, str):
                self.problems.append(
                    name.problem(
                        f"{label}.id: {shown(name.written)} is not an id: put it in quotes"
                    )
                )
            else:
                found.append(entry)
        return found

    def _add_class(self, entry: Node, function: Node | None, shipped: bool) -> None:
        assert isinstance(entry.value, dict)
        own = entry.value.get("function")
        name = str(entry.value["id"].value)
        known = self.classes.get(name)
        if own is None and function is not None:
            entry = Node(entry.file, entry.line, {**entry.value, "function": function})
        elif own is not None and function is not None and own.value != function.value:
            self.problems.append(
                own.problem(
                    f"{name}.function is {shown(own.written)}, but the file says "
                    f"{function.value!r} for all its classes"
                )
            )
            return
        stated = entry.child("function")
        if known is not None and stated is not None:
            before = known.child("function")
            if before is not None and stated.value != before.value:
                self.problems.append(
                    entry.problem(
                        f"{name} is a class of the function {before.value!r}, "
                        f"not of {stated.value!r}: a class keeps its function"
                    )
                )
                return
        self._add_entry(self.classes, entry, "class", shipped)

    def _add_entry(self, known: dict[str, Node], entry: Node, what: str, shipped: bool) -> None:
        assert isinstance(entry.value, dict)
        name = str(entry.value["id"].value)
        first = self.seen.setdefault((what, name), entry)
        if first is not entry:
            self.problems.append(
                entry.problem(
                    f"the {what} {shown(name)} is written twice, first in {first.file}:{first.line}"
                )
            )
            return
        if shipped:
            known[name] = entry
        elif name in known:
            self.notes += price_notes(known[name], entry)
            known[name] = entry_laid_over(known[name], entry)
        elif "name" not in entry.value:
            self.problems.append(
                entry.problem(
                    f"there is no {what} {shown(name)} to change{did_you_mean(name, known)} "
                    f"(a new {what} is written out in full, with its name)"
                )
            )
        else:
            known[name] = entry

    def _add_economics(self, node: Node, shipped: bool) -> None:
        if node.refused:
            return
        if not isinstance(node.value, dict):
            self.problems.append(
                node.problem("economics: a mapping is needed, as in the catalogue's economics.yaml")
            )
        elif shipped or self.economics is None:
            self.economics = node
        else:
            self.economics = entry_laid_over(self.economics, node)

    def finished(self) -> Catalog:
        """The catalogue; raises InputError where anything is wrong with it."""
        problems = self.problems
        containers: dict[str, Container] = {}
        classes: dict[str, EquipmentClass] = {}
        for name, node in self.formats.items():
            container = checked(Container, node, problems, name)
            if container is not None:
                containers[name] = container
        for name, node in self.classes.items():
            item = checked(EquipmentClass, node, problems, name)
            if item is not None:
                classes[name] = item
        economics = None
        if self.economics is not None:
            economics = checked(Economics, self.economics, problems, "economics")
        elif not problems:
            problems.append(Problem("catalog", 0, "holds no economics"))
        for name, container in containers.items():
            problems += container_problems(container, self.formats[name])
        # An id that is there but does not fit its schema is no unknown id.
        known = {**dict.fromkeys(self.classes), **classes}
        for name, item in classes.items():
            problems += class_problems(item, self.classes[name], known)
        if economics is not None and self.economics is not None:
            problems += economics_problems(economics, self.economics)
            problems += currency_problems(classes, self.classes, economics, self.economics)
        if problems or economics is None:
            raise InputError.of(problems)
        in_flow = sorted(classes.items(), key=lambda pair: FLOW.index(pair[1].function))
        return Catalog(containers, dict(in_flow), economics, tuple(self.sources), tuple(self.notes))


def _is_economics(root: Node) -> bool:
    """Whether a file is one like the catalogue's economics.yaml, without a key around it."""
    assert isinstance(root.value, dict)
    keys = {"first_cost", "tariffs", "habits", "defaults", "currency"}
    return not keys.isdisjoint(root.value) and set(FILE_KEYS).isdisjoint(root.value)
