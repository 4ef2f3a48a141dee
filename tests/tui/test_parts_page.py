"""The page of change parts says what the JSON says of them."""

from __future__ import annotations

from lineconfig.locate import examples_dir
from lineconfig.present.change_parts import change_parts
from lineconfig.session import open_study
from lineconfig.tui.glyphs import UNICODE
from lineconfig.tui.sheets import Subject, parts_rows


def test_every_set_has_its_price_lead_time_and_formats_that_share_it() -> None:
    study = open_study(examples_dir() / "growing-brewery.yaml")
    layout = study.best(1)[0]
    rows = parts_rows(Subject(study, layout, None, None, 70, UNICODE))
    text = " ".join(" ".join(row.text for row in rows).split())
    needs = change_parts(study, layout)
    assert any(not need.included for need in needs) and any(need.included for need in needs)
    for need in needs:
        assert need.station in text and f"{need.part} for {need.serves}: " in text
        if not need.included:
            assert f"{need.price.typical:,.0f}" in text
            assert f"{need.lead_time_weeks:g} weeks" in text
        if need.shared:
            assert f"shared by {', '.join(need.formats)}" in text
    assert {row.basis for row in rows if "comes with the machine" in row.text} != {()}
