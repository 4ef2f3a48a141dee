"""`show --short`: what it takes to decide, with the figures of the whole; and single sections."""

from __future__ import annotations

from functools import cache

import pytest

from lineconfig.cli import main
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.layout import layout_text
from lineconfig.present.short import chosen_section, sections_of, short_text
from lineconfig.session import Study, open_study
from tests.printed import printed

TWO_SCREENS = 100
STARTUP = str(examples_dir() / "startup.yaml")


@cache
def told(name: str) -> tuple[Study, Layout, str, str]:
    study = open_study(examples_dir() / f"{name}.yaml")
    layout = study.best(1)[0]
    return study, layout, short_text(study, layout, None), layout_text(study, layout)


@pytest.mark.parametrize("name", ["growing-brewery", "high-speed-plant", "mobile-canner"])
def test_the_short_form_fits_two_screens_and_has_what_a_decision_takes(name: str) -> None:
    study, layout, short, whole = told(name)
    lines = short.splitlines()
    assert len(lines) <= TWO_SCREENS < len(whole.splitlines()) / 2
    assert max(map(len, lines)) <= 80
    text, money = " ".join(short.split()), layout.money
    for amounts in (money.first_cost, money.life_cycle_cost):
        typical, low, high = (printed(round(getattr(amounts, end), 2))
                              for end in ("typical", "low", "high"))  # fmt: skip
        assert f"{typical} ({low} to {high})" in text
    assert f"cost a year {printed(round(money.annual_total, 2))}" in text
    assert f"People: {layout.crew.people}" in text
    for index, fmt in enumerate(study.need.formats):
        rated, effective = (printed(round(speeds[index], 3))
                            for speeds in (layout.speed.rated, layout.speed.effective))  # fmt: skip
        assert f"{fmt.container.name}: {printed(fmt.needed_cpm)} asked, {rated} rated, " in text
        assert f"{effective} effective" in text
    for number in range(1, len(layout.stations) + 1):
        assert f" {number} " in text
    assert "local codes, the makers' manuals and licensed practice decide" in text
    assert "! " in text and "Simulated with its crew" in text


def test_every_section_of_the_whole_can_be_had_by_itself() -> None:
    _, _, _, whole = told("growing-brewery")
    sections = sections_of(whole)
    assert {"Heights", "Cautions", "Lifting", "Noise", "Stores", "Prices"} <= set(sections)
    for title, lines in sections.items():
        found = chosen_section(whole, title)
        assert found is not None and found.startswith("\n".join(lines).rstrip())
    # Together they are the whole but for its title.
    assert sum(map(len, sections.values())) + whole.splitlines().index("Stations in flow order") \
        >= len(whole.splitlines()) - len(sections)  # fmt: skip
    assert chosen_section(whole, "MONEY") == chosen_section(whole, "Money (USD)")
    assert chosen_section(whole, "flow order") is not None
    assert chosen_section(whole, "no such") is None and chosen_section(whole, " ") is None


def test_a_section_is_asked_for_by_the_beginning_of_its_name(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["show", STARTUP, "1", "--section", "assumed"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Assumed, for want of an answer\n") and "Money" not in out
    assert main(["show", STARTUP, "1", "--short"]) == 0
    short = capsys.readouterr().out
    assert "in the draws" not in short and "of the draws" in short
    assert main(["show", STARTUP, "1", "--section", "heigths"]) == 2
    said = capsys.readouterr()
    assert not said.out and "did you mean 'heights'" in said.err and "Cautions" in said.err


def test_data_has_no_short_form(capsys: pytest.CaptureFixture[str]) -> None:
    for option in (["--short"], ["--section", "money"]):
        assert main(["show", STARTUP, "1", "--json", *option]) == 2
        assert "shape the text" in capsys.readouterr().err
