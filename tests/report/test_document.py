"""The HTML document: whole, self-contained, readable by any reader, its figures the JSON's."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.present.change_parts import change_parts_record
from lineconfig.present.records import bill_of_materials, layout_record, utilities_record
from lineconfig.report.document import Table
from lineconfig.report.gather import SECTIONS, report_of
from lineconfig.report.html import html_of
from lineconfig.report.subject import Subject
from tests.printed import printed
from tests.report.cases import (
    example,
    startup,
    startup_html,
    two_formats,
    two_formats_html,
    varied,
)
from tests.report.pages import Element, page_of

BOTH = pytest.mark.parametrize(
    ("subject", "html"),
    [(startup, startup_html), (two_formats, two_formats_html)],
    ids=["startup", "two formats"],
)


def table(page: Element, caption: str) -> list[list[str]]:
    """The rows of a table by its caption, headings first."""
    found = [each for each in page.all("table") if each.all("caption")[0].text == caption]
    assert len(found) == 1, caption
    return [[cell.text for cell in row.all("th", "td")] for row in found[0].all("tr")]


def has_number(text: str, number: str) -> bool:
    """Whether a number stands in a text by itself, not as a part of a longer one."""
    return re.search(rf"(?<![\d.,]){re.escape(number)}(?![\d]|[.,]\d)", text) is not None


# --- form -------------------------------------------------------------------------------------


@BOTH
def test_every_tag_is_closed_and_every_id_stands_once(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    page = page_of(html())
    ids = [each.attributes["id"] for each in page.all(*_tags(page)) if "id" in each.attributes]
    assert ids and len(ids) == len(set(ids))
    used = re.findall(r"url\(#([^)]*)\)", html())
    assert set(used) <= set(ids)
    for each in page.all(*_tags(page)):
        for name in each.attributes.get("aria-labelledby", "").split():
            assert name in ids
        target = each.attributes.get("href", "")
        assert not target or target.removeprefix("#") in ids


def _tags(page: Element) -> set[str]:
    return {page.tag} | {tag for child in page.children for tag in _tags(child)}


@BOTH
def test_nothing_is_fetched_and_nothing_runs(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    page = page_of(html())
    assert not page.all("script", "link", "iframe", "object", "embed", "base", "form")
    for each in page.all(*_tags(page)):
        assert not any(name.startswith("on") for name in each.attributes)
        for name in ("src", "href", "xlink:href", "data"):
            assert each.attributes.get(name, "#").startswith(("#", "data:image/"))
    assert "@import" not in html()
    assert not re.search(r"url\((?!#)", html())


@BOTH
def test_headings_go_down_one_level_at_a_time(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    levels = [int(each.tag[1]) for each in page_of(html()).all("h1", "h2", "h3", "h4")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@BOTH
def test_tables_have_captions_and_headings_with_a_scope(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    page = page_of(html())
    assert len(page.all("table")) >= 20
    for each in page.all("table"):
        assert each.all("caption")[0].text
        head, *rows = each.all("tr")
        assert all(cell.attributes.get("scope") == "col" for cell in head.all("th"))
        assert all(cell.text for cell in head.all("th"))
        for row in rows:
            cells = row.all("th", "td")
            assert len(cells) == len(head.all("th"))
            assert cells[0].tag == "th" and cells[0].attributes["scope"] == "row"


@BOTH
def test_pictures_have_a_name_and_a_description(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    pictures = page_of(html()).all("svg")
    assert len(pictures) >= 5
    for each in pictures:
        assert each.attributes["role"] == "img"
        assert each.all("title")[0].text and each.all("desc")[0].text


def test_the_language_is_named_and_the_contents_list_every_section() -> None:
    page = page_of(startup_html())
    assert page.all("html")[0].attributes["lang"] == "en"
    listed = [each.attributes["href"].removeprefix("#") for each in page.all("a")]
    assert listed == [each.attributes["aria-labelledby"] for each in page.all("section")]
    assert len(listed) == len(SECTIONS)


def test_text_stands_out_from_its_ground() -> None:
    """WCAG 2.2, 1.4.3: at least 4.5 to 1 for text; relative luminance as defined there."""
    css = startup_html().partition("<style>")[2].partition("</style>")[0]

    def luminance(colour: str) -> float:
        if len(colour) == 3:
            colour = "".join(sign * 2 for sign in colour)
        parts = [int(colour[place : place + 2], 16) / 255 for place in (0, 2, 4)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    inks = set(re.findall(r"(?<![-\w])color: #([0-9a-f]{3,6})", css))
    grounds = set(re.findall(r"background: #([0-9a-f]{3,6})", css))
    assert len(inks) >= 3 and len(grounds) >= 4
    for ink in inks:
        for ground in grounds:
            assert (luminance(ground) + 0.05) / (luminance(ink) + 0.05) >= 4.5, (ink, ground)


def test_the_same_answer_gives_the_same_bytes() -> None:
    letterhead = "Ellery Line Planning\n12 Mill Road"
    assert html_of(report_of(varied(startup()), letterhead=letterhead)) == startup_html()


@pytest.mark.slow
def test_the_same_brief_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    out = tmp_path / "again.html"
    subprocess.run(
        [sys.executable, "-m", "lineconfig", "report", str(examples_dir() / "startup.yaml"),
         "--out", str(out), "--letterhead", "Ellery Line Planning\n12 Mill Road"],
        check=True, capture_output=True, env={**os.environ, "PYTHONHASHSEED": "7"},
    )  # fmt: skip
    assert out.read_text(encoding="utf-8") == startup_html()


# --- figures ----------------------------------------------------------------------------------


@BOTH
def test_the_comparison_has_the_figures_of_the_json(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    rows = {row[0]: row[1:] for row in table(page_of(html()), "Layouts compared")}
    study = subject().study
    for place, choice in enumerate(subject().choices):
        record = layout_record(study, choice.layout, choice.ranked)
        first, life = record["first_cost"], record["life_cycle_cost"]
        expected = {
            "First cost, USD": _ranged(first),
            "Cost of 5 years, USD": _ranged(life),
            "Yearly cost, USD": printed(round(sum(record["annual_cost"].values()), 2)),
            "Cost of 1000 cans, USD": f"{record['cost_per_1000_cans']:,.2f}",
            "People on shift": str(record["crew"]["people"]),
            "Effective speed, cpm": printed(record["speed_cpm"]["effective"]),
            "Highest point, mm": printed(record["heights_mm"]["highest_point"]),
        }
        assert {name: rows[name][place] for name in expected} == expected
        assert choice.layout.id in rows["Id, rank or letter"][place]
    shares = [int(cell.rstrip("%")) for cell in rows["Costs least of these, share of draws"]]
    # Each is rounded; together they are every draw.
    assert sum(shares) == pytest.approx(100, abs=len(shares) / 2)


def _ranged(amounts: dict[str, float]) -> str:
    typical, low, high = (printed(amounts[end]) for end in ("typical", "low", "high"))
    return f"{typical} ({low} to {high})"


@BOTH
def test_every_amount_of_the_json_stands_in_the_document(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    text = page_of(html()).text
    for choice in subject().choices:
        record = layout_record(subject().study, choice.layout, choice.ranked)
        amounts = [
            *record["first_cost"].values(),
            *(value for item in record["first_cost_items"].values() for value in item.values()),
            *record["annual_cost"].values(),
            *record["life_cycle_cost"].values(),
        ]
        for amount in amounts:
            assert has_number(text, printed(amount)), amount
    layout = subject().first.layout
    for line in (*bill_of_materials(layout), *change_parts_record(subject().study, layout)):
        if not line.get("existing") and not line.get("included"):
            assert has_number(text, printed(line["price"]["typical"])), line


@BOTH
def test_the_bill_of_materials_adds_up_to_the_equipment(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    rows = table(page_of(html()), "Bill of materials, layout 1")[1:]

    def typical(cell: str) -> float:
        return float(cell.partition(" ")[0].replace(",", ""))

    *lines, together = rows
    assert len(lines) == len(bill_of_materials(subject().first.layout))
    # Each line is rounded to whole units of the currency.
    assert sum(typical(row[3]) for row in lines) == pytest.approx(
        typical(together[3]), abs=len(lines)
    )


@BOTH
def test_utilities_and_posts_are_those_of_the_layout(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    page, layout = page_of(html()), subject().first.layout
    figures = utilities_record(layout)
    together = next(row for row in table(page, "Utilities of layout 1") if row[0] == "Together")
    assert together[1:] == [
        printed(figures["kw"], 1),
        printed(figures["water_l_min"], 1),
        printed(figures["air_l_min"]),
    ]
    assert len(table(page, "Posts")) == 1 + layout.crew.people


def test_each_format_has_its_line_where_formats_differ() -> None:
    page = page_of(two_formats_html())
    names = [fmt.container.name for fmt in two_formats().study.need.formats]
    for caption in ("Formats", "Speed by format, cpm", "Figures to reach", "Measured at the run",
                    "Empties at rated speed"):  # fmt: skip
        assert [row[0] for row in table(page, caption)[1:]] == names, caption


def test_efficiency_to_show_is_effective_over_rated_speed() -> None:
    speed = two_formats().first.layout.speed
    rows = table(page_of(two_formats_html()), "Figures to reach")[1:]
    for row, rated, effective in zip(rows, speed.rated, speed.effective, strict=True):
        assert float(row[1].replace(",", "")) == pytest.approx(rated, abs=0.5)
        assert float(row[4].rstrip("%")) / 100 == pytest.approx(effective / rated, abs=5e-4)


def test_growth_is_told_where_the_brief_grows_and_only_there() -> None:
    phases = table(page_of(two_formats_html()), "Phases")[1:]
    assert [row[0] for row in phases] == ["1", "3"]
    assert phases[1][2] == "600,000"
    assert "no growth within its horizon" in page_of(startup_html()).text


def test_the_brief_comes_back_as_it_was_written() -> None:
    code = page_of(startup_html()).all("code")[0]
    # What is read back from the document is the same brief to the engine.
    again = need_of_text("".join(code.texts), "from the document", startup().study.catalog)
    assert again == startup().study.need
    assert "".join(code.texts) == example("startup").rstrip("\n") + "\n"
    assert "".join(page_of(two_formats_html()).all("code")[0].texts) == two_formats().brief_text


# --- options ----------------------------------------------------------------------------------


def test_hidden_prices_leave_no_amount_of_the_catalogues() -> None:
    hidden = varied(startup(), hide_prices=True)
    text = page_of(html_of(report_of(hidden))).text
    for choice in startup().choices:
        record = layout_record(startup().study, choice.layout, choice.ranked)
        amounts = [
            *record["first_cost"].values(),
            *record["life_cycle_cost"].values(),
            *(item["typical"] for item in record["first_cost_items"].values()),
            *record["annual_cost"].values(),
        ]
        for amount in (amount for amount in amounts if amount >= 1500):
            assert not has_number(text, printed(amount)), amount
    assert "Prices and costs are left out of this copy." in text
    # What the client wrote is the client's to read.
    assert "330000 USD" in text


def test_chosen_layouts_stand_in_the_order_asked_for_each_once() -> None:
    arrangements, best = startup().answer.arrangements, startup().answer.layouts
    chosen = varied(startup(), wanted=("C", "1", "A", best[0].layout.id, "C"))
    assert chosen.named == [arrangements[2], best[0]]
    assert startup().named is None


def test_the_usual_three_are_different_layouts_the_first_of_all_first() -> None:
    usual: Subject = startup()
    ids = [choice.layout.id for choice in usual.choices]
    assert len(set(ids)) == 3
    assert ids[0] == usual.answer.layouts[0].layout.id


def test_other_commands_load_neither_template_engine_nor_pdf_writer() -> None:
    code = (
        "import sys; from lineconfig.cli import build_parser; build_parser();"
        "print([name for name in ('jinja2', 'weasyprint', 'networkx') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@BOTH
def test_every_speed_says_whether_it_is_rated_or_effective(
    subject: Callable[[], Subject], html: Callable[[], str]
) -> None:
    kinds = r"rated|effective|simulat|\bask|on average|buffers|by format|must lie"
    page = page_of(html())
    said = [sentence for p in page.all("p", "li") for sentence in re.split(r"\.\s|;", p.text)]
    said += [cell.text for row in page.all("thead") for cell in row.all("th")]
    said += [row.all("th")[0].text for body in page.all("tbody") for row in body.all("tr")]
    told = [text for text in said if re.search(r"\bcpm\b", text)]
    assert len(told) > 5
    for text in told:
        assert re.search(kinds, text, re.IGNORECASE), text


def test_figures_of_the_sources_are_named_in_words() -> None:
    rows = table(page_of(two_formats_html()), "Where the figures come from")
    names = [row[0] for row in rows[1:]]
    assert "Speed: rated" in names and "Money and hours: yearly labour" in names
    paths = r"_|\b(?:cpm|min|mm|kw)\b:|\b[a-z]+\.[a-z]+_[a-z]+"
    for row in rows[1:]:
        assert not re.search(paths, row[0]), row[0]
        assert not re.search(r"\b(?:guarding|speed_cpm|lifting)\.", row[1]), row[1]


def test_short_tables_stay_on_one_page_and_sheets_to_fill_in_begin_one() -> None:
    report = report_of(two_formats())
    tables = {each.caption: each for section in report.sections for each in section.blocks
              if isinstance(each, Table)}  # fmt: skip
    for caption in ("Speed by format, cpm", "Empties at rated speed", "Figures to reach",
                    "Measured at the run", "Formats"):  # fmt: skip
        assert tables[caption].whole, caption
    assert {"site", "acceptance"} <= {each.id for each in report.sections if each.new_page}
    bill = table(page_of(two_formats_html()), "Bill of materials, layout 1")
    chains = [row[1] for row in bill if row[0].startswith("Table-top chain, straight")]
    assert chains and all(re.fullmatch(r"[\d.]+ m", quantity) for quantity in chains)
