"""The cautions of one layout as text: what its figures call for, then what goes with its kinds."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig.assess.cautions import Caution
from lineconfig.findings.whole import Findings
from lineconfig.harm import TOPICS
from lineconfig.hazards import LOCAL_CODES, LayoutCaution, layout_cautions
from lineconfig.layout import Layout
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.session import Study


def caution_lines(study: Study, layout: Layout, findings: Findings) -> list[str]:
    """The section on cautions, worst first."""
    items = layout_cautions(study.inquiry, layout, findings)
    own = [item for item in items if item.own]
    generic = [item for item in items if not item.own]
    lines = [*heading("Cautions"), *wrapped(_said(LOCAL_CODES), 2)]
    if own:
        lines += ["", "  From the figures of this layout, worst first:"]
        for item in own:
            lines += wrapped(f"! {_said(item.caution)}", 2, 4)
    if generic:
        lines += ["", "  With machines of these kinds (station numbers in brackets):"]
        for topic in sorted(TOPICS, key=lambda topic: _worst(generic, topic)):
            said = [item for item in generic if item.topic == topic]
            if said:
                lines += wrapped(f"{topic[0].upper()}{topic[1:]}", 2)
                for item in said:
                    lines += wrapped(f"- {_with_stations(item)}", 4, 6)
    return lines


def _said(caution: Caution) -> str:
    return f"{caution.text} [{caution.basis}]"


def _worst(items: Sequence[LayoutCaution], topic: str) -> int:
    return min((item.weight for item in items if item.topic == topic), default=99)


def _with_stations(item: LayoutCaution) -> str:
    numbers = ", ".join(str(place + 1) for place in item.stations)
    return f"({numbers}) {_said(item.caution)}" if numbers else _said(item.caution)
