"""What is said of a layout in one line."""

from __future__ import annotations

from pathlib import Path

from lineconfig.rank import recommend
from lineconfig.session import open_study

BRIEF = """\
brief: 1
name: Withy Bank Tonic   # invented
formats: [{container: can-355-sleek, annual_cans: 300000, supply: half-stack}]
site: {ceiling: 10 ft}
"""


def test_a_line_that_does_not_rinse_says_so(tmp_path: Path) -> None:
    brief = tmp_path / "brief.yaml"
    brief.write_text(BRIEF, encoding="utf-8")
    kinds = recommend(open_study(brief), top=1).arrangements
    rinsed = {any(s.function == "rinse" for s in kind.layout.stations) for kind in kinds}
    assert rinsed == {True, False}
    for kind in kinds:
        has = any(station.function == "rinse" for station in kind.layout.stations)
        assert kind.reason.startswith("cans not rinsed") != has
