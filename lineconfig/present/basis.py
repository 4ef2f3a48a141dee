"""Where each printed figure comes from: its formula, or the catalogue's basis."""

from __future__ import annotations

from lineconfig.layout import Layout
from lineconfig.present.figures import class_figures
from lineconfig.present.text import WIDTH, wrapped
from lineconfig.session import Study

COMPUTED: dict[str, tuple[str, str]] = {
    "speed_cpm.rated": (
        "slowest station with that format", "line definition, common practice",
    ),
    "speed_cpm.lower_bound": (
        "rated / (1 + sum of stop minutes per can x rated): no buffers",
        "Buzacott 1967, operation-dependent stops (from memory)",
    ),
    "speed_cpm.upper_bound": (
        "slowest section alone, its own stops only: buffers without end",
        "Gershwin, Manufacturing Systems Engineering, 1994 (from memory)",
    ),
    "speed_cpm.effective": (
        "two-machine one-buffer lines: empties | filling | packing",
        "Gershwin, Manufacturing Systems Engineering, 1994, continuous material (from memory)",
    ),
    "heights_mm.unload_deck": (
        "max(filler infeed + drop, pallet base + (layers - 1) x (can + sheet)) within the class",
        "geometry",
    ),
    "heights_mm.frame_top": ("deck + can height + head above the can", "geometry"),
    "pallet_layers_at_once": (
        "floor((deck - pallet base) / (can + sheet)) + 1, at most the stack", "geometry",
    ),
    "intervals_min.layer": ("containers per layer / rated speed", "arithmetic"),
    "intervals_min.pallet": ("containers per delivered stack / rated speed", "arithmetic"),
    "crew.people": (
        ("fewest contiguous posts with workload <= allowed utilisation; an always-attended "
        "station takes one whole person"),
        "exact partition of the stations' workloads",
    ),
    "first_cost": (
        ("sum of prices and change parts x (1 + freight + installation + training) "
        "x (1 + contingency)"),
        "economics.yaml: first_cost",
    ),
    "annual_cost.labour": (
        "(running + starting and cleaning + changeover hours) x people x wage", "arithmetic",
    ),
    "annual_cost.electricity": (
        "running hours x average kW, compressed air included, x tariff",
        "economics.yaml: tariffs, habits",
    ),
    "life_cycle_cost": (
        "first cost + yearly cost x (P/A, discount rate, horizon)",
        "engineering economics, any (P/A, i, n) table",
    ),
    "cost_per_1000_cans": (
        "(first cost / (P/A) + yearly cost) / yearly cans x 1000", "engineering economics",
    ),
    "payback_years": (
        "extra first cost / yearly saving against the valid layout with the lowest first cost",
        "simple payback",
    ),
    "stays_first": (
        ("share of triangular price draws (low, typical, high; one draw per class) in which it has "
        "the lowest life-cycle cost of those shown"),
        "seeded draws",
    ),
    "floor.area_m2": (
        "sum over stations of length x (width + side clearances), joints included", "geometry",
    ),
    "changeover_min.line": (
        "max(longest station, person-minutes / people)", "common practice",
    ),
    "utilities.amperes": (
        "kW x simultaneity / power factor / (sqrt 3 x volts)", "three-phase power",
    ),
}  # fmt: skip
"""Formula and source of the figures that are worked out, by their path in the JSON."""


def layout_basis(study: Study, layout: Layout) -> dict[str, dict[str, str]]:
    """Formula, source and kind of every figure of a layout, by its path."""
    basis = {
        path: {"formula": formula, "source": source, "kind": "computed"}
        for path, (formula, source) in COMPUTED.items()
    }
    for number, station in enumerate(layout.stations):
        class_id = station.option.id
        for path, value, source in class_figures(study.catalog, class_id):
            basis[f"stations.{number}.{path}"] = {
                "formula": f"{class_id}: {value}",
                "source": source,
                "kind": "catalogue",
            }
    habits = study.catalog.economics.model_dump(by_alias=True)
    for group in ("first_cost", "tariffs", "habits", "defaults"):
        for name, value in habits[group].items():
            path = f"{group}.{name}"
            basis[f"economics.{path}"] = {
                "formula": str(value),
                "source": study.catalog.economics_basis(path),
                "kind": "catalogue",
            }
    return basis


def basis_text(basis: dict[str, dict[str, str]]) -> str:
    """The basis of every figure as text."""
    title = "Where the figures come from"
    lines = ["", title, "-" * min(len(title), WIDTH)]
    for path, entry in basis.items():
        lines += wrapped(f"{path} = {entry['formula']}  [{entry['source']}]", 2, 6)
    return "\n".join(lines)
