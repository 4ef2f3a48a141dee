"""Where the printed figures come from, as text: formulas first, then the inputs that they use."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lineconfig.layout import Layout
from lineconfig.present.basis import layout_basis
from lineconfig.present.spoken import group_text, parted
from lineconfig.present.wrapping import heading, wrapped
from lineconfig.session import Study


@dataclass(frozen=True, slots=True)
class Section:
    """A section of `show`: the figures printed in it, and the catalogue's figures behind them."""

    title: str
    figures: tuple[str, ...]
    """Beginnings of their paths in the JSON."""
    of_stations: tuple[str, ...] = ()
    """Beginnings of the paths of a class's figures."""
    of_formats: tuple[str, ...] = ()
    of_economics: tuple[str, ...] = ()
    with_function: str = ""
    """Shown only for lines that have this function; always where empty."""


SECTIONS = (
    Section(
        "Heights", ("heights_mm", "highest", "platforms"), ("heights",), ("height", "pallet"),
        ("habits.ceiling_clearance", "habits.tipping_rise", "habits.overhead"),
    ),
    Section("Empties", ("pallet_layers", "stack_by_format", "intervals_min"), ("heights.lowered",),
            ("pallet",)),
    Section(
        "Speed", ("speed_cpm",), ("speed", "stops", "holds_cans"), ("volume",),
        ("habits.planning_efficiency", "habits.overspeed"),
    ),
    Section(
        "Crew", ("crew",), ("attendance", "stops"), (),
        ("habits.allowed_utilisation", "habits.stations_per_person", "habits.cans_per_case",
         "habits.cases_per_full_pallet", "habits.split_pallet_minutes"),
    ),
    Section(
        "Money and hours",
        ("first_cost", "annual_cost", "life_cycle_cost", "cost_per_1000_cans", "payback_years",
         "stays_first", "hours_per_year", "returns"),
        ("price", "area_price", "changeover.parts", "upkeep", "consumables_per_1000",
         "water_l_per_1000", "can_loss", "product_loss"),
        (),
        ("first_cost", "tariffs", "habits.startup_and_cleaning", "habits.motor_load", "defaults"),
    ),
    Section("Changeover", ("changeover_min",), ("changeover",)),
    Section(
        "Floor and utilities", ("floor", "utilities"), ("size", "clearance", "utilities"), (),
        ("habits.joint", "habits.simultaneity", "habits.power_factor", "habits.walkway",
         "habits.pallet_approach"),
    ),
    Section("Stores", ("stores",), (), ("pallet",), ("stores",)),
    Section("Noise", ("noise",), ("noise",)),
    Section("Lifting and reaching", ("lifting", "reaching"), ("attendance",), ("empty_mass",),
            ("handling",)),
    Section("Guarding", ("guarding",), ("guarding", "stopping"), (), (), "guard"),
    Section("Rinse", ("rinsing",), ("header", "inverted_run"), ("diameter", "height"), (), "rinse"),
    Section("Pressure", ("pressure",)),
    Section("Pasteurizing", ("pasteurizing",), ("dwell", "heat"), (), (), "pasteurize"),
)  # fmt: skip
"""In the order of `show`."""

REST = "Other figures"
_UNIT = re.compile(r"_(?:cpm|mm|m2|min|per_min|kg|s|ml|kw|l_min|h)$")
_FIRST_WORDS = {
    **dict.fromkeys(
        ("speed_cpm", "heights_mm", "crew", "guarding", "rinsing", "pressure", "pasteurizing",
         "floor", "utilities", "first_cost_items", "lifting", "changeover_min", "stores",
         "noise"), "",
    ),
    "annual_cost": "yearly",
    "hours_per_year": "hours of",
    "intervals_min": "interval of a",
    "lifting_posts": "all lifts of a person:",
    "platforms": "platform",
    "reaching": "reach:",
    "returns": "beside the cheapest:",
}  # fmt: skip
"""How paths begin in words; nothing where the heading says it."""
_REFERENCE = re.compile(r"\b(?:lifting|reaching|guarding|pressure|speed_cpm|platforms)\.[a-z_]+")
_NO_FIGURES = ("stops.person", "utilities.phases", "guarding.device")
"""What a class states besides figures."""
_NOTHING = re.compile(r"0(?:\.0+)?(?: [a-zA-Z/%]+)?")


def by_section(paths: Iterable[str]) -> dict[str, str]:
    """Paths of figures in the order of `show`, each with its section and its name in words."""
    left = list(paths)
    said: dict[str, str] = {}
    for section in SECTIONS:
        for path in _beginning(left, section.figures):
            said.setdefault(path, f"{section.title}: {label_of_figure(path)}")
    return said | {path: label_of_figure(path) for path in left if path not in said}


def basis_text(study: Study, layout: Layout) -> str:
    """What `show --basis` prints: each printed figure's formula, then the inputs it uses."""
    basis = layout_basis(study, layout)
    functions = {station.function for station in layout.stations}
    there = [s for s in SECTIONS if not s.with_function or s.with_function in functions]
    gone = {path for s in SECTIONS if s not in there for path in _beginning(basis, s.figures)}
    printed = {path for path in basis if not path.startswith(("stations.", "formats.",
                                                              "economics."))} - gone  # fmt: skip
    lines = [*heading("Where the figures come from")]
    said: set[str] = set()
    for section in there:
        paths = [path for path in _beginning(basis, section.figures) if path in printed - said]
        said |= set(paths)
        lines += _figure_lines(section.title, paths, basis)
    lines += _figure_lines(REST, [path for path in basis if path in printed - said], basis)
    lines += _input_lines(study, layout, there, basis)
    return "\n".join(lines)


def _beginning(basis: Iterable[str], starts: Sequence[str]) -> list[str]:
    """The paths that begin with one of these words."""
    return [path for path in basis if any(_begins(path, start) for start in starts)]


def _begins(path: str, start: str) -> bool:
    return path == start or path.startswith((f"{start}.", f"{start}_"))


def label_of_figure(path: str) -> str:
    """A path of the JSON in words: `rinsing.drain_s` is `drain`."""
    first, _, rest = path.partition(".")
    words = [_UNIT.sub("", part) for part in (rest.split(".") if rest else [first])]
    if rest:
        words.insert(0, _FIRST_WORDS.get(first, _UNIT.sub("", first)))
    return " ".join(words).replace("_", " ").strip()


def in_words(text: str) -> str:
    """A formula or source with paths in words."""
    return _REFERENCE.sub(lambda found: label_of_figure(found[0]), text)


def _figure_lines(
    title: str, paths: Sequence[str], basis: Mapping[str, Mapping[str, str]]
) -> list[str]:
    if not paths:
        return []
    lines = ["", title]
    for path in paths:
        entry = basis[path]
        formula, source = in_words(entry["formula"]), in_words(entry["source"])
        lines += wrapped(f"{label_of_figure(path)} = {formula}  [{source}]", 2, 6)
    return lines


def _input_lines(
    study: Study,
    layout: Layout,
    sections: Sequence[Section],
    basis: Mapping[str, Mapping[str, str]],
) -> list[str]:
    """The catalogue's figures that the printed ones use, by station and by source."""
    lines = [*heading("Inputs that these figures use")]
    stations = sorted({start for section in sections for start in section.of_stations})
    formats = sorted({start for section in sections for start in section.of_formats})
    economics = sorted({start for section in sections for start in section.of_economics})
    lines += wrapped(
        "From the catalogue and its overlays; in brackets the basis of what stands before it. "
        "`lineconfig catalog CLASS` has the rest, `--json` every path."
    )
    for number, station in enumerate(layout.stations, 1):
        equipment = station.option.equipment
        lines += ["", *wrapped(f"{number} {equipment.name} ({equipment.id})")]
        opening = f"stations.{number - 1}."
        lines += _by_source(basis, opening, stations, drop=f"{equipment.id}: ")
    for fmt in study.need.formats:
        lines += ["", *wrapped(f"{fmt.container.name} ({fmt.id})")]
        if fmt.id not in study.catalog.containers:
            lines.append("  as the brief describes it")
        lines += _by_source(basis, f"formats.{fmt.id}.", formats)
    lines += ["", "Assumptions (economics)"]
    lines += _by_source(basis, "economics.", economics)
    return lines


def _by_source(
    basis: Mapping[str, Mapping[str, str]], opening: str, starts: Sequence[str], drop: str = ""
) -> list[str]:
    """The figures below a path that begin with these words, those of one source together.

    Figures of nothing, such as the air of a machine without any, are left out.
    """
    found: dict[str, dict[str, dict[str, str]]] = {}
    for path, entry in basis.items():
        below = path.removeprefix(opening)
        if not path.startswith(opening) or not any(_begins(below, start) for start in starts):
            continue
        value = entry["formula"].removeprefix(drop)
        if below in _NO_FIGURES or _NOTHING.fullmatch(value):
            continue
        group, _, name = below.rpartition(".")
        if below.startswith(("attendance.tasks", "changeover.parts")):
            group, name = below, ""  # the value is a sentence: task, lift or part
        elif group == "attendance":
            group = ""
        found.setdefault(entry["source"], {}).setdefault(group, {})[name] = value
    return [
        line
        for source, groups in found.items()
        for line in wrapped(f"{_grouped(groups)}  [{source}]", 2, 4)
    ]


def _grouped(groups: Mapping[str, Mapping[str, str]]) -> str:
    return parted(
        "; ".join(
            said[""] if "" in said else group_text(group, said) for group, said in groups.items()
        )
    )
