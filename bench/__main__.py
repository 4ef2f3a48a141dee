"""`python -m bench`: the search beside general-purpose solvers, measured in one run.

The first question is the ten lines with the lowest first cost for a client without limits on people
or hours, which every solver can be asked in full. The second, the ten lowest life-cycle costs with
all limits, couples crew, speed and money, and is put to the search alone. Times are CPU seconds of
a process of its own; a solver that has not finished by its cap is stopped, and said to be.
`python -m bench.simulation` and `python -m bench.placement` measure the rest.
"""

from __future__ import annotations

import multiprocessing
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from importlib import import_module
from typing import Any

TIMES = (1, 5, 20)
CAP_S = 30
TOP = 10
EXAMPLE = "examples/growing-brewery.yaml"
COUPLED = ("examples/growing-brewery.yaml", "examples/co-packer.yaml")
IMPORTED = (
    "constraint", "networkx", "lineconfig.session", "lineconfig.floorplan.place",
    "tests.oracle.cpsat", "tests.oracle.flat",
)  # fmt: skip
LIBRARIES = "import argparse, json, yaml, pydantic, constraint, networkx, numpy"


def question(times: int) -> Any:
    """The need and the catalogue, so many times enlarged."""
    from bench.synthetic import enlarged
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.need_reading import read_need

    catalog = load_catalog()
    need = read_need(EXAMPLE, catalog)
    brief = need.brief.model_copy(
        update={"staff": need.brief.staff.model_copy(update={"per_shift": None}), "budget": None}
    )
    from dataclasses import replace

    need = replace(need, brief=brief, hours_per_week=168.0)
    return need, catalog if times == 1 else enlarged(catalog, times)


def coupled_question(example: str, times: int) -> Any:
    """The need of an example as it stands and the catalogue, so many times enlarged."""
    from bench.synthetic import enlarged
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.need_reading import read_need

    catalog = load_catalog()
    need = read_need(example, catalog)
    return need, catalog if times == 1 else enlarged(catalog, times)


def by_life_cycle_cost(need: Any, catalog: Any) -> int:
    """Best-first search, every limit kept but the room's floor plan."""
    from itertools import islice

    from lineconfig.session import Study

    return len(list(islice(Study(need, catalog).search.ranked("life-cycle-cost"), TOP)))


def ours(need: Any, catalog: Any) -> int:
    """Best-first search, the room left aside as the other solvers leave it."""
    from itertools import islice

    from lineconfig.session import Study

    return len(list(islice(Study(need, catalog).search.ranked("first-cost"), TOP)))


def cp_sat(need: Any, catalog: Any) -> int:
    """Solve, exclude, solve again."""
    from tests.oracle.cpsat import Model

    return len(Model(need, catalog, "first-cost", whole=False).top(TOP))


def flat(need: Any, catalog: Any) -> int:
    """Every solution of one flat python-constraint problem, the best kept."""
    from tests.oracle.flat import ranked

    return len(ranked(need, catalog, "first-cost", TOP))


def _child(solve: Callable[[Any, Any], int], asked: Callable[[], Any], results: Any) -> None:
    need, catalog = asked()
    started = time.process_time()
    solve(need, catalog)
    results.put(time.process_time() - started)


def cpu_seconds(solve: Callable[[Any, Any], int], asked: Callable[[], Any]) -> float | None:
    """CPU time of one answer; None where it was stopped at the cap."""
    context = multiprocessing.get_context("fork")
    results = context.Queue()
    child = context.Process(target=_child, args=(solve, asked, results))
    child.start()
    child.join(CAP_S)
    if child.is_alive():
        child.kill()
        return None
    return None if child.exitcode else float(results.get(timeout=5))


def whole_process(code: str) -> float:
    """Wall time of a Python process, the best of five."""
    best = float("inf")
    for _ in range(5):
        started = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)  # noqa: S603
        best = min(best, time.perf_counter() - started)
    return best


def text(seconds: float | None) -> str:
    """A time, or that there was none."""
    return f"stopped at {CAP_S} s" if seconds is None else f"{seconds:.3f} s"


def main() -> None:
    """Measure and print."""
    for library in IMPORTED:
        import_module(library)  # before the children fork, so that no answer pays for it
    solvers = {"lineconfig": ours, "CP-SAT": cp_sat, "flat python-constraint": flat}
    print(f"ten lowest first costs, {EXAMPLE} without limits on people, hours and budget")
    print(f"{'classes':>8} " + "".join(f"{name:>26}" for name in solvers))
    for times in TIMES:
        _, catalog = question(times)
        cells = [text(cpu_seconds(solve, partial(question, times))) for solve in solvers.values()]
        print(f"{len(catalog.classes):>8} " + "".join(f"{cell:>26}" for cell in cells), flush=True)
    print("ten lowest life-cycle costs, every limit kept, lineconfig alone")
    print(f"{'classes':>8} " + "".join(f"{name.split('/')[1]:>26}" for name in COUPLED))
    for times in TIMES:
        cells = [
            text(cpu_seconds(by_life_cycle_cost, partial(coupled_question, example, times)))
            for example in COUPLED
        ]
        _, catalog = question(times)
        print(f"{len(catalog.classes):>8} " + "".join(f"{cell:>26}" for cell in cells), flush=True)
    run = partial("from lineconfig.cli import main; main({!r})".format)
    answer = whole_process(run(["recommend", EXAMPLE]))
    libraries = whole_process(LIBRARIES)
    print(f"whole `recommend`: {answer:.3f} s; importing its libraries: {libraries:.3f} s; "
          f"ratio {answer / libraries:.2f}")  # fmt: skip


if __name__ == "__main__":
    main()
