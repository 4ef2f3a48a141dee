"""Ranked layouts for a brief."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import (
    ANSWERED,
    MOST_TOP,
    NO_LAYOUT,
    add_brief,
    add_catalog,
    add_json,
    add_view,
    add_year,
    command,
    of_year,
    print_json,
    say_notes,
)


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "recommend", run, "ranked layouts for a brief",
        "lineconfig recommend brief.yaml --by people --top 5",
    )  # fmt: skip
    add_brief(parser)
    parser.add_argument(
        "--top", type=_top, default=10, metavar="N", help="how many layouts (default 10)"
    )
    parser.add_argument(
        "--unbeaten", action="store_true",
        help="also every layout that no other beats in first cost, floor, changeover, speed and "
        "labour at once (takes seconds)",
    )  # fmt: skip
    add_view(parser)
    add_year(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    study = of_year(open_study(arguments.brief, arguments.catalog), arguments.year)
    say_notes(study.notes)
    answer = recommend(study, top=arguments.top, view=arguments.by)
    if arguments.json:
        from lineconfig.present.records import recommendation_record

        record = recommendation_record(study, answer)
        if answer.layouts:
            from lineconfig.present.why import Explained, why_first_record

            record |= why_first_record(Explained(study, answer))
        if study.need.phases:
            from lineconfig.growth.carrying import carried
            from lineconfig.present.later import later_records

            record["later_years"] = later_records(carried(study, answer.known))
        if arguments.unbeaten:
            from lineconfig.present.unbeaten import unbeaten_records

            record["unbeaten"] = unbeaten_records(study, study.unbeaten())
        print_json(record)
    else:
        from lineconfig.present.recommendation import recommendation_text

        # Shown at once: tracing what changes the answer takes as long again.
        print(recommendation_text(study, answer), flush=True)
        if answer.layouts:
            from lineconfig.present.why import Explained, why_first_lines

            print("\n".join(why_first_lines(Explained(study, answer))))
        if arguments.unbeaten and answer.layouts:
            from lineconfig.present.unbeaten import unbeaten_text

            print(unbeaten_text(study, study.unbeaten()))
    return ANSWERED if answer.layouts else NO_LAYOUT


def _top(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_TOP:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 1 to {MOST_TOP}")
    return int(text)
