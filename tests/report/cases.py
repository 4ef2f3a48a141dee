"""Briefs and reports that several tests share. All clients are invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lineconfig.catalog_loading import load_catalog
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.rank import recommend
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.report.subject import Subject
from lineconfig.report.words import Words, load_words
from lineconfig.session import Study

TWO_FORMATS = """\
brief: 1
name: Ebb Mill Soda  # invented
product: {kind: soda, carbonation: 3 vol, fill_temperature: 3 degC}
speed: 30 cpm
formats:
  - {container: can-330-standard, annual_cans: 300000}
  - {container: can-250-slim, annual_cans: 100000}
operation: {hours_per_week: 24, weeks_per_year: 48}
site: {ceiling: 10 ft, power: {phases: 3, volts: 208, amperes: 100}}
staff: {per_shift: 4, wage: 24 USD/h}
horizon: 5 years
growth: [{year: 3, volume: 150 %}]
"""


def example(name: str) -> str:
    """The text of a shipped brief."""
    return (examples_dir() / f"{name}.yaml").read_text(encoding="utf-8")


def subject_of(text: str, **options: object) -> Subject:
    """A brief put to the shipped catalogue, solved and ranked."""
    catalog = load_catalog()
    study = Study(need_of_text(text, "brief.yaml", catalog), catalog)
    return Subject(study, recommend(study), text, load_words(), **options)  # type: ignore[arg-type]


def varied(subject: Subject, **options: object) -> Subject:
    """The same study and answer, told with other options."""
    return _with_known(
        subject,
        Subject(subject.study, subject.answer, subject.brief_text, load_words(), **options),  # type: ignore[arg-type]
    )


def told_in(words: Words, subject: Subject) -> Subject:
    """The same study and answer in other words."""
    return _with_known(subject, Subject(subject.study, subject.answer, subject.brief_text, words))


def _with_known(subject: Subject, other: Subject) -> Subject:
    """What is known of the one serves the other too: it hangs on study and answer alone."""
    known = {"switcher", "growth"}
    if not other.wanted:
        known |= {"choices", "findings", "schedule", "sureness"}
    other.__dict__ |= {name: part for name, part in subject.__dict__.items() if name in known}
    return other


@cache
def startup() -> Subject:
    """The shipped brief of a start-up."""
    return subject_of(example("startup"))


@cache
def startup_html() -> str:
    """Its document."""
    return html_of(report_of(startup(), letterhead="Ellery Line Planning\n12 Mill Road"))


@cache
def two_formats() -> Subject:
    """A brief with two formats, growth, and no room."""
    return subject_of(TWO_FORMATS)


@cache
def two_formats_html() -> str:
    """Its document."""
    return html_of(report_of(two_formats()))


def written(folder: Path, text: str, name: str = "brief.yaml") -> Path:
    """A file with a text."""
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def too_dear() -> str:
    """The shipped brief of a start-up, with a budget that no line keeps to."""
    text = example("startup")
    assert "budget: 330000 USD" in text
    return text.replace("budget: 330000 USD", "budget: 150000 USD").replace(
        "name: Fen Lane Ginger", "name: Short Purse Ginger"
    )


@cache
def never() -> Subject:
    """A brief that no layout meets."""
    return subject_of(too_dear())
