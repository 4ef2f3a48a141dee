"""Simulated speeds and waits as `show` prints them, and that only `show` spends time on them."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from lineconfig.cli import main
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.confirmed import confirmed_lines
from lineconfig.session import open_study

BREWERY = str(examples_dir() / "growing-brewery.yaml")
STARTUP = str(examples_dir() / "startup.yaml")


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(list(arguments)) == 0
    return capsys.readouterr().out


def test_show_says_what_was_simulated_for_each_format(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(capsys, "show", BREWERY, "A")
    plain = " ".join(text.split())
    found = re.findall(
        r"simulated (\d+) cpm \(95 %: (\d+) to (\d+)\), estimate differs by ([+-]\d+\.\d)%", plain
    )
    assert len(found) == 2
    for cpm, low, high, _ in found:
        assert int(low) <= int(cpm) <= int(high)
    assert "(seed 1)" in plain
    assert max(map(len, text.splitlines())) <= 80


def test_show_says_how_long_a_stopped_machine_waits(capsys: pytest.CaptureFixture[str]) -> None:
    plain = " ".join(printed(capsys, "show", STARTUP, loaded_by_hand().id).split())
    crew = plain[plain.index("Crew:") : plain.index("Money")]
    posts = re.split(r" \d\. ", crew)[1:]
    assert len(posts) == 4
    for post in posts:
        always = "hand-loading shelf" in post
        assert always != bool(
            re.search(r"a stopped machine waits (under )?\d\.\d min for its person", post)
        )


def loaded_by_hand() -> Layout:
    """The line of the start-up at which somebody always loads."""
    kinds = open_study(STARTUP).arrangements()
    return next(layout for layout in kinds if layout.family.startswith("hand-loading-shelf"))


@pytest.mark.parametrize(("asked_cpm", "said"), [(30.0, False), (36.0, True), (39.0, False)])
def test_people_who_cost_the_speed_asked_for_are_told_of(asked_cpm: float, said: bool) -> None:
    # The hand-loaded line comes to 34 cpm with its crew. Were the estimate 37, something between
    # the two would be missed for want of people; what the estimate itself falls short of is said
    # elsewhere.
    study = open_study(STARTUP)
    found = loaded_by_hand()
    layout = replace(found, speed=replace(found.speed, effective=(37.0,)))
    (fmt,) = study.need.formats
    need = replace(study.need, formats=(replace(fmt, needed_cpm=asked_cpm),))
    text = " ".join(" ".join(confirmed_lines(study.varied(need=need), layout)).split())
    assert (f"That is less than the {asked_cpm:.0f} cpm asked for" in text) == said


def test_the_record_carries_figures_that_fit_together(capsys: pytest.CaptureFixture[str]) -> None:
    record = json.loads(printed(capsys, "show", BREWERY, "A", "--json", "--basis"))
    speeds = record["speed_cpm"]
    for figures in (speeds, *speeds["by_format"].values()):
        assert figures["simulated_low"] <= figures["simulated"] <= figures["simulated_high"]
        assert figures["simulated"] <= figures["rated"]
        assert figures["estimate_differs"] == pytest.approx(
            figures["effective"] / figures["simulated"] - 1, abs=1e-4
        )
        assert figures["lost_to_waiting"] == pytest.approx(
            1 - figures["simulated"] / figures["simulated_unhindered"], abs=1e-4
        )
    assert speeds["simulated"] in {f["simulated"] for f in speeds["by_format"].values()}
    assert speeds["simulation"]["seed"] == 1
    for post in record["crew"]["posts"]:
        assert 0 <= post["wait_min"] < 1
        assert 0 <= post["wait_share"] < 1
    for path in ("speed_cpm.simulated", "crew.posts.wait_min"):
        assert record["basis"][path]["source"]


def test_the_same_layout_gives_the_same_lines() -> None:
    study = open_study(STARTUP)
    first, second = (confirmed_lines(study, study.arrangements()[1]) for _ in range(2))
    assert first == second


def test_recommend_simulates_nothing() -> None:
    code = (
        "import sys; from lineconfig.cli import main\n"
        f"main(['recommend', {STARTUP!r}, '--json'])\n"
        "sys.exit(int('lineconfig.simulate' in sys.modules))"
    )
    root = Path(__file__).resolve().parent.parent.parent
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root
    )
    assert "simulated" not in done.stdout
