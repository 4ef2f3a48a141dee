"""A recommendation as text: the need, the arrangements, the best of all, and what was assumed."""

from __future__ import annotations

from collections.abc import Iterator

from lineconfig.present.nothing import no_layout_lines
from lineconfig.present.placement import passed_over_sentence
from lineconfig.present.text import VIEW_WORDS, differences, short_amount
from lineconfig.present.wrapping import WIDTH, clip, heading, wrapped
from lineconfig.rank import LETTERS, Ranked, Recommendation
from lineconfig.session import Study

MOST_KINDS = 12


def recommendation_text(study: Study, answer: Recommendation) -> str:
    """What `recommend` prints."""
    lines = [*_need_lines(study), ""]
    if answer.no_layout is not None:
        lines += no_layout_lines(answer.no_layout)
        return "\n".join(lines)
    lines += _arrangement_table(study, answer)
    lines += _overall_table(study, answer)
    lines += _counts(study, answer)
    lines += _defaults(study)
    lines += [
        "",
        *wrapped(
            "Prices are those of the catalogue (its own are invented). Look at one with "
            "`lineconfig show BRIEF A` or `show BRIEF 1`. Local codes and licensed practice decide "
            "on guarding, electrical work and egress."
        ),
    ]
    return "\n".join(lines)


def _need_lines(study: Study) -> list[str]:
    need = study.need
    title = f"{need.brief.name}: {need.main_format.needed_cpm:,.0f} cpm"
    formats = ", ".join(
        f"{fmt.container.name} ({fmt.annual_cans:,.0f} a year)" for fmt in need.formats
    )
    return [title, "=" * min(len(title), WIDTH), *wrapped(formats)]


def _arrangement_table(study: Study, answer: Recommendation) -> list[str]:
    horizon = f"{study.need.horizon_years:g} years"
    lines = [
        f"Best of each kind of arrangement, {VIEW_WORDS[answer.view]}",
        "",
        (
            f"{'':4}{'unloading':31}{'first cost':>11}{'people':>8}{'cpm':>6}{'m2':>5}"
            f"{'in ' + horizon:>15}"
        ),
    ]
    for letter, item in zip(LETTERS[:MOST_KINDS], answer.arrangements, strict=False):
        lines += _arrangement_rows(study, letter, item)
    if len(answer.arrangements) > MOST_KINDS:
        lines.append(f"    and {len(answer.arrangements) - MOST_KINDS} more kinds (see --json)")
    return lines


def _arrangement_rows(study: Study, letter: str, item: Ranked) -> Iterator[str]:
    layout = item.layout
    main = study.need.formats.index(study.need.main_format)
    name = layout.station("unload").option.equipment.name
    yield (
        f"{letter:3} {clip(name, 31):31}{short_amount(layout.money.first_cost.typical):>11}"
        f"{layout.crew.people:>8}{layout.speed.effective[main]:>6.0f}{layout.floor.area_m2:>5.0f}"
        f"{short_amount(layout.money.life_cycle_cost.typical):>15}"
    )
    lower = layout.station("lower").option.equipment.name
    yield from wrapped(f"+ {lower[0].lower()}{lower[1:]}; {item.reason}", 4, 6)


def _overall_table(study: Study, answer: Recommendation) -> list[str]:
    first = answer.layouts[0].layout
    lines = [
        *heading(f"The {len(answer.layouts)} best of all, {VIEW_WORDS[answer.view]}"),
        f"{'':3}{'id':34}{'first cost':>11}{'people':>8}{'cost of life':>14}{'first in':>10}",
    ]
    for item in answer.layouts:
        layout, share = item.layout, item.stays_first or 0.0
        lines.append(
            f"{item.rank:<3}{clip(layout.id, 34):34}"
            f"{short_amount(layout.money.first_cost.typical):>11}{layout.crew.people:>8}"
            f"{short_amount(layout.money.life_cycle_cost.typical):>14}{share:>10.0%}"
        )
        if layout is not first:
            lines += wrapped(differences(study, first, layout), 3, 5)
        else:
            lines += wrapped(layout.title, 3, 5)
    return lines


def _counts(study: Study, answer: Recommendation) -> list[str]:
    if answer.valid_layouts is not None:
        count = f"{answer.valid_layouts:,} layouts meet every rule and limit"
    else:
        count = (
            f"{study.combinations:,} combinations meet the rules; those beyond people, money, "
            "hours and floor are left out as the list is made"
        )
    complete = "the list is exact" if answer.complete else "the search was stopped: not complete"
    passed_over = passed_over_sentence(study)
    if passed_over is not None:
        complete += f". {passed_over.removesuffix('.')}"
    return ["", *wrapped(f"{count}; {complete}. `first in`: share of price draws in which the "
                         f"layout is first of these (seed {answer.seed}).")]  # fmt: skip


def _defaults(study: Study) -> list[str]:
    if not study.need.defaults_used:
        return []
    return ["", *wrapped("Assumed, for want of an answer: " + "; ".join(study.need.defaults_used))]
