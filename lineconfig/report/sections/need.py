"""What the client needs, in the client's words, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lineconfig.demand import demand_of
from lineconfig.reading import read_tree
from lineconfig.report.document import (
    MOST_ON_A_PAGE,
    Block,
    Column,
    Paragraph,
    Section,
    Table,
)
from lineconfig.report.subject import Subject
from lineconfig.report.words import Words
from lineconfig.rounding import cpm_text


def need_section(subject: Subject) -> Section:
    """The need."""
    words, need = subject.words, subject.study.need
    demand = demand_of(subject.study.inquiry)
    names = ", ".join(fmt.container.name for fmt in need.formats)
    blocks: list[Block] = [
        Paragraph(
            words(
                "need.lead", name=need.brief.name, cans=f"{need.annual_cans:,.0f}",
                kind=need.brief.product.kind, formats=names,
            ),
            "lead",
        ),
    ]  # fmt: skip
    asked = {
        "speed": cpm_text(demand.asked_cpm),
        "format": need.main_format.container.name,
    }
    blocks.append(Paragraph(words("need.speed", **asked)))
    if demand.forced:
        needed = cpm_text(demand.by_volume_cpm)
        blocks.append(
            Paragraph(words("need.forced", speed=asked["speed"], needed=needed), "warning")
        )
    blocks += [
        _formats(subject),
        Table(
            words("need.asked"),
            (Column(words("need.item")), Column(words("need.answer"))),
            tuple(_items(subject)),
        ),
    ]
    if need.defaults_used:
        blocks += [_assumed(subject), Paragraph(words("need.assumed_note"), "note")]
    else:
        blocks.append(Paragraph(words("need.assumed_none")))
    return Section("need", words("need.title"), tuple(blocks))


def _formats(subject: Subject) -> Table:
    words, need = subject.words, subject.study.need
    yes, no = words("document.yes_word"), words("document.no_word")
    return Table(
        words("need.formats"),
        (
            Column(words("need.format")),
            Column(words("need.container")),
            Column(words("need.annual"), "number"),
            Column(words("need.speed_needed"), "number"),
            Column(words("need.supply")),
            Column(words("need.again")),
        ),
        tuple(
            (
                fmt.container.name,
                words(
                    "need.size", diameter=f"{fmt.container.diameter_mm:g}",
                    height=f"{fmt.container.height_mm:g}", volume=f"{fmt.container.volume_ml:g}",
                    end=fmt.container.end,
                ),
                f"{fmt.annual_cans:,.0f}",
                cpm_text(fmt.needed_cpm),
                words.of("supply", fmt.supply) if fmt.supply else words("need.any_supply"),
                yes if fmt.rehandled else no,
            )
            for fmt in need.formats
        ),
        whole=len(need.formats) < MOST_ON_A_PAGE,
    )  # fmt: skip


def _assumed(subject: Subject) -> Table:
    words = subject.words
    return Table(
        words("need.assumed"),
        (Column(words("need.item")), Column(words("need.counted"))),
        tuple(_assumption(subject, text) for text in subject.study.need.defaults_used),
        whole=len(subject.study.need.defaults_used) < MOST_ON_A_PAGE,
    )


def _assumption(subject: Subject, text: str) -> tuple[str, str]:
    """A default, which the engine names by its place in a brief, in words."""
    words = subject.words
    path, _, value = text.partition(": ")
    group, _, rest = path.partition(".")
    name, _, key = rest.rpartition(".")
    what = words.of("assumed", f"{group}-{key}" if key else group)
    if name:
        what = words("need.assumed_of", what=what, format=subject.format_name(name))
    value, bracket, why = value.partition(" (")
    value = words.of("answer", value)
    return what, f"{value} ({words.said(why.removesuffix(')'))})" if bracket else value


SAID_ALREADY = frozenset({"brief", "name", "formats"})


def _items(subject: Subject) -> Iterator[tuple[str, str]]:
    """What the brief itself says, key by key; formats have a table of their own."""
    root, _ = read_tree(subject.brief_text, "brief")
    stated: dict[str, Any] = root.plain()
    for key, value in stated.items():
        if key not in SAID_ALREADY:
            yield subject.words.of("field", str(key)), told(value, subject.words)


def told(value: Any, words: Words) -> str:
    """A value of a brief in one line, its keys named."""
    if isinstance(value, dict):
        return "; ".join(
            f"{str(key).replace('_', ' ')}: {_inner(inner, words)}" for key, inner in value.items()
        )
    if isinstance(value, list):
        return "; ".join(_inner(item, words) for item in value)
    if isinstance(value, bool):
        return words("document.yes_word") if value else words("document.no_word")
    return str(value)


def _inner(value: Any, words: Words) -> str:
    text = told(value, words)
    if isinstance(value, dict):
        return f"({text.replace('; ', ', ')})"
    return text.replace("; ", ", ")
