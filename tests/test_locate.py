"""The catalogue and the examples are found beside the package or inside it, and nowhere else."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from lineconfig import locate
from lineconfig.errors import LineconfigError

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = pytest.mark.parametrize(
    ("find", "in_checkout", "in_package"),
    [(locate.catalog_dir, "catalog", "data"), (locate.examples_dir, "examples", "demo")],
)


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty package folder that stands in for the installed one."""
    folder = tmp_path / "lineconfig"
    folder.mkdir()
    monkeypatch.setattr(locate, "_PACKAGE", folder)
    return folder


def test_this_checkouts_folders_are_found() -> None:
    assert locate.catalog_dir() == ROOT / "catalog"
    assert locate.examples_dir() == ROOT / "examples"


@FOLDERS
def test_a_checkout_is_read_in_place(
    find: Callable[[], Path], in_checkout: str, in_package: str, package: Path
) -> None:
    project = (ROOT / "pyproject.toml").read_bytes()
    (package.parent / "pyproject.toml").write_bytes(project)
    (package.parent / in_checkout).mkdir()
    (package / in_package).mkdir()
    assert find() == package.parent / in_checkout


@FOLDERS
@pytest.mark.parametrize("neighbour", [None, b'[project]\nname = "another"\n', b"\xff\xfe"])
def test_a_strangers_folder_is_passed_over(
    find: Callable[[], Path],
    in_checkout: str,
    in_package: str,
    neighbour: bytes | None,
    package: Path,
) -> None:
    (package.parent / in_checkout).mkdir()
    if neighbour is not None:
        (package.parent / "pyproject.toml").write_bytes(neighbour)
    with pytest.raises(LineconfigError, match=f"no {in_checkout} folder.*install lineconfig again"):
        find()
    (package / in_package).mkdir()
    assert find() == package / in_package


def test_nothing_heavy_is_loaded_to_look() -> None:
    look = (
        "import sys; from lineconfig.locate import catalog_dir; catalog_dir(); print(*sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", look], capture_output=True, encoding="utf-8", check=True
    )
    heavy = {"constraint", "dataclasses", "importlib.resources", "networkx", "pydantic", "textual"}
    assert not heavy & set(done.stdout.split())
