"""Random keys, clicks and resizes: no exception, no empty screen, and no growth of memory."""

from __future__ import annotations

import gc
import random
from pathlib import Path

import pytest

from lineconfig.tui.app import LineconfigApp
from tests.tui.seen import app_for, screen_text, settled, small_draft

KEYS = (
    "enter", "escape", "tab", "shift+tab", "up", "down", "left", "right", "space", "home", "end",
    "pageup", "pagedown", "backspace", "delete", "f1", "f2", "f3", "f4", "f5", "f6", "f7", "f8",
    "ctrl+s", "ctrl+o", "ctrl+e", "ctrl+p", "ctrl+u", "c", "d", "k", "s", "1", "2", "3", "4", "5",
    "9", "0", "m", "f", "t", "comma", "full_stop", "minus", "quotation_mark", "left_square_bracket",
)  # fmt: skip
"""All but the key that ends the program."""
LEAST, MOST = (20, 6), (220, 70)
GROWTH_MB = 60
"""What the soak may leave behind between its first fifth and its end."""


def resident_mb() -> float:
    """Memory of this process [MB]."""
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6


async def soak(tmp_path: Path, presses: int, seed: int) -> None:
    chance = random.Random(seed)
    app: LineconfigApp = app_for(small_draft(), tmp_path / "state")
    early = 0.0
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for number in range(presses):
            what = chance.random()
            if what < 0.02:
                await pilot.resize_terminal(
                    chance.randint(LEAST[0], MOST[0]), chance.randint(LEAST[1], MOST[1])
                )
            elif what < 0.05:
                at = (chance.randrange(app.size.width), chance.randrange(app.size.height))
                await pilot.click(offset=at)
            elif what < 0.055:
                app.show_workbench()
            else:
                await pilot.press(chance.choice(KEYS))
            assert app.is_running, (seed, number)
            if number == presses // 5:
                early = resident_mb() if Path("/proc/self/statm").exists() else 0.0
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert screen_text(app).strip()
        if early and presses >= 1000:
            assert resident_mb() - early < GROWTH_MB
    assert app.return_code in (None, 0)


@pytest.mark.parametrize("seed", [1])
async def test_random_keys_do_no_harm(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    await soak(tmp_path, 60, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [11, 23])
async def test_five_thousand_random_keys_do_no_harm(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    await soak(tmp_path, 5_000, seed)
