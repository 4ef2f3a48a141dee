"""Lists equipment classes, or shows one in full."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import ANSWERED, add_catalog, add_json, command, print_json
from lineconfig.commands.why import known_class


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "catalog", run, "lists equipment classes, or shows one in full",
        "lineconfig catalog half-height-depalletizer",
    )  # fmt: skip
    parser.add_argument(
        "class_id", nargs="?", metavar="CLASS-ID", help="a class or a container format"
    )
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.present.classes import catalog_text, figures_text
    from lineconfig.present.figures import class_figures, container_figures

    catalog = load_catalog(arguments.catalog)
    wanted = arguments.class_id
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
