"""A report's HTML as PDF, through WeasyPrint (the extra `pdf`)."""

from __future__ import annotations

import contextlib
import io
import re
from collections.abc import Iterator
from typing import Any

from lineconfig.drawing.paper import PaperName
from lineconfig.errors import LineconfigError

_HALO = re.compile(
    r' stroke="#fff" stroke-width="[^"]*" stroke-linejoin="round" paint-order="stroke"'
)
PLACES = "nav a::after { content: ' \\2003' target-counter(attr(href), page); }"
"""Page numbers in the table of contents, which a browser does not know when it prints."""
HOW = (
    "PDF needs WeasyPrint: install it with `pip install 'lineconfig[pdf]'`, and Pango from the "
    "system (Debian and Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0; macOS: brew install "
    "pango). Or write FILE.html and print it from a browser"
)


def require_pdf() -> None:
    """Make sure that PDF can be written.

    Raises LineconfigError that says what is missing and how to get it.
    """
    _weasyprint()


def _weasyprint() -> Any:
    # Where the library is there and a library of the system is not, it says so on the screen and
    # raises OSError.
    said = io.StringIO()
    try:
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            import weasyprint
    except ImportError as error:
        raise LineconfigError(f"{HOW} ({error})") from None
    except OSError as error:
        first = str(error).splitlines()[0] if str(error) else type(error).__name__
        raise LineconfigError(f"{HOW} ({first})") from None
    return weasyprint


def pdf_of(html: str, paper: PaperName = "letter") -> bytes:
    """The PDF of a document that asks for nothing outside itself.

    Raises LineconfigError where WeasyPrint or a library below it is missing.
    """
    weasyprint = _weasyprint()
    # The halo is drawn over its letters where the order of painting is not heeded.
    html = _HALO.sub("", html)
    # Last of the document's own rules: those beside a document give way to what stands in it.
    size = f"@page {{ size: {paper} }} @page sheet {{ size: {paper} landscape }}"
    html = html.replace("</head>", f"<style>{size}{PLACES}</style>\n</head>", 1)
    with _quiet():
        document = weasyprint.HTML(string=html, base_url="", url_fetcher=_data_only())
        written = document.write_pdf(pdf_tags=True, full_fonts=False)
    return bytes(written)


def _data_only() -> Any:
    """Fetches pictures that stand in the document itself, and nothing else."""
    from weasyprint.urls import URLFetcher

    return URLFetcher(allowed_protocols={"data"})


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """Keep the libraries' remarks on fonts and rules from the screen."""
    import logging

    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    levels = [logger.level for logger in loggers]
    for logger in loggers:
        logger.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        for logger, level in zip(loggers, levels, strict=True):
            logger.setLevel(level)
