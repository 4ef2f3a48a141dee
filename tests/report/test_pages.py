"""Pages as they are printed: by WeasyPrint, and by Chromium where it is installed."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdf
import pytest

from lineconfig.present.records import bill_of_materials, layout_record, utilities_record
from lineconfig.report.document import Paragraph, Picture, Section, Verbatim
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.report.pdf import pdf_of
from tests.printed import printed
from tests.report.cases import startup, startup_html
from tests.report.pages import page_of

CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")
POINTS_PER_MM = 72 / 25.4
LETTER = (215.9, 279.4)
A4 = (210.0, 297.0)


def words_of(reader: pypdf.PdfReader) -> str:
    """All text but that of the drawings, spaces made one."""
    pages = [page for page in reader.pages if page.mediabox.width < page.mediabox.height]
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def size_mm(page: pypdf.PageObject) -> tuple[float, float]:
    """Width and height of a page."""
    return (
        float(page.mediabox.width) / POINTS_PER_MM,
        float(page.mediabox.height) / POINTS_PER_MM,
    )


def stands_in(number: str, text: str) -> bool:
    """Whether a number stands in a text by itself, not as a part of a longer one."""
    return re.search(rf"(?<![\d.,]){re.escape(number)}(?!\d|[.,]\d)", text) is not None


def check_figures(text: str) -> None:
    """Every amount and figure of the JSON that the document tells stands in the text."""
    first = startup().first
    show = layout_record(startup().study, first.layout, first.ranked)
    bill = bill_of_materials(first.layout)
    utilities = utilities_record(first.layout)
    numbers = [
        *(printed(height) for height in show["heights_mm"].values()),
        *(f"{share:.0%}" for post in show["crew"]["posts"] if (share := post["workload"]) < 1),
        *(printed(line["price"][end]) for line in bill for end in ("low", "typical", "high")),
        *(printed(utilities[name], 1) for name in ("kw", "water_l_min")),
        printed(utilities["air_l_min"]), printed(utilities["amperes"]),
        f"{show['intervals_min']['layer']:.1f}", printed(show["intervals_min"]["pallet"]),
        f"{show['cost_per_1000_cans']:,.2f}", printed(show["floor"]["length_mm"]),
    ]  # fmt: skip
    for speeds in first.record["speed_cpm"]["by_format"].values():
        numbers += [
            printed(speeds[name])
            for name in ("needed", "rated", "effective", "lower_bound", "upper_bound", "simulated")
        ]
    for station in show["stations"]:
        if station["size_mm"]["length"]:
            numbers += [printed(side) for side in station["size_mm"].values()]
    assert len(numbers) > 80
    for number in numbers:
        assert stands_in(number, text), number
    for choice in startup().choices:
        record = layout_record(startup().study, choice.layout, choice.ranked)
        amounts = [
            *record["first_cost"].values(),
            *record["life_cycle_cost"].values(),
            *(value for item in record["first_cost_items"].values() for value in item.values()),
            *record["annual_cost"].values(),
            record["heights_mm"]["highest_point"],
            record["speed_cpm"]["effective"],
            record["hours_per_year"]["together"],
        ]
        for amount in amounts:
            assert stands_in(printed(amount), text), amount
        assert choice.layout.id in re.sub(r"-\s", "-", text)


@cache
def html_without_drawings() -> str:
    """The document to be printed; drawings have a test of their own, and sources name no figure."""
    report = report_of(startup())
    told = tuple(each for each in report.sections if each.id not in ("plan", "sources"))
    return html_of(replace(report, sections=told))


def test_a_single_wrong_figure_is_noticed() -> None:
    text = page_of(startup_html()).text
    check_figures(text)
    record = startup().first.record
    for wrong in (
        printed(record["life_cycle_cost"]["typical"]),
        printed(record["annual_cost"]["labour"]),
        printed(record["heights_mm"]["highest_point"]),
    ):
        with pytest.raises(AssertionError):
            check_figures(text.replace(wrong, "0"))


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_sheets_of_the_drawings_are_laid_across_the_paper_asked_for() -> None:
    pytest.importorskip("weasyprint")
    report = report_of(startup())
    plan = next(section for section in report.sections if section.id == "plan")
    sheet = next(block for block in plan.blocks if isinstance(block, Picture))
    few = replace(report, sections=(replace(plan, blocks=(plan.blocks[0], sheet)),))
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(html_of(few), "a4")))
    for page in reader.pages:
        assert sorted(size_mm(page)) == pytest.approx(sorted(A4), abs=0.1)
    across = [page for page in reader.pages if page.mediabox.width > page.mediabox.height]
    assert len(across) == 1 < len(reader.pages)
    text = across[0].extract_text()
    assert "Stations in flow order" in text and text.count("Lines and hatches") == 1


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_the_pdf_has_the_figures_of_the_json() -> None:
    pytest.importorskip("weasyprint")
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(html_without_drawings(), "letter")))
    for page in reader.pages:
        assert size_mm(page) == pytest.approx(LETTER, abs=0.1)
    text = words_of(reader)
    check_figures(text)
    assert reader.metadata is not None and reader.metadata.title == (
        "Fen Lane Ginger: a canning line"
    )
    assert reader.trailer["/Root"]["/Lang"] == "en"
    # Sections can be jumped to.
    assert "Money" in {entry.title for entry in reader.outline[0:1] + _flat(reader.outline)}


def _flat(outline: list) -> list:  # type: ignore[type-arg]
    found = []
    for entry in outline:
        found += _flat(entry) if isinstance(entry, list) else [entry]
    return found


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_the_pdf_writer_fetches_nothing(tmp_path: Path) -> None:
    pytest.importorskip("weasyprint")
    secret = tmp_path / "secret.txt"
    secret.write_text("taken", encoding="utf-8")
    html = (
        f"<!DOCTYPE html><html lang='en'><title>x</title><img src='file://{secret}' alt='kept'>"
        f"<link rel='attachment' href='file://{secret}'><p>there</p></html>"
    )
    data = pdf_of(html)
    assert b"EmbeddedFile" not in data
    assert "there" in words_of(pypdf.PdfReader(io.BytesIO(data)))


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
def test_a_browser_prints_every_figure_and_clips_no_table(tmp_path: Path) -> None:
    file, out = tmp_path / "report.html", tmp_path / "report.pdf"
    file.write_text(html_without_drawings(), encoding="utf-8")
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={out}", file.as_uri()],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    if not out.exists():
        pytest.skip(f"Chromium does not run here: {done.stderr[-200:]}")
    reader = pypdf.PdfReader(out)
    text = words_of(reader)
    check_figures(text)
    assert "discount_rate: 8 %" in text
    # What is clipped at the right is not printed: the last columns of the widest tables.
    for heading in ("Discharge, mm", "Basis of the price", "Signed", "By, date"):
        assert heading in text


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
@pytest.mark.parametrize("width", [1280, 500])
def test_no_page_is_wider_than_the_window(width: int, tmp_path: Path) -> None:
    """Chromium's narrowest window is 500 px; a table that is wider scrolls within itself."""
    # The document allows no script: the question is put by a page around it.
    measure = (
        "<!DOCTYPE html><title>?</title><iframe id=f style='border:0' srcdoc=\"{}\"></iframe>"
        "<script>f.width = {}; f.height = 900; f.onload = () => {{"
        "const d = f.contentDocument.documentElement;"
        "document.title = d.scrollWidth + ' of ' + d.clientWidth}}</script>"
    )
    inner = startup_html().replace("&", "&amp;").replace('"', "&quot;")
    file = tmp_path / "frame.html"
    file.write_text(measure.format(inner, width), encoding="utf-8")
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=5000",
         f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", file.as_uri()],
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    found = re.search(r"<title>(\d+) of (\d+)</title>", done.stdout)
    if found is None and "<title>" not in done.stdout:
        pytest.skip(f"Chromium does not run here: {done.stderr[-200:]}")
    assert found is not None, done.stdout[:300]
    assert int(found[1]) <= int(found[2])


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_hostile_text_is_only_text_in_a_pdf() -> None:
    pytest.importorskip("weasyprint")
    bad = "</title></style><script>app.alert(1)</script><a href='http://example.invalid/'>x</a>"
    report = replace(
        report_of(startup()),
        title=bad,
        letterhead=(bad,),
        sections=(Section("need", bad, (Paragraph(bad), Verbatim(bad, bad))),),
    )
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(html_of(report))))
    root = reader.trailer["/Root"]
    assert not {"/OpenAction", "/AA", "/AcroForm"} & set(root)
    assert not {"/JavaScript", "/EmbeddedFiles"} & set(root.get("/Names", {}))
    links = [
        note.get_object().get("/A", {}) for page in reader.pages for note in page.get("/Annots", [])
    ]
    assert not any("/URI" in link or "/JS" in link for link in links)
    assert reader.metadata is not None and reader.metadata.title == bad
    assert words_of(reader).count("<script>app.alert(1)</script>") >= 3
