"""Containers drawn to scale, and signs for terminals that have plain letters only."""

from __future__ import annotations

import pytest

from lineconfig.tui.glyphs import PLAIN, UNICODE, to_ascii, wants_ascii
from lineconfig.tui.pictures import container_picture, with_ruler
from tests.tui.seen import catalog


def test_every_container_stands_in_its_true_proportion() -> None:
    mm_per_row = 8.0
    for container in catalog().containers.values():
        picture = container_picture(container, mm_per_row, PLAIN)
        assert len(picture) * mm_per_row == pytest.approx(container.height_mm, abs=mm_per_row / 2)
        width = max(len(line) for line in picture)
        # A character cell is half as wide as it is high.
        assert width * mm_per_row / 2 == pytest.approx(container.diameter_mm, abs=mm_per_row / 2)


def test_bottles_have_a_neck_and_cans_have_none() -> None:
    for container in catalog().containers.values():
        picture = container_picture(container, 8.0, PLAIN)
        narrow = len(picture[0].strip()) < len(picture[-1])
        assert narrow == (container.kind != "two-piece-can"), container.id


def test_the_ruler_marks_each_hundred_millimetres() -> None:
    container = catalog().containers["bottle-500"]  # 260 mm high
    lines = with_ruler(container_picture(container, 10.0, PLAIN), 10.0, PLAIN)
    marks = {place: line.rpartition("-")[2] for place, line in enumerate(lines) if line[-1] == "0"}
    assert {text: len(lines) - place for place, text in marks.items()} == {"100": 10, "200": 20}


def test_plain_pictures_hold_plain_letters() -> None:
    for container in catalog().containers.values():
        for mm_per_row in (4.0, 20.0, 90.0):
            lines = with_ruler(container_picture(container, mm_per_row, PLAIN), mm_per_row, PLAIN)
            assert "".join(lines).isascii()


@pytest.mark.parametrize(
    ("text", "plain"),
    [("≥ 2 m²", ">= 2 m2"), ("café…", "cafe~"), ("12′-6″", "12'-6\""), ("→ 饮", "-> ?")],
)
def test_texts_in_plain_letters(text: str, plain: str) -> None:
    assert to_ascii(text) == plain
    assert UNICODE.said(text) == text and PLAIN.said(text) == plain


def test_every_sign_takes_one_column_in_both_sets() -> None:
    for glyphs in (UNICODE, PLAIN):
        signs = [getattr(glyphs, name) for name in glyphs.__slots__ if name != "ascii"]
        assert {len(sign) for sign in signs} == {1, 4}  # 4: the corners
    assert "".join(getattr(PLAIN, n) for n in PLAIN.__slots__ if n != "ascii").isascii()


def test_the_environment_can_ask_for_plain_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LINECONFIG_ASCII", "1")
    assert wants_ascii()
    monkeypatch.setenv("LINECONFIG_ASCII", "0")
    assert not wants_ascii()
