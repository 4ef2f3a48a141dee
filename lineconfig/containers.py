"""Containers: cans, threaded can bottles and glass bottles, and how their empties are delivered."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from lineconfig.fields import ContentMl, Count, Id, LengthMm, MassKg, Record, Text

ContainerKind = Literal["two-piece-can", "threaded-can-bottle", "glass-bottle"]
Closing = Literal["seam", "screw-cap", "crown"]
SupplyForm = Literal["full-pallet", "half-stack", "loose"]

CLOSING_OF_KIND: dict[str, Closing] = {
    "two-piece-can": "seam",
    "threaded-can-bottle": "screw-cap",
    "glass-bottle": "crown",
}
"""How a container of this kind is closed where the file does not say."""

Basis = Text
"""Where a figure comes from: a published source, `common practice`, `from memory` or `invented`."""


class EmptiesPallet(Record):
    """One bulk pallet of empties as it leaves the can plant."""

    length_mm: LengthMm = Field(alias="length")
    width_mm: LengthMm = Field(alias="width")
    base_mm: LengthMm = Field(alias="base")
    """Height of the bare pallet below the first layer."""
    sheet_mm: LengthMm = Field(alias="sheet")
    """Thickness of the tier sheet between two layers."""
    per_layer: Count
    layers: Count
    half_stack_layers: Count
    """Layers of the half stack that the trade also sells."""

    @property
    def count(self) -> int:
        """Containers on one full pallet."""
        return self.per_layer * self.layers


class Container(Record):
    """One container format."""

    id: Id
    name: Text
    kind: ContainerKind
    closing: Closing
    volume_ml: ContentMl = Field(alias="volume")
    diameter_mm: LengthMm = Field(alias="diameter")
    """Outside diameter of the body."""
    height_mm: LengthMm = Field(alias="height")
    """Height of the open, empty container as it stands on the pallet."""
    end: Text
    """The end's trade size (`202`), the thread or the crown; closing tooling follows it."""
    empty_mass_kg: MassKg = Field(alias="empty_mass")
    pallet: EmptiesPallet
    basis: dict[str, Basis]
    """Basis by figure: `diameter`, `pallet.per_layer`, ...; `default` serves the rest."""


class FormatsFile(Record):
    """The file catalog/formats.yaml."""

    formats: list[Container]
