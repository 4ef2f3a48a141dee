"""The command line: what it prints where, and its exit status."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from lineconfig.cli import main
from lineconfig.locate import examples_dir

ROOT = Path(__file__).resolve().parent.parent
MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip
SENTENCE = {"reason", "text", "title"}


def example(name: str) -> str:
    return str(examples_dir() / f"{name}.yaml")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(arguments)
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def record(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    _, out, _ = run(capsys, *arguments, "--json")
    return json.loads(out)


# --- recommend ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", MEETABLE)
def test_recommend_answers_each_example(capsys: pytest.CaptureFixture[str], name: str) -> None:
    status, out, err = run(capsys, "recommend", example(name))
    assert (status, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "Best of each kind of arrangement" in out
    assert "Local codes and licensed practice" in " ".join(out.split())
    assert "\x1b" not in out


@pytest.mark.parametrize("name", MEETABLE)
def test_json_follows_the_contract(capsys: pytest.CaptureFixture[str], name: str) -> None:
    answer = record(capsys, "recommend", example(name), "--top", "4")
    assert {"lineconfig", "brief", "defaults_used", "view", "complete", "valid_layouts", "seconds",
            "seed", "layouts", "no_layout"} <= set(answer)  # fmt: skip
    assert answer["complete"] is True and answer["no_layout"] is None
    for rank, layout in enumerate(answer["layouts"], 1):
        assert layout["rank"] == rank
        assert {"id", "title", "kind", "stations", "connections", "speed_cpm", "heights_mm",
                "pallet_layers_at_once", "intervals_min", "crew", "first_cost", "annual_cost",
                "life_cycle_cost", "cost_per_1000_cans", "payback_years", "floor", "rinse",
                "changeover_min", "stays_first", "cautions"} <= set(layout)  # fmt: skip
        speed = layout["speed_cpm"]
        assert speed["lower_bound"] <= speed["effective"] <= speed["upper_bound"] <= speed["rated"]
        cost = layout["life_cycle_cost"]
        assert cost["low"] <= cost["typical"] <= cost["high"]
        stations = range(len(layout["stations"]))
        assert all(a in stations and b in stations for a, b in layout["connections"])
        assert all(s in stations for post in layout["crew"]["posts"] for s in post["stations"])
        assert len(layout["crew"]["posts"]) in {layout["crew"]["people"], 0}
        assert layout["rinse"] in {"none", "water", "sanitizer", "ionized-air"}
        assert any(caution["code"] == "local-codes" for caution in layout["cautions"])


def test_the_same_brief_gives_the_same_bytes(capsys: pytest.CaptureFixture[str]) -> None:
    first, second = (record(capsys, "recommend", example("mixed-containers")) for _ in range(2))
    for answer in (first, second):
        answer.pop("seconds")
    assert json.dumps(first) == json.dumps(second)


def test_hash_seeds_do_not_matter() -> None:
    outputs = set()
    for seed in ("0", "1"):
        done = subprocess.run(
            [sys.executable, "-m", "lineconfig", "recommend", example("mixed-containers")],
            capture_output=True, check=True, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed},
        )  # fmt: skip
        outputs.add(done.stdout)
    assert len(outputs) == 1


@pytest.mark.parametrize("view", ["first-cost", "people", "floor", "changeover"])
def test_views_order_by_their_figure(capsys: pytest.CaptureFixture[str], view: str) -> None:
    figure = {
        "first-cost": lambda item: item["first_cost"]["typical"],
        "people": lambda item: item["crew"]["people"],
        "floor": lambda item: item["floor"]["area_m2"],
        "changeover": lambda item: item["changeover_min"]["person_minutes"],
    }[view]
    answer = record(capsys, "recommend", example("growing-brewery"), "--by", view)
    figures = [figure(layout) for layout in answer["layouts"]]
    assert figures == sorted(figures)
    assert answer["view"] == view


def test_the_brief_in_the_answer_can_be_run_again(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    answer = record(capsys, "recommend", example("co-packer"), "--top", "2")
    again = tmp_path / "again.yaml"
    again.write_text(json.dumps(answer["brief"]), encoding="utf-8")
    repeated = record(capsys, "recommend", str(again), "--top", "2")
    assert [item["id"] for item in repeated["layouts"]] == [
        item["id"] for item in answer["layouts"]
    ]


def test_a_brief_may_come_from_standard_input(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    text = Path(example("startup")).read_text(encoding="utf-8")
    stream = io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", stream)
    status, out, _ = run(capsys, "recommend", "-", "--top", "1")
    assert status == 0 and "Fen Lane Ginger" in out


def test_an_overlay_changes_prices(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    overlay = tmp_path / "quotes.yaml"
    overlay.write_text(
        "classes:\n"
        "  - id: full-height-depalletizer\n"
        "    price: {low: 400000 USD, typical: 500000 USD, high: 600000 USD}\n"
        "    basis: {price: invented}\n",
        encoding="utf-8",
    )
    plain = record(capsys, "recommend", example("growing-brewery"), "--top", "1")
    dearer = record(
        capsys, "recommend", example("growing-brewery"), "--top", "1", "--catalog", str(overlay)
    )
    assert plain["layouts"][0]["kind"].startswith("full-height")
    assert not dearer["layouts"][0]["kind"].startswith("full-height")


def test_the_shipped_overlay_works(capsys: pytest.CaptureFixture[str]) -> None:
    overlay = str(examples_dir() / "overlay-quotes")
    status, out, err = run(
        capsys, "recommend", example("growing-brewery"), "--catalog", overlay, "--top", "1"
    )
    assert (status, err) == (0, "") and out


# --- nothing fits ------------------------------------------------------------------------------


def test_a_brief_that_cannot_be_met_says_why(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "recommend", example("cannot-be-met"))
    assert status == 1
    assert "No layout fits" in out and "budget" in out
    answer = record(capsys, "recommend", example("cannot-be-met"))
    assert answer["layouts"] == []
    conflict = answer["no_layout"]["conflict"]
    assert conflict and all({"rule", "field", "text"} <= set(clash) for clash in conflict)


# --- show --------------------------------------------------------------------------------------


def test_show_by_rank_letter_and_id(capsys: pytest.CaptureFixture[str]) -> None:
    brief = example("startup")
    answer = record(capsys, "recommend", brief)
    third = answer["layouts"][2]
    assert record(capsys, "show", brief, "3")["id"] == third["id"]
    assert record(capsys, "show", brief, third["id"])["id"] == third["id"]
    kind_b = answer["arrangements"][1]
    assert record(capsys, "show", brief, "B")["id"] == kind_b["id"]
    twelfth = record(capsys, "recommend", brief, "--top", "12")["layouts"][11]
    assert record(capsys, "show", brief, twelfth["id"])["id"] == twelfth["id"]


def test_show_has_bill_utilities_and_basis(capsys: pytest.CaptureFixture[str]) -> None:
    shown = record(capsys, "show", example("startup"), "1", "--basis")
    assert "product.heat_treatment: none" in shown["defaults_used"]
    assert {"kw", "amperes", "water_l_min", "air_l_min"} <= set(shown["utilities"])
    bill = sum(line["price"]["typical"] for line in shown["bill_of_materials"])
    stations = sum(station["first_cost"]["typical"] for station in shown["stations"])
    assert bill == pytest.approx(stations, abs=0.05)
    assert all(entry["source"] for entry in shown["basis"].values())
    sources = {entry["source"] for entry in shown["basis"].values()}
    assert "invented" in sources and "common practice" in sources
    status, out, _ = run(capsys, "show", example("startup"), "A", "--basis")
    assert status == 0 and max(len(line) for line in out.splitlines()) <= 80


def test_show_of_an_unknown_layout(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "show", example("startup"), "no-such-layout")
    assert (status, out) == (2, "") and "no layout 'no-such-layout'" in err


# --- why ---------------------------------------------------------------------------------------


def test_why_answers_for_every_class(capsys: pytest.CaptureFixture[str]) -> None:
    answer = record(capsys, "why", example("mobile-canner"))
    assert answer["no_layout"] is None
    statuses = {entry["status"] for entry in answer["classes"].values()}
    assert statuses == {"shown", "valid", "ruled-out"}
    for entry in answer["classes"].values():
        assert entry["text"]
        assert (entry["rule"] is not None) == (entry["status"] == "ruled-out")
    tall = answer["classes"]["tall-depalletizer"]
    assert (tall["status"], tall["rule"]) == ("ruled-out", "mobility")


def test_why_of_one_class_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "why", example("growing-brewery"), "single-filing-table")
    assert status == 0 and "single-filing-table" in out


def test_why_of_an_unknown_class_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run(capsys, "why", example("startup"), "gripper-lowerater")
    assert status == 2 and "gripper-lowerator" in err


# --- new, check, catalog -----------------------------------------------------------------------


def test_new_writes_a_brief_that_works(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    assert run(capsys, "new", str(file))[0] == 0
    assert run(capsys, "check", str(file))[0] == 0
    assert run(capsys, "recommend", str(file))[0] == 0
    before = file.read_text(encoding="utf-8")
    status, _, err = run(capsys, "new", str(file))
    assert status == 2 and "mine.yaml" in err
    assert file.read_text(encoding="utf-8") == before


def test_new_prints_where_no_file_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "new")
    assert status == 0 and out.lstrip().startswith("#") and "brief: 1" in out


def test_new_from_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "new", "--example", "startup")
    assert status == 0 and "Fen Lane Ginger" in out
    status, _, err = run(capsys, "new", "--example", "start-up")
    assert status == 2 and "startup" in err


def test_check_reports_every_problem_of_every_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("brief: 1\nspeed: 60\nsite: {cieling: 12 ft}\nformats: []\n", encoding="utf-8")
    status, out, err = run(capsys, "check", example("startup"), str(bad), "no-such-file.yaml")
    assert status == 2
    assert "sound" in out
    assert "bad.yaml:2" in err and "ceiling" in err and "no-such-file.yaml" in err
    assert "Traceback" not in err


def test_check_takes_catalogue_folders(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "check", str(examples_dir() / "overlay-quotes"))
    assert status == 0 and "sound" in out


def test_catalog_lists_and_shows(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "catalog")
    assert status == 0 and "half-height-depalletizer" in out and "can-355-standard" in out
    status, out, _ = run(capsys, "catalog", "half-height-depalletizer")
    assert status == 0 and "[invented]" in out and "[common practice]" in out
    status, out, _ = run(capsys, "catalog", "can-355-standard")
    assert status == 0 and "66.09" in out
    assert record(capsys, "catalog", "light-curtain")["figures"]


# --- the rest ----------------------------------------------------------------------------------


def test_no_command_prints_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys)
    assert status == 0 and "recommend" in out


@pytest.mark.parametrize("command", ["recommend", "show", "why", "new", "check", "catalog"])
def test_every_command_has_help_with_an_example(
    capsys: pytest.CaptureFixture[str], command: str
) -> None:
    with pytest.raises(SystemExit) as left:
        main([command, "--help"])
    assert left.value.code == 0
    assert "example: lineconfig " + command in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    "arguments",
    [["recommend"], ["recommend", "x.yaml", "--top", "0"], ["recommend", "x.yaml", "--by", "luck"],
     ["nonsense"]],
)  # fmt: skip
def test_bad_usage_exits_with_two(capsys: pytest.CaptureFixture[str], arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 2
    assert capsys.readouterr().out == ""


def test_a_reader_that_leaves_early_is_no_error() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "lineconfig", "catalog"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT,
    ) as writer:  # fmt: skip
        assert writer.stdout is not None and writer.stderr is not None
        writer.stdout.close()
        assert writer.stderr.read() == b""
