"""A drawing of one layout: plan and elevation."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from lineconfig.commands import (
    ANSWERED,
    add_brief,
    add_catalog,
    add_layout,
    add_view,
    add_year,
    command,
    enough_for,
    of_year,
    picked,
    print_no_layout,
    say_notes,
)

PAPER_NAMES = ("letter", "a4", "a3", "tabloid")


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "draw", run, "plan and elevation of one layout, to scale",
        "lineconfig draw brief.yaml A --out line.svg",
    )  # fmt: skip
    add_brief(parser)
    add_layout(parser)
    parser.add_argument(
        "--out", required=True, metavar="FILE",
        help="what to write: FILE.svg to print, FILE.dxf for CAD; replaced where it exists",
    )  # fmt: skip
    parser.add_argument(
        "--what", choices=("plan", "elevation", "both", "stowed"), default="both",
        help="which view (default: both); stowed: packed away between runs, or on the vehicle",
    )  # fmt: skip
    parser.add_argument(
        "--paper", choices=PAPER_NAMES, default="letter", help="size of the page (default: letter)"
    )
    add_view(parser)
    add_year(parser)
    add_catalog(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.drawing.files import check_name, write_drawing
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    check_name(arguments.out)
    whole = open_study(arguments.brief, arguments.catalog)
    study = of_year(whole, arguments.year)
    say_notes(study.notes)
    wanted = arguments.layout
    answer = recommend(study, top=enough_for(wanted), view=arguments.by)
    if answer.no_layout is not None:
        return print_no_layout(answer.no_layout)
    layout, _ = picked(
        study, answer, wanted, arguments.by, arguments.brief, (whole, arguments.year)
    )
    remarks = write_drawing(study, layout, arguments.out, arguments.what, arguments.paper)
    for remark in remarks:
        print(f"lineconfig: {remark}", file=sys.stderr)
    return ANSWERED
