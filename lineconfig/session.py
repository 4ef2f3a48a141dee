"""A study: one need put to one catalogue, solved and ranked. The one way in for every front.

    read -> admit -> solve sections -> build stations and stretches -> connect -> search -> assemble

Everything is worked out when it is first asked for and kept, so that a terminal, a script and a
notebook pay only for what they look at.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice, product
from pathlib import Path
from typing import TYPE_CHECKING

from lineconfig.brief import View
from lineconfig.catalog import Catalog, Function
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import RULES, Rule
from lineconfig.choose.sections import SECTIONS, Admission, Scheme, admit, solve_section
from lineconfig.connect.assemble import FAMILY_FUNCTIONS, assemble, id_of, kind_of_id
from lineconfig.connect.bundles import Bundler
from lineconfig.connect.graph import ConnectionGraph
from lineconfig.connect.search import Found, Search
from lineconfig.connect.stations import StationBuilder
from lineconfig.connect.terms import Terms
from lineconfig.errors import Problem
from lineconfig.layout import Layout
from lineconfig.need import Need

if TYPE_CHECKING:
    from lineconfig.floorplan.plan import NoPlan, Plan
    from lineconfig.floorplan.room import RoomFilter

DEFAULT_TOP = 10
MAIN_MACHINES: tuple[Function, ...] = ("unload", "lower", "fill", "palletize")
"""Machines that say most of how much room a line takes."""
MOST_COUNTED = 2000
"""Combinations up to which valid lines are counted one by one."""


@dataclass(eq=False)
class Study:
    """One need, one catalogue, and the lines that follow."""

    need: Need
    catalog: Catalog
    rules: tuple[Rule, ...] = RULES
    without: frozenset[str] = frozenset()
    """Ids of rules and limits that are left aside: for finding out what a refusal hangs on."""
    only: Mapping[Function, str] = field(default_factory=dict)
    """Functions that are fixed to one class, whatever the rules say of it."""
    cancel: threading.Event | None = None
    inquiry: Inquiry = field(init=False)

    def __post_init__(self) -> None:
        inquiry = Inquiry(self.need, self.catalog)
        self.inquiry = inquiry.narrowed(
            {
                function: [option for option in inquiry.options[function] if option.id == class_id]
                for function, class_id in self.only.items()
            }
        )

    # --- steps of the solve ------------------------------------------------------------------

    @cached_property
    def active_rules(self) -> tuple[Rule, ...]:
        """The rules less those left aside."""
        return tuple(rule for rule in self.rules if rule.id not in self.without)

    @cached_property
    def admission(self) -> Admission:
        """What the one-function rules let through."""
        return admit(self.inquiry, self.active_rules)

    @cached_property
    def schemes(self) -> dict[str, list[Scheme]]:
        """Every valid way to build each section, interchangeable classes together."""
        return {
            name: solve_section(self.inquiry, name, self.admission, self.active_rules, self.cancel)
            for name in SECTIONS
        }

    @cached_property
    def terms(self) -> Terms:
        """The client's terms."""
        return Terms.of(self.inquiry)

    @cached_property
    def graph(self) -> ConnectionGraph:
        """The connection graph of the sections' schemes."""
        return ConnectionGraph(self.schemes)

    @cached_property
    def joined(self) -> dict[str, list[Scheme]]:
        """The schemes that lie on some path through the connection graph."""
        on_a_path = self.graph.open_schemes()
        return {
            name: [scheme for scheme in schemes if scheme in on_a_path]
            for name, schemes in self.schemes.items()
        }

    @cached_property
    def search(self) -> Search:
        """The search over the joined schemes."""
        return Search(
            self.inquiry,
            self.joined,
            Bundler(StationBuilder(self.inquiry, may_bend=self.in_a_room), self.terms),
            self.terms,
            without=self.without if self.room is None else self.without | self.room.supersedes,
            cancel=self.cancel,
            may_fit=None if self.room is None else self.room.may_fit,
        )

    @cached_property
    def room(self) -> RoomFilter | None:
        """Which lines fit the room; None where the brief states none, or it is left aside."""
        from lineconfig.floorplan.room import room_filter

        return room_filter(self.inquiry, self.without)

    @property
    def in_a_room(self) -> bool:
        """Whether lines are placed, so that their plans say how much chain they have."""
        return self.room is not None and self.room.site is not None

    @property
    def notes(self) -> tuple[Problem, ...]:
        """What is odd in the overlays and the brief, but is taken as it stands."""
        return (*self.catalog.notes, *self.need.notes)

    # --- answers -----------------------------------------------------------------------------

    def found(
        self,
        view: View | None = None,
        only: Mapping[str, frozenset[str]] | None = None,
        *,
        reached: float = float("inf"),
    ) -> Iterator[Found]:
        """Lines in order of the view, best first, worked out one by one.

        `only` narrows functions to some class ids. A life-cycle cost that some line is known to
        have (`reached`) shortens the search. Lines that do not fit the room are left out; those
        that do have the chain of their plan, which their place in the order counts.
        """
        view = view or self.need.view
        ranked = self.search.ranked(view, only, reached=reached)
        return ranked if self.room is None else self.room.through(ranked, self.search, view)

    def any_found(
        self, view: View, only: Mapping[str, frozenset[str]] | None = None
    ) -> Iterator[Found]:
        """The same lines in no particular order: each as soon as it is known to be valid."""
        ranked = self.search.ranked(view, only)
        return ranked if self.room is None else self.room.fitting(ranked, self.search, view)

    def layouts(
        self,
        view: View | None = None,
        only: Mapping[str, frozenset[str]] | None = None,
        *,
        reached: float = float("inf"),
    ) -> Iterator[Layout]:
        """The same as layouts with all their figures."""
        for found in self.found(view, only, reached=reached):
            yield assemble(self.inquiry, self.terms, found)

    def best(
        self, count: int, view: View | None = None, *, reached: float = float("inf")
    ) -> list[Layout]:
        """The best few layouts.

        Where the list was given up because too many in a row do not fit the room, it is made again
        among the lines that share their main machines with one that fits.
        """
        best = list(islice(self.layouts(view, reached=reached), count))
        if best or self.room is None or not self.room.given_up:
            return best
        fitting = self._any_that_fits
        if fitting is None:
            return []
        main: dict[str, frozenset[str]] = {
            item.station.function: frozenset((item.station.option.id,))
            for item in fitting.stated
            if item.station.function in MAIN_MACHINES
        }
        return list(islice(self.layouts(view, main), count))

    @cached_property
    def _any_that_fits(self) -> Found | None:
        views: tuple[View, ...] = ("first-cost", "floor")
        return next((found for view in views for found in islice(self.any_found(view), 1)), None)

    @cached_property
    def feasible(self) -> bool:
        """Whether any line meets every rule and limit."""
        return self._any_that_fits is not None

    @cached_property
    def combinations(self) -> int:
        """Lines that meet every rule of choice and connection, the whole-line limits apart."""
        return self.graph.layouts()

    @cached_property
    def valid_layouts(self) -> int | None:
        """Lines that meet every rule and limit; None where there are too many to count."""
        if self.combinations > MOST_COUNTED:
            return None
        return sum(1 for _ in self.any_found("first-cost"))

    @cached_property
    def cheapest(self) -> Layout | None:
        """The valid layout with the lowest first cost."""
        return next(iter(self.best(1, "first-cost")), None)

    def plan(self, layout: Layout) -> Plan | NoPlan | None:
        """Where a layout stands in the room, or what is short; None where the brief states no
        room."""
        from lineconfig.floorplan.place import place

        return place(layout.stations, self.inquiry)

    def families(self) -> list[tuple[str, ...]]:
        """Kinds of arrangement that the rules allow: unloader and lowering class."""
        kinds = dict.fromkeys(
            classes
            for scheme in self.joined["empties"]
            for classes in product(
                *([option.id for option in scheme.options[f]] for f in FAMILY_FUNCTIONS)
            )
        )
        return list(kinds)

    def arrangements(self, view: View | None = None) -> list[Layout]:
        """The best layout of each kind of arrangement, best first."""
        best: list[Found] = []
        for family in self.families():
            only: dict[str, frozenset[str]] = {
                function: frozenset((class_id,))
                for function, class_id in zip(FAMILY_FUNCTIONS, family, strict=True)
            }
            best.extend(islice(self.found(view, only), 1))
        best.sort(key=lambda found: (found.key, found.order))
        return [assemble(self.inquiry, self.terms, found) for found in best]

    def unbeaten(self) -> list[Layout]:
        """The Pareto set: layouts that no other beats in first cost, floor, changeover, speed and
        labour at once; one for each combination of these, lowest first cost first."""
        from lineconfig.connect.pareto import pareto_set

        if self.room is not None:
            lines = self.room.unbeaten(self.search) if self.feasible else []
        else:
            lines = [found for _, found in pareto_set(self.search)]
        return [assemble(self.inquiry, self.terms, found) for found in lines]

    def with_class(self, class_id: str, view: View | None = None) -> Layout | None:
        """The best valid layout that has a class; None where there is none."""
        function = self.catalog.classes[class_id].function
        return next(self.layouts(view, {function: frozenset((class_id,))}), None)

    def by_id(self, layout_id: str, view: View | None = None) -> Layout | None:
        """The valid layout with an id, looked for among the best of each kind and of all.

        None where none of the first `MOST_COUNTED` lines in the view has it.
        """
        kinds = {kind_of_id(id_of(("", item.id))) for item in self.catalog.of("unload")}
        if kind_of_id(layout_id) not in kinds:
            return None
        for found in islice(self.found(view), MOST_COUNTED):
            if id_of(found.order) == layout_id:
                return assemble(self.inquiry, self.terms, found)
        return None

    def varied(
        self,
        *,
        without: Iterable[str] | None = None,
        need: Need | None = None,
        only: Mapping[Function, str] | None = None,
    ) -> Study:
        """The same study with other rules left aside, another need, or functions fixed."""
        return self._again(
            need or self.need,
            self.without if without is None else frozenset(without),
            self.only if only is None else only,
        )

    def _again(self, need: Need, without: frozenset[str], only: Mapping[Function, str]) -> Study:
        return Study(need, self.catalog, self.rules, without, only, self.cancel)


def open_study(source: str | Path, overlays: Sequence[str | Path] = ()) -> Study:
    """Read a brief (a path, or `-` for standard input) and the catalogue with its overlays.

    Raises InputError with every problem found.
    """
    from lineconfig.catalog_loading import load_catalog
    from lineconfig.need_reading import read_need

    catalog = load_catalog(overlays)
    return Study(read_need(source, catalog), catalog)
