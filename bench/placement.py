"""`python -m bench.placement`: how long it takes to place the ten layouts that each example shows.

CPU seconds of this process, the search not counted: once with nothing remembered, and once for a
layout more of the same geometry.
"""

from __future__ import annotations

import time
from itertools import islice

TOP = 10


def measured(name: str) -> tuple[int, int, float, float]:
    """Layouts, how many of them fit, and the CPU seconds of both rounds [s]."""
    from lineconfig.connect.assemble import assemble
    from lineconfig.floorplan.folding import tried
    from lineconfig.floorplan.plan import Plan
    from lineconfig.floorplan.room import FLOOR_PLAN
    from lineconfig.locate import examples_dir
    from lineconfig.session import open_study

    study = open_study(examples_dir() / f"{name}.yaml").varied(without={FLOOR_PLAN})
    layouts = [assemble(study.inquiry, study.terms, f) for f in islice(study.found(), TOP)]
    tried.cache_clear()
    spent = []
    fitting = 0
    for _ in range(2):
        started = time.process_time()
        fitting = sum(isinstance(study.plan(layout), Plan) for layout in layouts)
        spent.append(time.process_time() - started)
    return len(layouts), fitting, spent[0], spent[1]


def main() -> None:
    """Print one line for each example."""
    from lineconfig.locate import examples_dir

    print("Placing the ten layouts of each example, CPU milliseconds")
    print(f"{'example':<20}{'layouts':>8}{'fit':>5}{'first':>9}{'again':>9}")
    for path in sorted(examples_dir().glob("*.yaml")):
        count, fitting, first, again = measured(path.stem)
        if count:
            print(f"{path.stem:<20}{count:>8}{fitting:>5}{first * 1e3:>9.0f}{again * 1e3:>9.0f}")


if __name__ == "__main__":
    main()
