"""Distributions, each built once from a copy of the checkout."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.packaging.environments import run

ROOT = Path(__file__).resolve().parents[2]
NOT_SOURCE = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "build", "dist")


@pytest.fixture(scope="session")
def copy_checkout(tmp_path_factory: pytest.TempPathFactory) -> Callable[[], Path]:
    """Copies the checkout, so that a build neither finds nor leaves anything in it."""

    def copy() -> Path:
        place = tmp_path_factory.mktemp("copy") / "checkout"
        return Path(shutil.copytree(ROOT, place, ignore=NOT_SOURCE))

    return copy


@pytest.fixture(scope="session")
def wheel(copy_checkout: Callable[[], Path]) -> Path:
    """A wheel built straight from a checkout."""
    checkout = copy_checkout()
    run([sys.executable, "-m", "build", "--no-isolation", "--wheel"], checkout)
    [built] = checkout.glob("dist/*.whl")
    return built


@pytest.fixture(scope="session")
def sdist(copy_checkout: Callable[[], Path]) -> Path:
    """A source distribution, with the wheel that was built from it beside it."""
    checkout = copy_checkout()
    run([sys.executable, "-m", "build", "--no-isolation"], checkout)
    [built] = checkout.glob("dist/*.tar.gz")
    return built


@pytest.fixture(scope="session")
def wheel_from_sdist(sdist: Path) -> Path:
    """A wheel built from the source distribution."""
    [built] = sdist.parent.glob("*.whl")
    return built
