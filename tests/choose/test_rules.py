"""The rules as objects: names, sentences, and that they look only at what they say."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from lineconfig.brief import Brief
from lineconfig.catalog import FUNCTIONS, Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.choose.inquiry import Inquiry
from lineconfig.choose.rules import RULES, Rule
from lineconfig.choose.sections import PORTS, SECTIONS, admit, kind_of, solve_section
from lineconfig.need_reading import settle
from lineconfig.session import Study


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return load_catalog()


def inquiry(catalog: Catalog, **changes: Any) -> Inquiry:
    brief: dict[str, Any] = {
        "brief": 1,
        "speed": "40 cpm",
        "formats": [{"container": "can-355-standard", "annual_cans": 500_000}],
        "site": {"ceiling": "6 m"},
    }
    brief |= changes
    return Inquiry(
        settle(Brief.model_validate(yaml.safe_load(yaml.safe_dump(brief))), catalog), catalog
    )


def test_names_are_unique_and_scopes_known() -> None:
    assert len({rule.id for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert set(rule.scope) <= {*FUNCTIONS, *PORTS, "each"}
        assert (
            rule.each
            or len(rule.scope) == 1
            or any(set(rule.scope) <= set(variables) for variables in SECTIONS.values())
        )


@pytest.mark.parametrize(
    ("changes", "class_id", "rule", "says"),
    [
        ({"speed": "90 cpm"}, "inline-8-12-head", "speed", "90 cpm are needed"),
        ({"product": {"carbonation": "3.5 vol"}}, "inline-4-6-head", "carbonation", "3.5 vol"),
        ({"product": {"carbonation": "0.2 vol"}}, "no-doser", "nitrogen", "nitrogen"),
        ({"product": {"heat_treatment": "batch"}}, "tunnel-pasteurizer", "heat-treatment", "batch"),
        ({"mobility": "mobile"}, "full-height-depalletizer", "mobility", "travels"),
        ({"exclude": ["rotary-table"]}, "rotary-table", "excluded", "excludes"),
        ({"exclude": ["gather"]}, "rotary-table", "excluded", "excludes"),
        ({"require": ["rotary-table"]}, "no-accumulation", "required", "rotary-table"),
        ({"site": {"ceiling": "2.5 m"}}, "row-palletizer", "machine-under-ceiling", "2,500 mm"),
        ({"site": {"ceiling": "6 m", "length": "3 m", "width": "3 m"}}, "inline-8-12-head",
         "machine-in-room", "3,000 x 3,000"),
        ({"site": {"ceiling": "6 m", "door": {"width": "1 m", "height": "1.2 m"}}},
         "layer-grip-depalletizer", "door", "1,000 x 1,200"),
        ({"site": {"ceiling": "6 m", "power": {"phases": 1, "volts": 230, "amperes": 63}}},
         "inline-8-12-head", "three-phase", "the site has one"),
        ({"formats": [{"container": "bottle-500", "annual_cans": 1000}]}, "inline-4-6-head",
         "closing", "crown"),
        ({"formats": [{"container": "can-355-standard", "annual_cans": 1000, "label": "wrap"}]},
         "printed-cans", "label", "labeller"),
        ({"formats": [{"container": "can-950-wide", "annual_cans": 1000}]}, "twist-rinser",
         "container-fits", "diameters"),
    ],
)  # fmt: skip
def test_refusals_name_the_rule_and_the_figure(
    catalog: Catalog, changes: dict[str, Any], class_id: str, rule: str, says: str
) -> None:
    refusals = admit(inquiry(catalog, **changes)).refusals[class_id]
    named = {refusal.rule.id: refusal.text for refusal in refusals}
    assert rule in named
    assert says in named[rule]


def test_every_class_is_refused_or_admitted(catalog: Catalog) -> None:
    asked = inquiry(catalog)
    admission = admit(asked)
    admitted = {option.id for options in admission.options.values() for option in options}
    everything = {item.id for item in catalog.classes.values() if item.function != "convey"}
    assert admitted | set(admission.refusals) == everything
    assert not admitted & set(admission.refusals)


def test_options_of_one_kind_are_interchangeable(catalog: Catalog) -> None:
    """No rule of several functions tells them apart: each scheme holds for every combination."""
    asked = inquiry(catalog, formats=[{"container": "can-355-standard", "annual_cans": 9}])
    admission = admit(asked)
    joint = [rule for rule in RULES if not rule.each and len(rule.scope) > 1]
    for section in SECTIONS:
        for scheme in solve_section(asked, section, admission):
            for rule in joint:
                if not set(rule.scope) <= set(SECTIONS[section]):
                    continue
                values = [
                    scheme.options[name] if name in scheme.options else (scheme.ports[name],)  # type: ignore[index]
                    for name in rule.scope
                ]
                for place, alternatives in enumerate(values):
                    for option in alternatives:
                        args = [each[0] for each in values]
                        args[place] = option
                        assert rule.holds(asked, *args), (rule.id, scheme)


def test_kinds_differ_in_traits(catalog: Catalog) -> None:
    options = inquiry(catalog).options["unload"]
    kinds = {kind_of(option) for option in options}
    assert len(kinds) == len(options)


def test_a_user_may_add_a_rule(catalog: Catalog) -> None:
    def holds(asked: Inquiry, code: Any) -> bool:
        return code.id != "rail-laser"

    def refusal(asked: Inquiry, code: Any) -> str:
        return "no laser in this house"

    mine = Rule("no-laser", ("code",), None, holds, refusal, "house rule")
    need = inquiry(catalog).need
    study = Study(need, catalog, (*RULES, mine))
    assert study.admission.refusals["rail-laser"][-1].text == "no laser in this house"
    assert study.with_class("rail-laser") is None
    assert Study(need, catalog).with_class("rail-laser") is not None


def test_owned_equipment_takes_the_place_of_the_rest(catalog: Catalog) -> None:
    owned = [{"function": "fill", "speed": "50 cpm", "infeed_height": "38 in"}]
    study = Study(inquiry(catalog, existing=owned).need, catalog)
    layout = study.best(1)[0]
    fill = layout.station("fill")
    assert fill.option.owned
    assert fill.price.typical == 0
    assert layout.infeed_mm == pytest.approx(38 * 25.4)
    assert layout.speed.rated[0] == pytest.approx(50)
