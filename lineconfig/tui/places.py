"""Where a typed file name leads to, and what stands against writing there."""

from __future__ import annotations

from pathlib import Path

EXISTS = "it exists: Enter again replaces it"


def typed_path(text: str) -> Path:
    """The path that somebody typed; `~` is their home where that is known."""
    path = Path(text.strip())
    try:
        return path.expanduser()
    except RuntimeError:  # nobody of that name
        return path


def objection(path: Path) -> str:
    """Why a file cannot be written there, `EXISTS` where there is one, or nothing."""
    try:
        if not path.name or path.is_dir():
            return "that is a folder: add a file name"
        if not path.parent.is_dir():
            return f"there is no folder {path.parent}"
        return EXISTS if path.exists() else ""
    except OSError as error:
        return f"it cannot be written: {(error.strerror or 'no such place').lower()}"


def is_file(path: Path) -> bool:
    """Whether there is a file that can be looked at."""
    try:
        return path.is_file()
    except OSError:
        return False
