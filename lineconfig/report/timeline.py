"""From the order to the first good can: tasks, what they wait for, and the critical path.

The critical path method (Kelley and Walker, "Critical-path planning and scheduling", 1959): the
forward pass gives the earliest start of each task, the backward pass the latest; tasks without
slack between the two decide the date.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lineconfig.economics import Project
from lineconfig.layout import Layout
from lineconfig.present.change_parts import change_parts
from lineconfig.session import Study

NEAR = 1e-9


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work or waiting."""

    id: str
    weeks: float
    after: tuple[str, ...] = ()
    """Ids of the tasks that end before it begins."""
    name: str = ""
    """What is made, where the task is a delivery."""
    basis: str = ""


@dataclass(frozen=True, slots=True)
class Dated:
    """A task with its place in time [weeks from the order]."""

    task: Task
    start: float
    end: float
    slack: float
    """How much later it may end without moving the date that counts; for what comes after that
    date, without moving the end of all."""
    before_goal: bool
    """Whether the date that counts waits for it at all."""

    @property
    def critical(self) -> bool:
        """Whether it decides the date that counts."""
        return self.before_goal and self.slack <= NEAR


def dated(tasks: Sequence[Task], goal: str) -> list[Dated]:
    """Earliest start, end and slack of each task, in the order given.

    Parameters
    ----------
    tasks : each with its length [weeks] and what it waits for
    goal : id of the task whose end is the date that counts

    Raises ValueError where tasks wait for one another in a circle or for one that is not there.
    """
    import networkx as nx

    known = {task.id: task for task in tasks}
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(known)
    for task in tasks:
        for before in task.after:
            if before not in known:
                raise ValueError(f"{task.id} waits for {before}, which is not among the tasks")
            graph.add_edge(before, task.id)
    if not nx.is_directed_acyclic_graph(graph):
        raise ValueError("the tasks wait for one another in a circle")
    order = list(nx.lexicographical_topological_sort(graph))
    start: dict[str, float] = {}
    for name in order:
        start[name] = max((start[b] + known[b].weeks for b in graph.predecessors(name)), default=0)
    end = {name: start[name] + known[name].weeks for name in order}
    wanted = nx.ancestors(graph, goal) | {goal}
    latest: dict[str, float] = {}
    for name in reversed(order):
        later = [latest[n] - known[n].weeks for n in graph.successors(name) if n in latest]
        if name == goal:
            latest[name] = end[name]
        elif name in wanted:
            latest[name] = min(
                latest[n] - known[n].weeks for n in graph.successors(name) if n in wanted
            )
        else:
            latest[name] = min(later, default=max(end.values()))
    return [
        Dated(
            task, start[task.id], end[task.id], latest[task.id] - end[task.id], task.id in wanted
        )
        for task in tasks
    ]  # fmt: skip


FIRST_GOOD_CAN = "start-up"
"""The task at whose end good cans come."""


def tasks_of(study: Study, layout: Layout) -> list[Task]:
    """The tasks of one line, in the order in which they are told.

    What the client owns need not be made; it is moved and connected with the rest.
    """
    project = study.catalog.economics.project
    basis = study.catalog.economics_basis("project")
    week = project.working_days_per_week

    def work(task_id: str, weeks: float, *after: str) -> Task:
        return Task(task_id, weeks, after, basis=basis)

    made = _deliveries(study, layout)
    arrived = ("freight",) if made else ("approval",)
    tasks = [work("approval", project.approval_weeks), *made]
    if made:
        tasks.append(work("freight", project.freight_weeks, *(task.id for task in made)))
    return [
        *tasks,
        work("site-works", project.site_works_weeks, "approval"),
        work("empties", project.empties_weeks, "approval"),
        work("placing", _placing_days(project, layout) / week, *arrived, "site-works"),
        work("connecting", project.connecting_days / week, "placing"),
        work("dry-run", project.dry_run_days / week, "connecting"),
        work("training", project.training_days / week, "connecting"),
        work(
            FIRST_GOOD_CAN, _start_up_days(project, study) / week, "dry-run", "training", "empties"
        ),
        work(
            "acceptance", project.acceptance_days * len(study.need.formats) / week, FIRST_GOOD_CAN
        ),
    ]


def _placing_days(project: Project, layout: Layout) -> float:
    machines = sum(1 for station in layout.stations if station.length_mm)
    return project.placing_days + project.placing_days_per_machine * machines


def _start_up_days(project: Project, study: Study) -> float:
    return project.start_up_days + project.start_up_days_per_format * (len(study.need.formats) - 1)


def _deliveries(study: Study, layout: Layout) -> list[Task]:
    """Machines that are bought, each once, and change parts that take longer than theirs."""
    tasks: dict[str, Task] = {}
    for station in layout.stations:
        equipment = station.option.equipment
        if station.option.owned or equipment.lead_time_weeks is None:
            continue
        basis = study.catalog.basis(equipment.id, "lead_time_weeks")
        tasks[equipment.id] = Task(
            equipment.id, equipment.lead_time_weeks, ("approval",), equipment.name, basis
        )
    for need in change_parts(study, layout):
        machine = tasks.get(need.class_id)
        lead = need.lead_time_weeks
        if need.included or lead is None or (machine is not None and lead <= machine.weeks):
            continue
        part_id = f"{need.class_id}: {need.part}"
        tasks[part_id] = Task(part_id, lead, ("approval",), need.part, need.basis)
    return list(tasks.values())
