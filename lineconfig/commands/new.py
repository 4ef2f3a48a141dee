"""A commented brief to fill in."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from lineconfig.commands import ANSWERED, command


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "new", run, "a commented brief to fill in", "lineconfig new brief.yaml"
    )
    parser.add_argument("file", nargs="?", metavar="FILE", help="where to; left out: printed")
    parser.add_argument(
        "--example", metavar="NAME", help="start from a shipped example (such as startup)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.template import brief_template, example_brief, write_new

    text = example_brief(arguments.example) if arguments.example else brief_template()
    if arguments.file is None or arguments.file == "-":
        print(text, end="")
    else:
        write_new(arguments.file, text)
        print(f"wrote {arguments.file}: fill it in, then `lineconfig recommend {arguments.file}`",
              file=sys.stderr)  # fmt: skip
    return ANSWERED
