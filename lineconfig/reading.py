"""Reads a file that somebody wrote: text, then a tree with line numbers, then a schema's model.

Everything that is wrong is collected and raised once. Aliases (`*name`) are refused: a few lines
of them can unfold into gigabytes, and a brief has no use for them. Plain scalars are read as people
mean them rather than by YAML 1.1's letter: `1:30` and `0123` are texts, not 90 and 83.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from lineconfig.errors import InputError, Problem, shown

if TYPE_CHECKING:
    from pydantic import BaseModel

    Model = TypeVar("Model", bound=BaseModel)

MOST_BYTES = 1_000_000
MOST_LEVELS = 40
STDIN = "<stdin>"

_STR_TAGS = (None, "!", "tag:yaml.org,2002:str")
_WORDS: dict[str, bool | None] = {
    spelling: value
    for word, value in {
        "true": True, "yes": True, "on": True, "false": False, "no": False, "off": False,
        "null": None, "~": None,
    }.items()
    for spelling in (word, word.title(), word.upper())
} | {"": None}  # fmt: skip
_INT = re.compile(r"[+-]?(?:0|[1-9][0-9_]{0,17})")
_ENDS_IN_DIGIT = re.compile(r"^[+-]?[\d,. _]*\d$")
_REST_OF_NUMBER = re.compile(r"\d+(?:[.,]\d+)?(?:\s*[^\s\d:{}\[\]].{0,20})?$")
_FLOAT = re.compile(r"[+-]?(?:(?:0|[1-9][0-9]{0,30})\.[0-9]*|\.[0-9]+)(?:[eE][+-][0-9]{1,4})?")


# --- text ----------------------------------------------------------------------------------------


def read_text(source: str | Path) -> tuple[str, str]:
    """Read a file, or standard input for `-`: its text, and its name for messages.

    Raises InputError for a missing, unreadable, binary or overlong file.
    """
    if str(source) == "-":
        label, data = STDIN, _stdin_bytes()
    else:
        label = str(source)
        data = _file_bytes(Path(source), label)
    if len(data) > MOST_BYTES:
        raise InputError.single(
            f"is larger than {MOST_BYTES // 1_000_000} MB, so it is hardly a brief or a catalogue",
            file=label,
        )
    return _decoded(data, label), label


def _stdin_bytes() -> bytes:
    if sys.stdin is None:
        raise InputError.single("there is no standard input", file=STDIN)
    # A text stream without bytes below it stands in for standard input in notebooks and tests.
    stream = getattr(sys.stdin, "buffer", None)
    if stream is None:
        return sys.stdin.read(MOST_BYTES + 1).encode("utf-8", "surrogateescape")
    data: bytes = stream.read(MOST_BYTES + 1)
    return data


def _file_bytes(path: Path, label: str) -> bytes:
    try:
        if path.is_dir():
            raise InputError.single("is a folder, not a file", file=label)
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise InputError.single(f"there is no such file{_similar(path)}", file=label) from None
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise InputError.single(f"cannot be read: {reason}", file=label) from None
    except ValueError:  # a NUL in the name
        raise InputError.single("is not a file name", file=shown(label)) from None


def _similar(path: Path) -> str:
    from lineconfig.errors import did_you_mean

    try:
        names = [entry.name for entry in path.parent.iterdir()]
    except OSError:
        return ""
    return did_you_mean(path.name, names)


def _decoded(data: bytes, label: str) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError.single("is saved as UTF-16: save it as UTF-8", file=label)
    if b"\0" in data:
        raise InputError.single("is a binary file, not a text file", file=label)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError.single(
            f"is not UTF-8 text (byte 0x{data[error.start]:02x}): save it as UTF-8",
            file=label,
            line=data.count(b"\n", 0, error.start) + 1,
        ) from None


# --- tree ----------------------------------------------------------------------------------------


@dataclass(slots=True)
class Node:
    """One value of a file and where it stands."""

    file: str
    line: int
    """The line of the key, or of the value where it has none."""
    value: dict[str, Node] | list[Node] | str | int | float | bool | None
    written: str = ""
    """A scalar as it stands in the file."""
    refused: bool = False
    """Whether it has been complained about already."""

    def plain(self) -> Any:
        """The value without its places, for a schema."""
        value = self.value
        if isinstance(value, dict):
            return {key: node.plain() for key, node in value.items()}
        if isinstance(value, list):
            return [node.plain() for node in value]
        return value

    def at(self, path: Sequence[str | int]) -> Node:
        """The node at the end of a path; where it ends early, the last one there is."""
        node = self
        for part in path:
            below = node.child(part)
            if below is None:
                break
            node = below
        return node

    def child(self, part: str | int) -> Node | None:
        """The value under a key or at a place of a list."""
        if isinstance(self.value, dict):
            return self.value.get(part) if isinstance(part, str) else None
        if isinstance(self.value, list) and isinstance(part, int):
            return self.value[part] if 0 <= part < len(self.value) else None
        return None

    def problem(self, text: str) -> Problem:
        """A problem at this place."""
        return Problem(self.file, self.line, text)


def read_tree(text: str, file_label: str) -> tuple[Node, list[Problem]]:
    """Read YAML whose top is a mapping: the tree, and the problems that leave it readable.

    Raises InputError where there is no such tree: a syntax error, an empty file, a list.
    """
    builder = _TreeBuilder(file_label)
    root = builder.build(text)
    if root is None or (root.value is None and not root.written):
        what = "holds nothing but comments" if text.strip() else "is empty"
        builder.problems.append(Problem(file_label, 0, f"{what}: `lineconfig new` writes a brief"))
    elif not isinstance(root.value, dict) and not root.refused:
        builder.problems.append(
            root.problem(f"is {_kind(root.value)}, not keys with values such as 'brief: 1'")
        )
    if root is None or not isinstance(root.value, dict):
        raise InputError.of(builder.problems)
    return root, builder.problems


@dataclass(slots=True)
class _Open:
    """A mapping or list whose end has not come yet."""

    node: Node
    key: tuple[str, int] | None = None
    """The key that waits for its value, and its line."""
    flow: bool = False
    """Whether it is written in braces or brackets, where commas part the entries."""
    last: str = ""
    """The key of the last entry."""
    cut: dict[str, str] = field(default_factory=dict)
    """Values that a comma inside them cut in two, put together again, by key."""


class _TreeBuilder:
    """Builds the tree out of the parser's events, without recursion."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.root: Node | None = None
        self.open: list[_Open] = []

    def build(self, text: str) -> Node | None:
        import yaml

        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        try:
            for event in yaml.parse(text, Loader=loader):
                if not self._take(event, yaml):
                    break
        except (yaml.YAMLError, UnicodeEncodeError) as error:
            self.problems.append(self._syntax_problem(error, text))
            raise InputError.of(self.problems) from None
        return self.root

    def _take(self, event: Any, yaml: Any) -> bool:
        """Add what one event says; False where nothing behind it can be read."""
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event)
        elif isinstance(event, yaml.MappingStartEvent):
            return self._start(event, {})
        elif isinstance(event, yaml.SequenceStartEvent):
            return self._start(event, [])
        elif isinstance(event, yaml.CollectionEndEvent):
            self._close(self.open.pop())
        elif isinstance(event, yaml.AliasEvent):
            line = event.start_mark.line + 1
            self._complain(line, f"aliases such as '*{event.anchor}' are not read: write it out")
            self._attach(Node(self.file, line, None, refused=True))
        elif isinstance(event, yaml.DocumentStartEvent) and self.root is not None:
            self._complain(
                event.start_mark.line + 1, "'---' starts a second document: one per file"
            )
            return False
        return True

    def _scalar(self, event: Any) -> None:
        top = self.open[-1] if self.open else None
        line = event.start_mark.line + 1
        if top is not None and isinstance(top.node.value, dict) and top.key is None:
            top.key = (event.value, line)
            return
        value: Any = event.value
        if event.implicit[0]:
            value = _meant(value)
        node = Node(self.file, line, value, event.value)
        self._refuse_tag(event, node)
        self._attach(node)

    def _start(self, event: Any, value: dict[str, Node] | list[Node]) -> bool:
        line = event.start_mark.line + 1
        if len(self.open) >= MOST_LEVELS:
            self._complain(line, f"is nested more than {MOST_LEVELS} levels deep")
            raise InputError.of(self.problems)
        top = self.open[-1] if self.open else None
        if top is not None and isinstance(top.node.value, dict) and top.key is None:
            self._complain(
                line, "a list or mapping stands where a key is due: keys are plain words"
            )
            raise InputError.of(self.problems)
        node = Node(self.file, line, value)
        self._refuse_tag(event, node)
        self._attach(node)
        self.open.append(_Open(node, flow=bool(event.flow_style)))
        return True

    def _close(self, done: _Open) -> None:
        """Say which values of a mapping in braces were cut at a comma inside them."""
        assert isinstance(done.node.value, dict) or not done.cut
        for key, whole in done.cut.items():
            assert isinstance(done.node.value, dict)
            self._complain(
                done.node.value[key].line,
                f"{shown(key)}: {whole} is cut at the comma, which parts entries inside {{ }}: "
                f"{_without_comma(whole)}",
            )
            done.node.value[key].refused = True

    def _rejoined(self, top: _Open, key: str, node: Node) -> bool:
        """Whether a key without a value is the rest of the number before it: `{length: 3,8 m}`."""
        assert isinstance(top.node.value, dict)
        before = top.node.value.get(top.last)
        if not (top.flow and before is not None and node.value is None and not node.written):
            return False
        whole = top.cut.get(top.last, before.written)
        if not (_ENDS_IN_DIGIT.search(whole) and _REST_OF_NUMBER.match(key)):
            return False
        top.cut[top.last] = f"{whole},{key}"
        return True

    def _attach(self, node: Node) -> None:
        if not self.open:
            self.root = node
            return
        top = self.open[-1]
        if isinstance(top.node.value, list):
            top.node.value.append(node)
        elif isinstance(top.node.value, dict):
            if top.key is None:  # an alias as a key
                top.key = ("*", node.line)
                return
            key, node.line = top.key
            top.key = None
            if self._rejoined(top, key, node):
                return
            top.last = key
            first = top.node.value.setdefault(key, node)
            if first is not node:
                self._complain(
                    node.line, f"key {shown(key)} is written twice, first in line {first.line}"
                )

    def _refuse_tag(self, event: Any, node: Node) -> None:
        collection = not isinstance(node.value, str | int | float | bool | None)
        if event.tag not in _STR_TAGS and not (collection and event.implicit):
            node.refused = True
            tag = str(event.tag).replace("tag:yaml.org,2002:", "!!")
            self._complain(node.line, f"the YAML tag {shown(tag)} is not read: leave it out")

    def _complain(self, line: int, text: str) -> None:
        self.problems.append(Problem(self.file, line, text))

    def _syntax_problem(self, error: Any, text: str) -> Problem:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        said = " ".join(
            filter(None, (getattr(error, "context", ""), getattr(error, "problem", "")))
        )
        if mark is None:
            character = _unprintable(text)
            if character is not None:
                line, code = character
                return Problem(self.file, line, f"holds the control character 0x{code:02x}")
            return Problem(self.file, 0, "cannot be read as YAML")
        hint = next((hint for words, hint in _SYNTAX_HINTS.items() if words in said), "")
        if "start any token" in said and _tab_leads(text, mark.line):
            hint = " (indent with spaces, not with tabs)"
        if "nesting" in said:
            return Problem(
                self.file, mark.line + 1, f"is nested more than {MOST_LEVELS} levels deep"
            )
        line = min(mark.line, text.count("\n")) + 1
        return Problem(self.file, line, f"cannot be read as YAML: {said or 'syntax error'}{hint}")


_SYNTAX_HINTS = {
    "mapping values are not allowed": " (check the indentation, and put a text that holds ': ' in"
    " quotes)",
    "could not find expected ':'": " (a key is followed by a colon and a space)",
    "did not find expected key": " (check the indentation and the quotes of the lines above)",
    "found unexpected end of stream": " (a quote is not closed)",
}


def _meant(text: str) -> str | int | float | bool | None:
    """The value of a scalar that is not in quotes."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] in "+-.0123456789":
        if _INT.fullmatch(text):
            return int(text.replace("_", ""))
        if _FLOAT.fullmatch(text):
            return float(text)
    return text


def _without_comma(text: str) -> str:
    """How to write a quantity with a comma inside braces."""
    from lineconfig.quantities import parse_number

    number, unit = re.fullmatch(r"([+-]?[\d,. _]*\d)\s*(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
    try:
        plain = f"{parse_number(number):.15g}"
    except ValueError:
        return "write it with a point, or without the comma"
    return f"write {plain} {unit}, or '{text}' in quotes" if unit else f"write {plain}"


def _tab_leads(text: str, line: int) -> bool:
    """Whether a line, counted from 0, is indented with a tab."""
    lines = text.split("\n", line + 1)
    return line < len(lines) and "\t" in lines[line][: -len(lines[line].lstrip()) or None]


def _unprintable(text: str) -> tuple[int, int] | None:
    """Line and code of the first character that YAML does not allow."""
    for match in re.finditer(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]", text):
        return text.count("\n", 0, match.start()) + 1, ord(match[0])
    return None


def _kind(value: object) -> str:
    """What a value is, in plain words."""
    if isinstance(value, dict):
        return "a mapping of keys"
    if isinstance(value, list):
        return "a list"
    if value is None:
        return "empty"
    return f"the single value {shown(value)}"


# --- model ---------------------------------------------------------------------------------------


def read_model(model_class: type[Model], text: str, file_label: str) -> Model:
    """Read a text as a schema's model.

    Raises InputError with every problem of the file.
    """
    root, problems = read_tree(text, file_label)
    return model_of(model_class, root, problems)


def model_of(model_class: type[Model], root: Node, problems: Sequence[Problem] = ()) -> Model:
    """The model of a tree.

    Raises InputError with the problems given and those found.
    """
    found = list(problems)
    model = checked(model_class, root, found)
    if found or model is None:
        raise InputError.of(found)
    return model


def checked(
    model_class: type[Model], root: Node, problems: list[Problem], name: str = ""
) -> Model | None:
    """The model of a tree; None, and more problems, where the tree does not fit the schema.

    `name` is what the tree is called in messages.
    """
    from pydantic import ValidationError

    from lineconfig.wording import problems_of

    try:
        return model_class.model_validate(root.plain())
    except ValidationError as error:
        problems.extend(problems_of(error, model_class, root, name))
        return None


def leaves(node: Node, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Node]]:
    """Every scalar below a node with its path; the places of a list share one path."""
    if isinstance(node.value, dict):
        for key, below in node.value.items():
            yield from leaves(below, (*path, key))
    elif isinstance(node.value, list):
        for below in node.value:
            yield from leaves(below, path)
    else:
        yield path, node
