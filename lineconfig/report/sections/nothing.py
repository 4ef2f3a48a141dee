"""Why no layout fits, and what would open one."""

from __future__ import annotations

from lineconfig.explain import NoLayout
from lineconfig.report.document import Block, Bullets, Paragraph, Section, Subheading
from lineconfig.report.subject import Subject

OF_MONEY = frozenset({"budget"})


def nothing_section(subject: Subject, answer: NoLayout) -> Section:
    """The conflict and its openings."""
    words = subject.words

    def said(field: str | None, text: str) -> str:
        if subject.hide_prices and field in OF_MONEY:
            return words("nothing.hidden")
        return words("nothing.field", text=text, field=field) if field else text

    key = "nothing.conflict" if len(answer.conflict) > 1 else "nothing.conflict_one"
    blocks: list[Block] = [
        Paragraph(words("nothing.lead"), "lead"),
        Subheading(words(key)),
        Bullets(tuple(said(clash.field, clash.text) for clash in answer.conflict)),
        Subheading(words("nothing.openings")),
    ]
    opened = [
        words("nothing.opening", text=item.text, title=item.layout.title)
        for item in answer.openings
        if not (subject.hide_prices and item.field in OF_MONEY)
    ]
    pairs = [
        words("nothing.opening", text=pair.text, title=pair.layout.title)
        for pair in answer.pairs
        if not (subject.hide_prices and any(way.field in OF_MONEY for way in pair.changes))
    ]
    if opened:
        blocks += [Paragraph(words("nothing.openings_lead")), Bullets(tuple(opened))]
    if pairs:
        blocks += [Paragraph(words("nothing.pairs_lead")), Bullets(tuple(pairs))]
    if not opened and not pairs:
        blocks.append(Paragraph(words("nothing.no_openings")))
    return Section("nothing", words("nothing.title"), tuple(blocks))
