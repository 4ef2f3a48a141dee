"""Pages as they are printed: by WeasyPrint, and by Chromium where it is installed."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import pypdf
import pytest

from lineconfig.present.records import layout_record
from lineconfig.report.pdf import pdf_of
from tests.report.cases import startup, startup_html

CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")
POINTS_PER_MM = 72 / 25.4
LETTER = (215.9, 279.4)
A4 = (210.0, 297.0)


def words_of(reader: pypdf.PdfReader) -> str:
    """All text, spaces made one."""
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def size_mm(page: pypdf.PageObject) -> tuple[float, float]:
    """Width and height of a page."""
    return (
        float(page.mediabox.width) / POINTS_PER_MM,
        float(page.mediabox.height) / POINTS_PER_MM,
    )


def check_figures(text: str) -> None:
    """Every amount and main figure of the JSON stands in the text."""
    for choice in startup().choices:
        record = layout_record(startup().study, choice.layout, choice.ranked)
        numbers = [
            *record["first_cost"].values(),
            *record["life_cycle_cost"].values(),
            *(value for item in record["first_cost_items"].values() for value in item.values()),
            *record["annual_cost"].values(),
            record["heights_mm"]["frame_top"],
            record["speed_cpm"]["effective"],
            record["hours_per_year"]["together"],
        ]
        for number in numbers:
            written = re.escape(f"{number:,.0f}")
            assert re.search(rf"(?<![\d.,]){written}(?!\d|[.,]\d)", text), number
        assert choice.layout.id in re.sub(r"-\s", "-", text)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@pytest.mark.parametrize(("paper", "size"), [("letter", LETTER), ("a4", A4)])
def test_the_pdf_has_the_figures_of_the_json_on_the_paper_asked_for(
    paper: str, size: tuple[float, float]
) -> None:
    pytest.importorskip("weasyprint")
    data = pdf_of(startup_html(), paper)  # type: ignore[arg-type]
    reader = pypdf.PdfReader(io.BytesIO(data))
    for page in reader.pages:
        assert sorted(size_mm(page)) == pytest.approx(sorted(size), abs=0.1)
    across = [page for page in reader.pages if page.mediabox.width > page.mediabox.height]
    assert len(across) == len(startup().choices)
    for page in across:
        assert "Stations in flow order" in page.extract_text()
    text = words_of(reader)
    check_figures(text)
    assert text.count("Lines and hatches") == len(across)
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
    file.write_text(startup_html(), encoding="utf-8")
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
