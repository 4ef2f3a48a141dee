"""The Makefile's targets, looked at without carrying them out."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.packaging.environments import run

pytestmark = [
    pytest.mark.packaging,
    pytest.mark.skipif(shutil.which("make") is None, reason="needs make"),
]

ROOT = Path(__file__).resolve().parents[2]
TARGETS = ("demo", "test", "lint", "types", "bench", "soak", "clean")


def planned(target: str, environment: Path) -> str:
    """The commands that a target would run, without quotation marks."""
    return run(["make", "--dry-run", target, f"VENV={environment}"], ROOT).replace("'", "")


def test_alone_it_lists_its_targets() -> None:
    listed = [line.split()[1] for line in run(["make"], ROOT).splitlines()]
    assert listed == ["help", *TARGETS]


@pytest.mark.parametrize("target", TARGETS)
def test_target_can_be_planned(target: str, tmp_path: Path) -> None:
    assert planned(target, tmp_path / "environment")


@pytest.mark.parametrize(
    ("target", "stamp_name", "extra"),
    [("demo", ".installed", ""), ("test", ".installed-dev", "[dev]")],
)
def test_installs_once_and_again_when_the_project_file_changes(
    target: str, stamp_name: str, extra: str, tmp_path: Path
) -> None:
    create, install = f"-m venv {tmp_path}", f"install --quiet --editable .{extra}"
    plan = planned(target, tmp_path)
    assert create in plan
    assert install in plan

    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "python").touch()
    stamp = tmp_path / stamp_name
    stamp.touch()
    plan = planned(target, tmp_path)
    assert create not in plan
    assert "pip" not in plan

    older = (ROOT / "pyproject.toml").stat().st_mtime - 1
    os.utime(stamp, (older, older))
    plan = planned(target, tmp_path)
    assert create not in plan
    assert install in plan
