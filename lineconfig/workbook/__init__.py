"""The client's workbook: bill of materials and a cost model with live formulas.

    lines -> inputs, prices -> bill, hours -> running costs -> cost model -> summary

Each amount and each term stands in one cell; everything else is a formula of them, written together
with the value that the engine has for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lineconfig.layout import Layout
    from lineconfig.rank import Ranked, Recommendation
    from lineconfig.report.words import Words
    from lineconfig.session import Study


def write_workbook(
    study: Study,
    answer: Recommendation,
    path: str | Path,
    *,
    hide_prices: bool = False,
    layouts: Sequence[Ranked | Layout] | None = None,
    paper: str = "letter",
    words: Words | None = None,
) -> None:
    """Write the workbook of some layouts, whole or not at all.

    `layouts` are those of the document where not given; the cheapest to buy is added. With
    `hide_prices` no amount of money is in the file. `paper` is `letter` or `a4`; `words` are
    English where not given.

    Raises InputError where there is no layout, or the file cannot be written.
    """
    from lineconfig.drawing.files import write_whole
    from lineconfig.errors import InputError

    if answer.no_layout is not None:
        raise InputError.single("no layout meets the brief: nothing to cost", file=str(path))
    data = workbook_bytes(
        study, answer, hide_prices=hide_prices, layouts=layouts, paper=paper, words=words
    )
    write_whole(Path(path), data)


def workbook_bytes(
    study: Study,
    answer: Recommendation,
    *,
    hide_prices: bool = False,
    layouts: Sequence[Ranked | Layout] | None = None,
    paper: str = "letter",
    words: Words | None = None,
) -> bytes:
    """The workbook as bytes: the same for the same study, layouts and words."""
    from lineconfig.report.words import load_words
    from lineconfig.workbook import plain_sheets, summary
    from lineconfig.workbook.cells import Book
    from lineconfig.workbook.lines import lines_of

    words = words or load_words()
    lines = lines_of(study, answer, layouts, words)
    stream = BytesIO()
    book = Book(stream, paper=paper, title=study.need.brief.name, words=words)
    first = book.sheet("summary", summary.widths(lines))
    if hide_prices:
        from lineconfig.workbook.bill import write_bill_without_amounts
        from lineconfig.workbook.hours import write_formats_alone

        write_bill_without_amounts(book, lines)
        write_formats_alone(book, study, lines)
        summary.write_summary(first, study, lines, None)
        amounts = None
    else:
        from lineconfig.workbook.bill import write_bill
        from lineconfig.workbook.cost import write_costs
        from lineconfig.workbook.hours import write_formats
        from lineconfig.workbook.inputs import write_amounts, write_inputs
        from lineconfig.workbook.running import Sources, write_running

        inputs = write_inputs(book, study)
        amounts = write_amounts(book, study, lines)
        billed = write_bill(book, study, lines, amounts)
        hours = write_formats(book, study, lines, inputs)
        sources = [
            Sources(inputs, amounts, bill, hour) for bill, hour in zip(billed, hours, strict=True)
        ]
        running = write_running(book, study, lines, sources)
        costed = write_costs(book, study, lines, inputs, billed, hours, running)
        summary.write_summary(first, study, lines, costed)
    plain_sheets.write_crew(book, study, lines)
    plain_sheets.write_utilities(book, study, lines)
    plain_sheets.write_change_parts(book, study, lines, amounts)
    plain_sheets.write_cautions(book, study, lines)
    plain_sheets.write_sources(book, study, money=not hide_prices)
    book.file.close()
    return stream.getvalue()
