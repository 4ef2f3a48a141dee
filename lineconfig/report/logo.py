"""A logo: a picture file as a data URI, so that the document needs nothing beside it."""

from __future__ import annotations

import base64
from pathlib import Path

from lineconfig.errors import InputError, shown

MOST_BYTES = 2_000_000
KINDS = {
    b"\x89PNG\r\n\x1a\n": "image/png",
    b"\xff\xd8\xff": "image/jpeg",
}
"""By their first bytes: the name of a file says nothing of what is in it."""


def logo_uri(file: str) -> str:
    """Read a PNG or JPEG file.

    Raises InputError for anything else, for what cannot be read, and for more than 2 MB.
    """
    path = Path(file)
    try:
        if not path.is_file():
            what = "is not a plain file" if path.exists() else "there is no such file"
            raise InputError.single(what, file=shown(file))
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise InputError.single(f"cannot be read: {reason}", file=shown(file)) from None
    except ValueError:  # a NUL in the name
        raise InputError.single("is not a file name", file=shown(file)) from None
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise InputError.single(f"is larger than {most} MB: make it smaller", file=file)
    kind = next((name for magic, name in KINDS.items() if data.startswith(magic)), None)
    if kind is None:
        raise InputError.single("a logo is a PNG or JPEG picture; this file is neither", file=file)
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"
