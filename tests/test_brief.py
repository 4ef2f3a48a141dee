"""Briefs: from what a client writes to a need with everything settled, and back.

Names and figures of the clients are invented.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.errors import InputError, Problem
from lineconfig.locate import examples_dir
from lineconfig.need import Need
from lineconfig.need_reading import brief_as_read, need_of_text, read_brief, read_need, settle

MINIMAL = (
    "brief: 1\nspeed: 60 cpm\nformats: [{container: can-355-standard}]\nsite: {ceiling: 12 ft}\n"
)

SALTMARSH = """\
brief: 1
name: Saltmarsh Cider            # invented
product: {kind: cider, carbonation: 2.6 vol, fill_temperature: 2 degC, heat_treatment: none}
speed: 60 cpm
formats:
  - container: can-355-standard
    annual_cans: 900000
    supply: full-pallet
    rehandled: false
    open_storage: false
operation: {hours_per_week: 24, weeks_per_year: 50, changeovers_per_week: 1}
site:
  length: 40 ft
  width: 24 ft
  ceiling: 12 ft
  door: {width: 8 ft, height: 8 ft}
  obstacles: [{name: column, x: 10 ft, y: 8 ft, length: 1 ft, width: 1 ft}]
  power: {phases: 3, volts: 208, amperes: 100}
  water: 10 gpm
  air: 20 cfm
mobility: fixed
staff: {per_shift: 3, wage: 32 USD/h, ladder_work: false}
rinse: auto
budget: 350000 USD
horizon: 7 years
discount_rate: 8 %
existing: [{function: fill, speed: 60 cpm, infeed_height: 38 in}]
exclude: []
require: []
prefer: life-cycle-cost
growth:
  - {year: 3, volume: 250 %, add_formats: [{container: can-473-standard, share: 30 %}]}
"""
"""The brief of the project's contract: it stays readable."""


@cache
def catalog() -> Catalog:
    return load_catalog()


def need(text: str) -> Need:
    return need_of_text(text, "brief.yaml", catalog())


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        need(text)
    assert all(problem.file == "brief.yaml" for problem in caught.value.problems)
    return caught.value.problems


def only(text: str) -> tuple[int, str]:
    (problem,) = problems(text)
    return problem.line, problem.text


def with_line(line: str, base: str = MINIMAL) -> str:
    """A brief with one more line, which stands last."""
    return f"{base}{line}\n"


# --- what is read ----------------------------------------------------------------------------


def test_the_contracts_brief_is_read() -> None:
    found = need(SALTMARSH)
    assert found.brief.name == "Saltmarsh Cider"
    assert found.brief.site.ceiling_mm == pytest.approx(12 * 304.8)  # NIST SP 811: 1 ft
    assert (found.hours_per_week, found.weeks_per_year, found.wage_per_h) == (24, 50, 32)
    assert (found.discount_rate, found.horizon_years, found.currency) == (0.08, 7, "USD")
    (fmt,) = found.formats
    assert (fmt.annual_cans, fmt.needed_cpm, fmt.supply) == (900_000, 60, "full-pallet")
    assert found.defaults_used == ("formats.label: printed",)
    # The step of year 3 in hand figures: 2.25 million cans, 30 % of them in the new format.
    (phase,) = found.phases
    assert phase.year == 3
    assert [(can.id, cans) for can, cans in phase.volumes] == [
        ("can-355-standard", pytest.approx(1_575_000)),
        ("can-473-standard", pytest.approx(675_000)),
    ]


def test_a_minimal_brief_names_every_default() -> None:
    found = need(MINIMAL)
    defaults = catalog().economics.defaults
    reason = "from 60 cpm over 2000 h a year at 75 % planned"
    assert found.defaults_used == (
        "product.carbonation: 2.5 vol",
        "product.fill_temperature: 2 degC",
        "product.heat_treatment: none",
        f"operation.hours_per_week: {defaults.hours_per_week:g}",
        f"operation.weeks_per_year: {defaults.weeks_per_year:g}",
        f"operation.changeovers_per_week: {defaults.changeovers_per_week:g}",
        # 60 cans x 60 min x 40 h x 50 weeks x 75 %, by hand.
        f"formats.can-355-standard.annual_cans: 5400000 ({reason})",
        "formats.rehandled: false",
        "formats.open_storage: false",
        "formats.label: printed",
        f"staff.wage: {defaults.wage.text}",
        f"horizon: {defaults.horizon_years.text}",
        f"discount_rate: {defaults.discount_rate.text}",
        "staff.ladder_work: false",
        "mobility: fixed",
        "rinse: auto",
        "prefer: life-cycle-cost",
    )
    assert found.wage_per_h == defaults.wage
    assert found.annual_cans == 5_400_000


def test_what_is_written_is_no_default() -> None:
    told = with_line("mobility: fixed\nstaff: {wage: 20 USD/h}\nrinse: auto")
    used = need(told).defaults_used
    assert not any(line.startswith(("mobility", "rinse", "staff.wage")) for line in used)
    # A key with nothing behind it leaves the matter open.
    assert "horizon: 7 years" in need(with_line("horizon:")).defaults_used


def test_read_brief_takes_a_path(tmp_path: Path) -> None:
    file = tmp_path / "brief.yaml"
    file.write_text(MINIMAL, encoding="utf-8")
    assert read_brief(file).speed_cpm == read_brief(str(file)).speed_cpm == 60
    assert read_need(file, catalog()).speed_cpm == 60


@pytest.mark.parametrize(
    "path", sorted(examples_dir().glob("*.yaml")), ids=lambda path: str(path.stem)
)
def test_every_example_is_read(path: Path) -> None:
    found = read_need(path, catalog())
    assert found.formats and found.speed_cpm > 0


# --- speed and volumes -----------------------------------------------------------------------


def format_list(*entries: str, head: str = "") -> str:
    rows = "".join(f"  - {{{entry}}}\n" for entry in entries)
    return f"brief: 1\n{head}formats:\n{rows}site: {{ceiling: 12 ft}}\n"


HOURS = "operation: {hours_per_week: 20, weeks_per_year: 50}\n"
"""1000 h a year: 45,000 min at 75 % planned."""


def test_speed_follows_from_volume_and_hours() -> None:
    found = need(format_list("container: can-355-standard, annual_cans: 1000000", head=HOURS))
    # 1,000,000 / 45,000 min = 22.22 a minute, rounded up to a tenth.
    assert found.speed_cpm == pytest.approx(22.3)
    assert found.formats[0].needed_cpm == pytest.approx(22.3)
    assert any(
        line == "speed: 22.3 cpm (from annual_cans over 1000 h a year at 75 % planned)"
        for line in found.defaults_used
    )


def test_volume_follows_from_speed_and_hours() -> None:
    found = need(
        format_list(
            "container: can-355-standard, annual_cans: 700000",
            "container: can-473-standard",
            "container: can-330-sleek",
            head=HOURS + "speed: 60 cpm\n",
        )
    )
    # 60 x 45,000 = 2.7 million, less 0.7 million, shared by two.
    assert [fmt.annual_cans for fmt in found.formats] == [700_000, 1_000_000, 1_000_000]
    assert found.main_format.id == "can-473-standard"


def test_a_larger_container_is_asked_less_a_smaller_one_no_more() -> None:
    found = need(
        format_list(
            "container: can-355-standard, annual_cans: 900000",
            "container: can-710-wide, annual_cans: 100000",
            "container: can-250-slim, annual_cans: 100000",
            "container: can-473-standard, annual_cans: 100000, speed: 55 cpm",
            head="speed: 60 cpm\n",
        )
    )
    # 60 x 355 / 710 = 30; the brief's own figure holds for the last.
    assert [fmt.needed_cpm for fmt in found.formats] == pytest.approx([60, 30, 60, 55])


def test_neither_speed_nor_volume() -> None:
    line, said = only(format_list("container: can-355-standard"))
    assert line == 1 and "neither speed nor annual_cans is given" in said


def test_without_a_speed_every_format_needs_its_volume() -> None:
    line, said = only(
        format_list("container: can-355-standard, annual_cans: 1", "container: can-473-standard")
    )
    assert line == 4 and said.startswith("formats[2]: has no annual_cans")


def test_volumes_that_leave_no_hours() -> None:
    line, said = only(
        format_list(
            "container: can-355-standard, annual_cans: 3000000",
            "container: can-473-standard",
            head=HOURS + "speed: 60 cpm\n",
        )
    )
    assert line == 6 and "the others fill the 1,000 h a year at 60 cpm already" in said


def test_a_volume_that_no_line_makes() -> None:
    _, said = only(format_list("container: can-355-standard, annual_cans: 900000000", head=HOURS))
    assert "no line is so fast" in said


# --- containers in place ---------------------------------------------------------------------

INLINE = "kind: two-piece-can, diameter: 2.602 in, height: 4.812 in, volume: 355 ml, end: '202'"


def test_a_container_in_place_gets_an_estimated_pallet() -> None:
    # The published 211 x 413 body (CMI, Voluntary Can and End Dimension Reference Manual). A bulk
    # pallet of them holds 21 layers of 389 (common practice): the estimate must come close.
    can = need(format_list(f"container: {{{INLINE}}}", head="speed: 60 cpm\n")).formats[0].container
    assert can.id == "inline-355-66x122"
    assert can.closing == "seam"
    assert can.pallet.per_layer == pytest.approx(389, rel=0.04)
    assert can.pallet.layers == 21
    assert can.pallet.half_stack_layers == 11
    assert can.empty_mass_kg == pytest.approx(0.013, rel=0.2)  # 12 to 14 g, from memory
    assert "estimated" in can.basis["pallet.per_layer"] and "2.65 m" in can.basis["pallet.layers"]


@pytest.mark.parametrize("known", catalog().containers.values(), ids=lambda can: str(can.id))
def test_estimates_meet_the_catalogues_pallets(known: Any) -> None:
    entry = (
        f"kind: {known.kind}, diameter: {known.diameter_mm.text}, height: {known.height_mm.text}, "
        f"volume: {known.volume_ml.text}, end: '{known.end}'"
    )
    found = need(format_list(f"container: {{{entry}}}", head="speed: 60 cpm\n")).formats[0]
    pallet = found.container.pallet
    assert found.container.closing == known.closing
    assert abs(pallet.layers - known.pallet.layers) <= 1
    # Bottles stand on another pallet than the 44 x 56 in of cans.
    if known.kind != "glass-bottle":
        assert pallet.per_layer == pytest.approx(known.pallet.per_layer, rel=0.04)
    assert found.container.empty_mass_kg == pytest.approx(known.empty_mass_kg, rel=0.45)


def test_two_alike_in_place_are_told_apart() -> None:
    other = INLINE.replace("4.812", "4.80")
    found = need(
        format_list(f"container: {{{INLINE}}}", f"container: {{{other}}}", head="speed: 60 cpm\n")
    )
    assert [fmt.id for fmt in found.formats] == ["inline-355-66x122", "inline-355-66x122-2"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"2.602 in": "2.6 m"}, "diameter 2.6 m is out of range"),
        ({"4.812 in": "4.812 mm"}, "height 4.812 mm is out of range"),
        ({"355 ml": "355 l"}, "volume 355 l is out of range"),
        ({"355 ml": "500 ml"}, "holds less than 419 ml, so not 500 ml"),  # pi/4 d2 h by hand
    ],
)
def test_a_container_that_cannot_be(change: dict[str, str], said: str) -> None:
    entry = INLINE
    for old, new in change.items():
        entry = entry.replace(old, new)
    line, found = only(format_list(f"container: {{{entry}}}", head="speed: 60 cpm\n"))
    assert line == 4 and found.startswith("formats[1].container: ") and said in found


# --- what follows from what ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entry", "why"), [("supply: loose", "supplied loose"), ("label: pre-sleeved", "pre-sleeved")]
)
def test_loose_and_sleeved_cans_are_handled_again(entry: str, why: str) -> None:
    found = need(format_list(f"container: can-355-standard, {entry}", head="speed: 60 cpm\n"))
    assert found.formats[0].rehandled
    assert f"formats.can-355-standard.rehandled: true ({why})" in found.defaults_used
    assert "formats.rehandled: false" not in found.defaults_used
    plain = need(format_list("container: can-355-standard", head="speed: 60 cpm\n"))
    assert not plain.formats[0].rehandled


def test_a_lower_speed_of_larger_containers_is_told_as_assumed() -> None:
    rows = (
        "container: can-355-standard, annual_cans: 900000",
        "container: can-473-standard, annual_cans: 200000",
        "container: can-250-slim, annual_cans: 100000",
    )
    found = need(format_list(*rows, head="speed: 100 cpm\n"))
    # 100 x 355 / 473 = 75.05; a smaller container is asked for no more than the main one.
    (told,) = (text for text in found.defaults_used if ".speed: " in text)
    why = "473 ml take longer to fill than the 355 ml asked for at 100 cpm"
    assert told == f"formats.can-473-standard.speed: 75 cpm ({why})"
    assert [round(fmt.needed_cpm, 2) for fmt in found.formats] == [100, 75.05, 100]
    own = (rows[0], rows[1] + ", speed: 80 cpm")
    stated = need(format_list(*own, head="speed: 100 cpm\n"))
    assert not any(".speed: " in text for text in stated.defaults_used)


# --- impossible values -----------------------------------------------------------------------

LARGER, WIDE = "{container: can-473-standard", "{container: can-710-wide"
COLUMN = "{name: column, x: 39.5 ft, y: 1 m, length: 1 ft, width: 1 ft}"
PIT = "{name: pit, x: 1 m, y: 8 m, length: 1 m, width: 2 m}"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("product: {carbonation: 26 vol}", "product.carbonation: 26 vol is out of range"),
        ("product: {fill_temperature: 200 degC}", "product.fill_temperature: 200 degC is out of"),
        ("product: {fill_temperature: 211 degF}", "of range: from 23 to 208 degF (-5 to 98 deg"),
        ("product: {carbonation: 40 g/l}", "is out of range: from 0 to 15.6 g/l (0 to 8 vol)"),
        ("horizon: 0 years", "horizon: 0 years is out of range: from 0.5 to 50 years"),
        ("horizon: 51 years", "horizon: 51 years is out of range"),
        ("discount_rate: 101 %", "discount_rate: 101 % is out of range: from 0 to 100 %"),
        ("budget: 0 USD", "budget: 0 USD is out of range: must be above zero"),
        ("operation: {hours_per_week: 169}", "must be at most 168"),
        ("operation: {hours_per_week: 0}", "must be more than 0"),
        ("budget: 350000 EUR", "the catalogue's currency: amounts are never converted"),
        ("staff: {wage: 30 EUR/h}", "staff.wage: 30 EUR/h is not in USD"),
        ("existing: [{function: fill, speed: 0 cpm}]", "existing[1].speed: 0 cpm is out of range"),
        ("existing: [{function: fill, class: gravity-trough}]",
         "existing[1].class: gravity-trough is a class of the function unload, not of fill"),
        ("existing: [{function: fill, class: inline-8-12-heads}]",
         "there is no class 'inline-8-12-heads'; did you mean 'inline-8-12-head'?"),
        ("existing: [{function: fill}, {function: fill}]", "a second entry for fill"),
        ("existing: [{function: convey}]", "conveyors are laid out anew"),
        ("existing: [{function: filling}]", "'filling' is not accepted; did you mean 'fill'?"),
        ("exclude: [gravity-through]",
         "exclude[1]: there is no class or function 'gravity-through'; did you mean 'gravity-tro"),
        ("require: [gripper-lowerater]",
         "require[1]: there is no class 'gripper-lowerater'; did you mean 'gripper-lowerator'?"),
        ("require: [lower]", "lower is a function; write one of its classes (level-run, "),
        ("growth: [{year: 3, volume: 200 %}, {year: 3, volume: 300 %}]",
         "growth[2].year: 3 does not come after 3: years must increase"),
        ("growth: [{year: 3}]", "growth[1]: changes nothing"),
        ("growth: [{year: 3, volume: 0 %}]", "growth[1].volume: 0 % is out of range"),
        ("growth: [{year: 3, add_formats: [{container: can-473-standard}]}]",
         "growth[1].add_formats[1]: has no volume"),
        (f"growth: [{{year: 3, add_formats: [{LARGER}, share: 3 %, annual_cans: 4}}]}}]",
         "has both share and annual_cans"),
        ("growth: [{year: 3, add_formats: [{container: can-355-standard, share: 30 %}]}]",
         "can-355-standard is there already, among the formats"),
        (f"growth: [{{year: 3, add_formats: [{LARGER}, share: 60 %}}, {WIDE}, share: 60 %}}]}}]",
         "are more than 100 %"),
        (f"growth: [{{year: 3, volume: 100 %, add_formats: [{LARGER}, annual_cans: 9000000}}]}}]",
         "take more than the 5,400,000 cans of that year"),
        ("growth: [{year: 3, add_formats: [{container: can-1-x, share: 3 %}]}]",
         "growth[1].add_formats[1].container: there is no format 'can-1-x' in the catalogue"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_with_its_line(line: str, said: str) -> None:
    found_line, found = only(with_line(line))
    assert said in found
    assert found_line == 5


@pytest.mark.parametrize(
    ("site", "said"),
    [
        ("ceiling: 0 m", "site.ceiling: 0 m is out of range: from 1 to 30 m"),
        ("ceiling: 30.1 m", "site.ceiling: 30.1 m is out of range"),
        ("ceiling: 100 ft 1 in",
         "site.ceiling: 100 ft 1 in is out of range: from 3.29 to 98.4 ft (1 to 30 m)"),
        ("ceiling: 20\"", "is out of range: from 39.4 to 1,180 in (1 to 30 m)"),
        ("ceiling: 90 cm", "site.ceiling: 90 cm is out of range: from 100 to 3,000 cm (1 to 30 m)"),
        ("ceiling: 12 ft, length: 0 m", "site.length: 0 m is out of range"),
        ("ceiling: 12 ft, door: {width: 0 m, height: 8 ft}", "site.door.width: 0 m is out of"),
        ("ceiling: 12 ft, power: {phases: 3, volts: 0, amperes: 1}", "must be more than 0"),
        (f"ceiling: 12 ft, length: 40 ft, obstacles: [{COLUMN}]",
         "'column' ends at 40.5 ft (12,344 mm), outside the room's length of 40 ft"),  # 40.5 ft
        (f"ceiling: 12 ft, width: 9 m, obstacles: [{PIT}]",
         "'pit' ends at 10.00 m (10,000 mm), outside the room's width of 9 m"),
        ("ceiling: 12 ft, obstacles: [{name: a, x: 1 m, y: 1 m, length: 0 m, width: 1 m}]",
         "site.obstacles[1].length: 0 m is out of range"),
    ],
)  # fmt: skip
def test_rooms_that_cannot_be(site: str, said: str) -> None:
    text = (
        f"brief: 1\nspeed: 60 cpm\nformats: [{{container: can-355-standard}}]\nsite: {{{site}}}\n"
    )
    line, found = only(text)
    assert said in found and line == 4


def test_an_obstacle_may_touch_the_wall() -> None:
    text = MINIMAL.replace(
        "ceiling: 12 ft",
        "ceiling: 12 ft, length: 40 ft, width: 9 m, obstacles: "
        "[{name: column, x: 39 ft, y: 8 m, length: 1 ft, width: 1 m}]",
    )
    assert need(text).brief.site.obstacles[0].name == "column"


@pytest.mark.parametrize(
    ("formats", "line", "said"),
    [
        (["container: can-355-standrad"], 4,
         "no format 'can-355-standrad' in the catalogue; did you mean 'can-355-standard'?"),
        (["container: zzz"], 4, "(known: can-150-slim, "),
        (["container: can-355-standard", "container: can-355-standard"], 5,
         "formats[2].container: can-355-standard is there already"),
        (["container: can-355-standard, annual_cans: 0"], 4, "formats[1].annual_cans: 0 is out of"),
        (["container: can-355-standard, speed: 6000 cpm"], 4, "formats[1].speed: 6000 cpm is out"),
    ],
)  # fmt: skip
def test_wrong_formats(formats: Sequence[str], line: int, said: str) -> None:
    found_line, found = only(format_list(*formats, head="speed: 60 cpm\n"))
    assert said in found and found_line == line


def test_a_required_class_must_not_clash_with_what_is_owned() -> None:
    owned = "existing: [{function: fill, class: inline-4-6-head}]\n"
    line, said = only(with_line(f"{owned}require: [inline-8-12-head]"))
    assert line == 6 and "inline-8-12-head is required, but existing says inline-4-6-head" in said
    assert need(with_line(f"{owned}require: [inline-4-6-head]")).brief.require


def test_a_function_may_be_refused_as_a_whole() -> None:
    assert need(with_line("exclude: [label, gravity-trough]")).brief.exclude
    line, said = only(with_line("require: [gravity-track]\nexclude: [gravity-track]"))
    assert line == 5 and "gravity-track is required, but exclude refuses gravity-track" in said
    _, said = only(with_line("exclude: [lower]\nrequire: [gravity-track]"))
    assert "exclude refuses the function lower" in said


def test_problems_of_form_and_of_sense_come_at_once() -> None:
    form = problems(
        "brief: 1\nspeed: 60\nformats: [{container: can-x}]\nsite: {ceiling: 12 ft}\n"
        "require: [no-such-class]\nbudget: 3 m\n"
    )
    assert [problem.line for problem in form] == [2, 3, 5, 6]
    sense = problems(
        "brief: 1\nspeed: 60 cpm\nformats: [{container: can-x}]\nsite: {ceiling: 0 ft}\n"
        "require: [no-such-class]\nbudget: 3 EUR\nspeed: 4 cpm\n"
    )
    assert [problem.line for problem in sense] == [3, 4, 5, 6, 7]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("speed: 60 cpm\n", "brief is missing: write 1"),
        (MINIMAL.replace("brief: 1", "brief: 2"), "brief: 2 is not accepted: write 1"),
        (MINIMAL.replace("{ceiling: 12 ft}", "{}"), "site.ceiling is missing: write a length such"),
        (MINIMAL.replace("[{container: can-355-standard}]", "[]"), "formats is empty: at least 1"),
        (MINIMAL.replace("container: can", "contaner: can"), "did you mean 'container'?"),
        (
            MINIMAL.replace("can-355-standard", "[a]"),
            "formats[1].container is a list: write the id",
        ),
        (MINIMAL.replace("can-355-standard", "355"), "formats[1].container is the number 355"),
        (MINIMAL.replace("can-355-standard", "{kind: can}"), "'can' is not accepted: write two"),
        (MINIMAL.replace("site", "sight"), "unknown key 'sight'; did you mean 'site'?"),
    ],
)
def test_briefs_of_wrong_form(text: str, said: str) -> None:
    assert said in "\n".join(problem.text for problem in problems(text))


def test_lists_have_an_end() -> None:
    # However long a list, the answer is one message, soon.
    line, said = only(with_line(f"exclude: [{', '.join(f'a{n}' for n in range(50_000))}]"))
    assert line == 5 and said == "exclude is too long: at most 500 entries"


def test_what_is_left_out_of_a_long_answer_is_said_last() -> None:
    many = ", ".join(f"no-class-{number}" for number in range(300))
    found = problems(with_line(f"speed: 1 cpm\nexclude: [{many}]"))
    assert found[0].text.startswith("key 'speed' is written twice")
    assert found[-1].text == "and 201 more problems"


def test_without_a_tree_the_file_alone_is_named() -> None:
    brief = Brief.model_validate(yaml.safe_load(MINIMAL.replace("12 ft", "40 m")))
    with pytest.raises(InputError) as caught:
        settle(brief, catalog(), file="form")
    assert caught.value.problems == (
        Problem("form", 0, "site.ceiling: 40 m is out of range: from 1 to 30 m"),
    )


# --- there and back --------------------------------------------------------------------------


def round_trip(found: Need) -> Need:
    text = yaml.safe_dump(brief_as_read(found), allow_unicode=True, sort_keys=False)
    return need_of_text(text, "again.yaml", catalog())


def same(found: Need, again: Need) -> None:
    """Every figure is the same; the brief itself says more, and so fewer defaults are used."""
    open_ends = {"brief": again.brief, "defaults_used": ()}
    assert replace(again, **open_ends) == replace(found, **open_ends)
    # What larger formats are asked for follows from the speed, which the brief has.
    larger = {text for text in found.defaults_used if " ml take longer to fill than " in text}
    assert set(again.defaults_used) == larger


BRIEFS = {
    "minimal": MINIMAL,
    "contract": SALTMARSH,
    "volumes": format_list(
        f"container: {{{INLINE}}}, annual_cans: 1234567",
        "container: threaded-473, annual_cans: 76543, supply: loose",
        head="product: {carbonation: 5 g/l, fill_temperature: 36 degF}\nname: 'no'\n",
    ),
    "odd names": with_line("name: '1:30'\nproduct: {kind: '0123'}"),
    **{path.stem: path.read_text(encoding="utf-8") for path in examples_dir().glob("*.yaml")},
}


@pytest.mark.parametrize("name", BRIEFS)
def test_a_brief_as_read_reads_again(name: str) -> None:
    found = need(BRIEFS[name])
    again = round_trip(found)
    same(found, again)
    assert brief_as_read(again) == brief_as_read(found)


@given(
    speed=st.none() | st.integers(1, 2000),
    cans=st.lists(st.none() | st.integers(1, 10**7), min_size=1, max_size=4),
    hours=st.none() | st.floats(1, 168, allow_nan=False),
    rate=st.none() | st.floats(0, 100, allow_nan=False),
    name=st.text(min_size=1, max_size=20).filter(str.strip),
)
def test_any_sound_brief_reads_again(
    speed: int | None, cans: list[int | None], hours: float | None, rate: float | None, name: str
) -> None:
    ids = list(catalog().containers)
    plain: dict[str, Any] = {
        "brief": 1,
        "name": name,
        "speed": None if speed is None else f"{speed} cpm",
        "formats": [
            {"container": ids[place], "annual_cans": number} for place, number in enumerate(cans)
        ],
        "operation": {"hours_per_week": hours},
        "site": {"ceiling": "4 m"},
        "discount_rate": None if rate is None else f"{rate:.6f} %",
    }
    try:
        found = need(yaml.safe_dump(plain))
    except InputError:
        return
    same(found, round_trip(found))
    assert found.annual_cans > 0 and math.isfinite(found.speed_cpm)
    assert all(0 < fmt.needed_cpm <= found.speed_cpm for fmt in found.formats)


# --- any text --------------------------------------------------------------------------------

KEYS = [
    "brief", "name", "product", "speed", "formats", "operation", "site", "mobility", "staff",
    "rinse", "budget", "horizon", "discount_rate", "existing", "exclude", "require", "prefer",
    "growth", "container", "annual_cans", "supply", "ceiling", "obstacles", "function", "class",
    "year", "volume", "add_formats", "share", "kind", "diameter", "height", "end", "wage",
]  # fmt: skip
values = st.recursive(
    st.sampled_from(
        ["1", "no", "~", "3 m", "12 ft 6 in", "60 cpm", "32 USD/h", "8 %", "can-355-standard",
         "fill", "gravity-trough", "none", "x", "9e99 m", "-1", "0", "'", "355 ml", "two-piece-can",
         "!!int 3", "*a", "&a 3", "3 years", "2.6 vol", "30 %", "5 EUR"]
    )
    | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
    | st.dictionaries(st.sampled_from(KEYS), inner, max_size=4).map(
        lambda items: "{" + ", ".join(f"{key}: {value}" for key, value in items.items()) + "}"
    ),
    max_leaves=10,
)  # fmt: skip
yaml_like = st.lists(st.tuples(st.sampled_from(KEYS), values), max_size=10).map(
    lambda pairs: "".join(f"{key}: {value}\n" for key, value in pairs)
)


@given(yaml_like | st.text(max_size=100))
def test_no_text_raises_anything_but_an_input_error(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    file = tmp_path_factory.getbasetemp() / "any.yaml"
    file.write_text(text, encoding="utf-8", errors="surrogatepass")
    for read in (read_brief, lambda source: read_need(source, catalog())):
        try:
            read(file)
        except InputError as error:
            found = error.problems
            assert found and all(problem.text for problem in found)


@given(st.binary(max_size=200))
def test_no_bytes_raise_anything_but_an_input_error(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    file = tmp_path_factory.getbasetemp() / "bytes.yaml"
    file.write_bytes(data)
    with pytest.raises(InputError):
        read_brief(file)
