"""One layout in full."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from lineconfig.commands import (
    ANSWERED,
    add_brief,
    add_catalog,
    add_json,
    add_layout,
    add_view,
    add_year,
    command,
    enough_for,
    of_year,
    picked,
    print_json,
    print_no_layout,
    say_notes,
)
from lineconfig.errors import InputError, did_you_mean

if TYPE_CHECKING:
    from lineconfig.layout import Layout
    from lineconfig.rank import Ranked
    from lineconfig.session import Study


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "show", run, "one layout in full, on a screen or two, or by section",
        "lineconfig show brief.yaml A --short",
    )  # fmt: skip
    add_brief(parser)
    add_layout(parser)
    parts = parser.add_mutually_exclusive_group()
    parts.add_argument(
        "--short", action="store_true", help="what it takes to decide: a screen or two"
    )
    parts.add_argument(
        "--section", metavar="NAME",
        help="one section of the whole, by its heading or the beginning of it, such as money",
    )  # fmt: skip
    parser.add_argument("--basis", action="store_true", help="where each figure comes from")
    add_view(parser)
    add_year(parser)
    add_catalog(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from lineconfig.rank import recommend
    from lineconfig.session import open_study

    if arguments.json and (arguments.short or arguments.section is not None):
        raise InputError.single(
            "`--short` and `--section` shape the text: leave them out with `--json`",
            file=arguments.brief,
        )
    whole = open_study(arguments.brief, arguments.catalog)
    study = of_year(whole, arguments.year)
    say_notes(study.notes)
    wanted = arguments.layout
    answer = recommend(study, top=enough_for(wanted), view=arguments.by)
    if answer.no_layout is not None:
        from lineconfig.present.records import no_layout_record

        record = {"no_layout": no_layout_record(answer.no_layout)} if arguments.json else None
        return print_no_layout(answer.no_layout, record)
    layout, ranked = picked(
        study, answer, wanted, arguments.by, arguments.brief, (whole, arguments.year)
    )
    return _print_layout(study, layout, ranked, arguments)


def _print_layout(
    study: Study, layout: Layout, ranked: Ranked | None, arguments: argparse.Namespace
) -> int:
    if arguments.json:
        from lineconfig.findings.whole import findings_of
        from lineconfig.present.assessed import add_assessed
        from lineconfig.present.basis import layout_basis
        from lineconfig.present.change_parts import change_parts_record
        from lineconfig.present.confirmed import add_confirmed
        from lineconfig.present.findings import findings_record
        from lineconfig.present.records import (
            bill_of_materials,
            inputs_record,
            layout_record,
            utilities_record,
            warnings_record,
        )

        record = layout_record(study, layout, ranked)
        add_confirmed(record, study, layout)
        record["utilities"] = utilities_record(layout)
        record["bill_of_materials"] = bill_of_materials(layout)
        record["change_parts"] = change_parts_record(study, layout)
        findings = findings_of(study.inquiry, layout)
        record |= findings_record(layout, findings)
        add_assessed(record, study, layout, findings)
        record["inputs"] = inputs_record(study.inquiry)
        record["defaults_used"] = list(study.need.defaults_used)
        record["warnings"] = warnings_record(study)
        if arguments.basis:
            record["basis"] = layout_basis(study, layout)
        print_json(record)
    else:
        print(_told(study, layout, ranked, arguments))
        if arguments.basis:
            from lineconfig.present.sources import basis_text

            print(basis_text(study, layout))
    return ANSWERED


def _told(
    study: Study, layout: Layout, ranked: Ranked | None, arguments: argparse.Namespace
) -> str:
    """The text that was asked for.

    Raises InputError for a section that there is not.
    """
    from lineconfig.present.layout import layout_text
    from lineconfig.present.short import chosen_section, sections_of, short_text

    if arguments.short:
        return short_text(study, layout, ranked)
    text = layout_text(study, layout)
    wanted: str | None = arguments.section
    if wanted is None:
        return text
    found = chosen_section(text, wanted)
    if found is None:
        titles = list(sections_of(text))
        near = did_you_mean(wanted, [title.lower() for title in titles])
        raise InputError.single(
            f"no section {wanted!r}{near}; there are: {', '.join(titles)}", file="--section"
        )
    return found
