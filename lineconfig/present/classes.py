"""The catalogue as text: every class, or one in full."""

from __future__ import annotations

from collections.abc import Sequence

from lineconfig.catalog import Catalog, EquipmentClass
from lineconfig.present.text import THOUSAND
from lineconfig.present.wrapping import WIDTH, wrapped


def catalog_text(catalog: Catalog) -> str:
    """What `catalog` prints: every class, by function."""
    lines: list[str] = []
    function = ""
    for equipment in catalog.classes.values():
        if equipment.function != function:
            function = equipment.function
            lines += ["", function] if lines else [function]
        price = _price_text(equipment)
        lines += [f"  {equipment.id:58}{price:>20}", f"      {equipment.name}"]
    lines += ["", "formats"]
    for container in catalog.containers.values():
        lines.append(
            f"  {container.id:35}{container.kind:22}{container.diameter_mm:>6g} x "
            f"{container.height_mm:g} mm"
        )
    return "\n".join(lines)


def _price_text(equipment: EquipmentClass) -> str:
    if equipment.price is None or equipment.absent:
        return "-"
    parts = [f"{equipment.price.typical / THOUSAND:g}k"] if equipment.price.typical else []
    if equipment.price_per_track is not None:
        parts.append(f"{equipment.price_per_track.typical / THOUSAND:g}k each")
    if equipment.area_price is not None:
        parts.append(f"{equipment.area_price.typical / THOUSAND:g}k a m2")
    return " + ".join(parts) or "0k"


def figures_text(title: str, summary: str, figures: Sequence[tuple[str, str, str]]) -> str:
    """One class or format in full: figure, value, basis."""
    lines = [title, "=" * min(len(title), WIDTH), *wrapped(summary), ""]
    for path, value, basis in figures:
        lines += wrapped(f"{path}: {value}  [{basis}]", 2, 6)
    return "\n".join(lines)
