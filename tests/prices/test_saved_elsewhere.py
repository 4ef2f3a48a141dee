"""Price sheets that a spreadsheet program has opened and saved in its own ways."""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path

import pytest

from lineconfig.prices.importing import quoted_in
from lineconfig.prices.reading import read_filled
from tests.prices.filling import filled_workbook, shipped
from tests.workbook.recalculating import OFFICE, needs_office

CSV = "csv:Text - txt - csv (StarCalc)"
FORMS = {
    "again.xlsx": "xlsx:Calc MS Excel 2007 XML",
    # Separator, quote and character set (76: UTF-8), by the program's own numbers.
    "semicolons.csv": f"{CSV}:59,34,76",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("saved")


@needs_office
@pytest.mark.parametrize("name", FORMS)
def test_a_sheet_saved_by_a_spreadsheet_program_reads_the_same(folder: Path, name: str) -> None:
    file = folder / f"{Path(name).stem}.xlsx"
    filled_workbook(
        file,
        {
            ("full-height-depalletizer", "price"): {
                "low": 83900, "typical": 86400.5, "high": 92000.0,
                "basis": "offer 2208; firm, for 60 days", "valid until": date(2027, 3, 31),
            },
            ("case-only-thermal-ink-jet", "consumables"): {"typical": 0.8175},
            ("light-curtain", "price"): {"typical": "=6000+1210/2"},
        },
    )  # fmt: skip
    assert OFFICE is not None
    subprocess.run(
        [OFFICE, "--headless", f"-env:UserInstallation={(folder / 'profile').as_uri()}",
         "--convert-to", FORMS[name], "--outdir", str(folder / "made"), str(file)],
        capture_output=True, timeout=300, check=True,
    )  # fmt: skip
    saved = next((folder / "made").glob(f"{Path(name).stem}.*"))
    sweep, curtain, coder = quoted_in(read_filled(str(saved)), shipped())
    assert coder.amounts[1] == "0.8175 USD"
    assert sweep.amounts == ("83900 USD", "86400.5 USD", "92000 USD")
    assert sweep.basis.endswith("firm, for 60 days, valid until 2027-03-31")
    assert curtain.amounts[1] == "6605 USD"
