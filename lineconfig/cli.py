"""The command line: reads arguments, calls the public functions, prints.

Data goes to stdout, messages to stderr. Exit status: 0 answered, 1 the brief is sound but no
layout satisfies it (the explanation is the output), 2 bad input or usage. The commands themselves
are in `commands/`, one module each.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from lineconfig import __version__
from lineconfig.commands import (
    ANSWERED,
    BAD_INPUT,
    INTERRUPTED,
    catalog,
    check,
    compare,
    draw,
    explore,
    grow,
    import_prices,
    new,
    recommend,
    report,
    schedule,
    serve,
    show,
    why,
)
from lineconfig.errors import InputError, LineconfigError

COMMANDS = (
    explore, recommend, show, why, compare, draw, report, grow, schedule, new, check, catalog,
    import_prices,
    serve,
)  # fmt: skip
"""In the order in which `--help` lists them."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit status."""
    parser = build_parser()
    arguments = parser.parse_args(argv)
    try:
        if not hasattr(arguments, "run"):
            if sys.stdin.isatty() and sys.stdout.isatty():
                return explore.explore(None, [])
            parser.print_help()
            return ANSWERED
        status = int(arguments.run(arguments))
        sys.stdout.flush()
        return status
    except InputError as error:
        for problem in error.problems:
            print(f"lineconfig: {problem}", file=sys.stderr)
        return BAD_INPUT
    except LineconfigError as error:
        print(f"lineconfig: {error}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # The reader has seen enough, as `| head` does; keep the interpreter from saying so at exit.
        sys.stderr.close()
        return ANSWERED
    except KeyboardInterrupt:
        return INTERRUPTED


def build_parser() -> argparse.ArgumentParser:
    """The parser of every command."""
    parser = argparse.ArgumentParser(
        prog="lineconfig",
        description="Which canning lines fit a client: ranked layouts with their figures.",
        epilog="example: lineconfig recommend brief.yaml",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"lineconfig {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    for module in COMMANDS:
        module.add(commands)
    return parser
