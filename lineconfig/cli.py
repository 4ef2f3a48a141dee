"""The command line: reads arguments, calls the public functions, prints.

Data goes to stdout, messages to stderr. Exit status: 0 answered, 1 the brief is sound but no
layout satisfies it (the explanation is the output), 2 bad input or usage. Each command imports
its own work when it runs, so that `--help` costs nothing.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from lineconfig import __version__
from lineconfig.errors import InputError, LineconfigError, Problem

if TYPE_CHECKING:
    from lineconfig.layout import Layout
    from lineconfig.rank import Ranked, Recommendation
    from lineconfig.session import Study

ANSWERED, NO_LAYOUT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130
VIEW_NAMES = ("life-cycle-cost", "first-cost", "people", "floor", "changeover")
MOST_TOP = 1000


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and give its exit status."""
    parser = build_parser()
    arguments = parser.parse_args(argv)
    if not hasattr(arguments, "run"):
        parser.print_help()
        return ANSWERED
    try:
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

    recommend = _command(
        commands, "recommend", _recommend, "ranked layouts for a brief",
        "lineconfig recommend brief.yaml --by people --top 5",
    )  # fmt: skip
    _add_brief(recommend)
    recommend.add_argument(
        "--top", type=_top, default=10, metavar="N", help="how many layouts (default 10)"
    )
    recommend.add_argument(
        "--unbeaten", action="store_true",
        help="also every layout that no other beats in first cost, floor, changeover, speed and "
        "labour at once (takes seconds)",
    )  # fmt: skip
    _add_view(recommend)
    _add_catalog(recommend)
    _add_json(recommend)

    show = _command(
        commands, "show", _show, "one layout in full",
        "lineconfig show brief.yaml A --basis",
    )  # fmt: skip
    _add_brief(show)
    show.add_argument(
        "layout", metavar="RANK-OR-ID",
        help="a rank (1), the letter of an arrangement (A), or a layout's id",
    )  # fmt: skip
    show.add_argument("--basis", action="store_true", help="where each figure comes from")
    _add_view(show)
    _add_catalog(show)
    _add_json(show)

    why = _command(
        commands, "why", _why, "why nothing fits, or why a class is not offered",
        "lineconfig why brief.yaml gripper-lowerator",
    )  # fmt: skip
    _add_brief(why)
    why.add_argument("class_id", nargs="?", metavar="CLASS-ID", help="one class; all if left out")
    _add_view(why)
    _add_catalog(why)
    _add_json(why)

    new = _command(
        commands, "new", _new, "a commented brief to fill in", "lineconfig new brief.yaml"
    )
    new.add_argument("file", nargs="?", metavar="FILE", help="where to; left out: printed")
    new.add_argument(
        "--example", metavar="NAME", help="start from a shipped example (such as startup)"
    )

    check = _command(
        commands, "check", _check, "validates briefs and catalogues",
        "lineconfig check brief.yaml my-prices.yaml",
    )  # fmt: skip
    check.add_argument("files", nargs="+", metavar="FILE", help="brief, catalogue file or folder")

    catalog = _command(
        commands, "catalog", _catalog, "lists equipment classes, or shows one in full",
        "lineconfig catalog half-height-depalletizer",
    )  # fmt: skip
    catalog.add_argument(
        "class_id", nargs="?", metavar="CLASS-ID", help="a class or a container format"
    )
    _add_catalog(catalog)
    _add_json(catalog)
    return parser


def _command(
    commands: Any, name: str, run: Callable[[argparse.Namespace], int], what: str, example: str
) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        name, help=what, description=what[0].upper() + what[1:] + ".", epilog=f"example: {example}"
    )
    parser.set_defaults(run=run)
    return parser


def _add_brief(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("brief", metavar="BRIEF", help="a brief, or - for standard input")


def _add_view(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--by", choices=VIEW_NAMES, metavar="VIEW",
        help=f"order: {', '.join(VIEW_NAMES)} (default: what the brief prefers)",
    )  # fmt: skip


def _add_catalog(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--catalog", action="append", default=[], metavar="PATH",
        help="an overlay of own classes or prices: a YAML file or a folder; may be repeated",
    )  # fmt: skip


def _add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print JSON instead of text")


def _top(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_TOP:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 1 to {MOST_TOP}")
    return int(text)


def _print_json(record: object) -> None:
    import json

    print(json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False))


# --- commands ----------------------------------------------------------------------------------


def _recommend(arguments: argparse.Namespace) -> int:
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    study = open_study(arguments.brief, arguments.catalog)
    answer = recommend(study, top=arguments.top, view=arguments.by)
    if arguments.json:
        from lineconfig.present.records import recommendation_record

        record = recommendation_record(study, answer)
        if arguments.unbeaten:
            from lineconfig.present.unbeaten import unbeaten_records

            record["unbeaten"] = unbeaten_records(study, study.unbeaten())
        _print_json(record)
    else:
        from lineconfig.present.text import recommendation_text

        print(recommendation_text(study, answer))
        if arguments.unbeaten and answer.layouts:
            from lineconfig.present.unbeaten import unbeaten_text

            print(unbeaten_text(study, study.unbeaten()))
    return ANSWERED if answer.layouts else NO_LAYOUT


def _show(arguments: argparse.Namespace) -> int:
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    study = open_study(arguments.brief, arguments.catalog)
    wanted = arguments.layout
    top = int(wanted) if wanted.isdecimal() and 1 <= int(wanted) <= MOST_TOP else 10
    answer = recommend(study, top=max(top, 10), view=arguments.by)
    if answer.no_layout is not None:
        from lineconfig.present.text import no_layout_lines

        print("\n".join(no_layout_lines(answer.no_layout)))
        return NO_LAYOUT
    ranked = _pick(study, answer, wanted, arguments.by)
    if ranked is None:
        raise InputError.single(
            f"no layout {wanted!r}: write a rank from 1, a letter of an arrangement, or an id "
            "that `lineconfig recommend` prints",
            file=arguments.brief,
        )
    layout = ranked if not hasattr(ranked, "layout") else ranked.layout
    return _print_layout(study, layout, ranked, arguments)


def _print_layout(study: Study, layout: Any, ranked: Any, arguments: argparse.Namespace) -> int:
    if arguments.json:
        from lineconfig.findings.whole import findings_of
        from lineconfig.present.basis import layout_basis
        from lineconfig.present.findings import findings_record
        from lineconfig.present.records import (
            bill_of_materials,
            inputs_record,
            layout_record,
            utilities_record,
        )

        record = layout_record(study, layout, ranked if ranked is not layout else None)
        record["utilities"] = utilities_record(layout)
        record["bill_of_materials"] = bill_of_materials(layout)
        record |= findings_record(layout, findings_of(study.inquiry, layout))
        record["inputs"] = inputs_record(study.inquiry)
        if arguments.basis:
            record["basis"] = layout_basis(study, layout)
        _print_json(record)
    else:
        from lineconfig.present.text import layout_text

        print(layout_text(study, layout))
        if arguments.basis:
            from lineconfig.present.basis import basis_text, layout_basis

            print(basis_text(layout_basis(study, layout)))
    return ANSWERED


def _pick(study: Study, answer: Recommendation, wanted: str, view: Any) -> Ranked | Layout | None:
    """The layout of a rank, an arrangement's letter or an id."""
    from lineconfig.present.text import LETTERS

    if wanted.isdecimal():
        rank = int(wanted)
        return answer.layouts[rank - 1] if 1 <= rank <= len(answer.layouts) else None
    if len(wanted) == 1 and wanted.upper() in LETTERS:
        place = LETTERS.index(wanted.upper())
        return answer.arrangements[place] if place < len(answer.arrangements) else None
    for item in (*answer.layouts, *answer.arrangements):
        if item.layout.id == wanted:
            return item
    return study.by_id(wanted, view)


def _why(arguments: argparse.Namespace) -> int:
    from lineconfig.explain import why_class, why_nothing
    from lineconfig.session import open_study

    study = open_study(arguments.brief, arguments.catalog)
    class_ids = list(study.catalog.classes)
    if arguments.class_id is not None:
        _known_class(study.catalog.classes, arguments.class_id)
        class_ids = [arguments.class_id]
    nothing = None if study.feasible else why_nothing(study)
    shown = study.best(10, arguments.by)
    if nothing is not None and arguments.class_id is None and not arguments.json:
        class_ids = []
    answers = {class_id: why_class(study, class_id, shown, nothing) for class_id in class_ids}
    if arguments.json:
        from lineconfig.present.records import why_record

        _print_json(why_record(study, nothing, answers))
    else:
        from lineconfig.present.text import why_text

        print(why_text(study, nothing, answers.values()))
    return ANSWERED if nothing is None else NO_LAYOUT


def _known_class(known: Any, class_id: str) -> None:
    """Refuse an id that the catalogue does not have."""
    if class_id not in known:
        from difflib import get_close_matches

        near = get_close_matches(class_id, list(known), n=3)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise LineconfigError(
            f"no class {class_id!r} in the catalogue{hint} (`lineconfig catalog` lists them)"
        )


def _new(arguments: argparse.Namespace) -> int:
    from lineconfig.template import brief_template, example_brief, write_new

    text = example_brief(arguments.example) if arguments.example else brief_template()
    if arguments.file is None or arguments.file == "-":
        print(text, end="")
    else:
        write_new(arguments.file, text)
        print(f"wrote {arguments.file}: fill it in, then `lineconfig recommend {arguments.file}`",
              file=sys.stderr)  # fmt: skip
    return ANSWERED


def _check(arguments: argparse.Namespace) -> int:
    from lineconfig.checking import check_file

    problems: list[Problem] = []
    for file in arguments.files:
        found = check_file(file)
        problems += found
        if not found:
            print(f"{file}: sound")
    if problems:
        raise InputError(problems)
    return ANSWERED


def _catalog(arguments: argparse.Namespace) -> int:
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.present.figures import class_figures, container_figures
    from lineconfig.present.text import catalog_text, figures_text

    catalog = load_catalog(arguments.catalog)
    wanted = arguments.class_id
    if wanted is None:
        if arguments.json:
            _print_json(
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
    _known_class({**catalog.classes, **catalog.containers}, wanted)
    if wanted in catalog.classes:
        entry: Any = catalog.classes[wanted]
        figures, summary = class_figures(catalog, wanted), entry.summary
    else:
        entry = catalog.containers[wanted]
        figures = container_figures(catalog, wanted)
        summary = f"{entry.kind}, closed by {entry.closing}."
    if arguments.json:
        _print_json(
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
