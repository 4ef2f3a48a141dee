"""Field types of the files that people write: quantities, spans, prices, texts.

They bridge `quantities` (plain numbers) and pydantic (schemas). A strict text is not made out of a
YAML number, date or boolean, since `no` or `1:30` there are seldom what the author meant.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    StringConstraints,
)

from lineconfig import quantities as q
from lineconfig.errors import did_you_mean


def _text(value: Any) -> str:
    return str(getattr(value, "text", value))


@dataclass(frozen=True, slots=True)
class Form:
    """How a value is written, in words, for the message about a missing or empty one."""

    words: str


def _quantity(dimension: q.Dimension) -> Any:
    return Annotated[
        q.Quantity,
        PlainValidator(dimension.parse),
        PlainSerializer(_text, return_type=str),
        Form(f"a {dimension.name} such as {dimension.example!r}"),
    ]


def _span(dimension: q.Dimension) -> Any:
    def parse(value: object) -> q.Span:
        return q.parse_span(value, dimension)

    return Annotated[
        q.Span,
        PlainValidator(parse),
        PlainSerializer(_text, return_type=str),
        Form(f"a {dimension.name} such as {dimension.example!r}, or a range written 'A to B'"),
    ]


def quantity_or_word(dimension: q.Dimension, words: Sequence[str]) -> Any:
    """The type of a field that holds a quantity or one of some words for it."""

    def parse(value: object) -> q.Quantity | str:
        if isinstance(value, str) and value in words:
            return value
        try:
            return dimension.parse(value)
        except ValueError as error:
            near = did_you_mean(value, words) if isinstance(value, str) else ""
            raise ValueError(f"{error}; or write one of {', '.join(words)}{near}") from None

    return Annotated[
        q.Quantity | str,
        PlainValidator(parse),
        PlainSerializer(_text, return_type=str),
        Form(f"a {dimension.name} such as {dimension.example!r}, or one of {', '.join(words)}"),
    ]


def _money(parse: Callable[[object], q.Money], words: str) -> Any:
    return Annotated[
        q.Money, PlainValidator(parse), PlainSerializer(_text, return_type=str), Form(words)
    ]


if TYPE_CHECKING:
    LengthMm = q.Quantity
    SpeedCpm = q.Quantity
    DurationMin = q.Quantity
    Years = q.Quantity
    MassKg = q.Quantity
    ContentMl = q.Quantity
    PowerKw = q.Quantity
    WaterLMin = q.Quantity
    AirLMin = q.Quantity
    Share = q.Quantity
    TemperatureDegC = q.Quantity
    CarbonationVol = q.Quantity
    SoundDba = q.Quantity
    Cans = q.Quantity
    Amount = q.Money
    Wage = q.Money
    LengthSpanMm = q.Span
    CarbonationSpanVol = q.Span
else:
    LengthMm = _quantity(q.LENGTH)
    SpeedCpm = _quantity(q.SPEED)
    DurationMin = _quantity(q.DURATION)
    Years = _quantity(q.YEARS)
    MassKg = _quantity(q.MASS)
    ContentMl = _quantity(q.CONTENT)
    PowerKw = _quantity(q.POWER)
    WaterLMin = _quantity(q.WATER)
    AirLMin = _quantity(q.AIR)
    Share = _quantity(q.SHARE)
    TemperatureDegC = _quantity(q.TEMPERATURE)
    CarbonationVol = _quantity(q.CARBONATION)
    SoundDba = _quantity(q.SOUND)
    Cans = _quantity(q.CANS)
    Amount = _money(q.parse_money, "an amount of money such as '350000 USD'")
    Wage = _money(q.parse_wage, "an hourly wage such as '32 USD/h'")
    LengthSpanMm = _span(q.LENGTH)
    CarbonationSpanVol = _span(q.CARBONATION)

Text = Annotated[
    str, StringConstraints(strict=True, min_length=1, max_length=400, strip_whitespace=True)
]
Id = Annotated[
    str,
    StringConstraints(strict=True, pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60),
    Form("an id: small letters and digits, joined by hyphens"),
]
Count = Annotated[
    int, Field(strict=True, ge=0, le=1_000_000_000), Form("a whole number such as 900000")
]


def _no_truth(value: Any) -> Any:
    # Python takes True for 1, and so does a literal; nobody who writes `yes` means one phase.
    if isinstance(value, bool):
        raise ValueError("true and false are no numbers")
    return value


Version = Annotated[Literal[1], BeforeValidator(_no_truth)]
Phases = Annotated[Literal[1, 3], BeforeValidator(_no_truth)]


class Record(BaseModel):
    """A frozen mapping of a file: unknown keys are errors, keys are the YAML words.

    Strict, so that `yes` is no number and `1` no boolean; whole numbers still serve as decimals.
    """

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        allow_inf_nan=False,
        validate_by_alias=True,
        validate_by_name=False,
    )
