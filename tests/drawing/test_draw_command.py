"""`lineconfig draw`: what it writes, and what it leaves alone."""

from __future__ import annotations

import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from lineconfig.cli import main
from lineconfig.drawing.files import check_name, write_whole
from lineconfig.errors import InputError
from tests.drawing.drawings import EXAMPLES

BRIEF = str(EXAMPLES / "startup.yaml")


@pytest.mark.parametrize("what", ["plan", "elevation", "both"])
def test_it_writes_what_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], what: str
) -> None:
    file = tmp_path / "line.svg"
    assert main(["draw", BRIEF, "1", "--out", str(file), "--what", what, "--paper", "a4"]) == 0
    root = ET.parse(file).getroot()  # noqa: S314 - our own output
    groups = {group.attrib["id"] for group in root.iter("{http://www.w3.org/2000/svg}g")}
    assert groups == {"sheet", *(("plan", "elevation") if what == "both" else (what,))}
    assert root.attrib["width"] == "297mm"
    said = capsys.readouterr()
    assert said.out == "" and "line.svg" in said.err and "1:" in said.err


def test_the_ending_may_be_in_capitals(tmp_path: Path) -> None:
    file = tmp_path / "LINE.DXF"
    assert main(["draw", BRIEF, "A", "--out", str(file)]) == 0
    assert file.read_text(encoding="utf-8").startswith("  0\nSECTION")


@pytest.mark.parametrize("name", ["line.pdf", "line", "line.svg.png", ".svg"])
def test_other_endings_are_refused_before_anything_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    file = tmp_path / name
    assert main(["draw", str(tmp_path / "no-such-brief.yaml"), "1", "--out", str(file)]) == 2
    said = capsys.readouterr().err
    assert ".svg" in said and ".dxf" in said and "no-such-brief" not in said
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_not_there_is_said_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "missing" / "line.svg"
    assert main(["draw", BRIEF, "1", "--out", str(file)]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_brief_that_nothing_serves_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from lineconfig.explain import NoLayout

    # What is in the way is looked for at length; that there is something will do here.
    monkeypatch.setattr("lineconfig.rank.why_nothing", lambda *_: NoLayout((), ()))
    file = tmp_path / "line.svg"
    brief = str(EXAMPLES / "cannot-be-met.yaml")
    assert main(["draw", brief, "1", "--out", str(file)]) == 1
    assert not list(tmp_path.iterdir())
    assert "No layout fits" in capsys.readouterr().out


def test_a_file_is_whole_or_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "line.svg"
    file.write_text("before", encoding="utf-8")
    file.chmod(0o640)

    def fail(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", fail)
        with pytest.raises(InputError, match="No space left"):
            write_whole(file, b"after")
    assert file.read_text(encoding="utf-8") == "before"
    assert list(tmp_path.iterdir()) == [file]
    write_whole(file, b"after")
    assert file.read_text(encoding="utf-8") == "after"
    assert file.stat().st_mode & 0o777 == 0o640


def test_a_folder_of_that_name_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "line.svg"
    folder.mkdir()
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(folder, b"after")
    assert list(tmp_path.iterdir()) == [folder]


def test_endings_are_named_in_the_refusal() -> None:
    with pytest.raises(InputError, match=r"\.svg.*\.dxf.*'\.png'"):
        check_name("line.png")


def test_svg_needs_no_cad_library() -> None:
    program = (
        "import sys; from lineconfig.cli import main;"
        "code = main(['draw', sys.argv[1], '1', '--out', sys.argv[2]]);"
        "sys.exit(code or ('ezdxf' in sys.modules) * 3)"
    )
    file = Path(sys.executable).anchor + "dev/null.svg"
    result = subprocess.run(
        [sys.executable, "-c", program, BRIEF, file], capture_output=True, check=False
    )
    assert result.returncode != 3


def test_what_is_odd_in_a_brief_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief = tmp_path / "odd.yaml"
    text = Path(BRIEF).read_text(encoding="utf-8")
    brief.write_text(text.replace("ceiling: 9 ft", "ceiling: 70 ft"), encoding="utf-8")
    assert main(["draw", str(brief), "1", "--out", str(tmp_path / "line.svg")]) == 0
    assert "note:" in capsys.readouterr().err
