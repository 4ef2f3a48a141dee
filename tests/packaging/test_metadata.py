"""What the distributions carry and say of themselves."""

from __future__ import annotations

import ast
import email.message
import email.parser
import re
import sys
import tarfile
import tomllib
import zipfile
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from lineconfig import __version__

pytestmark = pytest.mark.packaging

ROOT = Path(__file__).resolve().parents[2]
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def wheel_files(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@pytest.fixture(scope="module")
def metadata(wheel_files: dict[str, bytes]) -> email.message.Message:
    [name] = (name for name in wheel_files if name.endswith(".dist-info/METADATA"))
    return email.parser.BytesParser().parsebytes(wheel_files[name])


def test_version_is_written_once(metadata: email.message.Message) -> None:
    assert metadata["Version"] == __version__
    assert "version" not in PYPROJECT["project"]
    written = re.compile(rf"[\"']{re.escape(__version__)}[\"']")
    sources = [*ROOT.glob("*.py"), *(ROOT / "lineconfig").rglob("*.py"), ROOT / "pyproject.toml"]
    places = [path for path in sources if written.search(path.read_text(encoding="utf-8"))]
    assert places == [ROOT / "lineconfig" / "__init__.py"]


def test_changelog_speaks_of_this_version() -> None:
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## \[(.+?)\]", changelog, flags=re.MULTILINE)
    assert headings[0] in {"Unreleased", __version__}


def test_wheel_carries_every_file_of_the_package(wheel_files: dict[str, bytes]) -> None:
    package = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "lineconfig").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    copied = ("lineconfig/data/", "lineconfig/demo/")
    shipped = {name for name in wheel_files if ".dist-info/" not in name}
    assert {name for name in shipped if not name.startswith(copied)} == package
    assert "lineconfig/py.typed" in package


def test_wheel_carries_the_license_and_the_readme(
    wheel_files: dict[str, bytes], metadata: email.message.Message
) -> None:
    [license_file] = (name for name in wheel_files if name.endswith("/LICENSE"))
    assert wheel_files[license_file] == (ROOT / "LICENSE").read_bytes()
    assert metadata["License-Expression"] == "MIT"
    assert metadata["Description-Content-Type"] == "text/markdown"
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert metadata.get_payload(decode=True).decode().strip() == readme.strip()


def test_sdist_carries_what_tests_and_benchmarks_need(sdist: Path) -> None:
    with tarfile.open(sdist) as archive:
        shipped = {name.partition("/")[2] for name in archive.getnames()}
    wanted = {
        path.relative_to(ROOT).as_posix()
        for folder in ("bench", "catalog", "examples", "lineconfig", "tests")
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert wanted | {"CHANGELOG.md", "LICENSE", "Makefile", "README.md"} <= shipped


def imported(path: Path) -> Iterator[str]:
    """Top-level names of all that a module imports, at its head or inside its functions."""
    for node in ast.walk(ast.parse(path.read_bytes())):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.partition(".")[0]


def test_every_library_that_the_package_imports_is_declared() -> None:
    project = PYPROJECT["project"]
    extras = project["optional-dependencies"]
    requirements = [
        *project["dependencies"],
        *(one for extra, some in extras.items() if extra != "dev" for one in some),
    ]
    declared = {normal(re.split(r"[^\w.-]", one, maxsplit=1)[0]) for one in requirements}
    providers = packages_distributions()
    names = {name for path in (ROOT / "lineconfig").rglob("*.py") for name in imported(path)}
    names -= {*sys.stdlib_module_names, "lineconfig"}
    undeclared = {
        name for name in names if not declared & {normal(one) for one in providers.get(name, [])}
    }
    assert not undeclared


def normal(distribution: str) -> str:
    """A distribution's name as registries compare it."""
    return re.sub(r"[-_.]+", "-", distribution).lower()
