"""The catalogue and the examples are found however lineconfig was installed, and from anywhere."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from lineconfig import __version__
from tests.packaging.environments import Environment

pytestmark = pytest.mark.packaging

ROOT = Path(__file__).resolve().parents[2]
LOCATE = """
import json, lineconfig
from lineconfig.locate import catalog_dir, examples_dir
print(json.dumps([lineconfig.__file__, str(catalog_dir()), str(examples_dir())]))
"""


@dataclass(frozen=True)
class Installation:
    """An environment with lineconfig in it, and the folder under which all its files must lie."""

    environment: Environment
    files: Path

    def located(self) -> list[Path]:
        """The package's first module, the catalogue folder and the examples folder."""
        return [Path(place) for place in json.loads(self.environment.python("-c", LOCATE))]


@pytest.fixture(scope="module", params=["wheel", "wheel_from_sdist", "editable"])
def installation(
    request: pytest.FixtureRequest,
    tmp_path_factory: pytest.TempPathFactory,
    copy_checkout: Callable[[], Path],
) -> Installation:
    environment = Environment.borrowing_dependencies(tmp_path_factory.mktemp("install"))
    if request.param == "editable":
        checkout = copy_checkout()
        environment.install("--editable", checkout)
        return Installation(environment, checkout)
    environment.install(request.getfixturevalue(request.param))
    return Installation(environment, environment.prefix)


def yaml_files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*.yaml")
    }


def test_catalog_and_examples_are_those_of_the_repository(installation: Installation) -> None:
    module, catalog, examples = installation.located()
    assert module.is_relative_to(installation.files)
    assert catalog.is_relative_to(installation.files)
    assert examples.is_relative_to(installation.files)
    assert "formats.yaml" in yaml_files(catalog)
    assert yaml_files(catalog) == yaml_files(ROOT / "catalog")
    assert yaml_files(examples) == yaml_files(ROOT / "examples")


def test_version(installation: Installation) -> None:
    environment, said = installation.environment, f"lineconfig {__version__}\n"
    assert environment.lineconfig("--version") == said
    assert environment.python("-m", "lineconfig", "--version") == said


def test_catalog_is_listed(installation: Installation) -> None:
    listing = installation.environment.lineconfig("catalog")
    for class_id in ("hand-loading-shelf", "twist-rinser", "bulk-depalletizer"):
        assert class_id in listing


def test_a_shipped_example_is_answered(installation: Installation) -> None:
    _, _, examples = installation.located()
    brief = str(examples / "startup.yaml")
    answer = installation.environment.lineconfig("recommend", brief, "--top", "1", "--json")
    assert [layout["rank"] for layout in json.loads(answer)["layouts"]] == [1]
