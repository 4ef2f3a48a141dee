"""The line itself: flow with speeds and heights, plan and elevation, people by post."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from lineconfig.choose.heights import stack_layers
from lineconfig.choose.rules import length_text
from lineconfig.floorplan.chain import chain_of
from lineconfig.floorplan.plan import Plan
from lineconfig.layout import CHAIN
from lineconfig.present.placement import along_flow_text
from lineconfig.present.schedule import weeks_text
from lineconfig.present.stacks import stack_texts
from lineconfig.present.text import plain_name
from lineconfig.quantities import feet_and_inches
from lineconfig.report.document import (
    MOST_ON_A_PAGE,
    Block,
    Column,
    Paragraph,
    Picture,
    Section,
    Table,
)
from lineconfig.report.pictures import drawing
from lineconfig.report.sections.choice import people_text
from lineconfig.report.subject import Choice, Subject
from lineconfig.rounding import area_text, cpm_text, minutes_text, mm_text


def flow_section(subject: Subject) -> Section:
    """Stations, heights and speeds."""
    words = subject.words
    main = subject.study.need.main_format.container.name
    simulation = subject.first.record["speed_cpm"]["simulation"]
    blocks: list[Block] = [
        Paragraph(words("flow.lead", format=main)),
        _stations(subject),
        _heights(subject),
        _speeds(subject),
        Paragraph(
            words("flow.speeds_note", hours=simulation["hours"], seed=simulation["seed"]), "note"
        ),
        _empties(subject),
        *(Paragraph(text) for text in stack_texts(subject.study, subject.first.layout)),
    ]
    return Section("flow", words("flow.title"), tuple(blocks))


def _stations(subject: Subject) -> Table:
    words = subject.words
    columns = (
        Column(words("flow.number"), "number"),
        Column(words("flow.station")),
        Column(words("flow.function")),
        Column(words("flow.pieces"), "number"),
        Column(words("flow.speed"), "number"),
        Column(words("flow.size"), "number"),
        Column(words("flow.infeed"), "number"),
        Column(words("flow.discharge"), "number"),
    )
    return Table(words("flow.stations"), columns, tuple(_station_rows(subject)))


def _station_rows(subject: Subject) -> Iterator[tuple[str, ...]]:
    words, main = subject.words, subject.study.need.main_format.id
    unknown = words("document.unknown")
    for number, station in enumerate(subject.first.record["stations"], 1):
        name = station["name"]
        speed = station["rated_cpm"][main]
        size = [station["size_mm"][side] for side in ("length", "width", "height")]
        pieces = f"{station['quantity']:.3g}"
        yield (
            str(number),
            words("flow.owned", name=name) if station["existing"] else name,
            subject.function(station["function"]),
            words("flow.metres", count=pieces) if station["class"] == CHAIN else pieces,
            unknown if speed is None else cpm_text(speed),
            " × ".join(mm_text(side) for side in size) if size[0] else unknown,
            *(
                unknown if station[end] is None else mm_text(station[end])
                for end in ("infeed_mm", "discharge_mm")
            ),
        )


def _heights(subject: Subject) -> Table:
    words, heights = subject.words, subject.first.record["heights_mm"]
    rows = {
        "filler": heights["filler_infeed"],
        "deck": heights["unload_deck"],
        "drop": heights["drop"],
        "top": heights["frame_top"],
        "highest": heights["highest_point"],
        "ceiling": subject.study.inquiry.ceiling_mm,
        "spare": heights["ceiling_spare"],
    }
    return Table(
        words("flow.heights"),
        (
            Column(words("flow.height")),
            Column(words("flow.mm"), "number"),
            Column(words("flow.feet"), "number"),
        ),
        tuple(
            (words(f"flow.{key}"), f"{value:,.0f}", feet_and_inches(value))
            for key, value in rows.items()
        ),
        whole=True,
    )


def _speeds(subject: Subject) -> Table:
    words = subject.words
    figures = ("needed", "rated", "effective", "lower_bound", "upper_bound", "simulated")
    labels = ("needed", "rated", "effective", "lower", "upper", "simulated")
    said = {None: "", "effective": words("flow.below"), "bracket": words("flow.may_be_below")}
    by_format: dict[str, dict[str, Any]] = subject.first.record["speed_cpm"]["by_format"]
    return Table(
        words("flow.by_format"),
        (
            Column(words("need.format")),
            *(Column(words(f"flow.{label}"), "number") for label in labels),
            Column(words("flow.verdict")),
        ),
        tuple(
            (
                subject.format_name(format_id),
                *(cpm_text(row[figure]) for figure in figures),
                said[row["below_need"]],
            )
            for format_id, row in by_format.items()
        ),
        whole=len(by_format) < MOST_ON_A_PAGE,
    )


def _empties(subject: Subject) -> Table:
    words, study, layout = subject.words, subject.study, subject.first.layout
    forms = study.inquiry.forms(layout.station("supply").option)
    return Table(
        words("flow.empties"),
        (
            Column(words("need.format")),
            Column(words("flow.layers"), "number"),
            Column(words("flow.layer"), "number"),
            Column(words("flow.stack"), "number"),
        ),
        tuple(
            (
                fmt.container.name,
                f"{layout.heights.layers_at_once[index]} / {stack_layers(fmt.container, form)}",
                f"{layout.layer_interval_min[index]:.1f}",
                minutes_text(layout.pallet_interval_min[index]),
            )
            for index, (fmt, form) in enumerate(zip(study.need.formats, forms, strict=True))
        ),
        whole=len(study.need.formats) < MOST_ON_A_PAGE,
    )


# --- plan and elevation ------------------------------------------------------------------------


def plan_section(subject: Subject) -> Section:
    """Where each layout stands, and its sheet."""
    words = subject.words
    blocks: list[Block] = []
    for choice in subject.choices:
        blocks += _placed(subject, choice)
    note = words("plan.scale")
    if len(subject.choices) > 1:
        note = f"{note} {words('plan.sheets')}"
    blocks.append(Paragraph(note, "note"))
    for choice in subject.choices:
        svg = drawing(subject.study, choice.layout, subject.paper, f"sheet-{choice.label}")
        blocks.append(Picture(svg, words("plan.caption", label=choice.label), sheet=True))
    return Section("plan", words("plan.title"), tuple(blocks))


def _placed(subject: Subject, choice: Choice) -> Iterator[Paragraph]:
    words, floor = subject.words, choice.record["floor"]
    label = choice.label
    length, area = length_text(floor["length_mm"]), area_text(floor["area_m2"])
    if floor["fits"] is None:
        yield Paragraph(words("plan.open", label=label, length=length, area=area))
        return
    if not floor["fits"]:
        yield Paragraph(words("plan.lacks", label=label, why=floor["why_not"]), "warning")
        return
    text = words(
        "plan.fits", label=label, length=length, width=length_text(floor["width_mm"]), area=area,
        hand=words.of("hand", floor["hand"]),
    )  # fmt: skip
    if floor["turns"]:
        turns = ", ".join(words.of("hand", turn) for turn in floor["turns"])
        text = f"{text} {words('plan.turns', turns=turns)}"
    yield Paragraph(" ".join((text, *map(words.said, floor["notes"]))))
    yield Paragraph(_chain(subject, choice))


def _chain(subject: Subject, choice: Choice) -> str:
    """What joins the machines of a plan, and what it costs."""
    words, study, layout = subject.words, subject.study, choice.layout
    plan = study.plan(layout)
    assert isinstance(plan, Plan)
    chain = chain_of(plan, layout.stations, study.inquiry)
    said = [
        words(
            "plan.chain", straight=f"{chain.straight_mm / 1000:,.1f}", bends=chain.bends,
            cans=chain.holds_cans,
        )
    ]  # fmt: skip
    if not subject.hide_prices:
        amount, beyond = subject.money(chain.price.typical), subject.money(abs(chain.beyond))
        if chain.beyond:
            key = "plan.chain_more" if chain.beyond > 0 else "plan.chain_less"
            said.append(words(key, amount=amount, beyond=beyond))
        else:
            said.append(words("plan.chain_price", amount=amount))
    said.append(along_flow_text(study, layout, plan))
    return " ".join(said)


# --- people ------------------------------------------------------------------------------------


def crew_section(subject: Subject) -> Section:
    """People by post, their lifts, and the running order that they keep."""
    words, layout = subject.words, subject.first.layout
    people = people_text(subject, layout.crew.people)
    blocks: list[Block] = [Paragraph(words("crew.lead", people=people)), _posts(subject)]
    blocks += _lifting(subject)
    blocks += _order(subject)
    return Section("crew", words("crew.title"), tuple(blocks))


def _posts(subject: Subject) -> Table:
    words, layout = subject.words, subject.first.layout
    posts = zip(layout.crew.posts, subject.first.record["crew"]["posts"], strict=True)
    return Table(
        words("crew.posts"),
        (
            Column(words("crew.post"), "number"),
            Column(words("crew.stations")),
            Column(words("crew.names")),
            Column(words("crew.busy"), "number"),
            Column(words("crew.wait"), "number"),
        ),
        tuple(
            (
                str(number),
                ", ".join(str(index + 1) for index in sorted(post.stations)),
                "; ".join(
                    plain_name(layout.stations[index].option.equipment)
                    for index in sorted(post.stations)
                    if layout.crew.workloads[index] > 0 or post.always
                ),
                words("crew.always") if post.always else f"{record['workload']:.0%}",
                words("document.unknown") if post.always else f"{record['wait_min']:.1f}",
            )
            for number, (post, record) in enumerate(posts, 1)
        ),
    )


def _lifting(subject: Subject) -> list[Block]:
    words, posts = subject.words, subject.findings.lifting.posts
    if not posts:
        return []
    rows = tuple(
        (
            str(post.post + 1),
            f"{post.composite_index:.1f}"
            if math.isfinite(post.composite_index)
            else words("crew.no_limit"),
            post.hardest,
            subject.format_name(post.format_id),
        )
        for post in sorted(posts, key=lambda post: post.post)
    )
    columns = (
        Column(words("crew.post"), "number"),
        Column(words("crew.index"), "number"),
        Column(words("crew.hardest")),
        Column(words("need.format")),
    )
    return [
        Table(words("crew.lifting"), columns, rows),
        Paragraph(words("crew.lifting_note"), "note"),
    ]


def _order(subject: Subject) -> list[Block]:
    words, schedule = subject.words, subject.schedule
    if schedule is None:
        return []
    key = "crew.order_lead" if schedule.spare_hours >= 0 else "crew.order_short"
    lead = words(
        key,
        weeks=weeks_text(schedule.cycle_weeks),
        run=f"{schedule.run_hours:.1f}",
        change=f"{schedule.changeover_hours:.1f}",
        available=f"{schedule.available_hours:.1f}",
        spare=f"{abs(schedule.spare_hours):.1f}",
    )
    return [
        Paragraph(lead),
        Table(
            words("crew.order"),
            (
                Column(words("flow.number"), "number"),
                Column(words("need.format")),
                Column(words("crew.change"), "number"),
                Column(words("crew.campaign_cans"), "number"),
                Column(words("crew.campaign_hours"), "number"),
            ),
            tuple(
                (
                    str(number),
                    campaign.format.container.name,
                    minutes_text(campaign.change_min),
                    f"{campaign.cans:,.0f}",
                    f"{campaign.hours:.1f}",
                )
                for number, campaign in enumerate(schedule.campaigns, 1)
            ),
        ),
    ]
