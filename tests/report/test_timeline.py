"""The critical path against a textbook's project, and the tasks of a line."""

from __future__ import annotations

import pytest

from lineconfig.report.timeline import FIRST_GOOD_CAN, Task, dated, tasks_of
from tests.report.cases import startup, subject_of, two_formats

RELIABLE = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"),
    "G": (7, "D"), "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"),
    "M": (2, "H"), "N": (6, "KL"), "finish": (0, "MN"),
}  # fmt: skip
"""Hillier and Lieberman, Introduction to Operations Research: the Reliable Construction Co. project
(from memory): weeks, and the activities before."""


def test_a_textbook_project_has_its_length_path_and_slack() -> None:
    """Hillier and Lieberman (from memory): 44 weeks along A-B-C-E-F-J-L-N."""
    tasks = [Task(name, weeks, tuple(before)) for name, (weeks, before) in RELIABLE.items()]
    found = {item.task.id: item for item in dated(tasks, "finish")}
    assert found["finish"].end == 44
    assert "".join(n for n, item in found.items() if item.critical and n != "finish") == "ABCEFJLN"
    slack = {name: item.slack for name, item in found.items() if item.slack}
    assert slack == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
    assert found["H"].start == 29  # the same book: earliest start


def test_what_comes_after_the_goal_does_not_decide_its_date() -> None:
    tasks = [Task("make", 3), Task("use", 1, ("make",)), Task("sell", 5, ("use",))]
    found = {item.task.id: item for item in dated(tasks, "use")}
    assert [name for name, item in found.items() if item.critical] == ["make", "use"]


@pytest.mark.parametrize(
    "tasks", [[Task("a", 1, ("b",)), Task("b", 1, ("a",))], [Task("a", 1, ("c",))]]
)
def test_circles_and_missing_tasks_are_refused(tasks: list[Task]) -> None:
    with pytest.raises(ValueError, match=r"circle|not among"):
        dated(tasks, "a")


def test_every_machine_bought_is_waited_for_and_the_slowest_decides() -> None:
    subject = startup()
    layout = subject.first.layout
    found = dated(tasks_of(subject.study, layout), FIRST_GOOD_CAN)
    made = {item.task.id: item for item in found if item.task.name}
    bought = {
        station.option.id: station.option.equipment.lead_time_weeks for station in layout.stations
    }
    assert {name: item.task.weeks for name, item in made.items() if name in bought} == bought
    slowest = max(bought, key=lambda name: bought[name] or 0)
    assert made[slowest].critical
    good = next(item for item in found if item.task.id == FIRST_GOOD_CAN)
    project = subject.study.catalog.economics.project
    assert good.end > project.approval_weeks + (bought[slowest] or 0) + project.freight_weeks


def test_more_formats_take_longer_to_start_up() -> None:
    def weeks(tasks: list[Task], name: str) -> float:
        return next(task.weeks for task in tasks if task.id == name)

    one = tasks_of(startup().study, startup().first.layout)
    two = tasks_of(two_formats().study, two_formats().first.layout)
    for name in (FIRST_GOOD_CAN, "acceptance"):
        assert weeks(two, name) > weeks(one, name)


def test_what_the_client_owns_is_not_made_again() -> None:
    text = startup().brief_text + "existing: [{function: fill, speed: 40 cpm}]\n"
    subject = subject_of(text)
    layout = subject.answer.layouts[0].layout
    assert layout.station("fill").option.owned
    assert layout.station("fill").option.id not in {
        task.id for task in tasks_of(subject.study, layout)
    }
