"""`lineconfig report`: what it writes, what it refuses, and hostile text in every place."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from lineconfig.cli import main
from lineconfig.locate import examples_dir
from lineconfig.present.nothing import no_layout_lines
from lineconfig.present.text import title_text
from lineconfig.rank import Recommendation
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.rounding import amount_text
from lineconfig.session import Study
from tests.report.cases import TWO_FORMATS, never, startup, too_dear, written
from tests.report.pages import Element, page_of

STARTUP = str(examples_dir() / "startup.yaml")
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108020000009077"
    "53de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)
"""One red pixel."""

HOSTILE = (
    "</pre></style><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7 * 7 }}{0}\\u202Eexe"
)
"""For a double-quoted text of YAML."""


@pytest.fixture
def answered(monkeypatch: pytest.MonkeyPatch) -> None:
    """The shipped briefs are solved once for all tests."""

    def known(study: Study, **_: object) -> Recommendation:
        subject = {"Fen Lane Ginger": startup}.get(study.need.brief.name, never)()
        assert study.need.brief.name == subject.study.need.brief.name
        return subject.answer

    monkeypatch.setattr("lineconfig.rank.recommend", known)


def never_brief(folder: Path) -> str:
    """A file with a brief that no layout meets, in a folder of its own."""
    (folder / "brief").mkdir(exist_ok=True)
    return str(written(folder / "brief", too_dear()))


def left_over(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name != "brief")


# --- what is written --------------------------------------------------------------------------


def test_a_document_is_written_and_said_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "client.HTML"
    logo = tmp_path / "logo.bin"
    logo.write_bytes(PNG)
    brief = written(tmp_path, TWO_FORMATS.partition("growth:")[0])
    status = main(
        ["report", str(brief), "--out", str(out), "--layouts", "a, 2", "--letterhead",
         "Ellery & Daughters\n12 <Mill> Road", "--logo", str(logo), "--paper", "a4"]
    )  # fmt: skip
    said = capsys.readouterr()
    assert status == 0
    assert said.out == "" and said.err == f"lineconfig: wrote {out}\n"
    page = page_of(out.read_text(encoding="utf-8"))
    assert "Ellery & Daughters" in page.text and "12 <Mill> Road" in page.text
    (image,) = page.all("img")
    assert image.attributes["src"].startswith("data:image/png;base64,")
    assert image.attributes["alt"]
    assert left_over(tmp_path) == ["brief.yaml", "client.HTML", "logo.bin"]


@pytest.mark.usefixtures("answered")
def test_where_nothing_fits_the_document_says_why_and_what_would_open_a_layout(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "no.html"
    assert main(["report", never_brief(tmp_path), "--out", str(out)]) == 1
    assert capsys.readouterr().out.startswith("No layout fits.")
    page = page_of(out.read_text(encoding="utf-8"))
    assert "No layout fits" in [each.text for each in page.all("h2")]
    listed = [each.text for each in page.all("li")]
    assert any("(budget)" in text for text in listed)
    assert any("solved again to be sure" in each.text for each in page.all("p"))


def test_the_document_and_the_text_tell_the_same_conflicts_and_lines() -> None:
    """Every conflict of the example, each line that a sentence speaks of, and what would open."""
    subject = never()
    nothing = subject.answer.no_layout
    assert nothing is not None and len(nothing.conflicts) > 1
    listed = [each.text for each in page_of(html_of(report_of(subject))).all("li")]
    told = " ".join(" ".join(no_layout_lines(nothing)).split())
    described = 0
    for clash in (clash for conflict in nothing.conflicts for clash in conflict):
        assert clash.text in told
        assert any(text.startswith(clash.text) for text in listed)
        if clash.line is not None:
            described += 1
            for text in (told, " ".join(listed)):
                assert title_text(clash.line) in text and clash.line.id in text
    assert described
    for opened in (*nothing.openings, *nothing.pairs):
        price = amount_text(opened.layout.money.first_cost.typical)
        for text in (told, " ".join(listed)):
            assert f"{opened.layout.id}, {price} USD to buy" in text


@pytest.mark.usefixtures("answered")
def test_hidden_prices_stay_hidden_where_nothing_fits(tmp_path: Path) -> None:
    out = tmp_path / "no.html"
    assert main(["report", never_brief(tmp_path), "--out", str(out), "--hide-prices"]) == 1
    text = page_of(out.read_text(encoding="utf-8")).text
    assert "A limit of money" in text
    clash = next(item for item in never().answer.no_layout.conflict if item.field == "budget")
    amounts = [part for part in re.findall(r"[\d,]+", clash.text) if len(part) > 3]
    assert len(amounts) == 3
    assert not any(amount in text for amount in amounts if amount != "150,000")


@pytest.mark.usefixtures("answered")
def test_no_workbook_is_written_where_nothing_fits(tmp_path: Path) -> None:
    assert main(["report", never_brief(tmp_path), "--out", str(tmp_path / "no.xlsx")]) == 1
    assert left_over(tmp_path) == []


# --- what is refused --------------------------------------------------------------------------


@pytest.mark.usefixtures("answered")
@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--out", "x.docx"], "a document is written as .html, .pdf or .xlsx"),
        (["--out", "report"], "the name has no ending"),
        (["--out", "x.html", "--layouts", "2000"], "no layout '2000'"),
        (["--out", "x.html", "--layouts", "Z"], "no layout 'Z'"),
        (["--out", "x.html", "--layouts", ","], "name 1 to 6 layouts"),
        (["--out", "x.html", "--layouts", "1,2,3,4,5,6,7"], "name 1 to 6 layouts"),
        (["--out", "x.html", "--logo", "missing.png"], "there is no such file"),
        (["--out", "x.html", "--logo", "."], "is not a plain file"),
        (["--out", "x.html", "--logo", "/dev/zero"], "is not a plain file"),
        (["--out", "x.html", "--logo", "a\0b"], "no such file|not a file name"),
        (["--out", "x.html", "--logo", "file:///etc/hostname"], "there is no such file"),
        (["--out", "x.html", "--logo", "../../../../../etc/passwd"], "neither|no such file"),
        (["--out", "x.html", "--logo", "drawing.svg"], "a logo is a PNG or JPEG picture"),
        (["--out", "x.html", "--logo", "big.png"], "is larger than 2 MB"),
        (["--out", "x.html", "--language", "missing.yaml"], "there is no such file"),
    ],
)
def test_what_cannot_be_done_is_said_and_nothing_is_left_behind(
    options: list[str], message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    written(tmp_path, "<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "drawing.svg")
    (tmp_path / "big.png").write_bytes(PNG + bytes(2_000_000))
    before = left_over(tmp_path)
    assert main(["report", STARTUP, *options]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("lineconfig: ")
    assert any(part in said.err for part in message.split("|")), said.err
    assert left_over(tmp_path) == before


@pytest.mark.usefixtures("answered")
def test_a_file_that_is_there_stays_whole_when_writing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = written(tmp_path, "the old one", "report.html")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert main(["report", never_brief(tmp_path), "--out", str(out)]) == 2
    assert out.read_text(encoding="utf-8") == "the old one"
    assert left_over(tmp_path) == ["report.html"]


@pytest.mark.usefixtures("answered")
def test_a_folder_that_is_not_there_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", never_brief(tmp_path), "--out", str(tmp_path / "none" / "x.html")]) == 2
    assert "cannot be written" in capsys.readouterr().err
    assert left_over(tmp_path) == []


@pytest.mark.parametrize("error", [ImportError("no module"), OSError("cannot load 'gobject-2.0'")])
def test_without_the_pdf_writer_one_line_says_what_to_install(
    error: Exception, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    import builtins

    real = builtins.__import__

    def broken(name: str, *rest: object, **more: object) -> object:
        if name.startswith("weasyprint"):
            print("a long banner of the library's own")
            raise error
        return real(name, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", broken)
    assert main(["report", STARTUP, "--out", str(tmp_path / "x.pdf")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "pip install 'lineconfig[pdf]'" in said.err and str(error) in said.err
    assert left_over(tmp_path) == []


# --- hostile text -----------------------------------------------------------------------------


def test_hostile_text_in_a_brief_is_inert(tmp_path: Path) -> None:
    brief = TWO_FORMATS.partition("growth:")[0]
    brief = brief.replace("Ebb Mill Soda  # invented", f'"{HOSTILE}"  # {HOSTILE}')
    brief = brief.replace("kind: soda", f'kind: "{HOSTILE}"')
    brief = brief.replace(
        "container: can-250-slim",
        "container: {kind: two-piece-can, diameter: 53 mm, height: 134 mm, volume: 250 ml, "
        f'end: "200", name: "{HOSTILE}"}}',
    )
    file, out = written(tmp_path, brief), tmp_path / "x.html"
    overlay = written(tmp_path, "economics: {currency: USD}", "<b>&quotes.yaml")
    status = main(
        ["report", str(file), "--out", str(out), "--letterhead", HOSTILE + "\x07\x1b[31m",
         "--layouts", "1", "--catalog", str(overlay)]
    )  # fmt: skip
    assert status == 0
    html = out.read_text(encoding="utf-8")
    assert not {
        sign for sign in html if (ord(sign) < 32 and sign not in "\n\t") or sign == "\u202e"
    }
    page = page_of(html)
    tags = _every(page)
    assert not [each for each in tags if each.tag in ("script", "img")]
    assert not [name for each in tags for name in each.attributes if name.startswith("on")]
    assert "<script>alert(1)</script>" in page.all("h1")[0].text
    assert "{{ 7 * 7 }}{0}" in page.all("h1")[0].text


def _every(element: Element) -> list[Element]:
    return [element, *(each for child in element.children for each in _every(child))]


@pytest.mark.usefixtures("answered")
def test_no_path_of_this_machine_stands_in_the_document(tmp_path: Path) -> None:
    out = tmp_path / "x.html"
    brief = written(tmp_path, too_dear())
    overlay = examples_dir() / "overlay-quotes"
    assert main(["report", str(brief), "--out", str(out), "--catalog", str(overlay)]) == 1
    html = out.read_text(encoding="utf-8")
    assert str(tmp_path) not in html and str(examples_dir()) not in html
    assert "--catalog overlay-quotes" in html
    assert os.fspath(Path.cwd()) not in html


@pytest.mark.usefixtures("answered")
def test_what_is_odd_in_the_brief_and_left_out_of_the_language_file_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = too_dear().replace("wage: 24 USD/h", "wage: 0.24 USD/h")
    brief = written(tmp_path, text)
    language = written(tmp_path, "need: {title: Was gebraucht wird}", "de.yaml")
    out = tmp_path / "x.html"
    assert main(["report", str(brief), "--out", str(out), "--language", str(language)]) == 1
    said = capsys.readouterr().err.splitlines()
    assert said[0].startswith(f"lineconfig: note: {language}: ")
    assert "words stay English" in said[0]
    assert said[1].startswith(f"lineconfig: note: {brief}:") and "wage" in said[1]
    assert "Was gebraucht wird" in out.read_text(encoding="utf-8")
