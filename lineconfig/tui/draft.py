"""The working brief: a text that is edited value by value, and where it is kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lineconfig.editing import Path as Place
from lineconfig.editing import with_value, without_value
from lineconfig.errors import InputError, Problem
from lineconfig.reading import read_tree
from lineconfig.tui.fields import Field, grouped
from lineconfig.wording import label_of

if TYPE_CHECKING:
    from lineconfig.brief import Brief
    from lineconfig.catalog import Catalog
    from lineconfig.need import Need

ORDER: dict[Place, tuple[str, ...]] = {
    (): (
        "brief", "name", "product", "speed", "formats", "operation", "site", "mobility", "staff",
        "rinse", "budget", "horizon", "discount_rate", "existing", "exclude", "require", "prefer",
        "growth",
    ),
    ("product",): ("kind", "carbonation", "fill_temperature", "heat_treatment"),
    ("operation",): ("hours_per_week", "weeks_per_year", "changeovers_per_week"),
    ("site",): ("ceiling", "length", "width", "door", "obstacles", "power", "water", "air"),
    ("formats",): ("container", "annual_cans", "speed", "supply"),
}  # fmt: skip


class Draft:
    """A brief in the making."""

    def __init__(self, text: str, path: Path | None = None) -> None:
        self.text = text
        self.path = path
        self.kept = text
        """The text as it was last opened or saved."""
        self._read: tuple[str, Any] = ("", {})

    @property
    def plain(self) -> Any:
        """The brief as plain data; empty where the text cannot be read."""
        if self._read[0] != self.text:
            try:
                self._read = (self.text, read_tree(self.text, "brief")[0].plain())
            except InputError:
                self._read = (self.text, {})
        return self._read[1]

    @property
    def changed(self) -> bool:
        """Whether there is anything that has not been saved."""
        return self.text != self.kept

    @property
    def name(self) -> str:
        """What the brief calls itself."""
        return str(self.plain.get("name") or "Unnamed brief")

    def value(self, path: Place) -> Any:
        """A value as it is written; None where there is none."""
        found = self.plain
        for part in path:
            try:
                found = found[part]
            except (KeyError, IndexError, TypeError):
                return None
        return found

    def shown(self, field: Field) -> str:
        """A field's value as text for an input."""
        value = self.value(field.path)
        if value is None:
            return ""
        if isinstance(value, int) and not isinstance(value, bool):
            return grouped(value)
        return str(value).lower() if isinstance(value, bool) else str(value)

    def put(self, path: Place, value: Any) -> None:
        """Write a value, or take it out where it is None."""
        if value is None:
            self.text = without_value(self.text, path)
        elif value != self.value(path):
            self.text = with_value(self.text, path, value, ORDER)

    def put_formats(self, containers: list[str]) -> None:
        """Run these containers of the catalogue; entries that stay are not touched.

        Containers that are described in the brief itself stay in any case.
        """
        entries = self.value(("formats",)) or []
        names = [_container_id(entry) for entry in entries]
        leaving = [
            place for place, name in enumerate(names) if name is not None and name not in containers
        ]
        for name in containers:
            if name not in names:
                self.put(("formats", len(names)), {"container": name})
                names.append(name)
        for place in reversed(leaving):
            self.put(("formats", place), None)

    def follow(self, before: Brief, after: Brief) -> None:
        """Write the values in which a brief differs from another as it was read."""
        for path, value in _differing(
            before.model_dump(by_alias=True), after.model_dump(by_alias=True)
        ):
            self.put(path, value)

    def need(self, catalog: Catalog) -> Need:
        """The brief settled.

        Raises InputError with every problem.
        """
        from lineconfig.need_reading import need_of_text

        return need_of_text(self.text, self.path.name if self.path else "brief", catalog)

    def problems(self, catalog: Catalog) -> tuple[Problem, ...]:
        """Everything that is wrong with the brief."""
        try:
            self.need(catalog)
        except InputError as error:
            return error.problems
        return ()

    def complaint(self, field: Field, catalog: Catalog) -> str:
        """What is wrong with one field as it stands in the brief; empty for nothing."""
        found = problem_for(field.path, self.problems(catalog))
        return found[1] if found else ""

    def save(self, path: Path | None = None) -> Path:
        """Write the brief to its file, all of it or nothing.

        Raises InputError where it cannot be written.
        """
        target = path or self.path
        assert target is not None
        write_whole(target, self.text)
        self.path, self.kept = target, self.text
        return target


def _container_id(entry: Any) -> str | None:
    """The id of an entry's container; None where it is described in place."""
    container = entry.get("container") if isinstance(entry, dict) else None
    return container if isinstance(container, str) else None


def _differing(before: Any, after: Any, path: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Paths at which two mappings differ, and the second one's values; lists differ as a whole."""
    if isinstance(before, dict) and isinstance(after, dict):
        for key in dict.fromkeys((*before, *after)):
            yield from _differing(before.get(key), after.get(key), (*path, key))
    elif before != after:
        yield path, _without_nothing(after)


def _without_nothing(value: Any) -> Any:
    """A value without keys that stand for nothing, as somebody would write it."""
    if isinstance(value, dict):
        return {k: _without_nothing(v) for k, v in value.items() if v is not None}
    if isinstance(value, list):
        return [_without_nothing(entry) for entry in value]
    return value


def write_whole(path: Path, text: str) -> None:
    """Write a file so that a reader sees the old or the new text, never half of it.

    Raises InputError where it cannot be written.
    """
    import os
    import tempfile

    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            if path.exists():
                Path(name).chmod(path.stat().st_mode & 0o777)
            else:
                umask = os.umask(0)
                os.umask(umask)
                Path(name).chmod(0o666 & ~umask)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "it is not a file name").lower()
        raise InputError.single(f"cannot be written: {reason}", file=str(path)) from None


def problem_for(path: Place, problems: Sequence[Problem]) -> tuple[Problem, str] | None:
    """The first problem that is about a value, and its text without the value's name."""
    label = label_of(path)
    for problem in problems:
        for lead in (f"{label}: ", f"{label} "):
            if problem.text.startswith(lead):
                return problem, problem.text.removeprefix(lead)
    return None
