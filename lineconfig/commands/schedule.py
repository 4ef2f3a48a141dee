"""The running order of formats."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import (
    ANSWERED,
    add_brief,
    add_catalog,
    add_json,
    add_view,
    add_year,
    command,
    enough_for,
    of_year,
    picked,
    print_json,
    print_no_layout,
    say_notes,
)


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "schedule", run, "in which order the formats run, and whether the hours suffice",
        "lineconfig schedule brief.yaml 1",
    )  # fmt: skip
    add_brief(parser)
    parser.add_argument(
        "layout", nargs="?", default="1", metavar="RANK-OR-ID",
        help="a rank (default: 1), the letter of an arrangement (A), or a layout's id",
    )  # fmt: skip
    parser.add_argument(
        "--cycle", type=_weeks, metavar="WEEKS",
        help="weeks in which every format comes up once (default: from the brief's changeovers a "
        "week, else the cheapest)",
    )  # fmt: skip
    add_view(parser)
    add_year(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.present.schedule import (
        no_schedule_record,
        schedule_record,
        schedule_text,
    )
    from lineconfig.rank import recommend
    from lineconfig.schedule.plan import schedule_of
    from lineconfig.session import open_study

    whole = open_study(arguments.brief, arguments.catalog)
    study = of_year(whole, arguments.year)
    say_notes(study.notes)
    answer = recommend(study, top=enough_for(arguments.layout), view=arguments.by)
    if answer.no_layout is not None:
        record = no_schedule_record(answer.no_layout) if arguments.json else None
        return print_no_layout(answer.no_layout, record)
    layout, _ = picked(
        study, answer, arguments.layout, arguments.by, arguments.brief, (whole, arguments.year)
    )
    schedule = schedule_of(study, layout, arguments.cycle)
    if arguments.json:
        print_json(schedule_record(schedule))
    else:
        print(schedule_text(schedule))
    return ANSWERED


def _weeks(text: str) -> float:
    try:
        weeks = float(text)
    except ValueError:
        weeks = 0.0
    if not 0 < weeks <= 520:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of weeks from above 0 to 520")
    return weeks
