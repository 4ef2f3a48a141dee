"""Says in plain words what a schema found wrong: place, value found, what would be accepted."""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from lineconfig.errors import MOST_PROBLEMS, Problem, did_you_mean, shown
from lineconfig.reading import Node

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError

_FEW_KEYS = 24
"""As many known keys as are listed in a message."""


def problems_of(
    error: ValidationError, model: type[BaseModel], root: Node, name: str = ""
) -> list[Problem]:
    """The problems of one failed validation, each with its line.

    `name` is what the tree is called in messages, put before each path.
    """
    places = [_Place(details, model, root, name) for details in error.errors(include_url=False)]
    places = sorted((place for place in places if not place.refused), key=lambda p: p.node.line)
    # Nobody reads more than these, and looking for the nearest key takes its time.
    worded = [place.problem(place.text()) for place in places[:MOST_PROBLEMS]]
    return worded + [place.problem(place.label()) for place in places[MOST_PROBLEMS:]]


class _Place:
    """One error of the schema, looked up in the tree and in the schema."""

    def __init__(
        self, details: Mapping[str, Any], model: type[BaseModel], root: Node, name: str
    ) -> None:
        self.details = details
        self.context: dict[str, Any] = details.get("ctx", {})
        self.kind = details["type"]
        self.loc = [part for part in details["loc"] if part != "[key]"]
        self.node = root
        self.path: list[str | int] = []
        self.name = name
        self.refused = root.refused
        """Whether the value or one around it has been complained about already."""
        self.form: Any = model
        self.parent: Any = model
        for part in self.loc:
            below = self.node.child(part)
            if below is None:
                continue  # the name of a union's member, or a key that is missing
            self.node = below
            self.refused = self.refused or below.refused
            self.path.append(part)
            self.parent, self.form = self.form, form_below(self.form, part)

    def problem(self, text: str) -> Problem:
        """A problem at this place."""
        return self.node.problem(text)

    def label(self) -> str:
        """What the place is called in messages."""
        return label_of(self.path, self.name) or "the file"

    def text(self) -> str:
        """The message."""
        if self.kind == "missing":
            return self._missing()
        if self.kind == "extra_forbidden":
            return self._unknown_key()
        if self.node.value is None:
            return f"{self.label()} is empty: {self._accepted() or 'write a value'}"
        say = _SAYINGS.get(self.kind)
        if say is not None:
            return say(self)
        if self.kind == "value_error":
            return f"{self.label()}: {self._reason()}"
        return f"{self.label()}: {shown(self._written())} is not accepted{self._write()}"

    def _reason(self) -> str:
        if isinstance(self.node.value, bool) and self.node.written:
            return f"{self._yaml_reads()}{self._write()}"
        return str(self.context.get("error", "is not accepted"))

    def _written(self) -> object:
        value = self.node.value
        if isinstance(value, dict | list):
            return "a mapping of keys" if isinstance(value, dict) else "a list"
        return value

    def _found(self) -> str:
        """The value in the words of a sentence."""
        value = self.node.value
        if isinstance(value, dict):
            return "is a mapping of keys"
        if isinstance(value, list):
            return "is a list"
        if isinstance(value, bool):
            return f"is {self.node.written or value!s} (true or false)"
        if isinstance(value, str):
            return f"is the text {shown(value)}"
        return f"is the number {self.node.written or value!s}"

    def _yaml_reads(self) -> str:
        value = self.node.value
        as_what = str(value).lower() if isinstance(value, bool) else "a number"
        return f"a bare {self.node.written} is read by YAML as {as_what}"

    def _accepted(self) -> str:
        words = _form_words(self.form)
        return f"write {words}" if words else ""

    def _write(self) -> str:
        return f": {self._accepted()}" if self._accepted() else ""

    # --- one message for each kind of error ------------------------------------------------------

    def _missing(self) -> str:
        key = str(self.loc[-1])
        words = _form_words(form_below(self.form, key))
        return f"{label_of([*self.path, key], self.name)} is missing" + (
            f": write {words}" if words else ""
        )

    def _unknown_key(self) -> str:
        key = str(self.path[-1])
        known = keys_of(self.parent)
        where = label_of(self.path[:-1], self.name)
        message = f"unknown key {shown(key)}" + (f" in {where}" if where else "")
        message += did_you_mean(key, known)
        if len(known) <= _FEW_KEYS:
            message += f" (known: {', '.join(known)})"
        return message

    def _text_wanted(self) -> str:
        if isinstance(self.node.value, dict | list):
            return f"{self.label()} {self._found()}: write {_form_words(self.form) or 'one text'}"
        return f"{self.label()}: {self._yaml_reads()}: put it in quotes, '{self.node.written}'"

    def _mapping_wanted(self) -> str:
        keys = keys_of(self.form)
        with_keys = f" with the keys {', '.join(keys)}" if 0 < len(keys) <= _FEW_KEYS else ""
        return f"{self.label()} {self._found()}: a mapping{with_keys} is needed"

    def _list_wanted(self) -> str:
        return f"{self.label()} {self._found()}: a list is needed, each entry after '- ' or in [ ]"

    def _number_wanted(self) -> str:
        whole = "whole number" if self.kind.startswith("int") else "number"
        message = f"{self.label()} {self._found()}: a plain {whole} is needed, without a unit"
        value = self.node.value
        if isinstance(value, str):
            number = _leading_number(value)
            if number:
                message += f": write {number}"
        return message

    def _truth_wanted(self) -> str:
        return f"{self.label()} {self._found()}: write true or false"

    def _one_of(self) -> str:
        words = literal_words(self.form) or re.findall(r"'([^']*)'", self.context["expected"])
        message = f"{self.label()}: "
        written = self.node.written
        if isinstance(self.node.value, dict | list):
            message += f"{self._written()} is not accepted"
        else:
            quoted = shown(written) if isinstance(self.node.value, str) else written
            message += f"{quoted} is not accepted"
            message += did_you_mean(written, words)
        return f"{message}: write {_any_of(words)}"

    def _id_wanted(self) -> str:
        return (
            f"{self.label()}: {shown(self.node.value)} is not an id: ids are small letters and "
            "digits, joined by hyphens, such as can-355-standard"
        )

    def _out_of_range(self) -> str:
        bounds = {
            "greater_than": ("gt", "more than"), "greater_than_equal": ("ge", "at least"),
            "less_than": ("lt", "less than"), "less_than_equal": ("le", "at most"),
        }  # fmt: skip
        key, words = bounds[self.kind]
        return (
            f"{self.label()}: {self.node.written} is out of range: it must be {words} "
            f"{self.context[key]:,.12g}"
        )

    def _too_short(self) -> str:
        least = self.context.get("min_length", 1)
        return f"{self.label()} is empty: at least {least} is needed"

    def _too_long(self) -> str:
        what = "characters" if self.kind == "string_too_long" else "entries"
        return f"{self.label()} is too long: at most {self.context['max_length']} {what}"

    def _one_of_two_forms(self) -> str:
        return f"{self.label()} {self._found()}{self._write()}"


_SAYINGS: dict[str, Callable[[_Place], str]] = {
    "string_type": _Place._text_wanted,
    "model_type": _Place._mapping_wanted,
    "model_attributes_type": _Place._mapping_wanted,
    "dict_type": _Place._mapping_wanted,
    "list_type": _Place._list_wanted,
    "bool_type": _Place._truth_wanted,
    "bool_parsing": _Place._truth_wanted,
    "literal_error": _Place._one_of,
    "string_pattern_mismatch": _Place._id_wanted,
    "union_tag_not_found": _Place._one_of_two_forms,
    "union_tag_invalid": _Place._one_of_two_forms,
    **dict.fromkeys(
        ("int_type", "int_parsing", "int_from_float", "int_parsing_size", "float_type",
         "float_parsing", "finite_number"),
        _Place._number_wanted,
    ),
    **dict.fromkeys(
        ("greater_than", "greater_than_equal", "less_than", "less_than_equal"),
        _Place._out_of_range,
    ),
    **dict.fromkeys(("too_short", "string_too_short"), _Place._too_short),
    **dict.fromkeys(("too_long", "string_too_long"), _Place._too_long),
}  # fmt: skip


def label_of(path: Sequence[str | int], name: str = "") -> str:
    """A path as it is written in messages: `formats[2].supply`, entries counted from 1."""
    text = name
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            word = part if len(part) <= 60 else f"{part[:60]}..."
            text += f".{word}" if text else word
    return text.replace("\n", " ")


def keys_of(form: Any) -> list[str]:
    """The keys that a schema's mapping may have; none where any key may stand."""
    model = _model_in(form)
    if model is None:
        return []
    return [field.alias or name for name, field in model.model_fields.items()]


def literal_words(form: Any) -> list[str]:
    """The words of a literal."""
    for member in _members(form):
        if get_origin(member) is Literal:
            return [str(word) for word in get_args(member)]
    return []


def form_below(form: Any, part: str | int) -> Any:
    """The annotation of what stands under a key or at a place of a list."""
    if isinstance(part, str):
        model = _model_in(form)
        if model is None:
            return next((get_args(m)[1] for m in _members(form) if get_origin(m) is dict), None)
        for name, field in model.model_fields.items():
            if (field.alias or name) == part:
                return _Field(field.annotation, tuple(field.metadata))
        return None
    return next((get_args(m)[0] for m in _members(form) if get_origin(m) is list), None)


class _Field:
    """An annotation and what the schema says besides."""

    def __init__(self, annotation: Any, metadata: tuple[Any, ...]) -> None:
        self.annotation = annotation
        self.metadata = metadata

    @property
    def annotated(self) -> Any:
        """Both as one type."""
        if not self.metadata:
            return self.annotation
        return typing.Annotated[(self.annotation, *self.metadata)]


def _members(form: Any) -> Iterator[Any]:
    """An annotation's alternatives, stripped of what is only said about them."""
    if isinstance(form, _Field):
        form = form.annotation
    if get_origin(form) is typing.Annotated:
        yield from _members(get_args(form)[0])
    elif get_origin(form) in (typing.Union, types.UnionType):
        for member in get_args(form):
            yield from _members(member)
    else:
        yield form


def _model_in(form: Any) -> type[BaseModel] | None:
    from pydantic import BaseModel

    for member in _members(form):
        if isinstance(member, type) and issubclass(member, BaseModel):
            return member
    return None


def _form_words(form: Any) -> str:
    """How a value of this form is written; nothing where there is nothing helpful to say."""
    from lineconfig.fields import Form

    for said in _metadata(form):
        if isinstance(said, Form):
            return said.words
    words = literal_words(form)
    if words:
        return _any_of(words)
    for member in _members(form):
        if member is bool:
            return "true or false"
        if member in (int, float):
            return "a plain number"
        if get_origin(member) is list:
            return "a list, each entry after '- ' or in [ ]"
        keys = keys_of(member)
        if keys:
            few = f" with the keys {', '.join(keys)}" if len(keys) <= _FEW_KEYS else ""
            return f"a mapping{few}"
        if member is str:
            return "a text"
    return ""


def _metadata(form: Any) -> Iterator[Any]:
    if isinstance(form, _Field):
        yield from form.metadata
        yield from _metadata(form.annotation)
    elif get_origin(form) is typing.Annotated:
        yield from get_args(form)[1:]
        yield from _metadata(get_args(form)[0])
    elif get_origin(form) in (typing.Union, types.UnionType):
        for member in get_args(form):
            yield from _metadata(member)


def _any_of(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _leading_number(text: str) -> str:
    """The number that a text with separators or a unit means, as YAML reads it."""
    from lineconfig.quantities import parse_number

    match = re.match(r"\s*([+-]?[\d,. _]*\d)\s*[^\d]{0,20}$", text[:60])
    if not match:
        return ""
    try:
        number = parse_number(match[1])
    except ValueError:
        return ""
    return f"{number:.10g}"
