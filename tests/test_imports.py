"""Heavy libraries load only where they are used: seen in the modules of a fresh process."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
STARTUP = "examples/startup.yaml"

LOADED_BY = """
import json, sys
from lineconfig.cli import main
try:
    main({arguments!r})
except SystemExit:
    pass
names = sorted({{name.partition(".")[0] for name in sys.modules}})
print("\\nMODULES " + json.dumps(names))
"""

ALWAYS_TOO_HEAVY = {"textual", "rich", "numpy", "pandas", "scipy", "ortools", "simpy", "shapely",
                    "ezdxf", "jinja2", "xlsxwriter", "openpyxl", "weasyprint"}  # fmt: skip


def loaded_by(*arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", LOADED_BY.format(arguments=list(arguments))],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    marked = done.stdout.rpartition("MODULES ")[2]
    return set(json.loads(marked))


@pytest.mark.parametrize(
    "arguments", [["--help"], ["recommend", "--help"], ["--version"], []], ids=" ".join
)
def test_help_loads_nothing_but_the_parser(arguments: list[str]) -> None:
    heavy = ALWAYS_TOO_HEAVY | {"networkx", "pydantic", "yaml", "constraint"}
    assert not loaded_by(*arguments) & heavy


def test_check_needs_no_solver() -> None:
    assert not loaded_by("check", STARTUP) & (ALWAYS_TOO_HEAVY | {"networkx", "constraint"})


def test_catalog_needs_no_solver() -> None:
    assert not loaded_by("catalog") & (ALWAYS_TOO_HEAVY | {"networkx", "constraint"})


def test_recommend_loads_its_own_libraries_only() -> None:
    loaded = loaded_by("recommend", STARTUP)
    assert {"networkx", "constraint", "pydantic", "yaml"} <= loaded
    assert not loaded & (ALWAYS_TOO_HEAVY - {"numpy"})  # which draws what is not sure


def test_importing_the_package_is_cheap() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys, lineconfig; print(len(sys.modules))"],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    bare = subprocess.run(
        [sys.executable, "-c", "import sys; print(len(sys.modules))"],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    assert int(done.stdout) - int(bare.stdout) < 10
