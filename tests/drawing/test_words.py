"""Text is measured on the safe side and made harmless."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.drawing.words import clipped, lines_of, plain, text_width

HELVETICA = {
    " ": 278, "!": 278, '"': 355, "%": 889, "'": 191, "(": 333, ",": 278, "-": 333, ".": 278,
    "/": 278, "0": 556, "1": 556, "4": 556, "8": 556, ":": 278, "@": 1015, "A": 667, "C": 722,
    "G": 778, "I": 278, "M": 833, "O": 778, "W": 944, "a": 556, "b": 556, "e": 556, "f": 278,
    "g": 556, "i": 222, "j": 222, "l": 222, "m": 833, "n": 556, "r": 333, "t": 278, "w": 722,
}  # fmt: skip
"""Widths in thousandths of the size: Adobe Font Metrics of Helvetica (from memory)."""

anything = st.text(max_size=60)


@pytest.mark.parametrize("sign", HELVETICA)
def test_no_sign_is_taken_to_be_narrower_than_in_a_common_face(sign: str) -> None:
    assert text_width(sign, 1000.0) >= HELVETICA[sign]


def test_capitals_of_other_scripts_are_given_a_full_square() -> None:
    # common practice: signs of Han, Kana and Hangul fill a square of the type's size
    assert text_width("漢字", 1.0) >= 2.0


@given(anything)
def test_plain_text_has_one_line_and_no_control_characters(text: str) -> None:
    result = plain(text)
    assert all(unicodedata.category(sign)[0] != "C" for sign in result)
    assert result == " ".join(result.split())


def test_words_survive_being_made_plain() -> None:
    assert plain("Saltmarsh\tCider\r\n\x00(Müller & Co)\u202e") == "Saltmarsh Cider (Müller & Co)"


@given(anything.map(plain), st.floats(min_value=0.0, max_value=80.0))
def test_a_cut_text_fits_its_place(text: str, width: float) -> None:
    result = clipped(text, width, 2.6)
    assert result == "" or text_width(result, 2.6) <= width
    if text_width(text, 2.6) <= width:
        assert result == text


@given(anything.map(plain), st.floats(min_value=5.0, max_value=80.0))
def test_lines_fit_their_place_and_are_no_more_than_asked_for(text: str, width: float) -> None:
    lines = lines_of(text, width, 2.6, 3)
    assert len(lines) <= 3
    assert all(text_width(line, 2.6) <= width for line in lines)
    if text_width(text, 2.6) <= width:
        assert " ".join(lines) == text
