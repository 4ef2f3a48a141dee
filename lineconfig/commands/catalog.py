"""Lists equipment classes, or shows one in full."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from lineconfig.commands import ANSWERED, add_catalog, add_json, command, print_json
from lineconfig.commands.why import known_class

if TYPE_CHECKING:
    from lineconfig.catalog import Catalog


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "catalog", run, "lists equipment classes, or shows one in full",
        "lineconfig catalog half-height-depalletizer",
    )  # fmt: skip
    parser.add_argument(
        "class_id", nargs="?", metavar="CLASS-ID", help="a class or a container format"
    )
    parser.add_argument(
        "--price-sheet", metavar="FILE",
        help="write a sheet to fill in prices: FILE.xlsx or FILE.csv (see import-prices)",
    )  # fmt: skip
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.present.classes import catalog_text, figures_text
    from lineconfig.present.figures import class_figures, container_figures

    catalog = load_catalog(arguments.catalog)
    wanted = arguments.class_id
    if arguments.price_sheet is not None:
        return _price_sheet(catalog, wanted, arguments.price_sheet)
    if wanted is None:
        if arguments.json:
            print_json(
                {
                    "classes": [
                        {"id": item.id, "function": item.function, "name": item.name}
                        for item in catalog.classes.values()
                    ],
                    "formats": [
                        {"id": item.id, "name": item.name} for item in catalog.containers.values()
                    ],
                }
            )
        else:
            print(catalog_text(catalog))
        return ANSWERED
    known_class({**catalog.classes, **catalog.containers}, wanted)
    if wanted in catalog.classes:
        entry: Any = catalog.classes[wanted]
        figures, summary = class_figures(catalog, wanted), entry.summary
    else:
        entry = catalog.containers[wanted]
        figures = container_figures(catalog, wanted)
        summary = f"{entry.kind}, closed by {entry.closing}."
    if arguments.json:
        print_json(
            {
                "id": wanted,
                "name": entry.name,
                "summary": summary,
                "figures": [
                    {"figure": path, "value": value, "basis": basis}
                    for path, value, basis in figures
                ],
            }
        )
    else:
        print(figures_text(f"{entry.name} ({wanted})", summary, figures))
    return ANSWERED


def _price_sheet(catalog: Catalog, class_id: str | None, file: str) -> int:
    """Write a price sheet of every class, or of one."""
    from lineconfig.prices.sheet import write_price_sheet

    if class_id is not None:
        known_class(catalog.classes, class_id)
    rows = write_price_sheet(catalog, file, class_id)
    print(f"lineconfig: wrote {file}: {rows} prices to fill in", file=sys.stderr)
    return ANSWERED
