"""Bulk pallets of empties: nested layers, aligned layers, intervals and stack heights.

Containers of diameter d stand in rows; every second row is shifted by d / 2 and drops into the gaps
of its neighbour, so that rows are d * sqrt(3) / 2 apart. Where the can plant's own count per layer
is known it wins; this geometry serves the other formats and checks the known ones.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from lineconfig.assess.inputs import require_not_negative, require_positive

ROW_PITCH = math.sqrt(3.0) / 2.0
"""Distance between nested rows, as a share of the container's diameter."""

# A length that fits exactly on paper must not be lost to the last bit of a division.
_SLACK = 1e-9

Side = Literal["length", "width"]


@dataclass(frozen=True, slots=True)
class NestedLayer:
    """One pattern of nested rows on a pallet."""

    rows_along: Side
    """The pallet side that the rows run along."""
    rows: int
    """Number of rows."""
    first_row: int
    """Containers in the first, third, ... row."""
    second_row: int
    """Containers in the second, fourth, ... row."""
    used_length_mm: float
    """Extent of the pattern along the pallet's length. [mm]"""
    used_width_mm: float
    """Extent of the pattern along the pallet's width. [mm]"""

    @property
    def count(self) -> int:
        """Containers in the layer. [containers]"""
        odd_rows = (self.rows + 1) // 2
        return odd_rows * self.first_row + (self.rows - odd_rows) * self.second_row


def _fits(extent_mm: float, step_mm: float) -> int:
    return math.floor(extent_mm / step_mm + _SLACK)


def _patterns(
    diameter_mm: float, along_mm: float, across_mm: float, rows_along: Side
) -> list[NestedLayer]:
    full = _fits(along_mm, diameter_mm)
    if full < 1 or _fits(across_mm, diameter_mm) < 1:
        return []
    rows = 1 + _fits(across_mm - diameter_mm, diameter_mm * ROW_PITCH)
    shifted = _fits(along_mm - diameter_mm / 2.0, diameter_mm)
    if rows > 1 and shifted < 1:
        # Too narrow to nest this way; the single file along the other side is counted there.
        return []
    orders = [(full, shifted)]
    if shifted < full and rows > 1:
        orders.append((shifted, full))
    used_across = diameter_mm * (1.0 + (rows - 1) * ROW_PITCH)
    layers = []
    for first, second in orders:
        # Rows of equal length stand staggered by half a diameter; a short row lies inside.
        staggered = 0.5 if rows > 1 and first == second else 0.0
        used_along = diameter_mm * (max(first, second) + staggered)
        used = (used_along, used_across)
        length_mm, width_mm = used if rows_along == "length" else reversed(used)
        layers.append(NestedLayer(rows_along, rows, first, second, length_mm, width_mm))
    return layers


def nested_layers(
    diameter_mm: float,
    pallet_length_mm: float,
    pallet_width_mm: float,
    *,
    edge_allowance_mm: float = 0.0,
) -> tuple[NestedLayer, ...]:
    """List the nested row patterns that a pallet holds, the fullest first.

    Both directions of the rows are tried, and both starting rows where full and short rows
    alternate; without overhang and without gaps between containers.

    Parameters
    ----------
    diameter_mm : float
        Outside diameter of the container. [mm]
    pallet_length_mm, pallet_width_mm : float
        Pallet top. [mm]
    edge_allowance_mm : float, optional
        Taken off the length and off the width, both edges together. At the nominal diameter of the
        211 can a 56 in pallet without allowance holds ten more containers than the trade's 389:
        the staggered row of 21 then fits with 1.4 mm to spare. [mm]

    Returns
    -------
    tuple of NestedLayer
        Empty where not one container fits.

    Raises
    ------
    ValueError
        If a dimension is not above zero, or the allowance is negative.

    References
    ----------
    Plane geometry of equal circles in triangular packing; dimensions of the 211 can: Can
    Manufacturers Institute, Voluntary Can and End Dimension Reference Manual.

    Examples
    --------
    >>> [layer.count for layer in nested_layers(66.3, 1422.4, 1117.6)]
    [390, 389, 384]
    """
    require_positive(
        diameter_mm=diameter_mm,
        pallet_length_mm=pallet_length_mm,
        pallet_width_mm=pallet_width_mm,
    )
    require_not_negative(edge_allowance_mm=edge_allowance_mm)
    length_mm = pallet_length_mm - edge_allowance_mm
    width_mm = pallet_width_mm - edge_allowance_mm
    layers = _patterns(diameter_mm, length_mm, width_mm, "length")
    layers += _patterns(diameter_mm, width_mm, length_mm, "width")
    return tuple(sorted(layers, key=lambda layer: -layer.count))


def nested_count(
    diameter_mm: float,
    pallet_length_mm: float,
    pallet_width_mm: float,
    *,
    edge_allowance_mm: float = 0.0,
) -> int:
    """Count the containers of the fullest nested layer.

    Parameters
    ----------
    diameter_mm : float
        Outside diameter of the container. [mm]
    pallet_length_mm, pallet_width_mm : float
        Pallet top. [mm]
    edge_allowance_mm : float, optional
        Taken off the length and off the width, both edges together. [mm]

    Returns
    -------
    int
        Containers per layer, 0 where none fits. [containers]

    Raises
    ------
    ValueError
        If a dimension is not above zero, or the allowance is negative.

    References
    ----------
    As `nested_layers`.
    """
    layers = nested_layers(
        diameter_mm, pallet_length_mm, pallet_width_mm, edge_allowance_mm=edge_allowance_mm
    )
    return layers[0].count if layers else 0


def aligned_count(diameter_mm: float, pallet_length_mm: float, pallet_width_mm: float) -> int:
    """Count the containers of a layer that stands in straight rows and files, as in trays.

    Parameters
    ----------
    diameter_mm : float
        Outside diameter of the container. [mm]
    pallet_length_mm, pallet_width_mm : float
        Pallet top. [mm]

    Returns
    -------
    int
        Containers per layer. [containers]

    Raises
    ------
    ValueError
        If a dimension is not above zero.

    References
    ----------
    Plane geometry.

    Examples
    --------
    >>> aligned_count(66.2, 1200, 800)
    216
    """
    require_positive(
        diameter_mm=diameter_mm,
        pallet_length_mm=pallet_length_mm,
        pallet_width_mm=pallet_width_mm,
    )
    return _fits(pallet_length_mm, diameter_mm) * _fits(pallet_width_mm, diameter_mm)


def nested_per_m2(diameter_mm: float) -> float:
    """Containers on a square metre of a nested mass, edges left out of account.

    Parameters
    ----------
    diameter_mm : float
        Outside diameter of the container. [mm]

    Returns
    -------
    float
        Containers per square metre. [1/m^2]

    Raises
    ------
    ValueError
        If the diameter is not above zero.

    References
    ----------
    Triangular packing of equal circles, density pi / sqrt(12).
    """
    require_positive(diameter_mm=diameter_mm)
    return 1.0e6 / (diameter_mm**2 * ROW_PITCH)


def layer_interval_min(containers_per_layer: int, speed_cpm: float) -> float:
    """Time from one layer to the next at a steady line speed.

    Parameters
    ----------
    containers_per_layer : int
        Containers per layer. [containers]
    speed_cpm : float
        Line speed. [containers/min]

    Returns
    -------
    float
        Interval between layers. [min]

    Raises
    ------
    ValueError
        If an argument is not above zero.

    References
    ----------
    Arithmetic: count over speed.
    """
    require_positive(containers_per_layer=containers_per_layer, speed_cpm=speed_cpm)
    return containers_per_layer / speed_cpm


def pallet_interval_min(containers_per_layer: int, layers: int, speed_cpm: float) -> float:
    """Time from one pallet to the next at a steady line speed.

    Parameters
    ----------
    containers_per_layer : int
        Containers per layer. [containers]
    layers : int
        Layers on the pallet. [layers]
    speed_cpm : float
        Line speed. [containers/min]

    Returns
    -------
    float
        Interval between pallets. [min]

    Raises
    ------
    ValueError
        If an argument is not above zero.

    References
    ----------
    Arithmetic: count over speed.
    """
    require_positive(layers=layers)
    return layers * layer_interval_min(containers_per_layer, speed_cpm)


def stack_height_mm(
    layers: int,
    container_height_mm: float,
    *,
    sheet_mm: float,
    base_mm: float,
    top_frame_mm: float = 0.0,
) -> float:
    """Height of a loaded pallet from the floor to the top of its top frame.

    One sheet lies on every layer; the topmost one lies under the top frame.

    Parameters
    ----------
    layers : int
        Layers on the pallet; 0 gives the bare pallet with its frame. [layers]
    container_height_mm : float
        Height of the open, empty container. [mm]
    sheet_mm : float
        Thickness of a tier sheet. [mm]
    base_mm : float
        Height of the bare pallet. [mm]
    top_frame_mm : float, optional
        Thickness of the top frame. [mm]

    Returns
    -------
    float
        Height above the floor. [mm]

    Raises
    ------
    ValueError
        If the container height is not above zero or another argument is negative.

    References
    ----------
    Arithmetic: layers * (container + sheet) + pallet + top frame.
    """
    require_positive(container_height_mm=container_height_mm)
    require_not_negative(
        layers=layers, sheet_mm=sheet_mm, base_mm=base_mm, top_frame_mm=top_frame_mm
    )
    return layers * (container_height_mm + sheet_mm) + base_mm + top_frame_mm


def layers_within(
    clear_height_mm: float,
    container_height_mm: float,
    *,
    sheet_mm: float,
    base_mm: float,
    top_frame_mm: float = 0.0,
) -> int:
    """Largest number of layers whose stack stays within a clear height.

    Parameters
    ----------
    clear_height_mm : float
        Height that the loaded pallet may take. [mm]
    container_height_mm : float
        Height of the open, empty container. [mm]
    sheet_mm : float
        Thickness of a tier sheet. [mm]
    base_mm : float
        Height of the bare pallet. [mm]
    top_frame_mm : float, optional
        Thickness of the top frame. [mm]

    Returns
    -------
    int
        Layers, 0 where not one fits. [layers]

    Raises
    ------
    ValueError
        If the container height is not above zero or another argument is negative.

    References
    ----------
    The inverse of `stack_height_mm`.
    """
    require_not_negative(clear_height_mm=clear_height_mm)
    bare_mm = stack_height_mm(
        0, container_height_mm, sheet_mm=sheet_mm, base_mm=base_mm, top_frame_mm=top_frame_mm
    )
    return max(0, _fits(clear_height_mm - bare_mm, container_height_mm + sheet_mm))
