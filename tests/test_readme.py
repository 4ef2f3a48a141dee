"""README shows what the commands print, not what they once printed.

`LINECONFIG_REWRITE=1 pytest tests/test_readme.py` writes the current output into it.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from lineconfig.cli import main

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
SHOWN = re.compile(
    r"^    \$ lineconfig (?P<command>[^\n]+)\n\n```text\n(?P<output>.*?)```$", re.M | re.S
)


def shown() -> list[re.Match[str]]:
    """The commands in README that are followed by their output."""
    return list(SHOWN.finditer(README.read_text(encoding="utf-8")))


def test_readme_shows_outputs() -> None:
    assert len(shown()) >= 3


@pytest.mark.parametrize("number", range(len(shown())))
def test_outputs_in_readme_are_current(
    number: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    match = shown()[number]
    main(match["command"].split())
    printed = "\n".join(line.rstrip() for line in capsys.readouterr().out.splitlines()) + "\n"
    if os.environ.get("LINECONFIG_REWRITE"):
        text = README.read_text(encoding="utf-8")
        start, end = match.span("output")
        README.write_text(text[:start] + printed + text[end:], encoding="utf-8")
        return
    assert match["output"] == printed
