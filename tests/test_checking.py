"""Checking a file without being told what it is."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from lineconfig.checking import check_file
from lineconfig.locate import catalog_dir, examples_dir

BRIEF = (
    "brief: 1\nspeed: 60 cpm\nformats: [{container: can-355-standard}]\nsite: {ceiling: 12 ft}\n"
)
OVERLAY = "formats:\n  - {id: can-355-standard, pallet: {per_layer: 380}}\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "file.yaml"


@pytest.mark.parametrize("text", [BRIEF, OVERLAY])
def test_sound_files(file: Path, text: str) -> None:
    file.write_text(text)
    assert check_file(file) == check_file(str(file)) == []


BRIEFS_AND_OVERLAYS = sorted(set(examples_dir().iterdir()) - {examples_dir() / "pictures"})


@pytest.mark.parametrize("path", BRIEFS_AND_OVERLAYS, ids=lambda path: path.name)
def test_every_example_is_sound(path: Path) -> None:
    assert check_file(path) == []


def test_the_catalogue_is_sound_as_a_folder_and_file_by_file() -> None:
    assert check_file(catalog_dir()) == []
    for path in catalog_dir().rglob("*.yaml"):
        assert check_file(path) == []


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        (BRIEF.replace("12 ft", "40 m"), 4, "site.ceiling: 40 m is out of range"),
        (BRIEF.replace("can-355-standard", "can-355"), 3, "did you mean 'can-355-s"),
        (BRIEF.replace("brief: 1\n", ""), 1, "brief is missing: write 1"),
        (OVERLAY.replace("380", "-1"), 2, "can-355-standard.pallet.per_layer: -1 is out of range"),
        (OVERLAY.replace("formats", "format"), 1, "unknown key 'format'; did you mean 'formats'?"),
        ("brief: [\n", 2, "cannot be read as YAML"),
        ("", 0, "is empty"),
    ],
)
def test_problems_have_file_and_line(file: Path, text: str, line: int, said: str) -> None:
    file.write_text(text)
    (problem,) = check_file(file)
    assert (problem.file, problem.line) == (str(file), line)
    assert said in problem.text


def test_a_brief_is_checked_against_an_overlay(file: Path, tmp_path: Path) -> None:
    file.write_text(BRIEF.replace("12 ft}", "12 ft}\nbudget: 9 USD\nexclude: [no-such-class]"))
    (problem,) = check_file(file)
    assert "no-such-class" in problem.text
    broken = tmp_path / "broken.yaml"
    broken.write_text("classes: 3\n")
    assert [problem.file for problem in check_file(file, [broken])] == [str(broken)]
    assert check_file(examples_dir() / "startup.yaml", [examples_dir() / "overlay-quotes"]) == []


def test_standard_input_is_a_brief(monkeypatch: pytest.MonkeyPatch) -> None:
    for text, said in ((BRIEF, None), (OVERLAY, "is not a brief"), ("- a\n", "not keys with")):
        monkeypatch.setattr(sys, "stdin", io.StringIO(text))
        found = check_file("-")
        assert [problem.file for problem in found] == ([] if said is None else ["<stdin>"])
        assert said is None or said in found[0].text


def test_files_that_cannot_be_read(tmp_path: Path, file: Path) -> None:
    assert "no such file" in check_file(file)[0].text
    assert "without any .yaml file" in check_file(tmp_path)[0].text
    file.write_bytes(b"\0\1")
    assert "binary" in check_file(file)[0].text
    assert check_file("a\0b")[0].text == "is not a file name"
