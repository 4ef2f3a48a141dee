"""The document's words: all of them used, any of them replaced, mistakes named with their line."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from lineconfig.errors import InputError
from lineconfig.report import words as words_module
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.report.subject import Subject
from lineconfig.report.words import load_words
from tests.report.cases import startup, written
from tests.report.pages import page_of

ROOM = Path(words_module.__file__).parent
BY_NAME = ("field.", "function.", "view.", "hand.", "annual.", "first.", "parameter.", "task.")
"""Groups whose words are found by a name of the engine."""


def test_no_word_stands_in_the_list_for_nothing() -> None:
    code = "".join(file.read_text(encoding="utf-8") for file in ROOM.rglob("*.py"))
    code = code.replace("'", '"')
    for key in load_words().keys:
        if key.startswith(BY_NAME):
            continue
        group, name = key.split(".")
        assert f'"{key}"' in code or (
            f'f"{group}.{{' in code and f'"{name.split("_word")[0]}' in code
        ), key


def test_a_language_file_replaces_words_and_leaves_the_rest(tmp_path: Path) -> None:
    file = written(
        tmp_path,
        "document: {lang: de, contents: Inhalt}\nneed:\n  title: Was gebraucht wird\n"
        "  speed: 'Gefragt: {speed} je Minute'\n",
    )
    words = load_words(str(file))
    subject = Subject(startup().study, startup().answer, startup().brief_text, words)
    subject.__dict__["choices"] = startup().choices
    page = page_of(html_of(report_of(subject)))
    assert page.all("html")[0].attributes["lang"] == "de"
    headings = [each.text for each in page.all("h2")]
    assert headings[:2] == ["Inhalt", "Was gebraucht wird"]
    assert "Gefragt: 30 je Minute" in page.text
    assert "Money" in headings


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
    ],
)
def test_mistakes_are_named(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        load_words(str(written(tmp_path, text)))


def test_markup_in_a_language_file_is_shown_as_text(tmp_path: Path) -> None:
    words = load_words(str(written(tmp_path, "need: {title: '<script>x</script>'}")))
    subject = Subject(startup().study, startup().answer, startup().brief_text, words)
    subject.__dict__["choices"] = startup().choices
    page = page_of(html_of(report_of(subject)))
    assert not page.all("script")
    assert "<script>x</script>" in [each.text for each in page.all("h2")]


def test_headings_stand_in_one_place_only() -> None:
    """No sentence of English is written in the code of the sections."""
    found = []
    for file in [*ROOM.glob("sections/*.py"), ROOM / "gather.py"]:
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
    assert found == ["lineconfig report brief.yaml --out report.html"]
