"""What must hold across a catalogue beyond the shape of each entry."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from lineconfig.catalog import (
    DEFAULT_BASIS,
    FUNCTIONS,
    EquipmentClass,
    Function,
    PriceRange,
    basis_in,
)
from lineconfig.containers import Container
from lineconfig.economics import Economics
from lineconfig.errors import Problem, did_you_mean, shown
from lineconfig.overlay import NOT_FIGURES
from lineconfig.quantities import Money
from lineconfig.reading import Node, leaves

NEEDED_GROUPS = (
    "accepts", "speed", "size", "clearance", "mass", "mobility", "utilities", "changeover",
    "stops", "price",
)  # fmt: skip
"""What every class that is a machine or an aid states."""

NEEDED_BESIDES: Mapping[Function, tuple[tuple[str, ...], ...]] = {
    "supply": (("supply_form",),),
    "unload": (("accepts", "supply"), ("heights", "discharge")),
    "lower": (("tracks",),),
    "code": (("place",),),
    "fill": (("heights", "infeed"), ("heights", "discharge")),
}
"""What a function's machines state besides, since the rules ask for it."""

NEEDED_ALSO_IF_ABSENT: Mapping[Function, str] = {"rinse": "medium", "pasteurize": "treatment"}

NEEDED_BY_TRAIT = {"sweeps-layers": ("heights", "head"), "tips-layers": ("heights", "lip")}

_ABOVE_ZERO = (
    ("speed", "most"), ("stops", "every"), ("size", "length"), ("size", "width"),
    ("size", "height"), ("dwell",), ("header",), ("inverted_run",), ("guarding", "resolution"),
)  # fmt: skip


def class_problems(
    item: EquipmentClass, node: Node, class_ids: Collection[str]
) -> Iterator[Problem]:
    """What is wrong with one class."""
    name = item.id
    if name in (*FUNCTIONS, "convey"):
        yield node.at(("id",)).problem(
            f"{name} is the name of a function, so it cannot be the id of a class too"
        )
    yield from _missing_groups(item, node)
    if item.header_mm is not None and item.water_l_per_1000:
        yield node.at(("water_l_per_1000",)).problem(
            f"{name}.water_l_per_1000: a rinse's header flows as long as cans run: write its flow "
            "under utilities.water instead"
        )
    for path, price in prices_of(item):
        if not price.low <= price.typical <= price.high:
            yield node.at(path).problem(
                f"{_label(name, path)}: {price.low.text}, {price.typical.text}, {price.high.text}"
                " do not rise from low over typical to high"
            )
    for place, reuse in enumerate(item.reuse):
        for entry, later in enumerate(reuse.in_classes):
            where = node.at(("reuse", place, "in", entry))
            if later == name:
                yield where.problem(f"{name}.reuse: a class's parts serve again in another class")
            elif later not in class_ids:
                yield where.problem(
                    f"{name}.reuse: there is no class {later!r}{did_you_mean(later, class_ids)}"
                )
        if reuse.credit > 1:
            yield node.at(("reuse", place, "credit")).problem(
                f"{name}.reuse.credit: {reuse.credit.text} is more than the whole price"
            )
    for loss in ("can_loss", "product_loss"):
        share = getattr(item, loss)
        if share is not None and share >= 1:
            yield node.at((loss,)).problem(f"{name}.{loss}: {share.text} leaves nothing")
    for place, task in enumerate(item.attendance.tasks):
        if task.every in ("cans", "handful") and not task.cans:
            yield node.at(("attendance", "tasks", place)).problem(
                f"{name}.attendance.tasks[{place + 1}]: 'every: {task.every}' needs 'cans', "
                "the number of cans between two times, such as '12000 cans'"
            )
        if task.standing_min and 0 < task.minutes < task.standing_min:
            yield node.at(("attendance", "tasks", place, "standing")).problem(
                f"{name}.attendance.tasks[{place + 1}].standing: {task.standing_min.text} is "
                f"longer than the work of {task.minutes.text} that the station stands for"
            )
        if not task.cans and any(lift.load == "handful" for lift in task.lifts):
            yield node.at(("attendance", "tasks", place)).problem(
                f"{name}.attendance.tasks[{place + 1}]: a lift of a handful needs 'cans', the "
                "number of cans in one, such as '10 cans'"
            )
    guarding = item.guarding
    if guarding and guarding.device == "light-curtain" and guarding.resolution_mm is None:
        yield node.at(("guarding",)).problem(
            f"{name}.guarding: a light curtain needs 'resolution', such as '30 mm'"
        )
    tracks = item.tracks
    if tracks is not None and tracks.formats_least > tracks.formats_most:
        yield node.at(("tracks",)).problem(
            f"{name}.tracks: formats_least is more than formats_most"
        )
    yield from _zeroes(name, node, _ABOVE_ZERO)
    yield from basis_problems(name, item.basis, node, EquipmentClass)


def _missing_groups(item: EquipmentClass, node: Node) -> Iterator[Problem]:
    wanted: list[tuple[str, ...]] = []
    also = NEEDED_ALSO_IF_ABSENT.get(item.function)
    if also is not None:
        wanted.append((also,))
    if not item.absent:
        wanted += [(group,) for group in NEEDED_GROUPS]
        wanted += NEEDED_BESIDES.get(item.function, ())
        wanted += [path for trait, path in NEEDED_BY_TRAIT.items() if trait in item.traits]
        if item.treatment == "tunnel":
            wanted += [("dwell",), ("area_price",)]
    missing = [".".join(path) for path in wanted if not _has(node, path)]
    if missing:
        yield node.problem(
            f"{item.id} lacks {', '.join(missing)}: a class of the function {item.function} "
            f"needs {'it' if len(missing) == 1 else 'them'}"
        )


def _has(node: Node, path: tuple[str, ...]) -> bool:
    for part in path:
        below = node.child(part)
        if below is None or below.value is None:
            return False
        node = below
    return True


def container_problems(item: Container, node: Node) -> Iterator[Problem]:
    """What is wrong with one container format."""
    above_zero = [
        ("diameter",), ("height",), ("volume",), ("empty_mass",), ("pallet", "length"),
        ("pallet", "width"), ("pallet", "per_layer"), ("pallet", "layers"),
        ("pallet", "half_stack_layers"),
    ]  # fmt: skip
    yield from _zeroes(item.id, node, above_zero)
    if 0 < item.pallet.layers < item.pallet.half_stack_layers:
        yield node.at(("pallet",)).problem(
            f"{item.id}.pallet: the half stack has more layers than the full pallet"
        )
    yield from basis_problems(item.id, item.basis, node, Container)


def economics_problems(item: Economics, node: Node) -> Iterator[Problem]:
    """What is wrong with the assumptions."""
    above_zero = [
        ("habits", key)
        for key in ("cans_per_case", "cases_per_full_pallet", "allowed_utilisation",
                    "planning_efficiency", "power_factor", "joint")
    ] + [("handling", "cases_per_layer"), ("defaults", "horizon")]  # fmt: skip
    yield from _zeroes("economics", node, above_zero)
    for key in ("allowed_utilisation", "planning_efficiency", "motor_load", "simultaneity",
                "power_factor"):  # fmt: skip
        share = getattr(item.habits, key)
        if share > 1:
            yield node.at(("habits", key)).problem(
                f"economics.habits.{key}: {share.text} is more than the whole"
            )
    yield from basis_problems("economics", item.basis, node, Economics)


def _zeroes(name: str, node: Node, paths: Any) -> Iterator[Problem]:
    for path in paths:
        if not _has(node, path):
            continue
        leaf = node.at(path)
        # The schema has read it: only its leading number is looked at here.
        digits = "".join(sign for sign in leaf.written.split("e")[0] if sign.isdigit())
        if digits and not digits.strip("0"):
            yield leaf.problem(f"{_label(name, path)}: {leaf.written} must be above zero")


def basis_problems(
    name: str, basis: Mapping[str, str], node: Node, model: type[Any]
) -> Iterator[Problem]:
    """Figures without a basis, and bases of figures that there are not."""
    from lineconfig.wording import keys_of

    assert isinstance(node.value, dict)
    for key, below in node.value.items():
        if key in NOT_FIGURES or key in basis or DEFAULT_BASIS in basis:
            continue
        without = set()
        for path, leaf in leaves(below, (key,)):
            try:
                basis_in(basis, ".".join(path))
            except KeyError:
                if leaf.written:
                    without.add(".".join(path))
        if without:
            figure = key if len(without) > 1 else without.pop()
            yield below.problem(
                f"{name}.{figure} has no basis: say under 'basis' where it comes from "
                "(a source, 'common practice', 'from memory' or 'invented')"
            )
    known = keys_of(model)
    for key in basis:
        first = key.partition(".")[0]
        if key != DEFAULT_BASIS and first not in known:
            yield node.at(("basis", key)).problem(
                f"{name}.basis: {shown(key)} is not a figure{did_you_mean(first, known)}"
            )


def prices_of(item: EquipmentClass) -> Iterator[tuple[tuple[str | int, ...], PriceRange]]:
    """Every price range of a class with its path."""
    for key in ("price", "price_per_track", "area_price"):
        price = getattr(item, key)
        if price is not None:
            yield (key,), price
    if item.changeover is not None:
        for place, part in enumerate(item.changeover.parts):
            yield ("changeover", "parts", place, "price"), part.price


def currency_problems(
    classes: Mapping[str, EquipmentClass],
    class_nodes: Mapping[str, Node],
    economics: Economics,
    economics_node: Node,
) -> Iterator[Problem]:
    """Amounts in another currency than the catalogue's."""
    amounts: list[tuple[Node, str, Money]] = []
    for name, item in classes.items():
        node = class_nodes[name]
        for path, price in prices_of(item):
            amounts += [
                (node.at((*path, key)), _label(name, path), getattr(price, key))
                for key in ("low", "typical", "high")
            ]
        if item.consumables_per_1000 is not None:
            path = ("consumables_per_1000",)
            amounts.append((node.at(path), _label(name, path), item.consumables_per_1000))
    for group in ("tariffs", "defaults"):
        for key, value in getattr(economics, group):
            if isinstance(value, Money):
                where = economics_node.at((group, key))
                amounts.append((where, _label("economics", (group, key)), value))
    foreign = [entry for entry in amounts if entry[2].currency != economics.currency]
    if len(foreign) > len(amounts) // 2:
        others = ", ".join(sorted({amount.currency for _, _, amount in foreign}))
        yield economics_node.at(("currency",)).problem(
            f"economics.currency is {economics.currency}, but {len(foreign)} amounts of the "
            f"catalogue are in {others}: amounts are never converted"
        )
        return
    for where, label, amount in foreign:
        yield where.problem(
            f"{label}: {amount.text} is not in {economics.currency}, the catalogue's currency: "
            "amounts are never converted"
        )


def _label(name: str, path: tuple[str | int, ...]) -> str:
    from lineconfig.wording import label_of

    return label_of(path, name)
