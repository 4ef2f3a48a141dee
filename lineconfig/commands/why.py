"""Why nothing fits, or why a class is not offered."""

from __future__ import annotations

import argparse
from typing import Any

from lineconfig.commands import (
    ANSWERED,
    NO_LAYOUT,
    add_brief,
    add_catalog,
    add_json,
    add_view,
    command,
    print_json,
    say_notes,
)
from lineconfig.errors import LineconfigError


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "why", run, "why nothing fits, or why a class is not offered",
        "lineconfig why brief.yaml gripper-lowerator",
    )  # fmt: skip
    add_brief(parser)
    parser.add_argument(
        "class_id", nargs="?", metavar="CLASS-ID", help="one class; all if left out"
    )
    add_view(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.explain import Bringer, why_class
    from lineconfig.rank import recommend
    from lineconfig.session import open_study
    from lineconfig.varying.pooled import pooled

    study = pooled(open_study(arguments.brief, arguments.catalog))
    say_notes(study.notes)
    class_ids = list(study.catalog.classes)
    if arguments.class_id is not None:
        known_class(study.catalog.classes, arguments.class_id)
        class_ids = [arguments.class_id]
    answer = recommend(study, view=arguments.by)
    nothing = answer.no_layout
    if nothing is not None and arguments.class_id is None and not arguments.json:
        class_ids = []
    shown = [item.layout for item in answer.layouts]
    bringer = Bringer(study, answer.view, answer.known) if shown else None
    answers = {
        class_id: why_class(
            study, class_id, shown, nothing, bringer, refused_too=arguments.class_id is not None
        )
        for class_id in class_ids
    }
    explained = None
    if arguments.class_id is None and bringer is not None:
        from lineconfig.present.why import Explained

        explained = Explained(study, answer, bringer.switcher)
    if arguments.json:
        from lineconfig.present.records import why_record

        record = why_record(study, nothing, answers)
        if explained is not None:
            from lineconfig.present.why import why_first_record

            record |= why_first_record(explained)
        print_json(record)
    else:
        from lineconfig.present.nothing import why_text

        if explained is not None:
            from lineconfig.present.why import why_each_lines

            print("\n".join([*why_each_lines(explained)[1:], ""]))
            print("Every class of the catalogue\n----------------------------")
        print(why_text(study, nothing, answers.values()))
    return ANSWERED if nothing is None else NO_LAYOUT


def known_class(known: Any, class_id: str) -> None:
    """Refuse an id that the catalogue does not have."""
    if class_id not in known:
        from difflib import get_close_matches

        near = get_close_matches(class_id, list(known), n=3)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise LineconfigError(
            f"no class {class_id!r} in the catalogue{hint} (`lineconfig catalog` lists them)"
        )
