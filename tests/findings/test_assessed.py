"""What `show` says of noise, utilities, stores, format changes and returns."""

from __future__ import annotations

import json
from typing import Any

import pytest

from lineconfig.cli import main
from lineconfig.locate import examples_dir


def shown(capsys: pytest.CaptureFixture[str], name: str, *more: str) -> str:
    status = main(["show", str(examples_dir() / f"{name}.yaml"), "A", *more])
    captured = capsys.readouterr()
    assert (status, captured.err) == (0, "")
    return captured.out


def record(capsys: pytest.CaptureFixture[str], name: str) -> dict[str, Any]:
    return json.loads(shown(capsys, name, "--json"))  # type: ignore[no-any-return]


def test_minutes_by_pair_of_formats(capsys: pytest.CaptureFixture[str]) -> None:
    found = record(capsys, "co-packer")
    change = found["changeover_min"]
    ids = list(found["speed_cpm"]["by_format"])
    assert {before: set(after) for before, after in change["pairs"].items()} == {
        before: set(ids) - {before} for before in ids
    }
    minutes = [to["minutes"] for row in change["pairs"].values() for to in row.values()]
    assert max(minutes) <= change["line"] and min(minutes) <= change["mean"] <= max(minutes)
    same_body = change["pairs"]["can-355-standard"]["can-473-standard"]
    assert same_body["differing"] == ["height"]
    # The keys that scripts had before are there still.
    assert {"line", "person_minutes", "stations"} <= set(change)
    text = shown(capsys, "co-packer")
    assert "Format changes, from one to another" in text


def test_a_single_format_has_no_changes(capsys: pytest.CaptureFixture[str]) -> None:
    change = record(capsys, "startup")["changeover_min"]
    assert change["pairs"] == {} and change["mean"] == change["line"] == 0
    assert "Format changes" not in shown(capsys, "startup")


def test_utilities_name_the_power_factor_and_the_site(
    capsys: pytest.CaptureFixture[str],
) -> None:
    found = record(capsys, "growing-brewery")
    utilities = found["utilities"]
    assert sum(row["kw"] for row in utilities["stations"]) == pytest.approx(utilities["kw"], 0.02)
    assert utilities["site"]["amperes"] == 200 and 0 < utilities["power_factor"] <= 1
    # 20 gpm and 60 cfm.
    assert utilities["site"]["water_l_min"] == pytest.approx(75.71, abs=0.01)
    assert utilities["site"]["air_l_min"] == pytest.approx(1699, abs=0.1)
    assert utilities["compressor"]["motor_kw"] >= utilities["compressor"]["drawn_kw"]
    text = shown(capsys, "growing-brewery")
    assert "power factor of 0.85" in text and "the site carries 200 A" in text


def test_returns_agree_with_the_ranking(capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("growing-brewery", "mobile-canner"):
        found = record(capsys, name)
        returns, against = found["returns"], found["returns"]["against"]
        assert returns["cost_per_1000"] == pytest.approx(found["cost_per_1000_cans"], abs=1e-3)
        assert against["payback_years"] == found["payback_years"]
        assert against["net_present_value"] == pytest.approx(found["net_present_value"], abs=0.02)
        last = returns["by_year"][-1]
        assert last["present_value"] == pytest.approx(found["life_cycle_cost"]["typical"], abs=0.02)


def test_stores_say_how_they_are_stacked(capsys: pytest.CaptureFixture[str]) -> None:
    stores = record(capsys, "growing-brewery")["stores"]
    assert stores["stacking"] == "block" and stores["assumed"] is True
    assert stores["area_m2"] == pytest.approx(stores["empties_m2"] + stores["goods_m2"], abs=0.02)
    text = " ".join(shown(capsys, "growing-brewery").split())
    assert "in block stacks" in text and "half stacks a year's empties cost" in text


def test_noise_is_said_for_each_person(capsys: pytest.CaptureFixture[str]) -> None:
    found = record(capsys, "growing-brewery")
    assert [post["post"] for post in found["noise"]["posts"]] == list(
        range(len(found["crew"]["posts"]))
    )
    codes = {caution["code"] for caution in found["cautions"]}
    loud = any(post["recommended_average_dba"] >= 85 for post in found["noise"]["posts"])
    assert loud == bool(codes & {"noise-action-level", "noise-recommended-limit",
                                 "noise-above-limit"})  # fmt: skip
