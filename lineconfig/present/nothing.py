"""Why nothing fits, and why a class is not offered, as text."""

from __future__ import annotations

from collections.abc import Iterable

from lineconfig.explain import ClassAnswer, NoLayout
from lineconfig.present.wrapping import wrapped
from lineconfig.session import Study


def no_layout_lines(answer: NoLayout) -> list[str]:
    """Why nothing fits, and what would open a layout."""
    count = len(answer.conflict)
    together = "These cannot be met together" if count > 1 else "This cannot be met"
    lines = [f"No layout fits. {together}:", ""]
    for clash in answer.conflict:
        where = f" ({clash.field})" if clash.field else ""
        lines += wrapped(f"* {clash.text}{where}", 2, 4)
    if answer.openings:
        lines += [
            "",
            "Each of these changes alone would open a layout (solved again to be sure):",
            "",
        ]
        for opening in answer.openings:
            lines += wrapped(f"* {opening.text}: {opening.layout.title}", 2, 4)
    return lines


def why_text(study: Study, no_layout: NoLayout | None, answers: Iterable[ClassAnswer]) -> str:
    """What `why` prints."""
    lines: list[str] = []
    if no_layout is not None:
        lines += [*no_layout_lines(no_layout), ""]
    for answer in answers:
        rule = f" [{answer.rule}]" if answer.rule else ""
        lines += wrapped(f"{answer.class_id}: {answer.status}. {answer.text}{rule}", 0, 4)
    return "\n".join(lines).rstrip()
