"""One figure has one face: JSON, `show`, `compare`, document and workbook, for every example."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import permutations, product
from typing import Any

import pytest

from lineconfig.compare import compare
from lineconfig.present.assessed import add_assessed
from lineconfig.present.compare import comparison_text
from lineconfig.present.layout import layout_text
from lineconfig.present.records import layout_record, utilities_record
from lineconfig.report.gather import report_of
from lineconfig.report.html import html_of
from lineconfig.workbook import workbook_bytes
from tests.printed import printed
from tests.report.cases import example, startup, startup_html, subject_of
from tests.report.pages import Element, page_of
from tests.workbook.reading import CENT, opened

MEETABLE = [
    "startup", "co-packer", "mixed-containers",
    *(
        pytest.param(name, marks=pytest.mark.slow)
        for name in ("growing-brewery", "mobile-canner", "high-speed-plant")
    ),
]  # fmt: skip
HEADINGS = {"empties premium": "premium of half stacks"}
"""What the document calls a heading otherwise than the engine."""


def number(amount: float) -> int:
    """The same as a number, for what was added up of cents."""
    return int(printed(round(amount, 2)).replace(",", ""))


@dataclass
class Outputs:
    """What the outputs say of the first two layouts of one example."""

    records: list[dict[str, Any]]
    others: list[dict[str, Any]]
    """Of the layouts that only the document has."""
    shown: list[str]
    compared: str
    page: Element
    book: Any

    def table(self, caption: str) -> dict[str, list[str]]:
        """The rows of a table of the document by their heading."""
        tables = self.page.all("table")
        (found,) = (t for t in tables if t.all("caption")[0].text.startswith(caption))
        rows = [[cell.text for cell in row.all("th", "td")] for row in found.all("tr")]
        return {row[0]: row[1:] for row in rows}

    def texts(self) -> Iterator[str]:
        """Everything that is printed as running text or in cells."""
        yield from self.shown
        yield self.compared
        for each in self.page.all("p", "li", "td", "th"):
            yield each.text


@cache
def outputs(name: str) -> Outputs:
    if name == "startup":
        subject, html = startup(), startup_html()
    else:
        subject = subject_of(example(name))
        # What would change the answer, and what grows, take long and have their own tests.
        subject.switcher = _Nothing()  # type: ignore[misc, assignment]
        subject.limits, subject.growth = [], None  # type: ignore[misc]
        html = html_of(report_of(subject))
    study = subject.study
    layouts = [choice.layout for choice in subject.choices][:2]
    records = []
    for choice in subject.choices[:2]:
        record = layout_record(study, choice.layout, choice.ranked)
        record["utilities"] = utilities_record(choice.layout)
        findings = subject.findings if choice is subject.first else _findings(subject, choice)
        add_assessed(record, study, choice.layout, findings)
        records.append(record)
    return Outputs(
        records,
        [choice.record for choice in subject.choices[2:]],
        [layout_text(study, layout) for layout in layouts],
        comparison_text(study, ["1", "2"], compare(study, layouts), everything=True),
        page_of(html),
        opened(workbook_bytes(study, subject.answer, layouts=layouts), values=True),
    )


class _Nothing:
    """A tracer that finds no value at which the answer changes."""

    first = None

    def all(self) -> dict[str, Any]:
        return {}


def _findings(subject: Any, choice: Any) -> Any:
    from lineconfig.findings.whole import findings_of

    return findings_of(subject.study.inquiry, choice.layout)


def row(text: str, label: str) -> list[str]:
    """The figures behind a label that begins a line, in the section where it stands first."""
    found = re.search(rf"^ *{re.escape(label)} {{2,}}(.*)$", text, re.MULTILINE)
    assert found is not None, label
    return re.findall(r"-?\d[\d,]*(?:\.\d+)?", found[1])


@pytest.mark.parametrize("name", MEETABLE)
def test_amounts_are_printed_alike_everywhere(name: str) -> None:
    out = outputs(name)
    first, yearly, compared = (
        out.table(caption) for caption in ("First cost, typical", "Yearly cost", "Layouts compared")
    )
    life = next(values for key, values in out.table("Over the horizon").items() if "Cost of" in key)
    for place, (record, shown) in enumerate(zip(out.records, out.shown, strict=True)):
        amounts = {**record["first_cost_items"], "first_cost": record["first_cost"]}
        for item, amount in amounts.items():
            label = item.replace("_", " ")
            wanted = [printed(amount[end]) for end in ("typical", "low", "high")]
            assert row(shown, label) == wanted
            cell = next(v for k, v in first.items() if k.casefold() == label)[place]
            assert re.findall(r"[\d,]+", cell) == wanted
        for heading, amount in record["annual_cost"].items():
            assert row(shown, heading) == [printed(amount)]
            said = HEADINGS.get(heading, heading)
            cells = next(v for k, v in yearly.items() if k.startswith(said))
            assert cells[place] == printed(amount)
        cost = record["life_cycle_cost"]
        ends = [printed(cost[end]) for end in ("typical", "low", "high")]
        assert re.findall(r"[\d,]+", life[place]) == ends
        assert ends == re.findall(r"[\d,]{4,}", re.search(r"cost of \d+ years.*", shown)[0])  # type: ignore[index]
        over = re.compile(r"Cost of \d+ years\b")
        cell = next(v for k, v in compared.items() if over.match(k))[place]
        assert re.findall(r"[\d,]+", cell) == ends
        total = sum(record["annual_cost"].values())
        for found in (
            yearly["Together"][place],
            next(v for k, v in compared.items() if k.startswith("Yearly cost"))[place],
            row(out.compared, "cost a year (USD)")[place],
        ):
            assert found == printed(round(total, 2))
        assert row(out.compared, "first cost (USD)")[place] == printed(
            amounts["first_cost"]["typical"]
        )


@pytest.mark.parametrize("name", MEETABLE)
def test_speeds_people_hours_and_sizes_are_printed_alike_everywhere(name: str) -> None:
    out = outputs(name)
    compared = out.table("Layouts compared")

    def said(opening: str, place: int) -> str:
        return next(v for k, v in compared.items() if k.startswith(opening))[place]

    for place, (record, shown) in enumerate(zip(out.records, out.shown, strict=True)):
        speed, heights = record["speed_cpm"], record["heights_mm"]
        for figure, document, table in (
            (speed["rated"], "Rated speed", "rated speed (cpm)"),
            (speed["effective"], "Effective speed", "effective speed (cpm)"),
            (record["crew"]["people"], "People", "people"),
            (record["hours_per_year"]["together"], "Hours a year", "hours a year (h)"),
            (heights["unload_deck"], "", "unloader's deck (mm)"),
        ):
            told = printed(figure)
            assert row(out.compared, table)[place] == told
            assert not document or said(document, place).split(" ")[0] == told
        hours = record["hours_per_year"]
        for label, key in (("cans running", "running"), ("format changes", "changeover"),
                           ("start-up and cleaning", "start_up_and_cleaning")):  # fmt: skip
            assert row(shown, label)[0] == printed(hours[key])
        for format_id, by_format in speed["by_format"].items():
            told = [printed(by_format[key]) for key in ("needed", "rated", "effective")]
            assert any(
                row(shown.split("Speed (cpm)")[1], label)[: len(told)] == told
                for label in _names(out, format_id)
            )
        connected = printed(record["utilities"]["kw"], 1)
        assert f" {connected} kW connected" in " ".join(shown.split())
        assert row(out.compared, "connected power (kW)")[place] == connected
        assert said("Connected power", place) == connected
        assert place or out.table("Utilities of")["Together"][0] == connected


def _names(out: Outputs, format_id: str) -> list[str]:
    """Names of formats of the document; the one with this id is among them."""
    assert format_id
    return [name for name in out.table("Formats") if name != "Format"]


@pytest.mark.parametrize("name", MEETABLE)
def test_the_workbook_has_the_amounts_of_the_json(name: str) -> None:
    out = outputs(name)
    rows = {r[0].value: r for r in out.book["Summary"].iter_rows() if r[0].value}
    for place, record in enumerate(out.records):
        for label, amount in (
            ("First cost, low", record["first_cost"]["low"]),
            ("First cost, typical", record["first_cost"]["typical"]),
            ("First cost, high", record["first_cost"]["high"]),
            ("Yearly cost", sum(record["annual_cost"].values())),
            ("Life-cycle cost, typical", record["life_cycle_cost"]["typical"]),
        ):
            assert rows[label][2 + place].value == pytest.approx(amount, abs=7 * CENT)
        assert rows["People"][2 + place].value == record["crew"]["people"]


@pytest.mark.parametrize("name", MEETABLE)
def test_no_amount_stands_one_beside_itself(name: str) -> None:
    """Whatever is printed in whole thousands is a figure of the JSON, a difference of two such, or
    nowhere near one."""
    out = outputs(name)
    every = [*out.records, *out.others]
    known = {number(each) for record in every for each in _amounts(record)}
    subtracted = [
        {number(record["first_cost"]["typical"]) for record in every}
        | {number(record["returns"]["by_year"][0]["cheapest_spent"]) for record in out.records},
        {number(record["life_cycle_cost"]["typical"]) for record in every}
        | {number(record["returns"]["by_year"][-1]["cheapest_present_value"])
           for record in out.records},
        {number(sum(record["annual_cost"].values())) for record in every}
        | {number(_cheapest_yearly(record)) for record in out.records},
    ]  # fmt: skip
    # What a reader subtracts from another printed amount is printed so.
    off = {a - b for group in subtracted for a, b in permutations(group, 2)}
    extra = {number(record["returns"]["against"][key]) for record in out.records
             for key in ("extra_first_cost", "yearly_saving", "net_present_value")}  # fmt: skip
    known = (known - extra) | off
    wrong = {
        told
        for text in out.texts()
        for told in _printed(text)
        if told >= 10_000 and told not in known and {told - 1, told + 1} & known
    }
    assert not wrong


def _cheapest_yearly(record: dict[str, Any]) -> float:
    start, end = record["returns"]["by_year"][:2]
    spent = end["cheapest_spent"] - start["cheapest_spent"]
    return float(spent / (end["year"] - start["year"]))


def _amounts(record: Any) -> Iterator[float]:
    """Every number of a record."""
    if isinstance(record, dict):
        for value in record.values():
            yield from _amounts(value)
    elif isinstance(record, list):
        for value in record:
            yield from _amounts(value)
    elif isinstance(record, int | float) and not isinstance(record, bool):
        yield float(record)


def _printed(text: str) -> Iterator[int]:
    for found in re.findall(r"(?<![\d,.])\d{1,3}(?:,\d{3})+(?![\d,]|\.\d)", text):
        yield int(found.replace(",", ""))


@pytest.mark.parametrize("name", MEETABLE)
def test_sums_add_up_or_are_said_to_be_of_rounded_figures(name: str) -> None:
    out = outputs(name)
    for shown in out.shown:
        money = shown.split("Money (")[1].split("\nChange parts")[0]
        parts = [int(row(money, item.replace("_", " "))[0].replace(",", ""))
                 for item in out.records[0]["first_cost_items"]]  # fmt: skip
        total = int(row(money, "first cost")[0].replace(",", ""))
        assert abs(sum(parts) - total) <= len(parts) / 2
        assert sum(parts) == total or "rounded by itself" in " ".join(money.split())
    for caption, section in (("First cost, typical", "money"), ("Utilities of", "utilities")):
        table = out.table(caption)
        (where,) = (
            each
            for each in out.page.all("section")
            if each.attributes["aria-labelledby"] == section
        )
        columns = [value for key, value in table.items() if key in ("First cost", "Together")]
        assert columns and "rounded by itself" in where.text


def test_halves_are_rounded_up_whatever_they_were_rounded_to_before() -> None:
    """575,558.50 is 575,559: rounding to even would make 575,558 of the JSON's cents."""
    from lineconfig.rounding import amount_text, difference, fixed

    for raw, text in ((575_558.5, "575,559"), (575_558.4999, "575,559"), (575_558.4949, "575,558"),
                      (0.4, "0"), (-0.4, "0"), (-2.5, "-3")):  # fmt: skip
        assert amount_text(raw) == amount_text(round(raw, 2)) == text
    for one, other in product((36_224.4, 36_224.6, 31_000.0), repeat=2):
        told = [int(amount_text(each).replace(",", "")) for each in (one, other)]
        assert difference(one, other) == told[0] - told[1]
    assert fixed(16.05, 1, 3) == "16.1"
