"""A filled price sheet as an overlay catalogue."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from lineconfig.commands import ANSWERED, add_catalog, command


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "import-prices", run, "turns a filled price sheet into an overlay catalogue",
        "lineconfig import-prices prices.xlsx --out prices.yaml",
    )  # fmt: skip
    parser.add_argument(
        "file", metavar="FILE",
        help="a filled sheet of `lineconfig catalog --price-sheet`: .xlsx or .csv",
    )  # fmt: skip
    parser.add_argument(
        "--out", metavar="OVERLAY.yaml",
        help="where to write the overlay, for --catalog; printed where not given",
    )  # fmt: skip
    add_catalog(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from pathlib import Path

    from lineconfig.errors import InputError
    from lineconfig.overlay import SUFFIXES
    from lineconfig.prices.importing import import_prices

    out = arguments.out
    if out is not None and Path(out).suffix.lower() not in SUFFIXES:
        raise InputError.single("an overlay is written as .yaml: name it so", file=out)
    made = import_prices(arguments.file, arguments.catalog)
    if out is None:
        print(made.text, end="")
        return ANSWERED
    from lineconfig.drawing.files import write_whole

    write_whole(Path(out), made.text.encode("utf-8"))
    prices = "1 price" if made.amounts == 1 else f"{made.amounts} prices"
    classes = "1 class" if made.classes == 1 else f"{made.classes} classes"
    print(f"lineconfig: wrote {out}: {prices} of {classes}", file=sys.stderr)
    return ANSWERED
