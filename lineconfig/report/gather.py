"""Collects one report: every section in the order of the document."""

from __future__ import annotations

from collections.abc import Callable

from lineconfig import __version__
from lineconfig.report.document import Report, Section
from lineconfig.report.sections.answer import changes_section, growth_section, sure_section
from lineconfig.report.sections.choice import choice_section
from lineconfig.report.sections.closing import brief_section, cautions_section, sources_section
from lineconfig.report.sections.line import crew_section, flow_section, plan_section
from lineconfig.report.sections.money import money_section
from lineconfig.report.sections.need import need_section
from lineconfig.report.sections.nothing import nothing_section
from lineconfig.report.sections.order import (
    acceptance_section,
    parts_section,
    site_section,
    timeline_section,
    utilities_section,
)
from lineconfig.report.subject import Subject

SECTIONS: tuple[Callable[[Subject], Section], ...] = (
    need_section,
    choice_section,
    flow_section,
    plan_section,
    crew_section,
    money_section,
    changes_section,
    sure_section,
    growth_section,
    parts_section,
    utilities_section,
    site_section,
    timeline_section,
    acceptance_section,
    cautions_section,
    sources_section,
    brief_section,
)
"""In the order of the document."""


def report_of(subject: Subject, *, letterhead: str = "", logo: str = "") -> Report:
    """The document on one study; where no layout fits, why, and what would open one.

    Parameters
    ----------
    subject : the study, the layouts chosen from it, and the words to use
    letterhead : lines of text that stand above the title
    logo : a data URI of a picture
    """
    words = subject.words
    nothing = subject.answer.no_layout
    if nothing is None:
        sections = tuple(section(subject) for section in SECTIONS)
    else:
        sections = (
            need_section(subject),
            nothing_section(subject, nothing),
            brief_section(subject),
        )
    return Report(
        lang=words("document.lang"),
        title=words("document.title", name=subject.study.need.brief.name),
        subtitle=words("document.subtitle"),
        contents=words("document.contents"),
        letterhead=tuple(line for line in letterhead.splitlines() if line.strip()),
        logo=logo,
        logo_words=words("document.logo"),
        sections=sections,
        footer=words("document.footer", version=__version__),
    )
