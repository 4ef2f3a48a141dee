"""Findings as `show` prints them: keys, columns, and a basis for each figure."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from lineconfig.cli import main
from lineconfig.locate import examples_dir

MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip
NEW = ("lifting", "lifting_posts", "reaching", "platforms", "guarding", "rinsing", "pressure",
       "pasteurizing", "noise", "stores", "returns")  # fmt: skip
MORE = ("utilities", "changeover_min")
"""Keys that had figures before, and now have more."""
NAMES = {"task", "within", "station", "class", "post", "format", "note", "stations", "hardest",
         "device", "medium", "formula", "standard", "us_standard",
         "most_at", "stacking", "form", "differing", "parts", "id"}  # fmt: skip
"""Keys that say what a row is about, rather than how much."""


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    status = main(arguments)
    captured = capsys.readouterr()
    assert (status, captured.err) == (0, "")
    return captured.out


def shown(capsys: pytest.CaptureFixture[str], name: str, *more: str) -> Any:
    brief = str(examples_dir() / f"{name}.yaml")
    return json.loads(run(capsys, "show", brief, "A", "--json", *more))


@pytest.mark.parametrize("name", MEETABLE)
def test_json_follows_the_contract(capsys: pytest.CaptureFixture[str], name: str) -> None:
    record = shown(capsys, name)
    assert set(NEW) <= set(record)
    stations = record["stations"]
    assert record["lifting"] and record["lifting_posts"]
    for lift in record["lifting"]:
        assert {"task", "lifting_index", "recommended_kg", "load_kg"} <= set(lift)
        assert stations[lift["station"]]["class"] == lift["class"]
        if lift["lifting_index"] is None:
            assert lift["recommended_kg"] == 0 and lift["note"]
        else:
            assert lift["note"] == ""
            # Both are rounded to three digits.
            assert lift["lifting_index"] == pytest.approx(
                lift["load_kg"] / lift["recommended_kg"], abs=0.002
            )
    people = range(record["crew"]["people"])
    assert all(post["post"] in people for post in record["lifting_posts"])
    guards = [s["class"] for s in stations if s["function"] == "guard"]
    assert [guard["class"] for guard in record["guarding"]] == guards
    for guard in record["guarding"]:
        assert {"station", "distance_mm"} <= set(guard) and guard["distance_mm"] > 100
        assert guard["standard"] == "ISO 13855:2010"
    assert (record["rinsing"] is None) == (record["rinse"] == "none")
    heats = [s for s in stations if s["function"] == "pasteurize"]
    assert (record["pasteurizing"] is None) == (not heats)


@pytest.mark.parametrize("name", MEETABLE)
def test_text_has_the_sections_within_80_columns(
    capsys: pytest.CaptureFixture[str], name: str
) -> None:
    brief = str(examples_dir() / f"{name}.yaml")
    for letter in "ABC":
        if letter != "A" and name == "high-speed-plant":
            continue  # it has one kind of arrangement
        lines = run(capsys, "show", brief, letter, "--basis").splitlines()
        assert max(len(line) for line in lines) <= 80
        assert "Lifting" in lines and "Rinse and pressure" in lines
        assert {"Noise", "Stores", "Utilities, station by station"} <= set(lines)
        assert "Format changes, from one to another" in lines or name == "startup"
        guards = [
            line for line in lines if re.match(r"\d+ +(Interlocked doors|Light curtain)", line)
        ]
        assert ("Guarding" in lines) == bool(guards)


def test_lifts_come_hardest_first(capsys: pytest.CaptureFixture[str]) -> None:
    record = shown(capsys, "growing-brewery")
    indices = [lift["lifting_index"] for lift in record["lifting"]]
    assert indices == sorted(indices, reverse=True)
    assert indices[0] > 1
    codes = {caution["code"] for caution in record["cautions"]}
    assert codes & {"lifting-raised", "lifting-high"}


def test_recommend_has_the_cautions_but_not_the_figures(
    capsys: pytest.CaptureFixture[str],
) -> None:
    brief = str(examples_dir() / "growing-brewery.yaml")
    answer = json.loads(run(capsys, "recommend", brief, "--top", "2", "--json"))
    first = answer["layouts"][0]
    assert not set(NEW) & set(first)
    by_show = shown(capsys, "growing-brewery")["cautions"]
    assert by_show == answer["arrangements"][0]["cautions"]
    assert {"guard-distance", "platform"} <= {caution["code"] for caution in first["cautions"]}


def figures(value: Any, path: str) -> list[str]:
    """Dotted paths of the figures of a record; rows of a list share one path."""
    if isinstance(value, dict):
        return [p for key, item in value.items() if key not in NAMES
                for p in figures(item, f"{path}.{key}")]  # fmt: skip
    if isinstance(value, list):
        return [p for item in value for p in figures(item, path)]
    return [] if value is None else [path]


@pytest.mark.parametrize("name", ["growing-brewery", "high-speed-plant", "co-packer"])
def test_each_new_figure_has_a_basis(capsys: pytest.CaptureFixture[str], name: str) -> None:
    record = shown(capsys, name, "--basis")
    formats = set(record["speed_cpm"]["by_format"])
    for key in (*NEW, *MORE):
        for path in figures(record[key], key):
            # Formats share the basis of their figure.
            plain = ".".join(part for part in path.split(".") if part not in formats)
            plain = plain.replace(".formats.", ".")
            assert any(
                plain == known or plain.startswith(f"{known}.") for known in record["basis"]
            ), plain


def test_the_catalogue_shows_lifts_as_figures_of_their_own(
    capsys: pytest.CaptureFixture[str],
) -> None:
    rows = json.loads(run(capsys, "catalog", "vacuum-lift-assist", "--json"))["figures"]
    (lift,) = [row for row in rows if "Case steered onto the pallet" in row["value"]]
    assert lift["figure"] == "attendance.tasks.lifts"
    assert "hands carry 10 % of it" in lift["value"] and "invented" in lift["basis"]


def test_an_overlays_stopping_time_moves_the_guard(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "measured.yaml"
    file.write_text(
        "classes:\n  - id: full-height-depalletizer\n    stopping: 0.5 s\n"
        "    basis: {stopping: invented (measured at the maker's)}\n",
        encoding="utf-8",
    )
    brief = str(examples_dir() / "growing-brewery.yaml")
    layout = shown(capsys, "growing-brewery")
    (before,) = layout["guarding"]
    after = json.loads(
        run(capsys, "show", brief, layout["id"], "--json", "--basis", "--catalog", str(file))
    )
    (guard,) = after["guarding"]
    # 1600 mm/s for another .15 s.
    assert guard["distance_mm"] == pytest.approx(before["distance_mm"] + 240)
    assert after["basis"]["stations.1.stopping"]["source"].startswith("invented (measured")
