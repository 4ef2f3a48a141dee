"""The commands, one module each: `add(commands)` states the arguments, `run` does the work.

Each module imports its own work when it runs, so that `--help` costs nothing. What several commands
share is here.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lineconfig.brief import View
    from lineconfig.errors import Problem
    from lineconfig.explain import NoLayout
    from lineconfig.layout import Layout
    from lineconfig.rank import Ranked, Recommendation
    from lineconfig.session import Study

ANSWERED, NO_LAYOUT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130
"""Exit statuses."""
MOST_YEARS = 50
"""The last year that a growth plan can name."""
MOST_TOP = 1000
"""Layouts that can be asked for at once."""
VIEW_NAMES = ("life-cycle-cost", "first-cost", "people", "floor", "changeover")


def command(
    commands: Any, name: str, run: Callable[[argparse.Namespace], int], what: str, example: str
) -> argparse.ArgumentParser:
    """Add a command with its help and an example."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=what, description=what[0].upper() + what[1:] + ".", epilog=f"example: {example}"
    )
    parser.set_defaults(run=run)
    return parser


def add_brief(parser: argparse.ArgumentParser) -> None:
    """The argument for a brief."""
    parser.add_argument("brief", metavar="BRIEF", help="a brief, or - for standard input")


def add_layout(parser: argparse.ArgumentParser) -> None:
    """The argument for one layout."""
    parser.add_argument(
        "layout", metavar="RANK-OR-ID",
        help="a rank (1), the letter of an arrangement (A), or a layout's id",
    )  # fmt: skip


def add_view(parser: argparse.ArgumentParser) -> None:
    """The option for the order of ranking."""
    parser.add_argument(
        "--by", choices=VIEW_NAMES, metavar="VIEW",
        help=f"order: {', '.join(VIEW_NAMES)} (default: what the brief prefers)",
    )  # fmt: skip


def add_year(parser: argparse.ArgumentParser) -> None:
    """The option for a later year of a brief that grows."""
    parser.add_argument(
        "--year", type=_year, metavar="N",
        help="the need of this year of the growth plan, without the budget (default: today's)",
    )  # fmt: skip


def _year(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_YEARS:
        raise argparse.ArgumentTypeError(f"{text!r} is not a year from 1 to {MOST_YEARS}")
    return int(text)


def of_year(study: Study, year: int | None) -> Study:
    """The study of a year of the growth plan; the same study where none is asked for.

    Raises InputError for a year beyond the horizon.
    """
    if year is None:
        return study
    from lineconfig.growth.opening import study_of_year

    opened = study_of_year(study, year)
    print(
        f"lineconfig: note: {opened.need.brief.name}: costed as if bought whole and new then, over "
        f"the {opened.need.horizon_years:g} years that are left, without a budget; `lineconfig "
        "grow` tells what is kept of the line before",
        file=sys.stderr,
    )
    return opened


def add_catalog(parser: argparse.ArgumentParser) -> None:
    """The option for overlays."""
    parser.add_argument(
        "--catalog", action="append", default=[], metavar="PATH",
        help="an overlay of own classes or prices: a YAML file or a folder; may be repeated",
    )  # fmt: skip


def add_json(parser: argparse.ArgumentParser) -> None:
    """The option for JSON."""
    parser.add_argument("--json", action="store_true", help="print JSON instead of text")


def print_json(record: object) -> None:
    """Print one record."""
    import json

    print(json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False))


def print_no_layout(nothing: NoLayout, record: object = None) -> int:
    """Print why nothing fits, or the record of it where there is one; the exit status."""
    if record is not None:
        print_json(record)
    else:
        from lineconfig.present.nothing import no_layout_lines

        print("\n".join(no_layout_lines(nothing)))
    return NO_LAYOUT


def say_notes(notes: Iterable[Problem]) -> None:
    """Print on stderr what is odd in the input but taken as it stands."""
    for note in notes:
        print(f"lineconfig: note: {note}", file=sys.stderr)


def picked(
    study: Study,
    answer: Recommendation,
    wanted: str,
    view: View | None,
    file: str,
    growing: tuple[Study, int | None] | None = None,
) -> tuple[Layout, Ranked | None]:
    """The layout of a rank, an arrangement's letter or an id, and its place if it is shown.

    With the study of a whole brief that grows and a year of it (`growing`), an id may also be that
    of a line which the growth plan names for that year. Raises InputError that names the ranks and
    letters there are.
    """
    from lineconfig.errors import InputError
    from lineconfig.rank import LETTERS

    ranked = answer.pick(wanted)
    if ranked is not None:
        return ranked.layout, ranked
    by_id = not wanted.isdecimal() and len(wanted) > 1
    layout: Layout | None = None
    if by_id and growing is not None and growing[1] is not None:
        from lineconfig.growth.opening import planned_line

        layout = planned_line(growing[0], growing[1], wanted)
    if by_id and layout is None:
        layout = study.by_id(wanted, view)
    if layout is None:
        letters = LETTERS[: len(answer.arrangements)]
        kinds = f"{letters[0]} to {letters[-1]}" if len(letters) > 1 else letters
        raise InputError.single(
            f"no layout {wanted!r}: write a rank from 1, the letter of an arrangement ({kinds} "
            "here), or an id that `lineconfig recommend` prints",
            file=file,
        )
    return layout, None


def enough_for(wanted: str) -> int:
    """How many layouts to rank so that the one wanted is among them."""
    from lineconfig.session import DEFAULT_TOP

    asked = int(wanted) if wanted.isdecimal() and int(wanted) <= MOST_TOP else 0
    return max(asked, DEFAULT_TOP)
