"""Quantities as people write them: `12 ft 6 in`, `3,8 m`, `60 cpm`, `32 USD/h`, `8 %`.

Inside the program a quantity is a plain number in one fixed unit, named in the variable
(`ceiling_mm`, `speed_cpm`). `Quantity` is that number and remembers how it was written, so that a
brief can be shown again in the client's own words.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field

from lineconfig.errors import shown

MM_PER_INCH = 25.4
LITRES_PER_US_GALLON = 3.785411784
LITRES_PER_CUBIC_FOOT = 28.316846592
KG_PER_POUND = 0.45359237
KW_PER_HP = 0.745699872
ML_PER_US_FLUID_OUNCE = 29.5735295625
CO2_GRAMS_PER_LITRE_PER_VOLUME = 1.96


class Quantity(float):
    """A number in the dimension's base unit that remembers the text it was read from."""

    text: str

    def __new__(cls, value: float, text: str) -> Quantity:
        quantity = super().__new__(cls, value)
        quantity.text = text
        return quantity

    def __repr__(self) -> str:
        return f"{type(self).__name__}({float(self)!r}, {self.text!r})"

    def __reduce__(self) -> tuple[type[Quantity], tuple[float, str]]:
        return Quantity, (float(self), self.text)


class Money(Quantity):
    """An amount and its currency's label; amounts are never converted."""

    currency: str

    def __new__(cls, value: float, text: str, currency: str = "") -> Money:
        money = super().__new__(cls, value, text)
        assert isinstance(money, Money)
        money.currency = currency
        return money

    def __reduce__(self) -> tuple[type[Money], tuple[float, str, str]]:  # type: ignore[override]
        return Money, (float(self), self.text, self.currency)


_LONGEST = 80
"""A quantity is a few words; more are not looked at."""

_DIGITS = r"\d(?:[\d,. _]*\d)?|\.\d+"
_NUMBER = rf"(?:{_DIGITS})(?:[eE][+-]?\d{{1,3}})?"
_FRACTION = r"(?:(?P<whole>\d{1,5})[ -]+)?(?P<over>\d{1,3})/(?P<under>\d{1,3})"
_TERM = re.compile(
    rf"(?:{_FRACTION}(?![\d,.])|(?P<number>{_NUMBER}))\s*(?P<unit>[mM]3/[hH]|[^\d,.+-]*)"
)
_BETWEEN_TERMS = re.compile(r"[\s,-]*")
_PLAIN_NUMBER = re.compile(rf"\s*(?:{_FRACTION}|{_NUMBER})\s*")
_SPELLINGS = str.maketrans(
    {
        **dict.fromkeys("\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}", "'"),
        **dict.fromkeys("\N{DOUBLE PRIME}\N{RIGHT DOUBLE QUOTATION MARK}", '"'),
        **dict.fromkeys("\N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}", " "),
        "\N{MINUS SIGN}": "-",
        "\N{SUPERSCRIPT THREE}": "3",
    }
)
"""Typographic signs and the plain ones that are meant."""

_GROUPED = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?|[1-9]\d{0,2}(?:[ _]\d{3})+(?:[.,]\d+)?")
_DECIMAL = re.compile(r"(?:\d+[.,]?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")


def parse_number(text: str) -> float:
    """The value of a number that may carry thousands separators or a decimal comma.

    A comma followed by exactly three digits groups thousands (`350,000`), unless the number starts
    with 0; any other single comma is a decimal comma (`3,8`).

    Raises ValueError when the text is not a finite number.
    """
    sign, digits = 1, text.strip()
    if digits[:1] in ("+", "-"):
        sign, digits = (-1 if digits[0] == "-" else 1), digits[1:]
    if _GROUPED.fullmatch(digits):
        digits = re.sub(r"[ _]|,(?=\d{3}(?:\D|$))", "", digits).replace(",", ".")
    elif _DECIMAL.fullmatch(digits):
        digits = digits.replace(",", ".")
    else:
        raise ValueError(f"{text!r} is not a number")
    value = sign * float(digits)
    if not math.isfinite(value):
        raise ValueError(f"{text!r} is not a finite number")
    return value


def _tidy(text: str) -> str:
    """A text with plain signs and single spaces."""
    return " ".join(text.translate(_SPELLINGS).split()).replace("''", '"')


@dataclass(frozen=True)
class Dimension:
    """One kind of quantity: its base unit and the units that are understood."""

    name: str
    base: str
    """The unit of the number inside, as it is written out."""
    factors: dict[str, float]
    """Base units per unit, by unit as written (compared without regard to case)."""
    example: str
    compound: bool = False
    """Whether several terms add up, as in feet and inches."""
    least: float = 0.0
    offsets: dict[str, float] = field(default_factory=dict)
    """Added after the factor: for temperatures."""

    def accepted(self) -> str:
        """The accepted units in words, for messages."""
        words = [unit for unit in self.factors if any(sign.isalpha() for sign in unit)]
        signs = [unit for unit in self.factors if unit not in words]
        text = ", ".join(words or signs)
        if words and signs:
            text += f" or the signs {' and '.join(signs)}"
        return f"{text} (for example {self.example!r})"

    def parse(self, value: object) -> Quantity:
        """Read one quantity [base unit].

        Raises ValueError, saying what was found and which units are accepted.
        """
        if isinstance(value, Quantity):
            return value
        if isinstance(value, bool) or value is None:
            raise ValueError(f"{value!r} is not a {self.name}: write it as {self.example!r}")
        if isinstance(value, int | float):
            raise ValueError(f"{value!r} has no unit: a {self.name} needs one of {self.accepted()}")
        if not isinstance(value, str):
            raise ValueError(f"a {self.name} is one text such as {self.example!r}")
        if len(value) > _LONGEST:
            raise ValueError(f"{shown(value)} is not a {self.name}: write it as {self.example!r}")
        return Quantity(self._value(_tidy(value)), " ".join(value.split()))

    def _value(self, text: str) -> float:
        """The sum of the terms of a text."""
        sign = -1 if text.startswith("-") else 1
        plain = text[1:] if text[:1] in ("+", "-") else text
        total, position, terms = 0.0, 0, 0
        before = ""
        while position < len(plain):
            match = _TERM.match(plain, position)
            if not match:
                raise ValueError(f"{text!r} is not a {self.name}: write it as {self.example!r}")
            unit = self._unit(match["unit"].strip(), text)
            number = sign * _term_number(match, text)
            if before and abs(number) * self.factors[unit] >= self.factors[before] * (1 - 1e-9):
                raise ValueError(
                    f"{text!r}: {match[0].strip()!r} is not less than one {before}: write what "
                    f"comes after {before} as a part of it, as in {self.example!r}"
                )
            before = unit if self.compound else ""
            total += number * self.factors[unit] + self.offsets.get(unit, 0.0)
            position, terms = match.end(), terms + 1
            between = _BETWEEN_TERMS.match(plain, position)
            if between and between.end() < len(plain):
                position = between.end()
        if terms == 0:
            raise ValueError(f"a {self.name} is missing: write it as {self.example!r}")
        if terms > 1 and not self.compound:
            raise ValueError(f"{text!r} is more than one {self.name}: write it as {self.example!r}")
        if not math.isfinite(total):
            raise ValueError(f"{text!r} is too large for a {self.name}")
        if total < self.least:
            raise ValueError(
                f"{text!r} is too small: a {self.name} is at least {self.least:g} {self.base}"
            )
        return round(total, 9)

    def unit_of(self, text: str) -> str:
        """The unit that a text is written in, the first where there are several; empty for none."""
        spelled = (match["unit"].strip().lower() for match in _TERM.finditer(_tidy(text)))
        units = {unit.lower(): unit for unit in self.factors}
        unit = next((units[each] for each in spelled if each in units), "")
        return self._plain_unit(unit)

    def _plain_unit(self, unit: str) -> str:
        """The unit that another is only a sign or another word for."""
        if not unit:
            return ""
        same = (self.factors[unit], self.offsets.get(unit, 0.0))
        return next(
            other
            for other in self.factors
            if (self.factors[other], self.offsets.get(other, 0.0)) == same
        )

    def written_in(self, value: float, unit: str) -> float:
        """A value [base unit] in one of the units."""
        return (value - self.offsets.get(unit, 0.0)) / self.factors[unit]

    def _unit(self, spelled: str, text: str) -> str:
        if not spelled:
            raise ValueError(f"{text!r} has no unit: a {self.name} needs one of {self.accepted()}")
        for unit in self.factors:
            if unit.lower() == spelled.lower():
                return unit
        raise ValueError(
            f"unit {spelled!r} in {text!r} is not a unit of {self.name}: "
            f"use one of {self.accepted()}"
        )


def _term_number(match: re.Match[str], text: str) -> float:
    if match["under"] is None:
        try:
            return parse_number(match["number"])
        except ValueError:
            raise ValueError(f"{match['number']!r} in {text!r} is not a number") from None
    if int(match["under"]) == 0:
        raise ValueError(f"{match['over']}/{match['under']} in {text!r} is not a number")
    return float(match["whole"] or 0) + int(match["over"]) / int(match["under"])


LENGTH = Dimension(
    "length", "mm",
    {"mm": 1, "cm": 10, "m": 1000, "in": MM_PER_INCH, "ft": 12 * MM_PER_INCH,
     "inch": MM_PER_INCH, "inches": MM_PER_INCH, "feet": 12 * MM_PER_INCH,
     '"': MM_PER_INCH, "'": 12 * MM_PER_INCH},
    "12 ft 6 in", compound=True,
)  # fmt: skip
SPEED = Dimension(
    "speed", "cpm", {"cpm": 1, "cph": 1 / 60, "cans/min": 1, "cans/h": 1 / 60}, "60 cpm"
)
DURATION = Dimension(
    "duration", "min", {"min": 1, "s": 1 / 60, "h": 60, "minutes": 1, "hours": 60}, "12 min"
)
YEARS = Dimension("number of years", "years", {"years": 1, "year": 1, "a": 1}, "7 years")
MASS = Dimension("mass", "kg", {"kg": 1, "g": 0.001, "t": 1000, "lb": KG_PER_POUND}, "450 kg")
CONTENT = Dimension(
    "volume", "ml", {"ml": 1, "cl": 10, "l": 1000, "oz": ML_PER_US_FLUID_OUNCE}, "355 ml"
)
POWER = Dimension("power", "kW", {"kW": 1, "W": 0.001, "hp": KW_PER_HP}, "2.2 kW")
WATER = Dimension(
    "water flow", "l/min",
    {"l/min": 1, "gpm": LITRES_PER_US_GALLON, "m3/h": 1000 / 60}, "10 gpm",
)  # fmt: skip
AIR = Dimension(
    "free air flow", "l/min",
    {"l/min": 1, "cfm": LITRES_PER_CUBIC_FOOT, "m3/h": 1000 / 60}, "20 cfm",
)  # fmt: skip
SHARE = Dimension("share", "1", {"%": 0.01}, "8 %")
TEMPERATURE = Dimension(
    "temperature", "degC", {"degC": 1, "degF": 5 / 9, "°C": 1, "°F": 5 / 9}, "2 degC",
    least=-30.0, offsets={"degF": -160 / 9, "°F": -160 / 9},
)  # fmt: skip
CARBONATION = Dimension(
    "carbonation", "vol", {"vol": 1, "g/l": 1 / CO2_GRAMS_PER_LITRE_PER_VOLUME}, "2.6 vol"
)
SOUND = Dimension("sound level", "dBA", {"dBA": 1, "dB(A)": 1}, "82 dBA")
CANS = Dimension("number of cans", "cans", {"cans": 1, "can": 1}, "12000 cans")

DIMENSIONS: dict[str, Dimension] = {
    unit: dimension
    for dimension in (LENGTH, SPEED, YEARS, CONTENT, SHARE, TEMPERATURE, CARBONATION)
    for unit in dimension.factors
}
"""The dimension of a unit, where ranges are told in it."""


def span_words(text: str, least: float, most: float, unit: str) -> str:
    """A range in words: in the unit that a text is written in, and in `unit` in brackets.

    The ends are rounded into the range, so that what is said is accepted.

    Parameters
    ----------
    text : a quantity as somebody wrote it
    least, most : ends of the range [base unit]
    unit : the unit that the range is usually told in
    """
    dimension = DIMENSIONS[unit]
    usual = _from_to(dimension, least, most, unit)
    written = dimension.unit_of(text)
    if not written or written == dimension.unit_of(f"1 {unit}"):
        return f"from {usual}"
    return f"from {_from_to(dimension, least, most, written)} ({usual})"


def _from_to(dimension: Dimension, least: float, most: float, unit: str) -> str:
    low, high = (dimension.written_in(value, unit) for value in (least, most))
    return f"{_few_digits(low, math.ceil)} to {_few_digits(high, math.floor)} {unit}"


def _few_digits(value: float, rounded: Callable[[float], int]) -> str:
    """A number in three digits, rounded to one side; thousands parted."""
    if value == 0:
        return "0"
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 2)
    # What is a whole number of steps but for its last binary digit stays that.
    near = 1e-9 if rounded is math.floor else -1e-9
    return f"{round(rounded(value / step + near) * step, 9):,.10g}"


def length_as_written(length_mm: float, text: str) -> str:
    """A length in the unit that another was written in, and in millimetres in brackets."""
    unit = LENGTH.unit_of(text)
    said = f"{length_mm:,.0f} mm"
    if unit in ("", "mm"):
        return said
    decimals = 2 if unit == "m" else 1
    return f"{LENGTH.written_in(length_mm, unit):,.{decimals}f} {unit} ({said})"


_MONEY = re.compile(
    rf"(?:(?P<number>-?{_NUMBER})\s*(?P<currency>[A-Za-z]{{3}})"
    rf"|(?P<currency_first>[A-Za-z]{{3}})\s*(?P<number_last>-?{_NUMBER}))(?P<per>\s*/\s*h)?"
)


def parse_money(value: object) -> Money:
    """Read an amount with its currency's three letters: `350000 USD` [currency]."""
    return _money(value, "350000 USD", per_hour=False)


def parse_wage(value: object) -> Money:
    """Read an hourly wage: `32 USD/h` [currency/h]."""
    return _money(value, "32 USD/h", per_hour=True)


def _money(value: object, example: str, *, per_hour: bool) -> Money:
    kind = "an hourly wage" if per_hour else "an amount of money"
    if isinstance(value, Money):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise ValueError(f"{value!r} has no unit: {kind} is written as {example!r}")
    if not isinstance(value, str):
        raise ValueError(f"{kind} is one text such as {example!r}")
    text = _tidy(value[: _LONGEST + 1])
    match = _MONEY.fullmatch(text) if len(value) <= _LONGEST else None
    if not match or bool(match["per"]) != per_hour:
        raise ValueError(
            f"{shown(text)} is not {kind}: write it as {example!r}, with the currency's three "
            "letters"
        )
    number = match["number"] or match["number_last"]
    currency = match["currency"] or match["currency_first"]
    try:
        sum_of_money = parse_number(number)
    except ValueError:
        raise ValueError(f"{number!r} in {text!r} is not a number") from None
    if sum_of_money < 0:
        raise ValueError(f"{text!r} is below zero: {kind} is written as {example!r}")
    return Money(sum_of_money, " ".join(value.split()), currency.upper())


@dataclass(frozen=True, slots=True)
class Span:
    """A closed range in a dimension's base unit."""

    least: float
    most: float
    text: str = field(default="", compare=False)

    def __contains__(self, value: float) -> bool:
        return self.least <= value <= self.most


def parse_span(value: object, dimension: Dimension) -> Span:
    """Read `900 mm to 1100 mm`, `900 to 1100 mm` or a single fixed value [base unit].

    Raises ValueError, as `Dimension.parse` does.
    """
    if isinstance(value, Span):
        return value
    first, to, second = value.partition(" to ") if isinstance(value, str) else ("", "", "")
    if not to:
        fixed = dimension.parse(value)
        return Span(float(fixed), float(fixed), fixed.text)
    assert isinstance(value, str)
    if len(value) > _LONGEST:
        raise ValueError(f"{shown(value)} is not a range of {dimension.name}s")
    if _PLAIN_NUMBER.fullmatch(_tidy(first)):
        # `900 to 1100 mm`: the unit is said once.
        last = _TERM.fullmatch(_tidy(second))
        if last is None:
            raise ValueError(f"{value!r} has no unit before 'to': write the unit on both sides")
        first = f"{first} {last['unit']}"
    least, most = dimension.parse(first), dimension.parse(second)
    if least > most:
        raise ValueError(f"{value!r} runs backwards: write the smaller {dimension.name} first")
    return Span(float(least), float(most), " ".join(value.split()))


def feet_and_inches(length_mm: float) -> str:
    """A length as feet and inches to the nearest quarter inch: `12'-6 1/4"`; it reads back."""
    quarters = round(abs(length_mm) / MM_PER_INCH * 4)
    feet, rest = divmod(quarters, 48)
    inches, quarter = divmod(rest, 4)
    fraction = {0: "", 1: " 1/4", 2: " 1/2", 3: " 3/4"}[quarter]
    sign = "-" if length_mm < 0 and quarters else ""
    return f"{sign}{feet}'-{inches}{fraction}\""


def amount(value: float, currency: str = "") -> str:
    """A sum of money without decimals, with thousands separated: `350,000 USD`."""
    return f"{value:,.0f} {currency}".strip()
