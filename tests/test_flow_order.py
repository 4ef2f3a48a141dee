"""Lists of stations stand in the order in which cans pass them, in every output."""

from __future__ import annotations

import re
from functools import cache
from random import Random

import pytest

from lineconfig.assess.crew import people_needed
from lineconfig.connect.flow_order import flow_order
from lineconfig.layout import Layout
from lineconfig.locate import examples_dir
from lineconfig.present.layout import layout_text
from lineconfig.present.records import bill_of_materials, connections
from lineconfig.session import Study, open_study

MEETABLE = ["startup", "growing-brewery", "mobile-canner", "co-packer", "mixed-containers",
            "high-speed-plant"]  # fmt: skip


@cache
def several(name: str) -> tuple[Study, tuple[Layout, ...]]:
    study = open_study(examples_dir() / f"{name}.yaml")
    return study, tuple(study.best(12))


def before(layout: Layout, index: int, *functions: str) -> bool:
    """Whether a station stands before every station of these functions."""
    return all(i > index for i, s in enumerate(layout.stations) if s.function in functions)


def behind(layout: Layout, index: int, *functions: str) -> bool:
    return all(i < index for i, s in enumerate(layout.stations) if s.function in functions)


# Where a date coder stands is common practice: on dry cans before the rinser, behind the dryer, or
# at the case, which the packer makes.
@pytest.mark.parametrize("name", MEETABLE)
def test_coders_and_chains_stand_where_cans_pass_them(name: str) -> None:
    _, layouts = several(name)
    for layout in layouts:
        functions = [station.function for station in layout.stations]
        chains = [i for i, function in enumerate(functions) if function == "convey"]
        assert chains and behind(layout, chains[0], "unload", "lower", "rinse", "fill", "dose")
        assert before(layout, chains[0], "dry", "inspect", "label", "pasteurize", "gather", "pack")
        assert before(layout, chains[-1], "gather", "pack", "palletize", "wrap")
        if len(chains) > 1:
            assert behind(layout, chains[-1], "dry", "inspect", "label", "pasteurize")
        coder = functions.index("code")
        match layout.stations[coder].option.equipment.place:
            case "infeed-rail":
                assert behind(layout, coder, "unload", "guard")
                assert before(layout, coder, "lower", "rinse", "fill")
            case "after-dryer":
                assert behind(layout, coder, "fill", "dose", "dry")
                assert before(layout, coder, "inspect", "label", "gather", "pack")
            case "on-case":
                assert behind(layout, coder, "gather", "pack")
                assert before(layout, coder, "palletize", "wrap")
            case other:
                raise AssertionError(other)


def test_every_place_of_a_coder_is_among_those_looked_at() -> None:
    places = {
        layout.station("code").option.equipment.place
        for name in MEETABLE
        for layout in several(name)[1]
    }
    assert len(places) > 1


@pytest.mark.parametrize("name", ["growing-brewery", "high-speed-plant"])
def test_every_list_has_the_same_order(name: str) -> None:
    study, layouts = several(name)
    layout = layouts[0]
    names = [station.option.equipment.name for station in layout.stations]
    text = layout_text(study, layout)
    table = text.split("Stations in flow order\n", 1)[1].split("\n\n", 1)[0]
    shown = re.findall(r"^(\d+) +(.+?)(?:  |$)", table, re.MULTILINE)
    assert [(int(number), said) for number, said in shown] == list(enumerate(names, 1))
    bought = [line["item"] for line in bill_of_materials(layout) if line["item"] in names]
    assert bought == names
    pairs = connections(layout)
    assert all(one < other for one, other in pairs)


@pytest.mark.parametrize("name", MEETABLE)
def test_people_mind_the_line_as_the_search_counted_them(name: str) -> None:
    study, layouts = several(name)
    for layout in layouts:
        crew = layout.crew
        assert sorted(crew.minded) == list(range(len(layout.stations)))
        works = [crew.workloads[place] for place in crew.minded]
        always = [layout.stations[place].always for place in crew.minded]
        assert max(1, people_needed(works, always, study.terms.crew).people) == crew.people
        # Posts follow one another along it.
        order = [crew.minded.index(place) for post in crew.posts for place in post.stations]
        assert order == sorted(order)
        for index, work in enumerate(crew.workloads):
            station = layout.stations[index]
            speeds = zip(station.minutes_per_can, layout.speed.rated, strict=True)
            assert work == max(minutes * cpm for minutes, cpm in speeds)


def test_the_order_is_kept_where_it_is_right_already() -> None:
    layout = several("high-speed-plant")[1][0]
    stations = list(layout.stations)
    assert flow_order(tuple(stations[place] for place in layout.crew.minded)) == tuple(
        layout.crew.minded.index(place) for place in range(len(stations))
    )
    # Without chains, whose section only their place in the list tells, any order is mended.
    bare = [station for station in stations if station.function != "convey"]
    mixed = bare[:]
    Random(1).shuffle(mixed)
    assert [mixed[place] for place in flow_order(mixed)] == bare
