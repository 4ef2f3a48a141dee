"""The fields of a brief as people fill them in: labels, questions, help, and what they accept."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from lineconfig import quantities as q
from lineconfig.editing import Path


@dataclass(frozen=True, slots=True)
class Typed:
    """What became of a text that somebody typed."""

    value: Any = None
    """As it goes into the brief; None for an empty field."""
    echo: str = ""
    """How it was understood, in other units."""
    error: str = ""


@dataclass(frozen=True)
class Field:
    """One value of the brief."""

    path: Path
    label: str
    """At most 15 characters, for narrow columns."""
    read: Callable[[str], Typed]
    question: str = ""
    purpose: str = ""
    """What the answer is for."""
    if_wrong: str = ""
    """What happens if it is wrong, or left out."""
    example: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    """Words of the brief with what they mean; empty for a typed field."""
    short: tuple[str, ...] = ()
    """The same words again in at most 11 characters, for narrow columns."""
    required: bool = False
    default: str = ""
    """The word that a choice stands for when it is left out."""
    step: Callable[[str, int], str] | None = None
    """The text one step up or down from a text."""

    def stepped(self, text: str, direction: int) -> str:
        """The text one step up or down; the same where there is no step, or none is left."""
        if self.step is None or not text.strip():
            return text
        after = self.step(text, direction)
        return text if self.read(after).error else after

    def in_words(self, word: str, room: int = 1000) -> str:
        """What a word of a choice means, as fully as there is room for."""
        for place, (each, told) in enumerate(self.choices):
            if each == word:
                return told if len(told) <= room or not self.short else self.short[place]
        return word

    @property
    def id(self) -> str:
        """A name for the screen."""
        return "-".join(str(part) for part in self.path).replace("_", "-")

    @property
    def key(self) -> str:
        """The path as messages write it."""
        return ".".join(str(part) for part in self.path)


# --- reading what is typed -----------------------------------------------------------------------

_NUMBER_ALONE = re.compile(r"\s*[+-]?[\d.,_ ]*\d[\d.,_ ]*\s*")
_FEET_THEN_NUMBER = re.compile(r"(.*\b(?:ft|feet)\b|.*')[\s,-]*[\d .,/]*\d\s*", re.IGNORECASE)


def read_text(text: str) -> Typed:
    """A few words."""
    return Typed(" ".join(text.split()) or None)


def _quantity(dimension: q.Dimension, unit: str, echo: Callable[[float], str]) -> Any:
    """Reads a quantity; a bare number takes `unit`, where there is no doubt which is meant."""

    def read(text: str) -> Typed:
        written = " ".join(text.split())
        if not written:
            return Typed()
        if unit and _NUMBER_ALONE.fullmatch(written):
            written = f"{written} {unit}"
        if dimension is q.LENGTH and _FEET_THEN_NUMBER.fullmatch(written):
            written = f"{written} in"
        try:
            value = dimension.parse(written)
        except ValueError as error:
            return Typed(error=str(error))
        return Typed(written, echo(value))

    return read


def _money(parse: Callable[[object], q.Money], tail: str) -> Callable[[str], Typed]:
    def read(text: str) -> Typed:
        written = " ".join(text.split())
        if not written:
            return Typed()
        if tail.endswith("/h") and re.fullmatch(r".*\b[A-Za-z]{3}", written):
            written = f"{written}/h"
        if _NUMBER_ALONE.fullmatch(written):
            written = f"{written} {tail}"
        try:
            value = parse(written)
        except ValueError as error:
            return Typed(error=str(error))
        return Typed(written, f"{float(value):,.0f} {value.currency}")

    return read


def _whole(least: int, most: int, words: str) -> Callable[[str], Typed]:
    def read(text: str) -> Typed:
        written = text.strip()
        if not written:
            return Typed()
        try:
            value = q.parse_number(written)
        except ValueError:
            return Typed(error=f"{words} is a whole number from {least:,} to {most:,}")
        if value != int(value) or not least <= value <= most:
            return Typed(error=f"{words} is a whole number from {least:,} to {most:,}")
        return Typed(int(value), f"{int(value):,}" if value >= 1000 else "")

    return read


def _number(least: float, most: float, words: str) -> Callable[[str], Typed]:
    def read(text: str) -> Typed:
        written = text.strip()
        if not written:
            return Typed()
        try:
            value = q.parse_number(written)
        except ValueError:
            return Typed(error=f"{words} is a number from {least:g} to {most:g}")
        if not least <= value <= most:
            return Typed(error=f"{words} is a number from {least:g} to {most:g}")
        return Typed(int(value) if value == int(value) else value)

    return read


def _choice(choices: tuple[tuple[str, str], ...]) -> Callable[[str], Typed]:
    words = {word for word, _ in choices}

    def read(text: str) -> Typed:
        written = text.strip()
        if not written:
            return Typed()
        if written not in words:
            return Typed(error=f"write one of {', '.join(word for word, _ in choices)}")
        if written.isdecimal():
            return Typed(int(written))
        return Typed({"true": True, "false": False}.get(written, written))

    return read


def _both_lengths(length_mm: float) -> str:
    return f"{length_mm:,.0f} mm, {q.feet_and_inches(length_mm)}"


# --- stepping ------------------------------------------------------------------------------------

NICE = (1.0, 2.0, 2.5, 5.0, 10.0)
SHARE_OF_STEP = 0.05


def nice_step(value: float) -> float:
    """A round step of about a twentieth of a value."""
    if value <= 0:
        return 1.0
    exponent = len(f"{value * SHARE_OF_STEP:e}".partition("e")[2]) and int(
        f"{value * SHARE_OF_STEP:e}".partition("e")[2]
    )
    decade: float = 10.0**exponent
    return min((nice * decade for nice in NICE), key=lambda step: abs(step - value * SHARE_OF_STEP))


def stepped(value: float, direction: int, step: float | None = None) -> float:
    """The next round number up or down; never below one step."""
    size = step or nice_step(value)
    whole = round(value / size)
    if abs(whole * size - value) > size * 1e-6:
        # From between two round numbers, the nearer end in that direction comes first.
        whole = int(value // size) + (1 if direction > 0 else 0)
    else:
        whole += direction
    return max(whole * size, size if value >= size else value)


_LEADING = re.compile(r"(?P<number>[\d.,_ ]*\d)\s*(?P<unit>[^\d].*)?")


def step_quantity(text: str, direction: int) -> str:
    """One step of a quantity in its own unit: `12 ft` to `12 ft 6 in`, `60 cpm` to `62.5 cpm`."""
    feet = re.search(r"\bft\b|'|\bfeet\b", text)
    if feet:
        half_feet_mm = 6 * q.MM_PER_INCH
        try:
            value = float(q.LENGTH.parse(text))
        except ValueError:
            return text
        inches = round(stepped(value, direction, half_feet_mm) / q.MM_PER_INCH)
        whole, rest = divmod(inches, 12)
        return f"{whole} ft" + (f" {rest} in" if rest else "")
    match = _LEADING.fullmatch(text.strip())
    if not match:
        return text
    try:
        value = q.parse_number(match["number"])
    except ValueError:
        return text
    unit = match["unit"] or ""
    return f"{stepped(value, direction):.10g} {unit}".strip()


def step_whole(text: str, direction: int) -> str:
    """One step of a whole number: one up to 20, a round step above."""
    try:
        value = q.parse_number(text)
    except ValueError:
        return text
    step = 1.0 if value <= 20 else max(1.0, nice_step(value))
    return grouped(stepped(value, direction, step))


def grouped(value: float) -> str:
    """A number with its thousands told apart from 10,000 on."""
    return f"{value:,.0f}" if value >= 10_000 and value == int(value) else f"{value:.10g}"


# --- the fields ----------------------------------------------------------------------------------


def _length(path: Path, label: str, **more: Any) -> Field:
    read = _quantity(q.LENGTH, "", _both_lengths)
    return Field(path, label, read, step=step_quantity, **more)


def _words(path: Path, label: str, choices: tuple[tuple[str, str], ...], **more: Any) -> Field:
    default = "" if path[-1] == "phases" else choices[0][0]
    return Field(path, label, _choice(choices), choices=choices, default=default, **more)


VIEW_CHOICES = (
    ("life-cycle-cost", "lowest cost over the years"),
    ("first-cost", "least money to start with"),
    ("people", "fewest people"),
    ("floor", "least floor"),
    ("changeover", "quickest change of format"),
)
VIEWS_IN_SHORT = ("life cost", "first cost", "people", "floor", "changeover")
YES_NO = (("false", "no"), ("true", "yes"))


def fields_for(currency: str) -> tuple[Field, ...]:
    """Every field, in the order of the brief."""
    return (
        Field(
            ("name",), "Name", read_text,
            question="What shall this line be called?",
            purpose="It heads every page that is printed, and names the file.",
            if_wrong="Nothing: it can be changed at any time.",
            example="Saltmarsh Cider",
        ),
        Field(
            ("product", "kind"), "Product", read_text,
            question="What goes into the can?",
            purpose="In your own words. It stands in the report; the figures below decide.",
            if_wrong="Nothing is worked out from the word itself.",
            example="cider",
        ),
        Field(
            ("product", "carbonation"), "Carbonation",
            _quantity(q.CARBONATION, "vol", lambda v: f"{v:.2f} vol, {v * 1.96:.1f} g/l"),
            question="How much carbonation does it have?",
            purpose="It decides which fillers can fill it without losing it as foam, and whether "
            "still product needs a drop of liquid nitrogen to keep the can stiff.",
            if_wrong="Too low a figure offers fillers that foam over; left out, an ordinary beer "
            "is assumed.",
            example="2.6 vol (0 vol for still)", step=step_quantity,
        ),
        Field(
            ("product", "fill_temperature"), "Fill at",
            _quantity(q.TEMPERATURE, "", lambda v: f"{v:.1f} degC, {v * 9 / 5 + 32:.0f} degF"),
            question="How cold is it at the filler?",
            purpose="Warm product foams. It also decides the pressure in the closed can.",
            if_wrong="Left out, product from a cold tank is assumed.",
            example="2 degC or 36 degF",
        ),
        _words(
            ("product", "heat_treatment"), "Pasteurize",
            (("none", "no"), ("batch", "in batches, in a cabinet"), ("tunnel", "in a tunnel")),
            short=("no", "in batches", "in a tunnel"),
            question="Is it pasteurized in the can?",
            purpose="Sugar that can still ferment, or no preservative, usually asks for it. A "
            "tunnel takes more floor than the rest of the line.",
            if_wrong="Cans that ferment after they are closed can burst. Ask whoever is "
            "responsible for your product's safety.",
        ),
        Field(
            ("speed",), "Speed",
            _quantity(q.SPEED, "cpm", lambda v: f"{v:,.0f} cans a minute, {v * 60:,.0f} an hour"),
            question="How many cans a minute must it run?",
            purpose="Every machine is chosen to keep up with it.",
            if_wrong="Too high buys machines that stand still. Leave it out if you know the cans "
            "a year: the speed then follows from them and the hours.",
            example="60 cpm", step=step_quantity,
        ),
        Field(
            ("operation", "hours_per_week"), "Hours a week", _number(0.1, 168, "hours a week"),
            question="How many hours a week can you run it?",
            purpose="With the cans a year it gives the speed; by itself, it gives the labour.",
            if_wrong="Too many hours make the line look cheap to run; too few make it too big.",
            example="24", step=step_whole,
        ),
        Field(
            ("operation", "weeks_per_year"), "Weeks a year", _number(0.1, 53, "weeks a year"),
            question="How many weeks a year?", purpose="As the hours a week.",
            if_wrong="As the hours a week.", example="50", step=step_whole,
        ),
        Field(
            ("operation", "changeovers_per_week"), "Changes a week",
            _number(0, 1000, "changes a week"),
            question="How often do you change the can size in a week?",
            purpose="Each change takes people and hours from filling.",
            if_wrong="Many changes favour lines that are quickly reset.", example="2",
            step=step_whole,
        ),
        _length(
            ("site", "ceiling"), "Ceiling", required=True,
            question="How high is the lowest ceiling above the line?",
            purpose="Measure to the lowest pipe, lamp or door rail. The frame that lifts a pallet "
            "of empties needs the most height of all.",
            if_wrong="The machine will not stand up. This is the one measure that you cannot leave "
            "out.",
            example="12 ft 6 or 3,8 m",
        ),
        _length(
            ("site", "length"), "Room length",
            question="How long is the free floor?",
            purpose="The stations are laid out in it, with room to walk and work.",
            if_wrong="Left out, length does not limit anything.", example="40 ft",
        ),
        _length(
            ("site", "width"), "Room width",
            question="And how wide?",
            purpose="Narrow rooms rule out wide machines and lines that turn back.",
            if_wrong="Left out, width does not limit anything.", example="24 ft",
        ),
        _length(("site", "door", "width"), "Door width",
            question="How wide is the smallest door on the way in?",
            purpose="A machine must come in through it.",
            if_wrong="Left out, no door limits anything.", example="8 ft"),
        _length(("site", "door", "height"), "Door height",
            question="And how high?", purpose="As the door's width.",
            if_wrong="As the door's width.", example="8 ft"),
        _words(("site", "power", "phases"), "Phases", (("1", "one"), ("3", "three")),
            question="How many phases does your power have?",
            purpose="Larger machines need three.", if_wrong="An electrician knows."),
        Field(("site", "power", "volts"), "Volts", _number(1, 1000, "volts"),
            question="At what voltage?", purpose="It turns kilowatts into amperes.",
            if_wrong="An electrician knows.", example="208"),
        Field(("site", "power", "amperes"), "Amperes", _number(1, 10_000, "amperes"),
            question="How many amperes are free for the line?",
            purpose="The line's machines must not draw more.", if_wrong="An electrician knows.",
            example="100", step=step_whole),
        Field(("site", "water"), "Water",
            _quantity(q.WATER, "", lambda v: f"{v:,.1f} l/min"),
            question="How much water can the room supply?",
            purpose="Rinsers and dryers use it.", if_wrong="Left out, it does not limit.",
            example="10 gpm", step=step_quantity),
        Field(("site", "air"), "Air",
            _quantity(q.AIR, "", lambda v: f"{v:,.0f} l/min of free air"),
            question="How much compressed air?", purpose="Most powered machines use it.",
            if_wrong="Left out, it does not limit.", example="20 cfm", step=step_quantity),
        _words(("mobility",), "Stays put",
            (("fixed", "stands where it is"), ("stowed", "packed away between runs"),
             ("mobile", "travels between sites")),
            short=("yes", "packed away", "it travels"),
            question="Does the line stay where it is?",
            purpose="A line that is packed away needs machines on casters.",
            if_wrong="A fixed machine cannot be moved by hand."),
        Field(
            ("staff", "per_shift"), "People", _whole(1, 200, "people"),
            question="How many people are there in a shift?",
            purpose="The fewest people that can mind a line is worked out for each; lines that "
            "need more than you have are left out.",
            if_wrong="Left out, each line gets as many as it takes.", example="3", step=step_whole,
        ),
        Field(
            ("staff", "wage"), "Wage", _money(q.parse_wage, f"{currency}/h"),
            question="What does an hour of work cost you?",
            purpose="With what you pay on top. Machines pay for themselves by it.",
            if_wrong="Too low a wage favours work by hand.", example=f"32 {currency}/h",
            step=step_quantity,
        ),
        _words(("staff", "ladder_work"), "Ladder work", YES_NO,
            question="May your people work from a ladder?",
            purpose="Raised troughs are filled from above the head.",
            if_wrong="Falls hurt. A platform with guardrails is the better answer."),
        _words(("rinse",), "Rinsing",
            (("auto", "where the cans' history asks for it"), ("required", "always"),
             ("none-accepted", "I accept cans that are not rinsed")),
            short=("as needed", "always", "not needed"),
            question="Must the empty cans be rinsed?",
            purpose="Dust from the pallet ends up in the can.",
            if_wrong="Cans that were repacked or stored in the open want rinsing in any case."),
        Field(
            ("budget",), "Budget", _money(q.parse_money, currency),
            question="How much can you spend to start with?",
            purpose="For everything that has to be bought, freight and installation included.",
            if_wrong="Left out, money does not limit: you see what each line costs.",
            example=f"350000 {currency}", step=step_quantity,
        ),
        Field(("horizon",), "Horizon", _quantity(q.YEARS, "years", lambda v: ""),
            question="Over how many years do you count?",
            purpose="Longer horizons favour machines over wages.", if_wrong="As the wage.",
            example="7 years", step=step_quantity),
        Field(("discount_rate",), "Money costs", _quantity(q.SHARE, "%", lambda v: ""),
            question="What does money cost you a year?",
            purpose="A high rate favours what is cheap to buy.", if_wrong="As the wage.",
            example="8 %", step=step_quantity),
        _words(
            ("prefer",), "Rank by", VIEW_CHOICES, short=VIEWS_IN_SHORT,
            question="What counts most for you?",
            purpose="The order of the list. All figures are shown in any case, and the order can "
            "be changed at any time.",
            if_wrong="You look at the wrong line first.",
        ),
    )  # fmt: skip


CONTAINERS = Field(
    ("formats",), "Containers", read_text,
    question="Which cans or bottles?",
    purpose="Their size decides heights, speeds and the parts that are changed between them.",
    if_wrong="A line set up for one height seldom runs another without parts.",
)  # fmt: skip
ANNUAL = Field(
    ("formats", 0, "annual_cans"), "Cans a year", _whole(0, 1_000_000_000, "cans a year"),
    question="How many cans a year?",
    purpose="It spreads the cost over the cans, and gives the speed where you leave that out. With "
    "several formats, of the first.",
    if_wrong="The cost of each can is wrong by as much.",
    example="600000", step=step_whole,
)  # fmt: skip

ASKED = (
    "product.kind", "product.carbonation", "formats", "formats.0.annual_cans", "speed",
    "operation.hours_per_week", "site.ceiling", "site.length", "site.width", "staff.per_shift",
    "budget", "prefer",
)  # fmt: skip
"""The dozen questions that matter, in order."""


@dataclass(frozen=True)
class Form:
    """All fields by key."""

    fields: tuple[Field, ...]
    by_key: dict[str, Field] = field(init=False)

    def __post_init__(self) -> None:
        known = {each.key: each for each in (*self.fields, CONTAINERS, ANNUAL)}
        object.__setattr__(self, "by_key", known)

    @property
    def questions(self) -> tuple[Field, ...]:
        """The dozen questions."""
        return tuple(self.by_key[key] for key in ASKED)


def form_for(currency: str = "USD") -> Form:
    """The form in a currency."""
    return Form(fields_for(currency))
