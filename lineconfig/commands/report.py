"""The client's document."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, Any

from lineconfig.commands import (
    ANSWERED,
    add_brief,
    add_catalog,
    add_view,
    add_year,
    command,
    of_year,
    print_no_layout,
    say_notes,
)

if TYPE_CHECKING:
    from lineconfig.report.subject import Subject

PAPER_NAMES = ("letter", "a4")
MOST_LETTERHEAD = 1000


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "report", run, "the document for the client: HTML, PDF or a workbook",
        "lineconfig report brief.yaml --out report.html",
    )  # fmt: skip
    add_brief(parser)
    parser.add_argument(
        "--out", required=True, metavar="FILE",
        help="what to write: FILE.html, FILE.pdf or FILE.xlsx; replaced where it exists",
    )  # fmt: skip
    parser.add_argument(
        "--layouts", metavar="LIST",
        help="layouts by rank, letter or id, the recommended one first (default: the first and the "
        "best of two other kinds)",
    )  # fmt: skip
    parser.add_argument("--letterhead", metavar="TEXT", help="lines of text above the title")
    parser.add_argument("--logo", metavar="FILE", help="a PNG or JPEG picture above the title")
    parser.add_argument("--hide-prices", action="store_true", help="leave out every price and cost")
    parser.add_argument(
        "--language", metavar="FILE",
        help="a YAML file that replaces headings and words (lineconfig/report/en.yaml lists them)",
    )  # fmt: skip
    parser.add_argument(
        "--paper", choices=PAPER_NAMES, default="letter",
        help="paper of the PDF and of the drawings (default: letter)",
    )  # fmt: skip
    add_view(parser)
    add_year(parser)
    add_catalog(parser)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from pathlib import Path

    from lineconfig.catalog_loading import load_catalog
    from lineconfig.need_reading import need_of_text
    from lineconfig.rank import recommend
    from lineconfig.reading import read_text
    from lineconfig.report.files import check_name
    from lineconfig.report.logo import logo_uri
    from lineconfig.report.subject import Subject, checked_layouts, enough_for_all
    from lineconfig.report.words import load_words
    from lineconfig.session import Study

    kind = check_name(arguments.out)
    if kind == ".pdf":
        from lineconfig.report.pdf import require_pdf

        require_pdf()
    wanted = checked_layouts(arguments.layouts)
    words = load_words(arguments.language)
    logo = logo_uri(arguments.logo) if arguments.logo is not None else ""
    catalog = load_catalog(arguments.catalog)
    text, label = read_text(arguments.brief)
    whole = Study(need_of_text(text, label, catalog), catalog)
    study = of_year(whole, arguments.year)
    if arguments.year is not None:
        from lineconfig.growth.opening import brief_of_year

        text = brief_of_year(text, whole, arguments.year)
    say_notes((*words.notes, *study.notes))
    answer = recommend(study, top=enough_for_all(wanted), view=arguments.by)
    subject = Subject(
        study, answer, text, words, wanted, arguments.hide_prices, tuple(arguments.catalog),
        arguments.paper, None if arguments.year is None else (whole, arguments.year),
    )  # fmt: skip
    if kind != ".xlsx":
        _write_document(subject, arguments, kind, logo)
        print(f"lineconfig: wrote {arguments.out}", file=sys.stderr)
    elif answer.no_layout is None:
        from lineconfig.workbook import write_workbook

        write_workbook(
            study, answer, Path(arguments.out), hide_prices=arguments.hide_prices,
            layouts=subject.named, paper=arguments.paper, words=words,
        )  # fmt: skip
        print(f"lineconfig: wrote {arguments.out}", file=sys.stderr)
    if answer.no_layout is not None:
        return print_no_layout(answer.no_layout)
    return ANSWERED


def _write_document(subject: Subject, arguments: argparse.Namespace, kind: str, logo: str) -> None:
    from pathlib import Path

    from lineconfig.drawing.files import write_whole
    from lineconfig.report.gather import report_of
    from lineconfig.report.html import html_of

    letterhead = (arguments.letterhead or "")[:MOST_LETTERHEAD]
    html = html_of(report_of(subject, letterhead=letterhead, logo=logo))
    if kind == ".pdf":
        from lineconfig.report.pdf import pdf_of

        data = pdf_of(html, arguments.paper)
    else:
        data = html.encode("utf-8")
    write_whole(Path(arguments.out), data)
