"""Sentences that state figures state those of the JSON: both printed, parsed, and compared.

Whole texts are looked at: every figure of a sentence is in the record, and every figure of the
record that the sentence is about is in the sentence.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any

import pytest

from lineconfig.explain import Bringer, why_class
from lineconfig.locate import examples_dir
from lineconfig.present.nothing import NOTHING_BRINGS, no_layout_lines
from lineconfig.present.records import no_layout_record
from lineconfig.present.switching import WORDS
from lineconfig.present.why import (
    Explained,
    class_record,
    why_each_lines,
    why_first_lines,
    why_first_record,
)
from lineconfig.rank import Recommendation, recommend
from lineconfig.rounding import amount_text
from lineconfig.session import Study, open_study
from lineconfig.varying.pooled import pooled
from tests.explain.infeasible import cannot_be_met

NUMBER = r"-?[\d,]*\d(?:\.\d+)?"


def numbers(text: str) -> list[float]:
    """Every figure of a text."""
    return [float(each.replace(",", "")) for each in re.findall(NUMBER, text)]


def flat(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


@cache
def startup() -> tuple[Study, Recommendation, Explained]:
    study = pooled(open_study(examples_dir() / "startup.yaml"))
    answer = recommend(study, top=4)
    return study, answer, Explained(study, answer)


# --- why this one --------------------------------------------------------------------------------

WORDED = {
    "people": r"with (\d+) instead of (\d+) people",
    "effective_cpm": rf"at an effective ({NUMBER}) instead of ({NUMBER}) cpm",
    "hours_per_year": rf"for ({NUMBER}) instead of ({NUMBER}) hours a year",
    "floor_m2": rf"on ({NUMBER}) instead of ({NUMBER}) m2",
}


def compare_sentences(record: dict[str, Any]) -> None:
    text, left = record["text"], record["difference"]
    for key, difference in left.items():
        assert difference == pytest.approx(record["ours"][key] - record["theirs"][key], abs=0.06)
    money = re.match(
        rf"Over ({NUMBER}) years it costs (?:({NUMBER}) USD (more|less) than|as much as) layout "
        rf"{record['name']}(?:: ({NUMBER}) (more|less) to buy)?(?:,? ?(?:against|and|:)? "
        rf"({NUMBER}) (more|less) a year)?\.",
        text,
    )
    assert money is not None, text
    years, whole, more, bought, dearer, yearly, longer = money.groups()
    assert float(years) == 5
    said = {
        "life_cycle_cost": (whole, more), "first_cost": (bought, dearer),
        "annual_cost": (yearly, longer),
    }  # fmt: skip
    for key, (figure, word) in said.items():
        stated = numbers(figure)[0] if figure else 0.0
        assert left[key] == (stated if word == "more" else -stated), (key, text)
    for key, pattern in WORDED.items():
        found = re.search(pattern, text)
        assert (found is None) == (record["ours"][key] == record["theirs"][key]), (key, text)
        if found is not None:
            ours, theirs = (numbers(each)[0] for each in found.groups())
            assert (ours, theirs) == (record["ours"][key], record["theirs"][key])


def test_each_layout_against_its_neighbours() -> None:
    record = why_first_record(startup()[2])["reasons"]
    told = [each for beside in record.values() for each in beside]
    assert len(told) == 6  # four in a row: one neighbour at the ends, two between
    for each in told:
        compare_sentences(each)


def test_a_sentence_with_another_figure_is_found_out() -> None:
    """The comparison itself can fail."""
    record = next(iter(why_first_record(startup()[2])["reasons"].values()))[0]
    off = record | {"text": record["text"].replace(" instead of ", " instead of 1", 1)}
    with pytest.raises(AssertionError):
        compare_sentences(off)
    for key in ("life_cycle_cost", "first_cost", "annual_cost", "people", "hours_per_year"):
        ours = record["ours"] | {key: record["ours"][key] + 1}
        difference = record["difference"] | {key: record["difference"][key] + 1}
        with pytest.raises(AssertionError):
            compare_sentences(record | {"ours": ours, "difference": difference})


# --- how sure, and what changes the answer -------------------------------------------------------


def test_how_sure_is_said_as_the_record_has_it() -> None:
    explained = startup()[2]
    text = flat(why_first_lines(explained))
    record = why_first_record(explained)["sureness"]
    shares = list(record["first_in"].values())
    found = re.search(
        rf"In ({NUMBER})% of ({NUMBER}) draws .*? \(seed (\d+)\), the first costs least over its "
        rf"life; in ({NUMBER})%, layout (\d+) ",
        text,
    )
    assert found is not None
    first, draws, seed, rival, place = (numbers(each)[0] for each in found.groups())
    assert (draws, seed, place) == (record["draws"], record["seed"], record["rival"])
    assert first == pytest.approx(100 * shares[0], abs=0.051)
    assert rival == pytest.approx(100 * shares[record["rival"] - 1], abs=0.051)
    decides = re.search(r"What decides between them: (.*?)\.", text)
    assert decides is not None
    said = [float(each) for each in re.findall(r"\((\d+)%\)", decides[1])]
    assert said == [round(100 * each["share"]) for each in record["deciding"]]


def test_what_changes_the_answer_is_said_as_the_record_has_it() -> None:
    explained = startup()[2]
    text = "\n".join(why_each_lines(explained))
    text = text[text.index("Which layout is first on which stretch") :]
    record = why_first_record(explained)["switching"]
    assert set(record) == set(WORDS)
    for name, each in record.items():
        scale = 100 if name == "discount_rate" else 1
        start = text.index(f"{WORDS[name]}, now")  # type: ignore[index]
        head, block = text[start:].split(":", 1)
        assert numbers(head)[:3] == pytest.approx(
            [scale * each[key] for key in ("now", "from", "to")]
        )
        rows = re.findall(
            rf"^    ({NUMBER}) to ({NUMBER}): (.+)$", block.split(", now")[0], re.MULTILINE
        )
        assert [(numbers(a)[0], numbers(b)[0], c) for a, b, c in rows] == [
            (
                pytest.approx(scale * s["from"]),
                pytest.approx(scale * s["to"]),
                s["layout"] or "no layout fits",
            )
            for s in each["stretches"]
        ]


# --- why not this class --------------------------------------------------------------------------

CLASSES = ("half-stack-stacker", "half-height-depalletizer", "rinse-blow-off", "rail-laser",
           "dryer-ink-jet", "twist-rinser", "inline-16-head", "hand-fed-2-head",
           "hand-loading-shelf", "single-filing-table")  # fmt: skip


@cache
def classes() -> dict[str, dict[str, Any]]:
    study, answer, _ = startup()
    shown = [item.layout for item in answer.layouts]
    bringer = Bringer(study, answer.view)
    return {name: class_record(why_class(study, name, shown, None, bringer)) for name in CLASSES}


@pytest.mark.parametrize("name", CLASSES)
def test_what_became_of_a_class(name: str) -> None:
    record = classes()[name]
    text, beaten, brought = record["text"], record["beaten"], record["brought_first_by"]
    costs = re.search(rf"costs ({NUMBER}) USD (more|less) over 5 years than (\S+?)[,;]", text)
    assert (costs is None) == (beaten is None)
    if costs is not None:
        sign = 1 if costs[2] == "more" else -1
        # The record is to the cent, the text to the whole amount of what is known exactly.
        assert abs(sign * numbers(costs[1])[0] - beaten["extra_life_cycle_cost"]) <= 0.505
        assert costs[3] == beaten["by"]
        people = re.search(r"with (\d+) (?:person|people) (more|less)", text)
        assert (people is None) == (beaten["extra_people"] == 0)
        if people is not None:
            assert int(people[1]) == abs(beaten["extra_people"])
    if brought is not None:
        assert f"{brought['text']} would bring it first" in text
        stated = numbers(brought["text"])
        scale = 100 if brought["field"] == "discount_rate" else 1
        assert stated[0] == pytest.approx(scale * brought["to"])
        if brought["field"] == "price":
            assert stated[1] == pytest.approx(brought["from"])
    elif beaten is not None:
        assert NOTHING_BRINGS in text


def test_these_classes_meet_every_fate() -> None:
    fates = {(each["status"], each["brought_first_by"] is not None) for each in classes().values()}
    assert fates >= {("shown", False), ("valid", False), ("valid", True), ("ruled-out", False)}


def test_the_price_that_brings_a_class_first_does() -> None:
    """Solved again with a catalogue in which the class costs so much, and a little more."""
    from dataclasses import replace

    study = startup()[0]
    record = classes()["half-height-depalletizer"]["brought_first_by"]
    assert record["field"] == "price"
    old = study.catalog.classes["half-height-depalletizer"]
    assert old.price is not None and float(old.price.typical) == record["from"]
    for price, first in ((record["to"], True), (record["to"] + 50, False)):
        share = price / float(old.price.typical)
        amounts = {
            key: float(getattr(old.price, key)) * share for key in ("low", "typical", "high")
        }
        cheaper = old.model_copy(update={"price": old.price.model_copy(update=amounts)})
        catalog = replace(study.catalog, classes=study.catalog.classes | {old.id: cheaper})
        best = Study(study.need, catalog).best(1)[0]
        assert (old.id in best.classes) == first, price


# --- nothing fits --------------------------------------------------------------------------------


def test_what_is_short_is_said_as_the_record_has_it() -> None:
    _, answer = cannot_be_met()
    record, text = no_layout_record(answer), flat(no_layout_lines(answer))
    assert record is not None
    stated = described = 0
    for conflict in record["conflicts"]:
        for clash in conflict:
            assert f"* {clash['text']} ({clash['field']})" in text
            if clash["needed"] is None:
                continue
            stated += 1
            if clash["line"] is not None:
                line = clash["line"]
                price, people = amount_text(line["first_cost"]), line["people"]
                assert f"That line: {line['layout']}, {price} USD to buy, {people} people" in text
                if clash["rule"] == "budget":
                    assert math.ceil(line["first_cost"]) == clash["needed"]
                if clash["rule"] == "people":
                    assert people == clash["needed"]
                described += 1
            said = numbers(clash["text"])
            for key in ("needed", "given", "short"):
                # what is read is rounded as it is printed
                assert any(abs(each - clash[key]) < 0.51 for each in said), (key, clash)
            assert clash["short"] == pytest.approx(abs(clash["needed"] - clash["given"]))
    assert stated >= 4 and described >= 2
    assert record["conflict"] == [
        {key: clash[key] for key in ("rule", "field", "text")} for clash in record["conflicts"][0]
    ]
    assert record["openings"] or record["pairs"]
    for pair in record["pairs"]:
        assert f"* {pair['text']} They open: {pair['layout']}, " in text
        for change in pair["changes"]:
            assert change["text"] in pair["text"]
            after = numbers(change["to"])
            assert not after or any(abs(each - after[0]) < 0.51 for each in numbers(change["text"]))
