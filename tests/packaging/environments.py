"""Processes and fresh environments for the packaging tests."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

SCRIPTS, SUFFIX = ("Scripts", ".exe") if os.name == "nt" else ("bin", "")


def run(command: Sequence[str | Path], folder: Path) -> str:
    """What a command prints; one that fails fails the test with all that it said.

    It runs as for a newcomer: no setting of this environment's Python or of a make around it
    shines through.
    """
    settings = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("MAKE", "MFLAGS", "PYTHON", "VIRTUAL_ENV"))
    }
    done = subprocess.run(
        [str(word) for word in command],
        cwd=folder,
        env={**settings, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONUTF8": "1"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@dataclass(frozen=True)
class Environment:
    """A Python environment, and an empty working folder outside the checkout."""

    prefix: Path
    folder: Path

    @classmethod
    def borrowing_dependencies(cls, place: Path) -> Environment:
        """A fresh environment in which all libraries of this one can be imported, but no more."""
        fresh = cls(place / "environment", place / "elsewhere")
        fresh.folder.mkdir()
        run([sys.executable, "-m", "venv", "--without-pip", fresh.prefix], fresh.folder)
        base = {"base": str(fresh.prefix), "platbase": str(fresh.prefix)}
        site_packages = Path(sysconfig.get_path("purelib", "venv", base))
        # Folders named in a .pth file come last on sys.path, and .pth files in them are not read:
        # a lineconfig that is installed there as editable stays out of sight.
        borrowed = dict.fromkeys(sysconfig.get_path(kind) for kind in ("purelib", "platlib"))
        (site_packages / "borrowed.pth").write_text("\n".join(borrowed), encoding="utf-8")
        return fresh

    def install(self, *what: str | Path) -> None:
        """Install without dependencies, and without fetching anything."""
        pip = [sys.executable, "-m", "pip", "--python", self._program("python"), "install"]
        offline = ["--no-index", "--no-deps", "--no-build-isolation"]
        run([*pip, "--quiet", "--ignore-installed", *offline, *what], self.folder)

    def python(self, *arguments: str) -> str:
        """What the environment's Python prints."""
        return run([self._program("python"), *arguments], self.folder)

    def lineconfig(self, *arguments: str) -> str:
        """What the installed command prints."""
        return run([self._program("lineconfig"), *arguments], self.folder)

    def _program(self, name: str) -> Path:
        return self.prefix / SCRIPTS / (name + SUFFIX)
