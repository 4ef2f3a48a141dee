"""Single values change in a brief's text; the rest, comments included, stays as it is."""

from __future__ import annotations

from difflib import unified_diff
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from lineconfig.editing import Path, with_value, without_value
from lineconfig.template import brief_template

TEMPLATE = brief_template()
ORDER = {(): ("brief", "name", "speed", "budget", "growth")}


def changed_lines(before: str, after: str) -> list[str]:
    """Lines that went and came, as a difference shows them."""
    both = unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in both if line[:3] not in ("---", "+++") and line[:2] != "@@"]


def plain(text: str) -> Any:
    """The text as an independent reader has it."""
    return yaml.safe_load(text)


def test_one_line_changes_and_its_comment_stays() -> None:
    text = with_value(TEMPLATE, ("site", "ceiling"), "12 ft 6 in")
    behind = "                    # the lowest clear height where the line would stand"
    assert changed_lines(TEMPLATE, text) == [
        f"-  ceiling: 14 ft{behind}",
        f"+  ceiling: 12 ft 6 in{behind}",
    ]


def test_a_value_inside_braces_changes() -> None:
    text = with_value(TEMPLATE, ("site", "power", "volts"), 230)
    assert plain(text)["site"]["power"] == {"phases": 3, "volts": 230, "amperes": 150}
    assert len(changed_lines(TEMPLATE, text)) == 2


def test_a_new_key_stands_behind_its_neighbour() -> None:
    text = with_value("brief: 1\nspeed: 40 cpm\ngrowth: []\n", ("budget",), "9 USD", ORDER)
    assert text == "brief: 1\nspeed: 40 cpm\nbudget: 9 USD\ngrowth: []\n"


def test_a_missing_mapping_is_made() -> None:
    text = with_value("brief: 1\n", ("site", "door", "width"), "8 ft")
    assert plain(text) == {"brief": 1, "site": {"door": {"width": "8 ft"}}}


def test_entries_come_one_a_line() -> None:
    text = with_value(TEMPLATE, ("formats", 1), {"container": "can-473-standard"})
    assert changed_lines(TEMPLATE, text) == ["+  - {container: can-473-standard}"]
    text = without_value(text, ("formats", 1))
    assert text == TEMPLATE


def test_a_key_is_taken_out_with_its_line() -> None:
    text = without_value(TEMPLATE, ("speed",))
    assert changed_lines(TEMPLATE, text) == ["-speed: 40 cpm"]


def test_no_empty_mapping_is_left() -> None:
    text = without_value(without_value(TEMPLATE, ("site", "door", "width")), ("site", "door"))
    assert "door" not in plain(text)["site"]
    alone = "brief: 1\nstaff:\n  wage: 3 USD/h\n"
    assert plain(without_value(alone, ("staff", "wage"))) == {"brief": 1}


def test_taking_out_what_is_not_there_changes_nothing() -> None:
    assert without_value(TEMPLATE, ("budget",)) == TEMPLATE
    assert without_value(TEMPLATE, ("site", "ceiling", "depth")) == TEMPLATE


@pytest.mark.parametrize(
    "value", ["12", "no", "1:30", "a: b", "# x", "", "'", "ü {x}", "null", "-"]
)
def test_texts_that_yaml_could_misread_come_back(value: str) -> None:
    for path in (("name",), ("site", "power", "note"), ("formats", 0, "note")):
        text = with_value(TEMPLATE, path, value)
        found = plain(text)
        for part in path:
            found = found[part]
        assert found == value


def test_a_text_in_an_odd_form_is_written_anew_rather_than_lost() -> None:
    odd = '{brief: 1,\n "site": {ceiling: 3 m},\n speed: 40 cpm}\n'
    assert plain(with_value(odd, ("site", "ceiling"), "4 m"))["site"] == {"ceiling": "4 m"}
    assert plain(without_value(odd, ("speed",))) == {"brief": 1, "site": {"ceiling": "3 m"}}


KEYS = st.sampled_from(["a", "b", "c"])
TREES = st.recursive(
    st.one_of(st.integers(-9, 999), st.booleans(), st.text("ab :#'-", max_size=6)),
    lambda below: st.one_of(
        st.dictionaries(KEYS, below, min_size=1, max_size=3), st.lists(below, max_size=3)
    ),
    max_leaves=8,
)


@given(
    tree=st.dictionaries(KEYS, TREES, min_size=1),
    flow=st.sampled_from([True, False, None]),
    path=st.lists(st.one_of(KEYS, st.integers(0, 3)), max_size=3),
    key=KEYS,
    value=TREES,
)
def test_any_value_put_anywhere_reads_back_and_nothing_else_changes(
    tree: dict[str, Any], flow: bool | None, path: list[str | int], key: str, value: Any
) -> None:
    text = yaml.safe_dump(tree, default_flow_style=flow, sort_keys=False)
    place: Path = (key, *path)
    edited = with_value(text, place, value)
    assert plain(edited) == put(tree, place, value)
    if value not in ({}, []):
        taken = plain(without_value(edited, place)) or {}
        assert not holds(taken, place) or isinstance(place[-1], int)


def put(tree: Any, path: Path, value: Any) -> Any:
    """The same on plain data, written independently."""
    if not path:
        return value
    first, rest = path[0], path[1:]
    if isinstance(first, int):
        entries = list(tree) if isinstance(tree, list) else []
        inside = entries[first] if first < len(entries) else None
        entries[first : first + 1] = [put(inside, rest, value)]
        return entries
    mapping = dict(tree) if isinstance(tree, dict) else {}
    mapping[first] = put(mapping.get(first), rest, value)
    return mapping


def holds(tree: Any, path: Path) -> bool:
    for part in path:
        try:
            tree = tree[part]
        except (KeyError, IndexError, TypeError):
            return False
    return True
