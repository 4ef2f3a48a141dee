"""What a document may be written as."""

from __future__ import annotations

from pathlib import Path

from lineconfig.errors import InputError

KINDS = (".html", ".pdf", ".xlsx")


def check_name(file: str) -> str:
    """The ending of a file's name, which says which kind of document is wanted.

    Raises InputError that names the kinds there are.
    """
    kind = Path(file).suffix.lower()
    if kind == ".htm":
        return ".html"
    if kind not in KINDS:
        found = f"the ending {kind!r}" if kind else "no ending"
        raise InputError.single(
            f"a document is written as .html, .pdf or .xlsx (a workbook), but the name has {found}",
            file=file,
        )
    return kind
