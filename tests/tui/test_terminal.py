"""The program in a real terminal (tmux): from the questions to saved files, and after a kill."""

from __future__ import annotations

import os
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from lineconfig.need_reading import need_of_text
from tests.tui.seen import catalog

TMUX = shutil.which("tmux")
pytestmark = pytest.mark.skipif(TMUX is None, reason="needs tmux")
PATIENCE_S = 60.0
MOST_KEYS = 60


class Terminal:
    """A terminal that a program runs in; counts the keys that are pressed."""

    def __init__(self, folder: Path, width: int = 80, height: int = 24) -> None:
        self.folder, self.keys = folder, 0
        self.starts = 0
        self.size = ("-x", str(width), "-y", str(height))

    @property
    def socket(self) -> str:
        """A server of its own for each start: the one before may still be ending."""
        return str(self.folder / f"tmux-{self.starts}")

    def tmux(self, *arguments: str) -> str:
        assert TMUX is not None
        done = subprocess.run(
            [TMUX, "-S", self.socket, *arguments], capture_output=True, text=True, check=True
        )
        return done.stdout

    def start(self, *arguments: str, after: str = "") -> None:
        """Run the program as somebody at a keyboard would."""
        self.starts += 1
        environment = {
            "XDG_STATE_HOME": str(self.folder / "state"), "LINECONFIG_ASCII": "0",
            "TEXTUAL_ANIMATIONS": "none", "PATH": os.environ["PATH"], "TERM": "screen-256color",
            "LANG": "C.UTF-8",
        }  # fmt: skip
        settings = [
            part for name, value in environment.items() for part in ("-e", f"{name}={value}")
        ]
        command = shlex.join([sys.executable, "-m", "lineconfig", *arguments])
        self.tmux(
            "-f", os.devnull, "new-session", "-d", *self.size, "-c", str(self.folder), *settings,
            command + after if after else f"exec {command}",
        )  # fmt: skip

    def press(self, *keys: str) -> None:
        """Press keys by tmux's names for them."""
        self.keys += len(keys)
        self.tmux("send-keys", *keys)

    def screen(self) -> str:
        return self.tmux("capture-pane", "-p")

    def wait_for(self, text: str) -> str:
        """Wait until a text is on the screen; the screen."""
        shown = ""
        for _ in range(int(PATIENCE_S / 0.1)):
            shown = self.screen()
            if text in shown:
                return shown
            time.sleep(0.1)
        raise AssertionError(f"{text!r} did not come:\n{shown}")

    def end(self) -> None:
        if Path(self.socket).exists():
            subprocess.run(
                [str(TMUX), "-S", self.socket, "kill-server"], capture_output=True, check=False
            )


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    terminal = Terminal(tmp_path)
    yield terminal
    terminal.end()


def test_from_the_questions_to_saved_files_in_few_keys(terminal: Terminal) -> None:
    terminal.start()
    terminal.wait_for("What goes into the can?")
    terminal.press(*"perry", "Enter")
    terminal.wait_for("How much carbonation")
    terminal.press("Enter")
    terminal.wait_for("Which cans or bottles?")
    terminal.press("Enter")
    terminal.wait_for("How many cans a year?")
    terminal.press("Enter", "Enter", "Enter")
    terminal.wait_for("How high is the lowest ceiling")
    terminal.press("1", "2", "Space", "f", "t", "Space", "6")
    terminal.wait_for("3,810 mm")
    terminal.press("Enter", "Enter", "Enter", "Enter", "Enter")
    terminal.wait_for("What counts most for you?")
    terminal.press("Enter")
    terminal.wait_for("lowest life-cycle cost first")
    terminal.press("Enter")
    terminal.wait_for("station")
    terminal.press("C-e")
    terminal.wait_for("Enter writes the file")
    terminal.press("Enter")
    terminal.wait_for("Wrote ")
    terminal.press("C-s", "Enter")
    terminal.wait_for("Saved our-first-line.yaml")
    terminal.press("C-q")
    print(f"{terminal.keys} keys from the first question to a saved report and brief")
    assert terminal.keys < MOST_KEYS
    text = (terminal.folder / "our-first-line.yaml").read_text(encoding="utf-8")
    need = need_of_text(text, "our-first-line.yaml", catalog())
    assert need.brief.product.kind == "perry"
    assert float(need.brief.site.ceiling_mm) == pytest.approx(3810)  # 150 in of 25.4 mm
    written = [file for file in terminal.folder.glob("our-first-line*") if file.suffix != ".yaml"]
    assert len(written) == 1 and written[0].stat().st_size > 1000


def test_what_was_typed_before_a_kill_is_there_again(terminal: Terminal) -> None:
    terminal.start()
    terminal.wait_for("What goes into the can?")
    terminal.press(*"mead")
    terminal.wait_for("(not saved)")
    os.kill(int(terminal.tmux("list-panes", "-F", "#{pane_pid}")), signal.SIGKILL)
    assert list((terminal.folder / "state").rglob("*.json"))
    terminal.end()
    terminal.start()
    terminal.wait_for("A brief was left unsaved")
    terminal.press("Enter")
    terminal.wait_for("mead")
    terminal.press("C-q")
    terminal.wait_for("The brief is not saved")
    terminal.press("d")


def test_a_spoiled_overlay_is_told_once_the_terminal_is_back(terminal: Terminal) -> None:
    (terminal.folder / "prices.yaml").write_text("classes: 3\n")
    terminal.start("explore", "--catalog", "prices.yaml", after="; sleep 60")
    shown = terminal.wait_for("prices.yaml:1: ")
    assert "a list is needed" in " ".join(shown.split()) and "Traceback" not in shown


def test_a_script_gets_help_in_place_of_screens() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "lineconfig"], capture_output=True, text=True, check=False,
        stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 0 and done.stdout.startswith("usage: lineconfig")
    refused = subprocess.run(
        [sys.executable, "-m", "lineconfig", "explore"], capture_output=True, text=True,
        check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert refused.returncode == 2 and "needs a terminal" in refused.stderr
