"""Writing a drawing to a file: whole or not at all."""

from __future__ import annotations

import contextlib
import tempfile
from pathlib import Path

from lineconfig.drawing.paper import PaperName, scale_text
from lineconfig.drawing.plan_figure import PlanFigure
from lineconfig.drawing.sheet import What, sheet_of, wanted_of
from lineconfig.drawing.source import drawn_plan
from lineconfig.errors import InputError
from lineconfig.layout import Layout
from lineconfig.session import Study

KINDS = (".svg", ".dxf")


def check_name(file: str) -> None:
    """Make sure that a file's name says which kind of drawing is wanted.

    Raises InputError that names the kinds there are.
    """
    kind = Path(file).suffix.lower()
    if kind not in KINDS:
        found = f"the ending {kind!r}" if kind else "no ending"
        raise InputError.single(
            f"a drawing is written as .svg (to print) or .dxf (for CAD), but the name has {found}",
            file=file,
        )


def drawing_bytes(
    study: Study, layout: Layout, kind: str, what: What = "both", paper: PaperName = "letter"
) -> tuple[bytes, list[str]]:
    """A drawing of a kind (`.svg`, `.dxf`), and what is worth saying about it.

    The same study and layout give the same bytes. Raises ValueError where a packed-away
    arrangement is wanted of a line that has none.
    """
    drawn = wanted_of(drawn_plan(study, layout), what)
    sheet = sheet_of(study, layout, drawn, what, paper)
    remarks = [f"{view.figure.name} at {scale_text(view.scale)}" for view in sheet.views]
    if drawn.remark:
        remarks.append(drawn.remark)
    if kind == ".dxf":
        from lineconfig.drawing.dxf import Placed, dxf_bytes

        machines = []
        for unit in PlanFigure(drawn, layout).units:
            index = unit.piece.station
            if index is None:
                continue
            station = layout.stations[index]
            equipment = station.option.equipment
            machines.append(
                Placed(unit, station.function, equipment.id, equipment.name, str(index + 1))
            )
        return dxf_bytes(sheet, tuple(machines)), remarks
    from lineconfig.drawing.svg import svg_text

    return svg_text(sheet).encode("utf-8"), remarks


def write_drawing(
    study: Study,
    layout: Layout,
    file: str,
    what: What = "both",
    paper: PaperName = "letter",
) -> list[str]:
    """Write a drawing, replacing a file of that name; give what is worth saying about it.

    Raises InputError when the name's ending is not known or the file cannot be written; a file
    that was there before is then still whole.
    """
    check_name(file)
    try:
        data, remarks = drawing_bytes(study, layout, Path(file).suffix.lower(), what, paper)
    except ValueError as error:
        raise InputError.single(f"nothing to draw: {error}", file=file) from None
    write_whole(Path(file), data)
    return [f"wrote {file}: {'; '.join(remarks)}"]


def write_whole(file: Path, data: bytes) -> None:
    """Write a file so that it is either the old one or the new one, never a part.

    Raises InputError where it cannot be written.
    """
    part: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(
            dir=file.parent, prefix=f".{file.name}.", delete=False
        ) as stream:
            part = Path(stream.name)
            stream.write(data)
        part.chmod(_mode_of(file))
        part.replace(file)
    except OSError as error:
        if part is not None:
            with contextlib.suppress(OSError):
                part.unlink()
        reason = error.strerror or type(error).__name__
        raise InputError.single(f"cannot be written: {reason}", file=str(file)) from None


_PLAIN_MODE = 0o644


def _mode_of(file: Path) -> int:
    """Permissions of the file that is replaced; those of a plain new file otherwise."""
    try:
        return file.stat().st_mode & 0o777
    except OSError:
        return _PLAIN_MODE
