"""The connection graph: which section schemes join. The only user of networkx.

Nodes are the schemes of the three sections and, between them, the joints: the port state on which
two neighbours must agree (the filler's infeed height and where the coder stands; whether cans
come dry). Every path from source to sink is a family of valid layouts, one for each choice of
stations.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from lineconfig.choose.sections import SECTIONS, Scheme
from lineconfig.layout import Layout

if TYPE_CHECKING:
    import networkx as nx

SOURCE, SINK = ("empties in",), ("full goods out",)

JOINT_PORTS: tuple[tuple[str, ...], ...] = (("infeed", "rail"), ("dry-cans",))
"""Ports that meet at each joint between two sections, in flow order."""


def port_state(ports: Mapping[str, Any], joint: int) -> tuple[Any, ...]:
    """The state of one joint as seen from a section that touches it."""
    return (joint, *(ports[name] for name in JOINT_PORTS[joint]))


def agree(first: Mapping[str, Any], second: Mapping[str, Any]) -> bool:
    """Whether two sections agree on every port that both state."""
    return all(second.get(name, value) == value for name, value in first.items())


class ConnectionGraph:
    """The schemes of an inquiry and the connections between them."""

    def __init__(self, schemes: Mapping[str, Sequence[Scheme]]) -> None:
        import networkx as nx

        self.graph: nx.DiGraph[Any] = nx.DiGraph()
        self.graph.add_nodes_from((SOURCE, SINK))
        sections = list(SECTIONS)
        for number, section in enumerate(sections):
            for scheme in schemes[section]:
                first, last = number == 0, number == len(sections) - 1
                before = SOURCE if first else port_state(scheme.ports, number - 1)
                after = SINK if last else port_state(scheme.ports, number)
                self.graph.add_edge(before, scheme)
                self.graph.add_edge(scheme, after)

    def open_schemes(self) -> set[Scheme]:
        """The schemes that lie on some path from source to sink: the rest joins nothing."""
        import networkx as nx

        onward = nx.descendants(self.graph, SOURCE)
        backward = nx.ancestors(self.graph, SINK)
        return {node for node in onward & backward if isinstance(node, Scheme)}

    def paths(self) -> Iterator[tuple[Scheme, ...]]:
        """Every chain of schemes from source to sink."""
        import networkx as nx

        for path in nx.all_simple_paths(self.graph, SOURCE, SINK):
            yield tuple(node for node in path if isinstance(node, Scheme))

    def layouts(self) -> int:
        """Number of layouts that meet every rule of choice and connection, limits apart."""
        import networkx as nx

        counts: dict[Any, int] = dict.fromkeys(self.graph, 0)
        counts[SOURCE] = 1
        for node in nx.topological_sort(self.graph):
            if isinstance(node, Scheme):
                for options in node.options.values():
                    counts[node] *= len(options)
            for following in self.graph.successors(node):
                counts[following] += counts[node]
        return counts[SINK]


def rated_by_flow_cpm(layout: Layout, index: int) -> float:
    """Rated speed of a layout with one format as the maximum flow through its stations [cpm].

    Each station is an edge with its speed as capacity; `index` is the format's place in the need.
    """
    import networkx as nx

    graph: nx.DiGraph[Any] = nx.DiGraph()
    stations = layout.stations
    for number, station in enumerate(stations):
        graph.add_edge((number, "in"), (number, "out"), capacity=station.rated_cpm[index])
        if number:
            graph.add_edge((number - 1, "out"), (number, "in"))
    return float(nx.maximum_flow_value(graph, (0, "in"), (len(stations) - 1, "out")))
