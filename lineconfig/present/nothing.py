"""Why nothing fits, and why a class is not offered, as text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lineconfig.explain import Clash, ClassAnswer, NoLayout
from lineconfig.layout import Layout
from lineconfig.present.text import title_text
from lineconfig.present.wrapping import wrapped
from lineconfig.rounding import amount_text, cpm_text
from lineconfig.session import Study

NOTHING_BRINGS = "nothing that was looked at would bring it first"


def line_words(layout: Layout, currency: str) -> str:
    """A line that the brief does not allow, in words: its machines and its main figures."""
    people = layout.crew.people
    crew = f"{people} {'person' if people == 1 else 'people'}"
    price = f"{amount_text(layout.money.first_cost.typical)} {currency} to buy"
    rated = f"rated at {cpm_text(min(layout.speed.rated))} cpm"
    return f"{layout.id}, {price}, {crew}, {rated}: {title_text(layout)}"


def no_layout_lines(answer: NoLayout) -> list[str]:
    """Why nothing fits, and what would open a layout."""
    currency = answer.currency
    conflicts = answer.conflicts or (answer.conflict,)
    alone = [conflict for conflict in conflicts if len(conflict) == 1]
    lines = ["No layout fits. " + _begun(conflicts[0]), ""]
    for conflict in conflicts:
        if conflict is not conflicts[0]:
            words = "And by itself" if len(conflict) == 1 else "Nor can these be met together"
            lines += ["", f"{words}:", ""]
        for clash in conflict:
            where = f" ({clash.field})" if clash.field else ""
            lines += wrapped(f"* {clash.text}{where}", 2, 4)
            if clash.line is not None:
                lines += wrapped(f"That line: {line_words(clash.line, currency)}", 6, 8)
    if not answer.all_conflicts:
        lines += ["", "There are more such sets than are told here."]
    if answer.openings:
        lines += [
            "",
            "Each of these changes alone would open a layout (solved again to be sure):",
            "",
        ]
        for opening in answer.openings:
            lines += wrapped(f"* {opening.text}", 2, 4)
            lines += wrapped(f"It opens: {line_words(opening.layout, currency)}", 6, 8)
    elif answer.pairs:
        lines += [
            "",
            *wrapped(
                "No single change opens a layout. These two together would, the cheapest line to "
                "buy first (solved again to be sure):"
            ),
            "",
        ]
        for pair in answer.pairs:
            lines += wrapped(f"* {pair.text}", 2, 4)
            lines += wrapped(f"They open: {line_words(pair.layout, currency)}", 6, 8)
    elif len(alone) > 1 or len(conflicts) > 1:
        lines += [
            "",
            *wrapped(
                "No change of one answer of the brief opens a layout, nor any of the changes of "
                "two that were tried."
            ),
        ]
    return lines


def _begun(conflict: Sequence[Clash]) -> str:
    return "These cannot be met together:" if len(conflict) > 1 else "This cannot be met:"


def why_text(study: Study, no_layout: NoLayout | None, answers: Iterable[ClassAnswer]) -> str:
    """What `why` prints."""
    lines: list[str] = []
    if no_layout is not None:
        lines += [*no_layout_lines(no_layout), ""]
    answers = list(answers)
    for answer in answers:
        if len(answers) == 1 and answer.openings:
            lines += _class_lines(answer)
            continue
        # Where several changes would let a class in, no single rule keeps it out.
        rule = f" [{answer.rule}]" if answer.rule and len(answer.openings) < 2 else ""
        lines += wrapped(f"{answer.class_id}: {answer.status}. {answer.text}{rule}", 0, 4)
    alone = answers[0] if len(answers) == 1 else None
    if alone is not None and alone.status == "ruled-out" and not alone.openings:
        lines += ["", *wrapped("No single change that was tried would let it in.")]
    if any(NOTHING_BRINGS in answer.text for answer in answers):
        lines += [
            "",
            *wrapped(
                "Looked at for what would bring a class first: wage, yearly volume, horizon, "
                "discount rate, speed, budget, people, ceiling, and the price of the class itself."
            ),
        ]
    if len(answers) > 1 and any(answer.status == "ruled-out" for answer in answers):
        lines += [
            "",
            *wrapped(
                "`lineconfig why BRIEF CLASS-ID` also says what would let in a class that is "
                "refused by itself."
            ),
        ]
    return "\n".join(lines).rstrip()


def _class_lines(answer: ClassAnswer) -> list[str]:
    """A class that no valid line has, and each change that would let it in."""
    which = "This alone would let it in" if len(answer.openings) == 1 else (
        "Any one of these alone would let it in"
    )  # fmt: skip
    lines = [
        *wrapped(f"{answer.class_id}: {answer.status}. {answer.reason}.", 0, 4),
        "",
        f"{which} (solved again to be sure):",
        "",
    ]
    for opening in answer.openings:
        lines += wrapped(f"* {opening.text}", 2, 4)
        lines += wrapped(line_words(opening.layout, opening.need.currency), 6, 8)
    return lines
