"""What can go wrong with what the user wrote, and how it is said.

Every problem names the place (file, line), the value found and what would be accepted. Problems are
collected and raised together, so that one look at the output is enough to mend the whole file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

MOST_PROBLEMS = 100
"""More problems than this in one go help nobody; the rest are counted."""

_SHOWN_CHARACTERS = 60


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong in one place of one file."""

    file: str
    """The file's name as the user gave it; `<stdin>` for standard input."""
    line: int
    """The line, counted from 1; 0 where the whole file is meant."""
    text: str
    """What is wrong, and what would be accepted."""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.text}"


class LineconfigError(Exception):
    """The base of every error that lineconfig raises on purpose."""


class InputError(LineconfigError):
    """A brief, a catalogue or a command line that cannot be used; carries every problem found."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Problem, ...]]]:
        return type(self), (self.problems,)

    @classmethod
    def single(cls, text: str, *, file: str, line: int = 0) -> InputError:
        """An error of one problem."""
        return cls([Problem(file, line, text)])

    @classmethod
    def of(cls, problems: Iterable[Problem]) -> InputError:
        """An error of many problems: each once, in the order of the files' lines."""
        found = list(dict.fromkeys(problems))
        files = {file: place for place, file in enumerate(dict.fromkeys(p.file for p in found))}
        found.sort(key=lambda problem: (files[problem.file], problem.line))
        more = len(found) - MOST_PROBLEMS
        if more > 0:
            found[MOST_PROBLEMS:] = [Problem(found[0].file, 0, f"and {more} more problems")]
        return cls(found)


def shown(value: object) -> str:
    """A value as it is quoted in a message: in one line and not too long."""
    text = repr(value[: _SHOWN_CHARACTERS + 1] if isinstance(value, str) else value)
    return text if len(text) <= _SHOWN_CHARACTERS + 2 else f"{text[:_SHOWN_CHARACTERS]}..."


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """`; did you mean 'x'?` for the choice nearest to a word; nothing where none is near."""
    from difflib import get_close_matches

    near = get_close_matches(word.lower()[:_SHOWN_CHARACTERS], list(choices), n=1, cutoff=0.6)
    return f"; did you mean {near[0]!r}?" if near else ""
