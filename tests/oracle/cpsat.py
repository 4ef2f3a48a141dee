"""The same question put to OR-Tools CP-SAT: a boolean for each class, everything in integers.

Rules are clauses that forbid what breaks them. What adds up (money, floor, power, water, air, work
of a changeover) is linear in the booleans. What does not add up (people, and running hours through
the effective speed) comes from a table over the signatures of the three sections: what of a section
matters to people and hours. The best lines are found one after the other: solve, exclude the line,
solve again.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

from ortools.sat.python import cp_model

from lineconfig.catalog import Catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.options import Option
from lineconfig.choose.rules import RULES
from lineconfig.need import Need
from tests.oracle.arithmetic import (
    AHEAD_OF_FILLER,
    BEHIND,
    CHAIN,
    EMPTIES,
    FILLING,
    FLOW,
    MILLION,
    PACKING,
    Arithmetic,
    Candidate,
    Figures,
    Piece,
)
from tests.oracle.flat import PORTS, Line, candidates

MILLE = 1000
"""Units in one of the currency for life-cycle cost: fine enough for rounding to settle nothing."""
HUNDRED = 100
"""Units in one of what lines are ordered by first, in views other than life-cycle cost."""
SECTIONS: tuple[tuple[str, ...], ...] = (
    (*EMPTIES, "infeed", "rail"),
    (*FILLING, "infeed", "rail", "dry-cans"),
    (*PACKING, "dry-cans"),
)
LARGEST = 2 * 10**18
"""Products stay below this: the solver's numbers have 64 bits."""

WHOLE_COST = "life-cycle-cost"
SLACK = 0.02
"""What roundings may come to in all [currency]."""

NOT_LINEAR = ("people", "hours")

Solution = dict[str, Any]
Expression = Any
"""A linear expression of CP-SAT, or a whole number."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One solution and what the solver makes of it."""

    solution: Solution
    primary: int
    cost: int


class Model:
    """One need and catalogue as a model.

    `whole` is whether people, hours and life-cycle cost are in it: only small catalogues can have
    them in tables. Without them, lines are ordered by what adds up alone, and the limits on people
    and hours are left aside. `kind` may name what the
    rules of several functions cannot tell apart, so that they are written once for all of a kind.
    """

    def __init__(
        self,
        need: Need,
        catalog: Catalog,
        view: str,
        *,
        whole: bool = True,
        kind: Callable[[Option], Hashable] = lambda option: option.id,
    ) -> None:
        self.inquiry = Inquiry(need, catalog)
        self.arithmetic = Arithmetic(need, catalog, () if whole else NOT_LINEAR)
        self.whole = whole
        self.view = view
        self.kind = kind
        self.model = cp_model.CpModel()
        self.domains = self._domains()
        self.possible = all(self.domains.values())
        if not self.possible:
            return
        self.chosen: dict[str, list[cp_model.IntVar]] = {}
        for name, values in self.domains.items():
            self.chosen[name] = [self.model.new_bool_var(f"{name} {v}") for v in values]
            self.model.add_exactly_one(self.chosen[name])
        self._write_rules()
        self.cost: Expression = 0
        self.people: Expression = 0
        if whole:
            self._write_running()
        self.primary = self._primary()
        self._write_limits()

    # --- choices and rules -------------------------------------------------------------------

    def _domains(self) -> dict[str, list[Any]]:
        """What each function and port may be, rules of one function applied."""
        domains: dict[str, list[Any]] = {}
        for function in FLOW:
            asked = [rule for rule in RULES if rule.each or rule.scope == (function,)]
            domains[function] = [
                option
                for option in self.inquiry.options[function]  # type: ignore[index]
                if all(rule.holds(self.inquiry, option) for rule in asked)
            ]
        infeeds = {o.infeed_mm for o in domains["fill"] if o.infeed_mm is not None}
        return domains | {
            "infeed": sorted(infeeds),
            "rail": [False, True],
            "dry-cans": [False, True],
        }

    @cached_property
    def kinds(self) -> dict[str, list[tuple[Any, cp_model.IntVar]]]:
        """For each function and port, one value of each kind and whether one of it is chosen."""
        found = {}
        for name, values in self.domains.items():
            groups: dict[Hashable, list[int]] = {}
            for i, value in enumerate(values):
                groups.setdefault(value if name in PORTS else self.kind(value), []).append(i)
            found[name] = [
                (values[places[0]], self._any([self.chosen[name][i] for i in places]))
                for places in groups.values()
            ]
        return found

    def _any(self, bools: Sequence[cp_model.IntVar]) -> cp_model.IntVar:
        """Whether any of some booleans is true; at most one is."""
        if len(bools) == 1:
            return bools[0]
        together = self.model.new_bool_var("")
        self.model.add(sum(bools) == together)
        return together

    def _write_rules(self) -> None:
        for rule in RULES:
            if len(rule.scope) == 1:
                continue
            for picks in product(*(self.kinds[name] for name in rule.scope)):
                if not rule.holds(self.inquiry, *(value for value, _ in picks)):
                    self.model.add_bool_or([taken.negated() for _, taken in picks])

    # --- what adds up ------------------------------------------------------------------------

    @cached_property
    def candidates(self) -> dict[str, list[Candidate]]:
        """The options as the arithmetic sees them."""
        return {
            function: [
                candidates(self.arithmetic, {function: option})[function]
                for option in self.domains[function]
            ]
            for function in FLOW
        }

    @cached_property
    def headers(self) -> dict[int, Expression]:
        """For each number of tracks that may hang at once, whether it is the one."""
        formats = len(self.arithmetic.cans)
        found: dict[int, list[cp_model.IntVar]] = {}
        for candidate, taken in zip(self.candidates["lower"], self.chosen["lower"], strict=True):
            tracks = candidate.item.tracks
            each = tracks is not None and tracks.mounted == "each-format"
            found.setdefault(formats if each else 1, []).append(taken)
        return {hanging: self._any(bools) for hanging, bools in found.items()}

    @cached_property
    def terms(self) -> list[tuple[Piece, Expression]]:
        """Pieces and whether they are there: the line's sums are over these."""
        arithmetic = self.arithmetic
        none = ("full-pallet",) * len(arithmetic.cans), (1,) * len(arithmetic.cans)
        found: list[tuple[Piece, Expression]] = []
        for function in FLOW:
            for candidate, taken in zip(
                self.candidates[function], self.chosen[function], strict=True
            ):
                if function == "rinse" and not candidate.item.absent:
                    # The number of headers hangs on the tracks that they are to serve.
                    for hanging, there in self.headers.items():
                        both = self.model.new_bool_var("")
                        self.model.add_min_equality(both, [taken, there])
                        piece = arithmetic.piece(function, candidate, *none, hanging)
                        found.append((piece, both))
                    continue
                forms = arithmetic.forms(candidate) if function == "supply" else none[0]
                piece = arithmetic.piece(function, candidate, forms, none[1], 1)
                found.append((piece, taken))
        # A chain stands before every machine behind the filler, in one or two runs.
        standing: dict[bool, list[Expression]] = {True: [], False: []}
        for piece, taken in found:
            if piece.function in BEHIND and piece.function != "fill" and piece.flow_mm > 0:
                standing[piece.function in PACKING].append(taken)
        chain = arithmetic.chains(1, 0)
        found.append((chain, sum(standing[True]) + sum(standing[False])))
        self.runs: Expression = 0
        for bools in standing.values():
            if bools:
                run = self.model.new_bool_var("")
                self.model.add_max_equality(run, bools)
                self.runs += run
        return found

    def _sum(self, figure: Callable[[Piece], float]) -> Expression:
        """A figure of the line in whole millionths."""
        return sum(
            whole * taken
            for piece, taken in self.terms
            if (whole := round(figure(piece) * MILLION))
        )

    @cached_property
    def first_cost(self) -> Expression:
        """First cost [millionths of the currency]."""
        on_top = self.arithmetic.on_top
        return self._sum(lambda piece: piece.equipment_price[1] * on_top)

    @cached_property
    def changing(self) -> Expression:
        """Work of one format change [millionths of a person-minute]."""
        item = self.arithmetic.catalog.classes[CHAIN].changeover
        minutes = self.arithmetic.chains(1, 0).change_min
        for_run = minutes * item.persons if item else 0.0
        terms = self.terms  # makes `runs`
        assert terms
        return self._sum(lambda piece: piece.change_person_min) + self.runs * round(
            for_run * MILLION
        )

    @cached_property
    def area(self) -> Expression:
        """Floor [millionths of a square metre], that of guards and platforms included."""
        arithmetic, beside = self.arithmetic, [self._sum(lambda piece: piece.area_m2)]
        for guard, guarded in zip(self.candidates["guard"], self.chosen["guard"], strict=True):
            for unload, taken in zip(self.candidates["unload"], self.chosen["unload"], strict=True):
                whole = round(arithmetic.guard_m2(guard, unload) * MILLION)
                if whole:
                    both = self.model.new_bool_var("")
                    self.model.add_min_equality(both, [guarded, taken])
                    beside.append(whole * both)
        names = ("supply", "unload", "lower")
        picks = [list(zip(self.candidates[n], self.chosen[n], strict=True)) for n in names]
        infeeds = list(zip(self.domains["infeed"], self.chosen["infeed"], strict=True))
        platform = self.model.new_int_var(0, 10**9, "platform")
        for (infeed_mm, level), *rest in product(infeeds, *picks):
            line = {name: candidate for name, (candidate, _) in zip(names, rest, strict=True)}
            there = [level, *(taken for _, taken in rest)]
            whole = round(arithmetic.platform_m2(line, infeed_mm) * MILLION)
            self.model.add(platform == whole).only_enforce_if(there)
        return sum(beside) + platform

    def _primary(self) -> Expression:
        """What lines are ordered by before life-cycle cost, in whole hundredths."""
        match self.view:
            case "first-cost":
                exact = self.first_cost
            case "floor":
                exact = self.area
            case "changeover":
                exact = self.changing
            case "people":
                return self.people
            case _:
                return 0
        rounded = self.model.new_int_var(0, 10**12, "rounded")
        part = MILLION // HUNDRED
        self.model.add_linear_constraint(exact - part * rounded, -part // 2, part // 2)
        return rounded

    # --- people, hours and cost --------------------------------------------------------------

    def _ways(self, names: Sequence[str]) -> Iterator[tuple[int, ...]]:
        """Every way to build a section that its own rules allow, as places in the domains."""
        rules = [rule for rule in RULES if len(rule.scope) > 1 and set(rule.scope) <= set(names)]

        def extended(way: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
            values = {n: self.domains[n][i] for n, i in zip(names, way, strict=False)}
            for rule in rules:
                decided = way and names[len(way) - 1] in rule.scope
                if (
                    decided
                    and values.keys() >= set(rule.scope)
                    and not rule.holds(self.inquiry, *(values[name] for name in rule.scope))
                ):
                    return
            if len(way) == len(names):
                yield way
                return
            for i in range(len(self.domains[names[len(way)]])):
                yield from extended((*way, i))

        return extended(())

    def _signatures(self, names: Sequence[str]) -> tuple[Any, list[tuple[dict[str, Any], Any]]]:
        """A variable for the signature of a section, and ports and pieces of each signature."""
        known: dict[Hashable, int] = {}
        examples: list[tuple[dict[str, Any], Any]] = []
        rows = []
        for way in self._ways(names):
            values = {n: self.domains[n][i] for n, i in zip(names, way, strict=True)}
            ports = {name: value for name, value in values.items() if name in PORTS}
            line = {
                name: self.candidates[name][i]
                for name, i in zip(names, way, strict=True)
                if name not in PORTS
            }
            pieces = self.arithmetic.section(line, ports.get("infeed"))
            signature = (tuple(ports.values()), *map(_matter, pieces))
            if signature not in known:
                known[signature] = len(examples)
                examples.append((ports, pieces))
            rows.append((*way, known[signature]))
        if not rows:
            return None, []
        places = []
        for name in names:
            place = self.model.new_int_var(0, len(self.domains[name]) - 1, "")
            self.model.add(place == sum(i * x for i, x in enumerate(self.chosen[name])))
            places.append(place)
        variable = self.model.new_int_var(0, len(examples) - 1, "")
        self.model.add_allowed_assignments([*places, variable], rows)
        return variable, examples

    def _write_running(self) -> None:
        """People, hours and life-cycle cost."""
        model, arithmetic, need = self.model, self.arithmetic, self.arithmetic.need
        variables, examples = zip(*map(self._signatures, SECTIONS), strict=True)
        rows = []
        for triple in product(*map(enumerate, examples)):
            (e, (after_empties, empties)), (f, (around, filling)), (p, (before, packing)) = triple
            if any(around[n] != v for ports in (after_empties, before) for n, v in ports.items()):
                continue
            _, _, people, hours = arithmetic.running((empties, filling, packing))
            # The chains behind the filler draw power too: `terms` has them one by one.
            standing = sum(
                1 for piece in (*filling, *packing) if piece.function in BEHIND and piece.flow_mm
            )
            pieces = [*empties, *filling, *packing, *[arithmetic.chains(1, 0)] * (standing - 1)]
            yearly = arithmetic.by_the_hour(pieces, hours) + people * hours * need.wage_per_h
            cost = round(yearly * arithmetic.annuity * MILLE)
            rows.append((e, f, p, people, round(hours * MILLION), cost))
        if not rows:
            self.possible = False
            return
        values = list(zip(*rows, strict=True))[3:]
        people, hours, running = (
            model.new_int_var_from_domain(cp_model.Domain.from_values(found), "")
            for found in values
        )
        model.add_allowed_assignments([*variables, people, hours, running], rows)
        self.people, self.hours = people, hours
        # Machines take their time at a changeover, and people share the work.
        chain_min = arithmetic.chains(1, 0).change_min
        most = max(chain_min, *(piece.change_min for piece, _ in self.terms))
        longest = model.new_int_var(0, round(most * MILLION), "longest")
        model.add(longest >= round(chain_min * MILLION))
        for function in FLOW:
            model.add(
                longest
                >= sum(
                    round(piece.change_min * MILLION) * taken
                    for piece, taken in self.terms
                    if piece.function == function
                )
            )
        numbers = sorted(set(values[0]))
        most_spent = max(
            numbers[-1] * round(most * MILLION),
            sum(round(piece.change_person_min * MILLION) for piece, _ in self.terms)
            + 2 * round(most * MILLION),
        )
        spent = model.new_int_var(0, most_spent, "person-minutes of a changeover")
        model.add(spent >= self.changing)
        changes = need.changeovers_per_week * need.weeks_per_year if need.formats[1:] else 0.0
        most_hours = round(arithmetic.limits["hours"] * MILLION)
        for number in numbers:
            so_many = model.new_bool_var("")
            model.add(people == number).only_enforce_if(so_many)
            model.add(people != number).only_enforce_if(so_many.negated())
            model.add(spent >= number * longest).only_enforce_if(so_many)
            model.add(
                round(MILLE * changes) * spent <= 60 * MILLE * number * (most_hours - hours)
            ).only_enforce_if(so_many)
        # What a millionth of a minute is worth in thousandths of the currency, as a fraction.
        worth = changes / 60 * need.wage_per_h * arithmetic.annuity * MILLE / MILLION
        below = LARGEST // max(1, round(max(1.0, worth) * most_spent))
        labour = model.new_int_var(0, round(worth * most_spent) + 1, "labour of changeovers")
        model.add(below * labour >= round(worth * below) * spent)
        standing = self.first_cost + self._sum(
            lambda piece: sum(piece.yearly.values()) * arithmetic.annuity
        )
        bought = model.new_int_var(0, 10**13, "standing")
        model.add(MILLE * bought >= standing)
        self.cost = bought + running + labour

    # --- limits ------------------------------------------------------------------------------

    def _write_limits(self) -> None:
        limits = self.arithmetic.limits
        used: dict[str, Expression] = {
            "budget": self.first_cost,
            "length": self._sum(lambda piece: piece.flow_mm),
            "area": self.area if "area" in limits else 0,
            "power": self._sum(lambda piece: piece.power_kw),
            "water": self._sum(lambda piece: piece.water_l_min),
            "air": self._sum(lambda piece: piece.air_l_min),
            "people": MILLION * self.people,
        }
        for name, expression in used.items():
            if name in limits and not isinstance(expression, int):
                self.model.add(expression <= int(limits[name] * MILLION))

    # --- answers -----------------------------------------------------------------------------

    def answers(self) -> Iterator[Answer]:
        """Lines one after the other: in the view's order, then by life-cycle cost."""
        if not self.possible:
            return
        if isinstance(self.primary, int):
            while (found := self._solved(self.cost)) is not None:
                yield found
                self._exclude(found)
            return
        while (best := self._solved(self.primary)) is not None:
            if isinstance(self.cost, int):
                yield best
                self._exclude(best)
                continue
            # Of all that are as good, the cheapest over its life.
            while (found := self._solved(self.cost, best.primary)) is not None:
                yield found
                self._exclude(found)

    def _solved(self, objective: Expression, primary: int | None = None) -> Answer | None:
        model = self.model
        if primary is not None:
            model = model.clone()
            model.add(self.primary == primary)
        model.minimize(objective)
        solver = new_solver()
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None
        assert status == cp_model.OPTIMAL, solver.status_name(status)
        solution = {
            name: next(v for v, x in zip(values, self.chosen[name], strict=True) if solver.value(x))
            for name, values in self.domains.items()
        }
        return Answer(solution, solver.value(self.primary), solver.value(self.cost))

    def _exclude(self, answer: Answer) -> None:
        self.model.add_bool_or(
            [
                taken.negated()
                for function in FLOW
                for option, taken in zip(self.domains[function], self.chosen[function], strict=True)
                if option is answer.solution[function]
            ]
        )

    def top(self, count: int) -> list[Line]:
        """The first lines of the view, with figures and ties settled by the arithmetic."""
        found: list[Line] = []
        for answer in self.answers():
            figures = self.figures(answer)
            if len(found) >= count:
                last = found[count - 1].key
                primary, cost = (0, last[0]) if self.view == WHOLE_COST else last
                dearer = self.whole and answer.cost > round((cost + SLACK) * MILLE)
                beyond = answer.primary - round(primary * self._units)
                if beyond > 0 or (beyond == 0 and dearer):
                    break
            found.append(Line(figures.key(self.view), figures.classes))
            found.sort(key=lambda line: (line.key, line.classes))
        return found[:count]

    @property
    def _units(self) -> int:
        """Units of the first figure in one of it."""
        return 1 if self.view == "people" else HUNDRED

    def figures(self, answer: Answer) -> Figures:
        """What the arithmetic makes of an answer; it agrees with the solver."""
        line = {function: answer.solution[function] for function in FLOW}
        figures = self.arithmetic.figures(candidates(self.arithmetic, line))
        assert self.arithmetic.within_limits(figures)
        assert not self.whole or abs(figures.life_cycle_cost - answer.cost / MILLE) < SLACK
        if self.view != WHOLE_COST:
            assert abs(figures.key(self.view)[0] - answer.primary / self._units) < 0.011
        return figures


def new_solver() -> cp_model.CpSolver:
    """A solver that answers the same every time."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    # With the inclusion steps of its presolve, 9.15 may call a worse solution optimal
    # (google/or-tools issue 5293); one of our own random cases showed it.
    solver.parameters.presolve_inclusion_work_limit = 0
    return solver


def _matter(piece: Piece) -> Hashable:
    """What of a piece matters to people, hours and what is used by the hour."""
    return (
        piece.rated_cpm, piece.minutes, piece.always, piece.stops, piece.standstill, piece.holds,
        piece.power_kw, piece.air_l_min, piece.water_l_min if piece.function == "rinse" else 0.0,
        piece.function in BEHIND and piece.flow_mm > 0, piece.function in AHEAD_OF_FILLER,
    )  # fmt: skip
