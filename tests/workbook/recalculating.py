"""Recalculation by a spreadsheet program, which shares no code with this project."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pytest

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")

needs_office = pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed")


def recalculated(
    books: Mapping[str, openpyxl.Workbook], folder: Path
) -> dict[str, openpyxl.Workbook]:
    """The same workbooks with every formula worked out anew.

    Saving with openpyxl drops the values that the formulas came with, so none can be left over.
    """
    assert OFFICE is not None
    files = []
    for name, book in books.items():
        files.append(folder / f"{name}.xlsx")
        book.save(files[-1])
    made = folder / "made"
    done = subprocess.run(
        [
            OFFICE,
            "--headless",
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            "--convert-to",
            "xlsx:Calc MS Excel 2007 XML",
            "--outdir",
            str(made),
            *map(str, files),
        ],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert all((made / file.name).exists() for file in files), done.stderr
    return {name: openpyxl.load_workbook(made / f"{name}.xlsx", data_only=True) for name in books}
