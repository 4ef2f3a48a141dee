"""The unbeaten layouts (the Pareto set) as a table and as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lineconfig.layout import Layout
from lineconfig.present.wrapping import named_row
from lineconfig.rounding import amount_text, area_text, cpm_text, minutes_text
from lineconfig.session import Study


def unbeaten_records(study: Study, layouts: Sequence[Layout]) -> list[dict[str, Any]]:
    """The figures in which no other layout beats each of these."""
    main = study.need.formats.index(study.need.main_format)
    return [
        {
            "id": layout.id,
            "kind": layout.family,
            "first_cost": round(layout.money.first_cost.typical, 2),
            "labour_per_year": round(layout.money.annual["labour"], 2),
            "area_m2": round(layout.floor.area_m2, 2),
            "changeover_person_min": round(layout.changeover_person_min, 2),
            "effective_cpm": round(layout.speed.effective[main], 3),
            "run_hours": round(layout.money.run_hours, 3),
        }
        for layout in layouts
    ]


def unbeaten_text(study: Study, layouts: Sequence[Layout]) -> str:
    """A table of 80 columns, lowest first cost first."""
    title = f"{len(layouts)} layouts that no other beats in everything at once"
    lines = ["", title, "-" * len(title)]
    lines.append(
        f"{'id':34}{'first cost':>12}{'labour/yr':>11}{'m2':>6}{'change':>8}{'eff. cpm':>9}"
    )
    for row in unbeaten_records(study, layouts):
        lines += named_row(
            "", row["id"], 34,
            f"{amount_text(row['first_cost']):>12}{amount_text(row['labour_per_year']):>11}{area_text(row['area_m2']):>6}"
            f"{minutes_text(row['changeover_person_min']):>8}{cpm_text(row['effective_cpm']):>9}",
        )  # fmt: skip
    return "\n".join(lines)
