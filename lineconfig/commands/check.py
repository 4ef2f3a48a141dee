"""Validates briefs and catalogues."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import ANSWERED, command, say_notes
from lineconfig.errors import InputError, Problem


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "check", run, "validates briefs and catalogues",
        "lineconfig check brief.yaml my-prices.yaml",
    )  # fmt: skip
    parser.add_argument("files", nargs="+", metavar="FILE", help="brief, catalogue file or folder")


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.checking import examined

    problems: list[Problem] = []
    for file in arguments.files:
        found = examined(file)
        problems += found.problems
        if not found.problems:
            print(f"{file}: sound")
        say_notes(found.notes)
    if problems:
        raise InputError(problems)
    return ANSWERED
