"""Keeps the working brief outside the program, so that a kill or a power cut loses nothing.

Every change is written at once to a file of this process in the user's state folder, and a lock
beside it is held as long as the process lives. A file whose lock is free is a brief that can be
taken up again. A process's number would not tell: after a restart it is that of another program.
"""

from __future__ import annotations

import json
import os
import secrets
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lineconfig.errors import InputError
from lineconfig.tui.draft import Draft, write_whole


@dataclass(frozen=True, slots=True)
class Left:
    """A brief that somebody could not save."""

    file: Path
    text: str
    kept: str
    path: Path | None
    when: datetime

    def draft(self) -> Draft:
        """The brief as it was left."""
        draft = Draft(self.text, self.path)
        draft.kept = self.kept
        return draft


def state_folder() -> Path:
    """Where states are kept: `$XDG_STATE_HOME/lineconfig`, else below `~/.local/state`."""
    base = os.environ.get("XDG_STATE_HOME", "")
    # The XDG base directory specification ignores paths that are not absolute.
    home = Path(base) if base and Path(base).is_absolute() else Path.home() / ".local" / "state"
    return home / "lineconfig"


class Keeper:
    """Writes this process's brief; a folder that cannot be written to is no reason to stop."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or state_folder()
        # Numbers of processes come again: the rest of the name keeps briefs apart.
        self.file = self.folder / f"brief-{os.getpid()}-{secrets.token_hex(4)}.json"
        self.works = True
        self._held: int | None = None

    def keep(self, draft: Draft) -> None:
        """Write the brief, or take the file away where there is nothing to lose."""
        if not draft.changed:
            self.forget()
            return
        record = {
            "pid": os.getpid(),
            "when": datetime.now().astimezone().isoformat(timespec="seconds"),
            "path": str(draft.path.resolve()) if draft.path else None,
            "text": draft.text,
            "kept": draft.kept,
        }
        try:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            if self._held is None:
                self._held = _lock(_lock_file(self.file))
            write_whole(self.file, json.dumps(record))
            self.works = True
        except (OSError, InputError):
            self.works = False

    def forget(self, file: Path | None = None) -> None:
        """Take a file away."""
        try:
            (file or self.file).unlink(missing_ok=True)
            if file is not None:
                _lock_file(file).unlink(missing_ok=True)
        except OSError:
            self.works = False

    def close(self) -> None:
        """Let go of the lock: what is still kept may be taken up by the next process."""
        if self._held is not None:
            os.close(self._held)
            self._held = None
            if not self.file.exists():
                _lock_file(self.file).unlink(missing_ok=True)

    def left_behind(self) -> list[Left]:
        """Briefs of processes that are gone, newest first."""
        found = []
        for file in sorted(self.folder.glob("brief-*.json")):
            left = _left(file)
            if left is not None:
                found.append(left)
        return sorted(found, key=lambda left: left.when, reverse=True)


def _left(file: Path) -> Left | None:
    try:
        record = json.loads(file.read_text(encoding="utf-8"))
        pid, path = int(record["pid"]), record["path"]
        left = Left(
            file, str(record["text"]), str(record["kept"]), Path(path) if path else None,
            datetime.fromisoformat(record["when"]),
        )  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return None if _is_at_work(file, pid) else left


def _is_at_work(file: Path, pid: int) -> bool:
    """Whether the process that keeps a file is still there."""
    lock = _lock_file(file)
    if lock.exists():
        held = _lock(lock)
        if held is None:
            return True
        os.close(held)
        return False
    return _runs(pid)


def _lock_file(file: Path) -> Path:
    return file.with_suffix(".lock")


def _lock(path: Path) -> int | None:
    """Hold a file until it is closed or the process ends; None where another holds it."""
    held = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(held, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(held)
        return None
    return held


def _runs(pid: int) -> bool:
    """Whether a process is there: all there is to ask where no lock could be made."""
    if pid == os.getpid():
        return True
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
