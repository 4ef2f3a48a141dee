"""The terminal UI."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import ANSWERED, add_catalog, command


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "explore", run, "the terminal UI: questionnaire, workbench, layouts",
        "lineconfig explore brief.yaml",
    )  # fmt: skip
    parser.add_argument(
        "brief", metavar="BRIEF", nargs="?", help="a brief; left out: the questionnaire"
    )
    parser.add_argument("--ascii", action="store_true", help="plain letters instead of signs")
    add_catalog(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    import os
    import sys

    from lineconfig.errors import LineconfigError

    # A browser's session has pipes in place of a terminal.
    served = bool(os.environ.get("LINECONFIG_SERVED"))
    if not served and not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise LineconfigError(
            "explore needs a terminal; `lineconfig recommend BRIEF` prints the layouts instead"
        )
    return explore(arguments.brief, arguments.catalog, ascii_only=arguments.ascii or None)


def explore(brief: str | None, overlays: list[str], *, ascii_only: bool | None = None) -> int:
    """Open the UI on a brief, or on the questionnaire.

    Raises InputError for a brief that cannot be read at all; one with mistakes is opened, to mend.
    """
    import gc
    from pathlib import Path

    from lineconfig.overlay import files_of
    from lineconfig.reading import read_text, read_tree
    from lineconfig.tui.app import LineconfigApp
    from lineconfig.tui.draft import Draft

    draft = None
    if brief is not None:
        text, label = read_text(brief)
        read_tree(text, label)
        draft = Draft(text, None if brief == "-" else Path(brief))
    for overlay in overlays:
        files_of(overlay)
    # What is solved at each key makes many small objects: looking for rings among them less often
    # saves a tenth of the time until a layout is on the screen.
    gc.set_threshold(50_000, 20, 50)
    app = LineconfigApp(draft, overlays=overlays, ascii_only=ascii_only)
    status = app.run()
    if app.failed is not None:
        raise app.failed
    return ANSWERED if status is None else status
