"""Comparisons: figures are the layouts' own, and at a crossing both cost the same."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from lineconfig.assess.finance import annuity_factor
from lineconfig.cli import main
from lineconfig.compare import compare, years_of
from lineconfig.locate import examples_dir
from lineconfig.session import Study, open_study
from tests.growth.plans import write_brief

STARTUP = examples_dir() / "startup.yaml"


@pytest.fixture(scope="module")
def study() -> Study:
    return open_study(STARTUP)


def test_figures_are_the_layouts_own(study: Study) -> None:
    layouts = study.arrangements()[:3]
    found = compare(study, layouts)
    by_name = {figure.name: figure for figure in found.figures}
    assert by_name["first cost"].values == tuple(x.money.first_cost.typical for x in layouts)
    assert by_name["people"].values == tuple(x.crew.people for x in layouts)
    assert by_name["floor with clearances"].values == tuple(x.floor.area_m2 for x in layouts)
    for figure in found.figures:
        for place in figure.best:
            others = [round(value, figure.decimals) for value in figure.values]
            best = min(others) if figure.better == "less" else max(others)
            assert others[place] == best


def test_at_a_wage_where_they_cross_both_cost_the_same(study: Study) -> None:
    """Worked out again from the brief with that wage."""
    # The one with more people costs less up to that wage.
    first, second = sorted(study.arrangements()[:2], key=lambda layout: -layout.crew.people)
    (wage,) = [c for c in compare(study, [first, second]).crossings if c.what == "wage"]
    assert (wage.below, wage.above) == (0, 1)
    costs = []
    for layout in (first, second):
        fixed = {study.catalog.classes[i].function: i for i in layout.classes}
        need = replace(study.need, wage_per_h=wage.value)
        again = study.varied(need=need, only=fixed).best(1)[0]  # type: ignore[arg-type]
        assert again.classes == layout.classes
        costs.append(again.money.life_cycle_cost.typical)
    assert costs[0] == pytest.approx(costs[1], rel=1e-9)


def test_at_a_horizon_where_they_cross_both_cost_the_same(study: Study) -> None:
    first, second = study.arrangements()[:2]
    (horizon,) = [c for c in compare(study, [first, second]).crossings if c.what == "horizon"]
    factor = annuity_factor(study.need.discount_rate, horizon.value)
    costs = [x.money.first_cost.typical + factor * x.money.annual_total for x in (first, second)]
    assert costs[0] == pytest.approx(costs[1], rel=1e-9)


@pytest.mark.parametrize(("rate", "years"), [(0.0, 7.0), (0.08, 5.0), (0.25, 12.5)])
def test_years_of_is_the_inverse_of_the_annuity_factor(rate: float, years: float) -> None:
    assert years_of(annuity_factor(rate, years), rate) == pytest.approx(years)


def test_no_horizon_is_long_enough_for_more_than_a_perpetuity() -> None:
    assert years_of(1 / 0.08, 0.08) is None
    assert years_of(-1.0, 0.08) is None


def test_fewer_than_two_cannot_be_compared(study: Study) -> None:
    with pytest.raises(ValueError, match="two layouts or more, found 1"):
        compare(study, study.best(1))


def test_text_and_json_state_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", str(STARTUP), "A", "B", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert main(["compare", str(STARTUP), "A", "B", "--all"]) == 0
    text = capsys.readouterr().out
    assert all(len(line) <= 80 for line in text.splitlines())
    (row,) = [line for line in text.splitlines() if line.startswith("first cost")]
    written = [float(n.replace(",", "")) for n in re.findall(r"[\d,]+", row.split(")")[1])]
    (figure,) = [each for each in record["figures"] if each["name"] == "first cost"]
    assert written == [round(value) for value in figure["values"]]
    wage = next(each for each in record["crossings"] if each["what"] == "wage")
    assert f"{wage['value']:,.2f} USD/h" in " ".join(text.split())


def test_only_what_differs_is_shown_unless_asked(capsys: pytest.CaptureFixture[str]) -> None:
    main(["compare", str(STARTUP), "A", "B"])
    some = capsys.readouterr().out
    main(["compare", str(STARTUP), "A", "B", "--all"])
    assert "\nfill\n" not in some and "\nfill\n" in capsys.readouterr().out


def test_two_briefs_say_what_came_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    higher = tmp_path / "higher.yaml"
    text = STARTUP.read_text(encoding="utf-8")
    higher.write_text(re.sub(r"ceiling: .*", "ceiling: 14 ft", text), encoding="utf-8")
    assert main(["compare", str(STARTUP), "--with", str(higher)]) == 0
    told = capsys.readouterr().out
    assert "Full-height sweep depalletizer" in told and "(in)" in told and "(out)" not in told
    # Why it was not there before: under the low ceiling no such line stands.
    assert "before:" in told and "ceiling" in told.split("(in)")[1]


def test_one_layout_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", str(STARTUP), "A"]) == 2
    assert "two or three layouts" in capsys.readouterr().err


def test_where_nothing_fits_the_json_says_why(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = write_brief(tmp_path, growth=[], site={"ceiling": "6 ft"})
    assert main(["compare", file, "--json"]) == 1
    record = json.loads(capsys.readouterr().out)
    assert record["layouts"] == [] and record["no_layout"]["conflict"]
    assert main(["compare", str(STARTUP), "--with", file, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["no_layout"]["before"] is None and record["no_layout"]["after"]["conflict"]
    assert {change["rank_after"] for change in record["changes"]} == {None}


def test_what_is_odd_in_a_brief_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """On standard error, so that the JSON stays JSON."""
    file = write_brief(tmp_path, growth=[], staff={"wage": "900 USD/h", "ladder_work": True})
    notes = [str(note) for note in open_study(file).notes]
    assert notes
    for command in ("compare", "schedule", "grow"):
        main([command, str(file), "--json"])
        found = capsys.readouterr()
        json.loads(found.out)
        assert all(note in found.err for note in notes), command


def test_every_row_is_understood_by_itself(capsys: pytest.CaptureFixture[str]) -> None:
    """Rows that do not differ are left out, so that none may lean on the one above it."""
    brief = str(examples_dir() / "growing-brewery.yaml")
    assert main(["compare", brief, "1", "2", "C", "--all"]) == 0
    out = capsys.readouterr().out
    table = out.split("\n\n")[1].splitlines()[1:]
    labels = [line[:33].rstrip() for line in table if not line.startswith("*")]
    assert "format change (min)" in labels and "format change work (person-min)" in labels
    for label in labels:
        assert "…" not in label
        assert not re.match(r"(its|their|of which|thereof|the same)\b", label), label


def test_format_changes_are_compared_only_where_there_are_some(study: Study) -> None:
    found = compare(study, study.best(2))
    assert len(study.need.formats) == 1
    assert not [figure.name for figure in found.figures if "change" in figure.name]
