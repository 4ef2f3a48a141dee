"""Quantities as people write them: units, separators, fractions, and what is refused."""

from __future__ import annotations

import contextlib
import copy
import pickle
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lineconfig import quantities as q

DIMENSIONS = [value for value in vars(q).values() if isinstance(value, q.Dimension)]
PARSERS: list[Callable[[object], object]] = [
    *(dimension.parse for dimension in DIMENSIONS),
    *(lambda value, d=dimension: q.parse_span(value, d) for dimension in DIMENSIONS),
    q.parse_money,
    q.parse_wage,
]

# --- units against published conversions -----------------------------------------------------


@pytest.mark.parametrize(
    ("dimension", "text", "expected"),
    [
        # NIST SP 811 (2008), appendix B.8: exact or to all digits that it prints.
        (q.LENGTH, "1 in", 25.4),
        (q.LENGTH, "1 ft", 304.8),
        (q.LENGTH, "12 ft 6 in", 3810),
        (q.LENGTH, "3.8 m", 3800),
        (q.MASS, "1 lb", 0.45359237),
        (q.WATER, "1 gpm", 3.785411784),
        (q.AIR, "1 cfm", 28.316846592),
        (q.CONTENT, "1 oz", 29.57352956),
        (q.POWER, "1 hp", 0.7456999),
        (q.TEMPERATURE, "98.6 degF", 37.0),
        (q.TEMPERATURE, "32 degF", 0.0),
        (q.TEMPERATURE, "-30 degC", -30.0),
        # Arithmetic.
        (q.SPEED, "3600 cph", 60.0),
        (q.SPEED, "60 cans/min", 60.0),
        (q.WATER, "6 m3/h", 100.0),
        (q.DURATION, "1.5 h", 90.0),
        (q.DURATION, "30 s", 0.5),
        (q.SHARE, "8 %", 0.08),
        (q.SHARE, "250%", 2.5),
        (q.YEARS, "7 years", 7.0),
        (q.CANS, "12000 cans", 12000.0),
        # One volume of CO2 in a litre at 0 degC and 1 atm weighs 1.96 g (44.01 / 22.414).
        (q.CARBONATION, "4.9 g/l", 2.5),
    ],
    ids=str,
)
def test_units(dimension: q.Dimension, text: str, expected: float) -> None:
    assert dimension.parse(text) == pytest.approx(expected, rel=2e-7)
    assert dimension.parse(text).text == text


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12 ft 6 in", 150), ("12ft6in", 150), ("12' 6\"", 150), ("12'-6\"", 150), ("12'6''", 150),
        ("12\N{PRIME} 6\N{DOUBLE PRIME}", 150), ("12 ft, 6 in", 150), ("12 FT 6 IN", 150),
        ("6 1/2 in", 6.5), ("6-1/2 in", 6.5), ("1/4 in", 0.25), ("1 ft 6 3/4 in", 18.75),
        ("12.5 ft", 150), ("+1 ft", 12), ("  1   ft ", 12),
    ],
)  # fmt: skip
def test_feet_and_inches_are_read_as_they_are_written(text: str, inches: float) -> None:
    assert q.LENGTH.parse(text) == pytest.approx(inches * 25.4)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3,8", 3.8), ("3.8", 3.8), ("350,000", 350_000), ("350 000", 350_000),
        ("350\N{NO-BREAK SPACE}000", 350_000), ("1,234,567.5", 1_234_567.5), ("1 234,5", 1234.5),
        ("1_000", 1000), ("0,500", 0.5), ("1234,5", 1234.5), ("1e3", 1000), (".5", 0.5),
        ("-2", -2),
    ],
)  # fmt: skip
def test_separators_of_numbers(text: str, expected: float) -> None:
    assert q.parse_number(text.replace("\N{NO-BREAK SPACE}", " ")) == pytest.approx(expected)
    if expected > 0:
        assert q.LENGTH.parse(f"{text} mm") == pytest.approx(expected)


@pytest.mark.parametrize(
    "text",
    ["", "-", "1,2,3", "1.2.3", "1 2", "1.234,5", "1,23,456", "1e9999", "inf", "nan", "1__0"],
)
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(ValueError, match="number"):
        q.parse_number(text)


# --- refusals --------------------------------------------------------------------------------


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda item: item.name)
@pytest.mark.parametrize("bare", [12, 12.5, "12"])
def test_a_bare_number_is_refused_with_the_units(dimension: q.Dimension, bare: object) -> None:
    with pytest.raises(ValueError, match="has no unit") as caught:
        dimension.parse(bare)
    said = str(caught.value)
    assert all(unit in said for unit in dimension.factors)
    assert dimension.example in said


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda item: item.name)
def test_an_unknown_unit_is_named(dimension: q.Dimension) -> None:
    with pytest.raises(ValueError, match="unit 'furlongs' in '3 furlongs'"):
        dimension.parse("3 furlongs")


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda item: item.name)
@pytest.mark.parametrize("value", [None, True, [], {}, "", "   ", "wide", "1 2 3 mm mm", b"3 m"])
def test_what_is_no_quantity(dimension: q.Dimension, value: object) -> None:
    with pytest.raises(ValueError, match=dimension.name):
        dimension.parse(value)


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda item: item.name)
def test_each_dimension_reads_its_own_example(dimension: q.Dimension) -> None:
    assert dimension.parse(dimension.example) > 0


@pytest.mark.parametrize(
    "text", ["11 ft 14 in", "6 ft 12 in", "2 m 100 cm", "3 ft 3 ft", "5 in 3 ft"]
)
def test_a_part_is_less_than_one_of_the_unit_before_it(text: str) -> None:
    """Twelve inches are a foot, a hundred centimetres a metre: 14 in beside feet is a slip."""
    with pytest.raises(ValueError, match="is not less than one"):
        q.LENGTH.parse(text)
    assert q.LENGTH.parse("11 ft 11 3/4 in") == pytest.approx((11 * 12 + 11.75) * 25.4)


def test_signs_for_units_are_named_as_signs() -> None:
    with pytest.raises(ValueError, match="has no unit") as refused:
        q.LENGTH.parse("3")
    said = str(refused.value)
    assert "feet or the signs \" and ' (for example" in said and "\", '" not in said
    with pytest.raises(ValueError, match=r"one of % \("):
        q.SHARE.parse("3")


@pytest.mark.parametrize("text", ["-3 m", "-1 ft 6 in"])
def test_a_length_is_not_negative(text: str) -> None:
    with pytest.raises(ValueError, match="too small"):
        q.LENGTH.parse(text)


def test_only_lengths_add_up() -> None:
    with pytest.raises(ValueError, match="more than one speed"):
        q.SPEED.parse("60 cpm 3 cpm")


def test_a_fraction_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="1/0"):
        q.LENGTH.parse("1/0 in")


def test_a_sum_beyond_all_numbers_is_refused() -> None:
    with pytest.raises(ValueError, match="too large"):
        q.LENGTH.parse("9e307 ft")


def test_an_endless_text_is_cut_in_the_message() -> None:
    with pytest.raises(ValueError, match="is not a length") as caught:
        q.LENGTH.parse("1" * 100_000)
    assert len(str(caught.value)) < 200


# --- money -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("350000 USD", 350_000, "USD"), ("350,000 usd", 350_000, "USD"), ("EUR 1 200", 1200, "EUR"),
        ("0.0806 USD", 0.0806, "USD"), ("0,9 EUR", 0.9, "EUR"),
    ],
)  # fmt: skip
def test_money_keeps_its_currency(text: str, amount: float, currency: str) -> None:
    money = q.parse_money(text)
    assert (float(money), money.currency, money.text) == (amount, currency, text)


def test_a_wage_is_by_the_hour() -> None:
    assert q.parse_wage("32 USD/h") == 32
    assert q.parse_wage("32 USD / h").currency == "USD"
    with pytest.raises(ValueError, match="'32 USD/h'"):
        q.parse_wage("32 USD")
    with pytest.raises(ValueError, match="not an amount of money"):
        q.parse_money("32 USD/h")


@pytest.mark.parametrize(
    "value", ["$350", "350", "350k USD", "USD", "", None, True, [], "1,2,3 USD"]
)
def test_what_is_no_money(value: object) -> None:
    with pytest.raises(ValueError, match=r"amount of money|number"):
        q.parse_money(value)


def test_bare_and_negative_money() -> None:
    with pytest.raises(ValueError, match="no unit"):
        q.parse_money(350_000)
    with pytest.raises(ValueError, match="below zero"):
        q.parse_money("-5 USD")


# --- ranges ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("900 mm to 1100 mm", 900, 1100), ("900 to 1100 mm", 900, 1100), ("5 mm", 5, 5),
        ("3 ft to 4 ft 6 in", 914.4, 1371.6), ("1/2 to 1 in", 12.7, 25.4),
    ],
)  # fmt: skip
def test_ranges(text: str, least: float, most: float) -> None:
    span = q.parse_span(text, q.LENGTH)
    assert (span.least, span.most, span.text) == (pytest.approx(least), pytest.approx(most), text)
    assert least in span and most in span and most + 1 not in span


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1100 to 900 mm", "runs backwards"), ("5 to 6", "no unit"), ("a to b", "not a length"),
        ("3 to 4 ft 6 in", "both sides"), ("3 bar to 4 m", "unit 'bar'"),
        ("1 to 2 to 3 m", "unit 'to'|both sides"), ("1 mm to " + "9" * 90, "not a range"),
    ],
)  # fmt: skip
def test_what_is_no_range(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        q.parse_span(text, q.LENGTH)


# --- what is remembered ----------------------------------------------------------------------


@pytest.mark.parametrize("value", [q.LENGTH.parse("12 ft 6 in"), q.parse_wage("32 USD/h")])
def test_a_quantity_survives_copies(value: q.Quantity) -> None:
    for again in (copy.deepcopy(value), pickle.loads(pickle.dumps(value))):  # noqa: S301
        assert (again, again.text, type(again)) == (value, value.text, type(value))
        assert getattr(again, "currency", "") == getattr(value, "currency", "")


def test_what_is_read_already_stays_as_it_is() -> None:
    length, money, span = q.LENGTH.parse("3 m"), q.parse_money("3 USD"), q.Span(1, 2)
    assert q.LENGTH.parse(length) is length
    assert q.parse_money(money) is money
    assert q.parse_span(span, q.LENGTH) is span


# --- any text --------------------------------------------------------------------------------

pieces = st.sampled_from(
    ["1", "0", "12", "1/2", "3,8", "1,000", ".", "-", "+", " ", "'", '"', "ft", "in", "mm", "m",
     "m3/h", "%", "cpm", "USD", "/h", "to", " to ", "1e9", "e", "degF", ",", "_", "\N{PRIME}"]
)  # fmt: skip
written = st.one_of(st.text(max_size=100), st.lists(pieces, max_size=12).map("".join))


@given(written)
def test_no_text_raises_anything_but_a_value_error(text: str) -> None:
    for parse in PARSERS:
        with contextlib.suppress(ValueError):
            parse(text)


@given(st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.lists(st.integers())))
def test_no_value_raises_anything_but_a_value_error(value: object) -> None:
    for parse in PARSERS:
        with pytest.raises(ValueError, match=r"."):
            parse(value)


@given(st.floats(min_value=0, max_value=1e6))
def test_feet_and_inches_read_back_to_an_eighth_of_an_inch(length_mm: float) -> None:
    assert q.LENGTH.parse(q.feet_and_inches(length_mm)) == pytest.approx(length_mm, abs=25.4 / 8)


@given(st.integers(0, 10_000), st.integers(0, 11), st.integers(0, 3))
def test_feet_and_inches_are_shown_as_they_are(feet: int, inches: int, quarters: int) -> None:
    length_mm = (feet * 12 + inches + quarters / 4) * 25.4
    shown = q.feet_and_inches(length_mm)
    assert shown.startswith(f"{feet}'-{inches}")
    assert q.LENGTH.parse(shown) == pytest.approx(length_mm)


@given(st.floats(min_value=1e-3, max_value=1e9, allow_nan=False))
def test_numbers_read_back(number: float) -> None:
    assert q.parse_number(f"{number:,.6f}") == pytest.approx(number, abs=1e-6)
    assert q.LENGTH.parse(f"{number:.6f} mm") == pytest.approx(number, abs=1e-6)


# --- ranges, told in the unit that somebody wrote ------------------------------------------------


@pytest.mark.parametrize(
    ("text", "dimension", "unit"),
    [
        ("12 ft 6 in", q.LENGTH, "ft"), ("12'-6\"", q.LENGTH, "ft"), ("9 inches", q.LENGTH, "in"),
        ("3 feet", q.LENGTH, "ft"), ("3,8 m", q.LENGTH, "m"), ("40 °F", q.TEMPERATURE, "degF"),
        ("60 cans/min", q.SPEED, "cpm"), ("12", q.LENGTH, ""), ("12 furlongs", q.LENGTH, ""),
    ],
)  # fmt: skip
def test_the_unit_of_a_text_is_its_first(text: str, dimension: q.Dimension, unit: str) -> None:
    assert dimension.unit_of(text) == unit


@given(
    st.sampled_from([("m", "ft", 1000.0), ("m", "in", 1000.0), ("cpm", "cph", 1.0),
                     ("vol", "g/l", 1.0), ("ml", "oz", 1.0), ("degC", "degF", 1.0)]),
    st.floats(0.01, 900), st.floats(1.2, 1000),
)  # fmt: skip
def test_both_ends_that_are_told_lie_within_the_range(
    units: tuple[str, str, float], least: float, factor: float
) -> None:
    """What a message offers is accepted: read back, it is not outside, and near the ends."""
    usual, written, base = units
    low, high = least * base, least * base * factor
    said = q.span_words(f"1 {written}", low, high, usual)
    told, bracket = said.removeprefix("from ").removesuffix(")").split(" (")
    dimension = q.DIMENSIONS[usual]
    for part, unit in ((told, written), (bracket, usual)):
        first, last = part.removesuffix(f" {unit}").split(" to ")
        ends = [float(dimension.parse(f"{end} {unit}")) for end in (first, last)]
        room = 1e-6 * high
        assert low - room <= ends[0] and ends[1] <= high + room
        assert ends[0] <= low + 0.011 * abs(low) + 0.011 * 20 and ends[1] >= high * 0.989 - 0.22


def test_a_range_in_its_usual_unit_is_told_once() -> None:
    assert q.span_words("40 m", 1000, 30_000, "m") == "from 1 to 30 m"
    assert q.span_words("40000 mm", 1000, 30_000, "m") == "from 1,000 to 30,000 mm (1 to 30 m)"
    assert q.span_words("9", 1000, 30_000, "m") == "from 1 to 30 m"
