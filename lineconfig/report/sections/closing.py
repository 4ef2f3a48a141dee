"""Cautions with their basis, sources, and the brief itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lineconfig.hazards import LOCAL_CODES, LayoutCaution, layout_cautions
from lineconfig.present.basis import layout_basis
from lineconfig.present.sources import by_section, in_words
from lineconfig.report.document import (
    Block,
    Column,
    Paragraph,
    Section,
    Table,
    Verbatim,
)
from lineconfig.report.subject import Subject

SHOWN = (
    "speed_cpm", "heights_mm", "pallet_layers", "intervals_min", "crew", "first_cost",
    "annual_cost", "hours_per_year", "life_cycle_cost", "cost_per_1000", "payback_years",
    "net_present_value", "stays_first", "lifting_posts", "guarding", "rinsing.rinse_s",
    "rinsing.drain_s", "pressure", "pasteurizing", "floor", "changeover_min.line", "utilities.kw",
    "utilities.amperes", "utilities.water_l_min", "utilities.air_l_min",
)  # fmt: skip
"""Figures that the document shows, by the beginning of their path in the JSON."""


def cautions_section(subject: Subject) -> Section:
    """What can hurt somebody or spoil the product, worst first."""
    words = subject.words
    items = layout_cautions(subject.study.inquiry, subject.first.layout, subject.findings)
    blocks: list[Block] = [
        Paragraph(f"{words('cautions.lead')} {LOCAL_CODES.text}", "warning"),
    ]
    for key, own in (("cautions.own", True), ("cautions.generic", False)):
        chosen = [item for item in items if item.own is own]
        if chosen:
            blocks.append(_caution_table(subject, words(key), chosen))
    return Section("cautions", words("cautions.title"), tuple(blocks))


def _caution_table(subject: Subject, caption: str, items: Sequence[LayoutCaution]) -> Table:
    words = subject.words
    return Table(
        caption,
        (
            Column(words("cautions.caution")),
            Column(words("cautions.station")),
            Column(words("cautions.basis")),
        ),
        tuple(
            (
                item.caution.text,
                ", ".join(str(place + 1) for place in item.stations) or words("cautions.general"),
                item.caution.basis,
            )
            for item in items
        ),
    )


def sources_section(subject: Subject) -> Section:
    """Formulas with their sources, and what the catalogue's figures rest on."""
    words = subject.words
    basis = layout_basis(subject.study, subject.first.layout)
    computed = {
        path: entry
        for path, entry in basis.items()
        if entry["kind"] == "computed" and path.startswith(SHOWN)
    }
    given = Counter(entry["source"] for entry in basis.values() if entry["kind"] == "catalogue")
    blocks: list[Block] = [
        Paragraph(words("sources.lead")),
        Table(
            words("sources.given"),
            (Column(words("sources.basis")), Column(words("sources.count"), "number")),
            tuple((source, str(count)) for source, count in given.most_common()),
        ),
        Table(
            words("sources.computed"),
            (
                Column(words("sources.figure")),
                Column(words("sources.formula")),
                Column(words("sources.source")),
            ),
            tuple(
                (label, in_words(computed[path]["formula"]), in_words(computed[path]["source"]))
                for path, label in by_section(computed).items()
            ),
        ),
        Paragraph(words("sources.more"), "note"),
        Paragraph(
            words("sources.files_lead", files=", ".join(sorted(_names(subject)))), "note"
        ),
    ]  # fmt: skip
    return Section("sources", words("sources.title"), tuple(blocks))


def _names(subject: Subject) -> set[str]:
    """Files of the catalogue by name only: where they lie is nobody else's business."""
    return {
        source.replace("\\", "/").rsplit("/", 1)[-1] for source in subject.study.catalog.sources
    }


def brief_section(subject: Subject) -> Section:
    """The brief as it was written."""
    words = subject.words
    command = "lineconfig report brief.yaml --out report.html"
    for overlay in subject.overlays:
        command += f" --catalog {overlay.replace(chr(92), '/').rstrip('/').rsplit('/', 1)[-1]}"
    return Section(
        "brief",
        words("brief.title"),
        (
            Paragraph(words("brief.lead", command=command)),
            Verbatim(subject.brief_text, words("brief.label")),
        ),
    )
