"""A page as DXF: the line at its real size in millimetres, and a sheet that shows it to scale.

Model space holds the plan, and the elevation below it. Machines are inserted blocks, one for each
class, with their number and class as attributes; dimensions are real ones. The layout `Sheet`
holds frame, lists and title block, with a viewport for each view.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from lineconfig.drawing.paper import Disc, Item, Sheet, View, Words
from lineconfig.drawing.plan_figure import Unit
from lineconfig.drawing.setting import TYPE_MM
from lineconfig.drawing.shapes import Point, Role, Shape
from lineconfig.drawing.styles import BLACK, HATCHES, STYLES, Hatch
from lineconfig.drawing.symbols import strokes
from lineconfig.drawing.words import CAP_HEIGHT, plain

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LAYER_OF: dict[Role, str] = {role: f"LINE-{role.upper()}" for role in STYLES}
"""The layer of each role."""
TYPEFACE = "LINE-TEXT"
VIEWPORT_LAYER = "LINE-VIEWPORT"
CLASSES = ("WIPEOUT", "WIPEOUTVARIABLES", "ACDBPLACEHOLDER")
"""Kinds of objects that are declared: ahead, because the library keeps them in no fixed order."""
BY_LAYER = 256
"""The colour number that stands for the layer's own."""
GAP_MM = 2000.0
"""Between plan and elevation in model space."""

_LINEWEIGHTS = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
"""Line weights that DXF knows [1/100 mm]."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A machine of the plan with its function, class and number."""

    unit: Unit
    function: str
    class_id: str
    name: str
    number: str


def dxf_bytes(sheet: Sheet, machines: tuple[Placed, ...]) -> bytes:
    """The whole file; the same page gives the same bytes."""
    import ezdxf

    options: Any = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        document = document_of(sheet, machines)
        stream = io.StringIO()
        document.write(stream)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return stream.getvalue().encode("utf-8", "replace")


def document_of(sheet: Sheet, machines: tuple[Placed, ...]) -> Drawing:
    """The drawing as an ezdxf document."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    document = new("R2010")
    document.units = units.MM
    document.header["$MEASUREMENT"] = 1
    for name in CLASSES:
        document.classes.add_class(name)
    # Dashes are stated in millimetres of paper and drawn at the first view's scale.
    document.header["$LTSCALE"] = sheet.views[0].scale
    document.header["$PSLTSCALE"] = 0
    writer = _Writer(document, sheet.views[0].scale)
    writer.tables()
    below_mm = math.inf
    for view in sheet.views:
        shift = (0.0, 0.0)
        if below_mm < math.inf:
            shift = (0.0, below_mm - GAP_MM - view.in_figure((0.0, view.place.low))[1])
        writer.view(view, machines if view.figure.name == "plan" else (), shift)
        below_mm = view.in_figure((0.0, view.place.high))[1] + shift[1]
    writer.sheet(sheet)
    return document


@dataclass
class _Writer:
    document: Drawing
    line_scale: float
    blocks: dict[tuple[str, int, int], str] = field(default_factory=dict)
    shifts: list[Point] = field(default_factory=list)

    # --- tables --------------------------------------------------------------------------------

    def tables(self) -> None:
        """Layers, line types, the typeface."""
        document = self.document
        document.styles.add(TYPEFACE, font="arial.ttf")
        for role, style in STYLES.items():
            kind = "CONTINUOUS"
            if style.dash_mm:
                kind = f"LINE-{role.upper()}"
                parts = [part if k % 2 == 0 else -part for k, part in enumerate(style.dash_mm)]
                document.linetypes.add(kind, [sum(style.dash_mm), *parts])
            weight = min(_LINEWEIGHTS, key=lambda w: abs(w - 100 * style.width_mm))
            layer = document.layers.add(LAYER_OF[role], linetype=kind, lineweight=weight)
            red, green, blue = bytes.fromhex((style.stroke or BLACK)[1:])
            layer.rgb = (red, green, blue)
        document.layers.add(VIEWPORT_LAYER).dxf.plot = 0

    # --- model space ---------------------------------------------------------------------------

    def view(self, view: View, machines: tuple[Placed, ...], shift: Point) -> None:
        """One figure at its real size, moved by a shift, with its annotation."""
        space = self.document.modelspace()
        self.shifts.append(shift)
        inserted = bool(machines)
        for shape in view.figure.shapes:
            if inserted and shape.role in ("machine", "conveyor", "symbol"):
                continue
            self.shape(space, shape, view.scale, shift)
        for machine in machines:
            self.machine(space, machine, shift)

        def place(point: Point) -> Point:
            x, y = view.in_figure(point)
            return x + shift[0], y + shift[1]

        for item in view.items:
            self.item(space, item, place, view.scale)
        for dimension in view.dimensions:
            upright = not dimension.measure.along_x
            start, end = dimension.measure.start, dimension.measure.end
            line, words = place(dimension.line[0]), dimension.words
            made = space.add_linear_dim(
                base=line,
                p1=(start[0] + shift[0], start[1] + shift[1]),
                p2=(end[0] + shift[0], end[1] + shift[1]),
                angle=90 if upright else 0,
                text=plain(words.text),
                location=place(words.box.middle),
                text_rotation=90 if words.upwards else 0,
                dimstyle="Standard",
                override={
                    "dimtxt": TYPE_MM * CAP_HEIGHT * view.scale, "dimtxsty": TYPEFACE,
                    "dimtsz": 1.0 * view.scale, "dimexe": 1.0 * view.scale,
                    "dimexo": 1.0 * view.scale, "dimgap": 0.6 * view.scale, "dimtad": 1,
                    "dimdec": 0, "dimlfac": 1.0,
                },
                dxfattribs={"layer": LAYER_OF["dimension"]},
            )  # fmt: skip
            made.render()

    def shape(self, space: Any, shape: Shape, scale: float, shift: Point) -> None:
        """An outline on its layer, hatched as on paper."""
        points = [(x + shift[0], y + shift[1]) for x, y in shape.points]
        attributes = self.attributes(shape.role, scale)
        style = STYLES[shape.role]
        if shape.closed and shape.role == "wall":
            self.solid(space, points, shape.role)
        elif shape.closed and style.hatch is not None:
            self.hatch(space, points, shape.role, style.hatch, scale)
            if not style.outlined:
                return
        space.add_lwpolyline(points, close=shape.closed, dxfattribs=attributes)

    def attributes(self, role: Role, scale: float) -> dict[str, Any]:
        """Layer of a role, and the scale of its dashes where a millimetre of paper is so long."""
        return {"layer": LAYER_OF[role], "ltscale": scale / self.line_scale}

    def hatch(self, space: Any, points: list[Point], role: Role, name: str, scale: float) -> None:
        hatch = space.add_hatch(dxfattribs={"layer": LAYER_OF[role]})
        hatch.set_pattern_fill(
            f"LINE_{name}".upper(),
            color=BY_LAYER,
            scale=scale,
            definition=_definition(HATCHES[name]),
        )
        hatch.paths.add_polyline_path(points, is_closed=True)

    def solid(self, space: Any, points: list[Point], role: Role) -> None:
        hatch = space.add_hatch(dxfattribs={"layer": LAYER_OF[role]})
        hatch.set_solid_fill(color=BY_LAYER)
        hatch.paths.add_polyline_path(points, is_closed=True)

    def machine(self, space: Any, machine: Placed, shift: Point) -> None:
        """A block in its place; its number and class are attributes."""
        unit = machine.unit
        name = self.block(machine)
        role: Role = "machine" if unit.piece.what == "machine" else "conveyor"
        x_mm, y_mm = unit.origin
        angle = math.degrees(math.atan2(unit.heading[1], unit.heading[0])) % 360
        insert = space.add_blockref(
            name, (x_mm + shift[0], y_mm + shift[1]),
            dxfattribs={"layer": LAYER_OF[role], "rotation": angle},
        )  # fmt: skip
        insert.add_auto_attribs(
            {"STATION": machine.number, "CLASS": machine.class_id, "NAME": _text(machine.name)}
        )

    def block(self, machine: Placed) -> str:
        """The block of a class; another size of the same class has its length and width added."""
        unit = machine.unit
        # Chains that belong to a machine, such as a merging lane, are not the machine.
        own = unit.piece.what == "conveyor" and machine.function != "convey"
        class_id = f"{machine.class_id}-chain" if own else machine.class_id
        key = (class_id, round(unit.length_mm), round(unit.width_mm))
        if key in self.blocks:
            return self.blocks[key]
        alone = all(class_id != key[0] for class_id, _, _ in self.blocks)
        name = key[0] if alone else f"{key[0]}-{key[1]}x{key[2]}"
        self.blocks[key] = name
        block = self.document.blocks.new(name)
        length, width = unit.length_mm, unit.width_mm
        outline = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        block.add_lwpolyline(outline, close=True)
        for stroke in strokes(machine.function, length, width):
            points = [(x * length, y * width) for x, y in stroke]
            block.add_lwpolyline(points, dxfattribs={"layer": LAYER_OF["symbol"]})
        for k, tag in enumerate(("STATION", "CLASS", "NAME")):
            definition = block.add_attdef(tag, (50.0, 50.0 + 100.0 * k), height=80.0)
            definition.is_invisible = True
        return name

    # --- annotation and sheet ------------------------------------------------------------------

    def item(self, space: Any, item: Item, place: Any, scale: float) -> None:
        """Something of the paper, in a space where a millimetre of paper is `scale` long."""
        if isinstance(item, Words):
            self.words(space, item, place, scale)
        elif isinstance(item, Disc):
            if item.role == "number":
                self.cover(space, item, place)
            space.add_circle(place(item.at), item.radius * scale,
                             dxfattribs=self.attributes(item.role, scale))  # fmt: skip
        else:
            points = [place(point) for point in item.points]
            if item.filled:
                self.solid(space, points, item.role)
                return
            style = STYLES[item.role]
            if item.closed and style.hatch is not None:
                self.hatch(space, points, item.role, style.hatch, scale)
            space.add_lwpolyline(points, close=item.closed,
                                 dxfattribs=self.attributes(item.role, scale))  # fmt: skip

    def cover(self, space: Any, disc: Disc, place: Any) -> None:
        """Hide what lies under a number."""
        turns = [2 * math.pi * k / 16 for k in range(16)]
        (x, y), r = disc.at, disc.radius
        hidden = space.add_wipeout(
            [place((x + r * math.cos(turn), y + r * math.sin(turn))) for turn in turns]
        )
        hidden.dxf.layer = LAYER_OF[disc.role]

    def words(self, space: Any, words: Words, place: Any, scale: float) -> None:
        from ezdxf.enums import TextEntityAlignment

        alignment = {
            "start": TextEntityAlignment.LEFT,
            "middle": TextEntityAlignment.CENTER,
            "end": TextEntityAlignment.RIGHT,
        }[words.anchor]
        text = space.add_text(
            _text(words.text),
            height=words.size * CAP_HEIGHT * scale,
            rotation=90 if words.upwards else 0,
            dxfattribs={"layer": LAYER_OF["text"], "style": TYPEFACE},
        )
        text.set_placement(place(words.at), align=alignment)

    def sheet(self, sheet: Sheet) -> None:
        """The page itself in paper space, with a viewport for each view."""
        self.document.layouts.rename("Layout1", "Sheet")
        space: Any = self.document.layouts.get("Sheet")
        space.page_setup(size=(sheet.width, sheet.height), margins=(0, 0, 0, 0), units="mm")

        def place(point: Point) -> Point:
            return point[0], sheet.height - point[1]

        for item in sheet.items:
            self.item(space, item, place, 1.0)
        for view, shift in zip(sheet.views, self.shifts, strict=True):
            middle = view.in_figure(view.place.middle)
            space.add_viewport(
                center=place(view.place.middle),
                size=(view.place.width, view.place.height),
                view_center_point=(middle[0] + shift[0], middle[1] + shift[1]),
                view_height=view.place.height * view.scale,
                dxfattribs={"layer": VIEWPORT_LAYER},
            )


def _definition(hatch: Hatch) -> list[list[Any]]:
    """A hatch as DXF writes it: angle, base, step to the next line, strokes and gaps."""
    lines = []
    for degrees, distance in hatch.families:
        angle = math.radians(degrees)
        step = (-math.sin(angle) * distance, math.cos(angle) * distance)
        dashes = [part if k % 2 == 0 else -part for k, part in enumerate(hatch.dash_mm)]
        lines.append([degrees, (0.0, 0.0), step, dashes])
    return lines


def _text(text: str) -> str:
    """A text without the signs by which DXF marks its own: `%%`, `\\U+`, `^`."""
    return plain(text).replace("\\", "/").replace("%%", "%").replace("^", "'")
