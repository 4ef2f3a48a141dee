"""Why no layout fits, and what would open one."""

from __future__ import annotations

from lineconfig.explain import Clash, NoLayout
from lineconfig.layout import Layout
from lineconfig.present.text import title_text
from lineconfig.report.document import Block, Bullets, Paragraph, Section, Subheading
from lineconfig.report.sections.choice import people_text
from lineconfig.report.subject import Subject
from lineconfig.rounding import cpm_text

OF_MONEY = frozenset({"budget"})


def nothing_section(subject: Subject, answer: NoLayout) -> Section:
    """The conflict and its openings."""
    words = subject.words

    def hidden(field: str | None) -> bool:
        return subject.hide_prices and field in OF_MONEY

    def said(clash: Clash) -> str:
        if hidden(clash.field):
            return words("nothing.hidden")
        text = clash.text
        if clash.field:
            text = words("nothing.field", text=text, field=clash.field)
        if clash.line is not None:
            text = words("nothing.that_line", text=text, line=_line(subject, clash.line))
        return text

    blocks: list[Block] = [Paragraph(words("nothing.lead"), "lead")]
    conflicts = answer.conflicts or (answer.conflict,)
    for conflict in conflicts:
        if conflict is conflicts[0]:
            key = "nothing.conflict" if len(conflict) > 1 else "nothing.conflict_one"
        else:
            key = "nothing.nor" if len(conflict) > 1 else "nothing.nor_one"
        blocks += [Subheading(words(key)), Bullets(tuple(map(said, conflict)))]
    if not answer.all_conflicts:
        blocks.append(Paragraph(words("nothing.more"), "note"))
    blocks.append(Subheading(words("nothing.openings")))
    opened = [
        words("nothing.opening", text=item.text, title=_line(subject, item.layout))
        for item in answer.openings
        if not hidden(item.field)
    ]
    pairs = [
        words("nothing.opening", text=pair.text, title=_line(subject, pair.layout))
        for pair in answer.pairs
        if not any(hidden(way.field) for way in pair.changes)
    ]
    if opened:
        blocks += [Paragraph(words("nothing.openings_lead")), Bullets(tuple(opened))]
    if pairs:
        blocks += [Paragraph(words("nothing.pairs_lead")), Bullets(tuple(pairs))]
    if not opened and not pairs:
        blocks.append(Paragraph(words("nothing.no_openings")))
    return Section("nothing", words("nothing.title"), tuple(blocks))


def _line(subject: Subject, layout: Layout) -> str:
    """A line that the brief does not allow: its machines and its main figures."""
    words = subject.words
    values = {
        "id": layout.id,
        "title": title_text(layout),
        "people": people_text(subject, layout.crew.people),
        "rated": cpm_text(min(layout.speed.rated)),
    }
    if subject.hide_prices:
        return words("nothing.line_hidden", **values)
    price = subject.money(layout.money.first_cost.typical)
    return words("nothing.line", price=price, **values)
