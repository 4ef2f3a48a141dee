"""Which canning lines fit a client: choose, connect, assess and rank equipment classes.

    >>> import lineconfig
    >>> study = lineconfig.open_study("examples/startup.yaml")   # doctest: +SKIP
    >>> answer = lineconfig.recommend(study, top=3)              # doctest: +SKIP
    >>> answer.layouts[0].layout.crew.people                     # doctest: +SKIP
    2

The public functions load when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.explain import why_class, why_nothing
    from lineconfig.need_reading import read_need
    from lineconfig.rank import recommend
    from lineconfig.session import Study, open_study

__version__ = "0.1.0"

_HOMES = {
    "Study": "lineconfig.session",
    "load_catalog": "lineconfig.catalog_loading",
    "open_study": "lineconfig.session",
    "read_need": "lineconfig.need_reading",
    "recommend": "lineconfig.rank",
    "why_class": "lineconfig.explain",
    "why_nothing": "lineconfig.explain",
}

__all__ = [
    "Study",
    "__version__",
    "load_catalog",
    "open_study",
    "read_need",
    "recommend",
    "why_class",
    "why_nothing",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
