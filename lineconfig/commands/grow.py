"""The growth path."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import (
    ANSWERED,
    NO_LAYOUT,
    add_brief,
    add_catalog,
    add_json,
    command,
    print_json,
    say_notes,
)


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "grow", run, "what to buy now and what later as the need grows",
        "lineconfig grow brief.yaml",
    )  # fmt: skip
    add_brief(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.growth.plan import Blocked, plan_growth
    from lineconfig.growth.scenarios import plan_scenarios
    from lineconfig.present.growth import blocked_record, blocked_text, growth_record, growth_text
    from lineconfig.session import open_study

    study = open_study(arguments.brief, arguments.catalog)
    brief = "BRIEF" if arguments.brief == "-" else arguments.brief
    say_notes(study.notes)
    plan = plan_growth(study)
    if isinstance(plan, Blocked):
        if arguments.json:
            print_json(blocked_record(plan))
        else:
            print(blocked_text(plan))
        return NO_LAYOUT
    scenarios = plan_scenarios(study, plan)
    if isinstance(scenarios, Blocked):
        if arguments.json:
            print_json(blocked_record(scenarios))
        else:
            print(blocked_text(scenarios))
        return NO_LAYOUT
    if arguments.json:
        print_json(growth_record(plan, scenarios, brief))
    else:
        print(growth_text(plan, scenarios, brief))
    return ANSWERED
