"""Quantities written in any of their units read back to the same number."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lineconfig import quantities as q

DIMENSIONS = [value for value in vars(q).values() if isinstance(value, q.Dimension)]
UNITS = [(dimension, unit) for dimension in DIMENSIONS for unit in dimension.factors]
named = st.sampled_from(UNITS)
amounts = st.floats(1e-3, 1e6)


@given(named, amounts)
def test_a_number_in_any_unit_reads_back(pair: tuple[q.Dimension, str], amount: float) -> None:
    dimension, unit = pair
    offset = dimension.offsets.get(unit, 0.0)
    read = dimension.parse(f"{amount:.9f} {unit}")
    assert (read - offset) / dimension.factors[unit] == pytest.approx(amount, abs=1e-6)


@given(named, st.sampled_from(range(6)), amounts)
def test_the_same_quantity_in_two_units_is_one_number(
    pair: tuple[q.Dimension, str], other: int, amount: float
) -> None:
    dimension, unit = pair
    units = list(dimension.factors)
    second = units[other % len(units)]
    base = dimension.parse(f"{amount:.9f} {unit}")
    again = (base - dimension.offsets.get(second, 0.0)) / dimension.factors[second]
    assume(1e-3 <= again <= 1e9)
    assert dimension.parse(f"{again:.9f} {second}") == pytest.approx(base, rel=1e-5, abs=1e-8)


@given(named, amounts)
def test_what_was_written_reads_as_before(pair: tuple[q.Dimension, str], amount: float) -> None:
    dimension, unit = pair
    read = dimension.parse(f"{amount:.4f} {unit}")
    again = dimension.parse(read.text)
    assert again == read and again.text == read.text


@given(named, amounts, amounts)
def test_spans_read_back(pair: tuple[q.Dimension, str], one: float, two: float) -> None:
    dimension, unit = pair
    low, high = sorted((one, two))
    span = q.parse_span(f"{low:.4f} to {high:.4f} {unit}", dimension)
    assert q.parse_span(span.text, dimension) == span
    assert float(f"{low:.4f}") * dimension.factors[unit] == pytest.approx(
        span.least - dimension.offsets.get(unit, 0.0)
    )


@pytest.mark.parametrize(
    ("dimension", "written", "expected"),
    [
        # NIST SP 811, appendix B (from memory); the first five are exact by definition.
        (q.LENGTH, "1 ft", 304.8),
        (q.LENGTH, "1 in", 25.4),
        (q.MASS, "1 lb", 0.45359237),
        (q.WATER, "1 gpm", 3.785411784),
        (q.AIR, "1 cfm", 28.316846592),
        (q.CONTENT, "12 oz", 354.882),
        (q.POWER, "1 hp", 0.7456999),
        (q.TEMPERATURE, "68 degF", 20.0),
        (q.WATER, "6 m3/h", 100.0),
        (q.SPEED, "6000 cph", 100.0),
        (q.SOUND, "85 dB(A)", 85.0),
    ],
)
def test_conversions_of_the_tables(dimension: q.Dimension, written: str, expected: float) -> None:
    assert float(dimension.parse(written)) == pytest.approx(expected, rel=1e-6)
