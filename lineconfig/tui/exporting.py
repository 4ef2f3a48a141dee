"""Writes what is on the screen to files, in the forms that the command line knows.

Text and JSON come from the functions behind `show` and `recommend`. Drawings and documents are
made by the program's own commands in a process of their own, so that their libraries never load
beside a screen.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from lineconfig.errors import InputError
from lineconfig.tui.draft import Draft, write_whole

if TYPE_CHECKING:
    from lineconfig.changes import Answered
    from lineconfig.layout import Layout
    from lineconfig.rank import Ranked

LONGEST_S = 300
"""A document that takes longer than this is given up."""


@dataclass(frozen=True)
class Matter:
    """What there is to write."""

    draft: Draft
    answered: Answered
    layout: Layout | None
    ranked: Ranked | None
    label: str
    """The letter or rank of the layout."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One form of export."""

    id: str
    title: str
    suffix: str
    of_layout: bool
    command: str = ""
    """The command that writes it; empty where it is written here."""


KINDS = (
    Kind("report-html", "client document, HTML", ".html", False, "report"),
    Kind("report-xlsx", "client workbook, XLSX", ".xlsx", False, "report"),
    Kind("report-pdf", "client document, PDF", ".pdf", False, "report"),
    Kind("plan-svg", "plan and elevation, SVG", ".svg", True, "draw"),
    Kind("plan-dxf", "plan and elevation, DXF", ".dxf", True, "draw"),
    Kind("layout-text", "this layout in full, text", ".txt", True),
    Kind("layout-json", "this layout in full, JSON", ".json", True),
    Kind("list-text", "the ranked layouts, text", ".txt", False),
    Kind("list-json", "the ranked layouts, JSON", ".json", False),
    Kind("brief", "the brief, YAML", ".yaml", False),
)


def kinds_for(matter: Matter | None) -> list[Kind]:
    """What can be written now."""
    if matter is None:
        return [kind for kind in KINDS if kind.id == "brief"]
    fits = bool(matter.answered.answer.layouts)
    return [
        kind
        for kind in KINDS
        if (not kind.command or find_spec(f"lineconfig.commands.{kind.command}") is not None)
        and (kind.suffix != ".pdf" or find_spec("weasyprint") is not None)
        and (not kind.of_layout or (fits and matter.layout is not None))
        and (not kind.command or fits)
    ]


def file_name(matter: Matter | None, draft: Draft, kind: Kind) -> str:
    """A name to suggest."""
    from lineconfig.tui.app import slug

    label = f"-{matter.label.lower()}" if matter is not None and kind.of_layout else ""
    return f"{slug(draft.name)}{label}{kind.suffix}"


def text_of(matter: Matter | None, draft: Draft, kind: Kind) -> str:
    """The text of a form that is written here."""
    if kind.id == "brief" or matter is None:
        return draft.text
    study, answer = matter.answered.study, matter.answered.answer
    if kind.id == "list-text":
        from lineconfig.present.recommendation import recommendation_text

        return recommendation_text(study, answer) + "\n"
    if kind.id == "list-json":
        from lineconfig.present.records import recommendation_record

        return _json(recommendation_record(study, answer))
    assert matter.layout is not None
    if kind.id == "layout-text":
        from lineconfig.present.layout import layout_text

        return layout_text(study, matter.layout) + "\n"
    from lineconfig.findings.whole import findings_of
    from lineconfig.present.assessed import add_assessed
    from lineconfig.present.basis import layout_basis
    from lineconfig.present.findings import findings_record
    from lineconfig.present.records import (
        bill_of_materials,
        inputs_record,
        layout_record,
        utilities_record,
    )

    record = layout_record(study, matter.layout, matter.ranked)
    record["utilities"] = utilities_record(matter.layout)
    record["bill_of_materials"] = bill_of_materials(matter.layout)
    findings = findings_of(study.inquiry, matter.layout)
    record |= findings_record(matter.layout, findings)
    add_assessed(record, study, matter.layout, findings)
    record["inputs"] = inputs_record(study.inquiry)
    record["basis"] = layout_basis(study, matter.layout)
    return _json(record)


def _json(record: object) -> str:
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def write(
    matter: Matter | None, draft: Draft, kind: Kind, path: Path, overlays: Sequence[str | Path]
) -> None:
    """Write one form to a file; for a thread.

    Raises InputError where it cannot be written, with what the command said.
    """
    if not kind.command:
        write_whole(path, text_of(matter, draft, kind))
        return
    assert matter is not None
    _by_command(matter, draft, kind, path, overlays)


def _by_command(
    matter: Matter, draft: Draft, kind: Kind, path: Path, overlays: Sequence[str | Path]
) -> None:
    import subprocess
    import sys
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        brief = Path(folder) / "brief.yaml"
        brief.write_text(draft.text, encoding="utf-8")
        layout = [matter.layout.id] if kind.of_layout and matter.layout is not None else []
        catalogs = [part for each in overlays for part in ("--catalog", str(each))]
        done = subprocess.run(  # noqa: S603 - this program, with arguments from here
            [sys.executable, "-m", "lineconfig", kind.command, str(brief), *layout, "--out",
             str(path.absolute()), *catalogs],
            capture_output=True, text=True, timeout=LONGEST_S, check=False,
        )  # fmt: skip
    if done.returncode != 0 or not path.exists():
        said = (done.stderr.strip() or done.stdout.strip()).splitlines()
        told = said[-1].removeprefix("lineconfig: ") if said else "nothing was written"
        raise InputError.single(told.removeprefix(f"{path.absolute()}: "), file=str(path))
