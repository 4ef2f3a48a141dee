"""Exports from each place that offers them, and what is said where one fails."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from lineconfig.tui.app import LineconfigApp
from lineconfig.tui.places import EXISTS, objection, typed_path
from lineconfig.tui.screens.compare import CompareScreen
from lineconfig.tui.screens.export import ExportDialog
from lineconfig.tui.screens.layout import LayoutScreen
from lineconfig.tui.screens.questionnaire import QuestionScreen
from lineconfig.tui.screens.whatif import WhatIfScreen
from tests.tui.seen import app_for, screen_text, settled, small_draft

SMALL = (80, 24)


async def begin(app: LineconfigApp, pilot: Pilot[Any], kind: str, name: str = "") -> ExportDialog:
    """Open the dialog and go to one form of export; a name where the suggested one is not meant."""
    await pilot.press("ctrl+e")
    await pilot.pause()
    dialog = app.screen
    assert isinstance(dialog, ExportDialog)
    options = dialog.query_one(OptionList)
    options.highlighted = [each.id for each in dialog.kinds].index(kind)
    await pilot.pause()
    if name:
        dialog.query_one(Input).value = name
    return dialog


async def test_each_place_offers_what_it_shows_and_all_of_it_is_seen_on_a_small_screen(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        offered: dict[type, list[str]] = {}

        async def look() -> None:
            place = type(app.screen)
            await pilot.press("ctrl+e")
            await pilot.pause()
            assert isinstance(app.screen, ExportDialog)
            offered[place] = [each.id for each in app.screen.kinds]
            assert all(kind.title in screen_text(app) for kind in app.screen.kinds)
            assert "Esc goes back." in screen_text(app)
            await pilot.press("escape")

        await look()
        of_all = [kind for kind in offered.popitem()[1] if not kind.startswith(("plan", "layout"))]
        for keys, place in (
            (("enter",), LayoutScreen), (("escape", "space", "down", "space", "c"), CompareScreen),
            (("escape", "f5"), WhatIfScreen), (("escape", "escape"), QuestionScreen),
        ):  # fmt: skip
            await pilot.press(*keys)
            await settled(pilot)
            assert isinstance(app.screen, place)
            await look()
        assert {"plan-svg", "plan-dxf", "layout-text"} <= set(offered[LayoutScreen])
        assert offered[CompareScreen] == offered[WhatIfScreen] == of_all
        assert {"report-html", "report-xlsx", "list-json", "brief"} <= set(of_all)
        assert offered[QuestionScreen] == ["brief"]


async def test_a_drawing_of_the_layout_opens_without_faults(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    monkeypatch.chdir(tmp_path)
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        await begin(app, pilot, "plan-dxf")
        await pilot.press("enter")
        await settled(pilot)
        (file,) = tmp_path.glob("*-a.dxf")
        assert f"Wrote {file.name}" in screen_text(app)
        drawing = ezdxf.readfile(file)
        assert not drawing.audit().errors and len(drawing.modelspace()) > 100


async def test_a_workbook_written_from_a_comparison_opens(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    monkeypatch.chdir(tmp_path)
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await pilot.press("space", "down", "space", "c")
        await settled(pilot)
        assert isinstance(app.screen, CompareScreen)
        await begin(app, pilot, "report-xlsx")
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, CompareScreen)
        (file,) = tmp_path.glob("*.xlsx")
        assert "Summary" in openpyxl.load_workbook(file).sheetnames


@pytest.mark.slow
async def test_a_pdf_opens_and_goes_on_by_itself_where_the_dialog_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pypdf = pytest.importorskip("pypdf")
    pytest.importorskip("weasyprint")
    monkeypatch.chdir(tmp_path)
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await settled(pilot)
        dialog = await begin(app, pilot, "report-pdf")
        await pilot.press("enter")
        await pilot.pause()
        assert "a PDF takes some seconds" in screen_text(app)
        await pilot.press("escape")
        assert app.screen is not dialog
        await settled(pilot)
        (file,) = tmp_path.glob("*.pdf")
        assert f"Wrote {file.name}" in screen_text(app)
        text = "".join(page.extract_text() for page in pypdf.PdfReader(file).pages)
        assert "Fen Lane Ginger" in text and "Plan and elevation" in text


async def test_a_file_that_is_there_is_replaced_only_when_asked_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        (tmp_path / "list.txt").write_text("somebody else's")
        await begin(app, pilot, "list-text", "list.txt")
        await pilot.press("enter")
        await settled(pilot)
        assert EXISTS in screen_text(app)
        assert (tmp_path / "list.txt").read_text() == "somebody else's"
        await pilot.press("enter")
        await settled(pilot)
        assert "first cost" in (tmp_path / "list.txt").read_text()


def refusing(said: str) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Stands for a command that ends with a message."""

    def run(command: list[str], **_: Any) -> subprocess.CompletedProcess[str]:
        return subprocess.CompletedProcess(command, 2, "", said)

    return run


def missing(*_: Any, **__: Any) -> subprocess.CompletedProcess[str]:
    """Stands for a system that starts no more programs."""
    raise OSError(12, "Cannot allocate memory")


@pytest.mark.parametrize(
    ("run", "told"),
    [
        (refusing("lineconfig: {path}: cannot be written: Permission denied"),
         "! sheet.xlsx: cannot be written: Permission denied"),
        (refusing("lineconfig: PDF needs WeasyPrint: install it"),
         "! sheet.xlsx: PDF needs WeasyPrint: install it"),
        (refusing(""), "! sheet.xlsx: nothing was written"),
        (missing, "! sheet.xlsx: cannot allocate memory"),
    ],
)  # fmt: skip
async def test_an_export_that_fails_says_why_and_leaves_what_was_there(
    run: Callable[..., Any], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sheet.xlsx").write_text("somebody else's")
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)

        def said(command: list[str], **more: Any) -> subprocess.CompletedProcess[str]:
            done: subprocess.CompletedProcess[str] = run(command, **more)
            path = tmp_path / "sheet.xlsx"
            return subprocess.CompletedProcess(command, 2, "", done.stderr.format(path=path))

        monkeypatch.setattr(subprocess, "run", said)
        await begin(app, pilot, "report-xlsx", "sheet.xlsx")
        await pilot.press("enter", "enter")
        await settled(pilot)
        assert isinstance(app.screen, ExportDialog)
        assert told in " ".join(screen_text(app).split())
        assert (tmp_path / "sheet.xlsx").read_text() == "somebody else's"
        await pilot.press("escape")
        assert app.draft.text == small_draft().text


def test_names_that_lead_nowhere_are_objected_to(tmp_path: Path) -> None:
    assert objection(tmp_path) == objection(typed_path("")) == "that is a folder: add a file name"
    assert objection(tmp_path / "a" / "b.pdf") == f"there is no folder {tmp_path / 'a'}"
    assert "too long" in objection(tmp_path / ("n" * 300))
    assert typed_path("~nobody-of-this-name/x.pdf") == Path("~nobody-of-this-name/x.pdf")
    (tmp_path / "there").write_text("")
    assert objection(tmp_path / "there") == EXISTS
    assert objection(tmp_path / "new.pdf") == ""
