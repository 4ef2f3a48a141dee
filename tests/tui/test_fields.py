"""What is typed into a field: units as people write them, and one clear word where it is wrong."""

from __future__ import annotations

import pytest

from lineconfig.tui.fields import ASKED, form_for, step_quantity, step_whole
from tests.tui.seen import catalog, draft_of

FORM = form_for("USD")


# 12 ft 6 in = 150 in of exactly 25.4 mm each (NIST SP 811, appendix B): 3,810 mm.
@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("12 ft 6", "12 ft 6 in"), ("12' 6", "12' 6 in"), ("12'-6\"", "12'-6\""),
        ("3,81 m", "3,81 m"), ("3810mm", "3810mm"), ("12 ft 6 in", "12 ft 6 in"),
    ],
)  # fmt: skip
def test_lengths_are_read_as_they_are_typed(typed: str, written: str) -> None:
    answer = FORM.by_key["site.ceiling"].read(typed)
    assert answer.value == written and not answer.error
    assert answer.echo == "3,810 mm, 12'-6\""


@pytest.mark.parametrize(
    ("key", "typed", "written"),
    [
        ("speed", "60", "60 cpm"), ("speed", "3600 cph", "3600 cph"),
        ("staff.wage", "32", "32 USD/h"), ("staff.wage", "32 USD", "32 USD/h"),
        ("budget", "350 000", "350 000 USD"), ("horizon", "7", "7 years"),
        ("discount_rate", "8", "8 %"), ("product.carbonation", "2,6", "2,6 vol"),
    ],
)  # fmt: skip
def test_a_bare_number_takes_the_only_unit_that_can_be_meant(
    key: str, typed: str, written: str
) -> None:
    assert FORM.by_key[key].read(typed).value == written


@pytest.mark.parametrize("key", ["site.ceiling", "site.water", "product.fill_temperature"])
def test_a_bare_number_is_refused_where_several_units_could_be_meant(key: str) -> None:
    answer = FORM.by_key[key].read("12")
    assert answer.value is None and "has no unit" in answer.error


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("site.ceiling", "12 fathoms", "not a unit of length"),
        ("staff.per_shift", "2.5", "whole number from 1 to 200"),
        ("operation.hours_per_week", "200", "from 0.1 to 168"),
        ("budget", "-5 USD", "below zero"),
        ("prefer", "cheap", "write one of"),
    ],
)
def test_what_is_wrong_is_said(key: str, typed: str, said: str) -> None:
    assert said in FORM.by_key[key].read(typed).error


def test_an_empty_field_is_left_out() -> None:
    for field in FORM.by_key.values():
        assert field.read("  ") == field.read("") and field.read("").value is None


@pytest.mark.parametrize(
    ("text", "up", "down"),
    [
        ("12 ft", "12 ft 6 in", "11 ft 6 in"), ("12 ft 2 in", "12 ft 6 in", "12 ft"),
        ("60 cpm", "62.5 cpm", "57.5 cpm"), ("3,8 m", "4 m", "3.8 m"),
        ("350,000 USD", "360000 USD", "340000 USD"), ("8 %", "8.5 %", "7.5 %"),
        ("0 vol", "1 vol", "0 vol"), ("nonsense", "nonsense", "nonsense"),
    ],
)  # fmt: skip
def test_steps_are_round_numbers_in_the_unit_that_was_typed(text: str, up: str, down: str) -> None:
    assert step_quantity(text, 1) == up
    if text != "3,8 m":
        assert step_quantity(text, -1) == down


def test_people_go_one_by_one_and_cans_in_round_steps() -> None:
    assert step_whole("3", 1) == "4" and step_whole("1", -1) == "1"
    assert step_whole("600000", 1) == "625,000" and step_whole("625,000", 1) == "650,000"


def test_every_step_up_and_down_can_be_read_again() -> None:
    for field in FORM.by_key.values():
        text = field.example.split(" (")[0].split(" or ")[0]
        if field.step is None or not text:
            continue
        for direction in (1, -1):
            stepped = text
            for _ in range(30):
                stepped = field.stepped(stepped, direction)
                assert not field.read(stepped).error, (field.key, stepped)


def test_there_are_a_dozen_questions_each_with_its_help() -> None:
    assert len(ASKED) == 12
    for field in FORM.by_key.values():
        assert field.question.endswith("?") and field.purpose and field.if_wrong, field.key
        assert len(field.label) <= 15


def test_every_field_of_an_example_is_understood_as_it_is_written() -> None:
    for name in ("growing-brewery", "startup", "co-packer", "mobile-canner"):
        draft = draft_of(name)
        for field in FORM.fields:
            shown = draft.shown(field)
            if shown:
                assert field.read(shown).value == draft.value(field.path), (name, field.key)


def test_choices_are_those_of_a_brief() -> None:
    draft = draft_of("startup")
    for field in FORM.fields:
        for word, _ in field.choices:
            if field.key != "site.power.phases":
                draft.put(field.path, field.read(word).value)
                assert not draft.complaint(field, catalog()), (field.key, word)
