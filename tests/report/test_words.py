"""Words of document and workbook: each used, each replaceable, mistakes named with their line."""

from __future__ import annotations

import ast
import io
import json
import re
import tempfile
from functools import cache
from pathlib import Path

import openpyxl
import pytest

from lineconfig.errors import InputError
from lineconfig.report import words as words_module
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.report.words import Words, load_words
from lineconfig.workbook import workbook_bytes
from lineconfig.workbook.lines import lines_of
from tests.report.cases import startup, told_in, two_formats, written
from tests.report.pages import page_of

ROOM = Path(words_module.__file__).parent
WORKBOOK = ROOM.parent / "workbook"
BY_NAME = (
    "field.", "function.", "view.", "by.", "hand.", "annual.", "first.", "parameter.", "task.",
    "assumed.", "answer.", "sheet.", "hours.", "supply.", "term.",
    "limit.", "medium.", "said.",
)  # fmt: skip
"""Groups whose words are found by a name of the engine."""


def test_no_word_stands_in_the_list_for_nothing() -> None:
    files = [*ROOM.rglob("*.py"), *WORKBOOK.rglob("*.py")]
    code = "".join(file.read_text(encoding="utf-8") for file in files)
    code = code.replace("'", '"')
    for key in load_words().keys:
        if key.startswith(BY_NAME):
            continue
        group, name = key.split(".")
        assert f'"{key}"' in code or (
            f'f"{group}.{{' in code and f'"{name.split("_word")[0]}' in code
        ), key


def test_every_word_that_the_code_asks_for_is_in_the_list() -> None:
    files = [*ROOM.rglob("*.py"), *WORKBOOK.rglob("*.py")]
    asked = {
        key
        for file in files
        for key in re.findall(r'words\(\s*"([\w-]+\.[\w-]+)"', file.read_text(encoding="utf-8"))
    }
    assert len(asked) > 250
    assert asked <= set(load_words().keys)


def test_a_language_file_replaces_words_and_leaves_the_rest(tmp_path: Path) -> None:
    file = written(
        tmp_path,
        "document: {lang: de, contents: Inhalt}\nneed:\n  title: Was gebraucht wird\n"
        "  speed: 'Gefragt: {speed} je Minute'\n",
    )
    words = load_words(str(file))
    page = page_of(html_of(report_of(told_in(words, startup()))))
    assert page.all("html")[0].attributes["lang"] == "de"
    headings = [each.text for each in page.all("h2")]
    assert headings[:2] == ["Inhalt", "Was gebraucht wird"]
    assert "Gefragt: 30 je Minute" in page.text
    assert "Money" in headings


MARK = "§"
"""Not a letter of any word of the engine."""


@cache
def marked() -> Words:
    """Every word replaced, with all the places for values that it has."""
    english = load_words()
    texts = {key: MARK + english.text(key) for key in english.keys}
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "marked.yaml"
        file.write_text(json.dumps(_nested(texts)), encoding="utf-8")
        return load_words(str(file))


def _nested(texts: dict[str, str]) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for key, text in texts.items():
        group, name = key.split(".")
        found.setdefault(group, {})[name] = text
    return found


def test_a_full_translation_changes_every_heading_of_the_document() -> None:
    assert marked().notes == ()
    for subject in (startup(), two_formats()):
        page = page_of(html_of(report_of(told_in(marked(), subject))))
        names = {choice.layout.id for choice in subject.choices}
        looked_at = 0
        for each in page.all("h1", "h2", "h3", "caption", "figcaption"):
            assert MARK in each.text, each.text
            looked_at += 1
        for each in page.all("th"):
            if each.attributes["scope"] == "col":
                assert MARK in each.text, each.text
                looked_at += 1
        for each in page.all("svg"):
            own = each.attributes["aria-labelledby"].startswith(("cost", "against", "timeline"))
            assert not own or MARK in each.all("title")[0].text
        assert looked_at > 150
        assert not any(name in MARK for name in names)


def test_a_full_translation_changes_every_heading_and_label_of_the_workbook() -> None:
    subject = two_formats()
    study, words = subject.study, marked()
    for hidden in (False, True):
        data = workbook_bytes(study, subject.answer, words=words, hide_prices=hidden)
        book = openpyxl.load_workbook(io.BytesIO(data))
        assert all(MARK in name for name in book.sheetnames)
        plain, seen = set(), 0
        for sheet in book:
            for row in sheet.iter_rows():
                for cell in row:
                    if isinstance(cell.value, str) and cell.data_type == "s":
                        seen += MARK in cell.value
                        if cell.font.b and MARK not in cell.value:
                            plain.add(cell.value)
        # Bold are titles, names of columns, headings and sums; of these the data are left.
        ids = {line.layout.id for line in lines_of(study, subject.answer)}
        assert plain <= ids | {study.need.brief.name, ""}
        assert seen > 150


def test_a_translated_workbook_has_formulas_that_name_its_sheets() -> None:
    """Every sheet that a formula names is there, apostrophes doubled as the format asks."""
    texts = {f"sheet.{key}": f"L'{key}" for key in ("inputs", "prices", "bill", "formats")}
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "fr.yaml"
        file.write_text(json.dumps(_nested(texts)), encoding="utf-8")
        words = load_words(str(file))
    subject = startup()
    data = workbook_bytes(subject.study, subject.answer, words=words)
    book = openpyxl.load_workbook(io.BytesIO(data))
    named = {
        name.replace("''", "'")
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
        for name in re.findall(r"'((?:[^']|'')+)'!", cell.value)
    }
    assert "L'bill" in named
    assert named <= set(book.sheetnames)


def test_what_a_language_file_leaves_out_is_said_and_stays_english(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, "need: {title: Was gebraucht wird}", "de.yaml")
    words = load_words(str(file))
    (note,) = words.notes
    count = len(load_words().keys)
    assert str(note).startswith(f"{file}: {count - 1} of {count} words stay English: document.lang")
    assert words("document.contents") == "Contents"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("need: {titel: x}", r"brief.yaml:1: no such words: need.titel; did you mean 'need.title'"),
        ("\nneed:\n  speed: '{speed.__class__}'", r"brief.yaml:3: need.speed: has a place that is"),
        ("need: {speed: '{speed!r}'}", "has a place that is not filled"),
        ("need: {speed: '{speed:>9999999}'}", "has a place that is not filled"),
        ("need: {speed: '{nobody}'}", r"\{nobody\}; there are: \{format\}, \{speed\}"),
        ("need: {speed: '{0}'}", "has a place that is not filled"),
        ("need: {speed: 'a } b'}", "a brace without its counterpart"),
        ("need: {title: [a, b]}", "need.title must be a text"),
        ("need: {title: ''}", "need.title must be a text"),
        ("- a\n- b", "a list"),
        ("sheet: {bill: 'a/b'}", r"brief.yaml:1: sheet.bill: 'a/b' cannot name a sheet"),
        ("\nsheet: {bill: abcdefghijklmnopqrstuvwxyzabcdef}", "at most 31 characters"),
        ("sheet: {bill: 'History'}", "not 'History'"),
        ("sheet: {bill: summary}", "sheet.summary has the same name"),
    ],
)
def test_mistakes_are_named(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        load_words(str(written(tmp_path, text)))


def test_markup_in_a_language_file_is_shown_as_text(tmp_path: Path) -> None:
    words = load_words(str(written(tmp_path, "need: {title: '<script>x</script>'}")))
    page = page_of(html_of(report_of(told_in(words, startup()))))
    assert not page.all("script")
    assert "<script>x</script>" in [each.text for each in page.all("h2")]


def test_headings_stand_in_one_place_only() -> None:
    """No sentence of English is written in the code of the sections."""
    found = []
    for file in [*ROOM.glob("sections/*.py"), ROOM / "gather.py", *WORKBOOK.glob("*.py")]:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        described = {
            id(node.body[0].value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef)
            and isinstance(node.body[0], ast.Expr)
        }
        described |= {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        found += [
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in described
            and re.search(r"[A-Za-z]{2,} [a-z]{2,}", node.value)
        ]
    # A command, a message of the program and names of the engine.
    assert set(found) == {
        "lineconfig report brief.yaml --out report.html",
        "no layout meets the brief: nothing to cost",
        "can losses", "product losses", "empties premium",
    }  # fmt: skip


def test_sentences_of_the_engine_are_found_by_their_english() -> None:
    """Those that the list has; their values stay."""
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.need_reading import need_of_text

    catalog = load_catalog()
    rows = (
        "{container: can-355-standard}, {container: can-473-standard, annual_cans: 1000}",
        "{container: can-355-standard, label: pre-sleeved}",
        "{container: can-250-slim, supply: loose}",
    )
    used = [
        text
        for row in rows
        for text in need_of_text(
            f"brief: 1\nname: x\nspeed: 60 cpm\nformats: [{row}]\nsite: {{ceiling: 4 m}}\n",
            "b.yaml", catalog,
        ).defaults_used
    ]  # fmt: skip
    used += need_of_text(
        "brief: 1\nname: x\nformats: [{container: can-355-standard, annual_cans: 900000}]\n"
        "site: {ceiling: 4 m}\n", "b.yaml", catalog,
    ).defaults_used  # fmt: skip
    said = [text.partition(" (")[2].removesuffix(")") for text in used if text.endswith(")")]
    plan = startup().study.plan(startup().first.layout)
    assert plan is not None
    said += plan.notes  # type: ignore[union-attr]
    reached = set()
    for text in said:
        told = marked().said(text)
        assert told.startswith(MARK), text
        assert load_words().said(text) == text
        assert set(re.findall(r"\d[\d.,]*", told)) == set(re.findall(r"\d[\d.,]*", text))
        reached |= {key for key, pattern in words_module._sentences() if pattern.fullmatch(text)}
    assert {key for key in load_words().keys if key.startswith("said.")} <= reached
    assert marked().said("no such sentence") == "no such sentence"
