"""Layouts, or briefs, side by side."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from lineconfig.commands import (
    ANSWERED,
    NO_LAYOUT,
    add_brief,
    add_catalog,
    add_json,
    add_view,
    command,
    enough_for,
    picked,
    print_json,
    print_no_layout,
    say_notes,
)
from lineconfig.errors import InputError

if TYPE_CHECKING:
    from lineconfig.changes import Answered


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "compare", run, "two or three layouts side by side, or two briefs",
        "lineconfig compare brief.yaml A B",
    )  # fmt: skip
    add_brief(parser)
    parser.add_argument(
        "layouts", nargs="*", metavar="RANK-OR-ID",
        help="ranks (1), letters of arrangements (A) or ids: two or three; A and B if left out",
    )  # fmt: skip
    parser.add_argument("--all", action="store_true", help="also what is the same for all")
    parser.add_argument(
        "--with", dest="other", metavar="BRIEF",
        help="another brief, or another version: what changed in and what changed out",
    )  # fmt: skip
    add_view(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    if arguments.other is not None:
        return _briefs(arguments)
    from lineconfig.compare import compare
    from lineconfig.present.compare import comparison_record, comparison_text
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    names = arguments.layouts or ["A", "B"]
    if not 2 <= len(names) <= 3:
        raise InputError.single(
            f"two or three layouts can be compared, found {len(names)}", file=arguments.brief
        )
    study = open_study(arguments.brief, arguments.catalog)
    say_notes(study.notes)
    top = max(enough_for(name) for name in names)
    answer = recommend(study, top=top, view=arguments.by)
    if answer.no_layout is not None:
        from lineconfig.present.records import no_layout_record

        record: dict[str, object] = {"layouts": [], "no_layout": no_layout_record(answer.no_layout)}
        return print_no_layout(answer.no_layout, record if arguments.json else None)
    layouts = [picked(study, answer, name, arguments.by, arguments.brief)[0] for name in names]
    found = compare(study, layouts)
    if arguments.json:
        from lineconfig.present.why import beside_record

        record = comparison_record(names, found) | beside_record(study, answer, layouts)
        print_json(record | {"no_layout": None})
    else:
        from lineconfig.present.why import beside_lines

        print(comparison_text(study, names, found, everything=arguments.all))
        print("\n".join(beside_lines(study, answer, layouts, names)))
    return ANSWERED


def _briefs(arguments: argparse.Namespace) -> int:
    from lineconfig.changes import Answered
    from lineconfig.compare import asked, changes
    from lineconfig.present.compare import asked_record, changes_record, changes_text
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    if arguments.layouts:
        raise InputError.single("`--with` compares briefs: name no layouts", file=arguments.brief)
    studies = [open_study(brief, arguments.catalog) for brief in (arguments.brief, arguments.other)]
    for study in studies:
        say_notes(study.notes)
    before, after = (recommend(study, view=arguments.by) for study in studies)
    found, differing = changes(before, after), asked(before.need, after.need)
    reasons = _reasons([Answered(*each) for each in zip(studies, (before, after), strict=True)])
    if arguments.json:
        from lineconfig.present.records import no_layout_record

        unmet = {"before": before.no_layout, "after": after.no_layout}
        print_json(
            {
                "asked": asked_record(differing),
                "changes": changes_record(found, reasons),
                "no_layout": {word: no_layout_record(each) for word, each in unmet.items()},
            }
        )
    else:
        print(changes_text(before, after, found, differing, reasons))
    return ANSWERED if found else NO_LAYOUT


def _reasons(sides: Sequence[Answered]) -> dict[str, str]:
    """Why kinds of arrangement came or went, for the first few of them."""
    from lineconfig.changes import ranking_changes, with_reasons

    before, after = sides
    told = with_reasons(ranking_changes(before, after), before, after)
    return {each.family: each.reason for each in told if each.move in ("new", "gone")}
