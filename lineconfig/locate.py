"""Where the catalogue and the example briefs lie: in a checkout or in the installed package.

Both folders stand at the top of the repository. A wheel carries copies of them inside the package;
a checkout, and so an editable install, is read in place.
"""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent
_PROJECT_LINE = 'name = "lineconfig"'


def catalog_dir() -> Path:
    """Return the folder of the equipment catalogue: formats, economics and equipment classes.

    Raises `LineconfigError` where the installation carries no catalogue.
    """
    return _find(_PACKAGE, "catalog", "data")


def examples_dir() -> Path:
    """Return the folder of the example briefs and of the overlay catalogue that goes with them.

    Raises `LineconfigError` where the installation carries no examples.
    """
    return _find(_PACKAGE, "examples", "demo")


def _find(package: Path, in_checkout: str, in_package: str) -> Path:
    """The folder beside the package in a checkout, else the copy inside the package."""
    beside, inside = package.parent / in_checkout, package / in_package
    if _is_checkout(package.parent) and beside.is_dir():
        return beside
    if inside.is_dir():
        return inside
    # Imported here because this module is loaded before every command, and errors are rare.
    from lineconfig.errors import LineconfigError

    raise LineconfigError(
        f"this installation of lineconfig has no {in_checkout} folder: neither {beside} of a"
        f" checkout nor {inside} is there; install lineconfig again"
    )


def _is_checkout(folder: Path) -> bool:
    """Whether the folder is this project's, and not site-packages or another project's."""
    try:
        lines = (folder / "pyproject.toml").read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return False
    return _PROJECT_LINE in lines
