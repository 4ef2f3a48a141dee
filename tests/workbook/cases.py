"""A solved brief that several tests share."""

from __future__ import annotations

from functools import cache

from lineconfig.locate import examples_dir
from lineconfig.rank import Recommendation, recommend
from lineconfig.session import Study, open_study

BREWERY = examples_dir() / "growing-brewery.yaml"


@cache
def brewery() -> tuple[Study, Recommendation]:
    """The shipped brief of a brewery with two formats."""
    study = open_study(BREWERY)
    return study, recommend(study)
