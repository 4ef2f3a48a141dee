"""The brief to fill in: valid as it stands, complete, and never written over another file."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
import yaml

from lineconfig.brief import Brief
from lineconfig.catalog import Catalog
from lineconfig.catalog_loading import load_catalog
from lineconfig.errors import InputError
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.template import brief_template, example_brief, write_new
from lineconfig.wording import keys_of, literal_words


@cache
def catalog() -> Catalog:
    return load_catalog()


EXAMPLE = re.compile(
    r"^(\s*)# (\s*(?:- )?\{?(?:speed|supply|container|annual_cans|obstacles|name|budget|existing|"
    r"function|growth|year|volume|add_formats|hours_per_week|per_shift|site|scenarios|"
    r"margin_per_1000|vehicle):(?:\s.*)?)$"
)


def uncommented() -> str:
    """The template with every example line in use."""
    return "".join(EXAMPLE.sub(r"\1\2", line) + "\n" for line in brief_template().splitlines())


def test_the_template_is_sound_as_it_stands() -> None:
    need = need_of_text(brief_template(), "new.yaml", catalog())
    assert need.formats and need.speed_cpm > 0


def test_every_example_line_is_sound_once_it_is_used() -> None:
    need = need_of_text(uncommented(), "new.yaml", catalog())
    brief = need.brief
    assert brief.budget and brief.existing and brief.growth and brief.site.obstacles
    assert len(need.formats) == 2 and need.formats[1].id.startswith("inline-")
    assert need.phases[0].volumes[-1][0].id == "can-473-standard"
    assert brief.growth[0].site and brief.growth[0].hours_per_week and brief.growth[0].per_shift
    assert len(brief.scenarios) == 2


def test_every_key_of_a_brief_is_in_the_template() -> None:
    text = brief_template()
    plain = yaml.safe_load(uncommented())
    assert set(plain) == set(keys_of(Brief))
    for name, field in Brief.model_fields.items():
        for key in keys_of(field.annotation):
            assert re.search(rf"\b{key}:", text), (name, key)
    assert set(plain["formats"][0]) == {
        "container", "annual_cans", "speed", "supply", "rehandled", "open_storage", "label",
        "margin_per_1000",
    }  # fmt: skip


@pytest.mark.parametrize("key", ["mobility", "rinse", "prefer"])
def test_the_accepted_words_stand_beside_their_key(key: str) -> None:
    line = brief_template().partition(f"\n{key}: ")[2][:300]
    words = literal_words(Brief.model_fields[key].annotation)
    assert len(words) >= 3 and all(word in line for word in words)


def test_the_accepted_words_of_nested_keys_are_there() -> None:
    text = brief_template()
    for words in (
        ["none", "batch", "tunnel"], ["full-pallet", "half-stack", "loose"],
        ["printed", "pre-sleeved", "wrap"],
        ["two-piece-can", "threaded-can-bottle", "glass-bottle"],
    ):  # fmt: skip
        *first, last = words
        assert f"{', '.join(first)} or {last}" in text


def test_the_template_fits_a_terminal() -> None:
    assert max(len(line) for line in brief_template().splitlines()) <= 100
    assert brief_template().isascii()


# --- writing ---------------------------------------------------------------------------------


def test_a_new_file_is_written(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    write_new(file)
    assert file.read_bytes() == brief_template().encode()
    write_new(str(tmp_path / "other.yaml"), "brief: 1\n")
    assert (tmp_path / "other.yaml").read_text() == "brief: 1\n"


def test_an_existing_file_is_left_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text("mine")
    with pytest.raises(InputError, match="exists already and is left as it is") as caught:
        write_new(file)
    assert caught.value.problems[0].file == str(file)
    assert file.read_text() == "mine"


@pytest.mark.parametrize("name", ["no/such/folder.yaml", "a\0b", "x" * 5000])
def test_a_file_that_cannot_be_written(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="cannot be written: "):
        write_new(f"{tmp_path}/{name}")
    assert not list(tmp_path.iterdir())


def test_a_folder_is_not_written_over(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        write_new(tmp_path)
    assert tmp_path.is_dir()


# --- examples --------------------------------------------------------------------------------


def test_an_example_may_be_the_start() -> None:
    text = (examples_dir() / "startup.yaml").read_text(encoding="utf-8")
    assert example_brief("startup") == example_brief("startup.yaml") == text


@pytest.mark.parametrize("name", ["strartup", "../examples/startup", "", "overlay-quotes/filler"])
def test_an_example_that_there_is_not(name: str) -> None:
    with pytest.raises(InputError, match=r"there is no example .* \(there are .*startup") as caught:
        example_brief(name)
    if name == "strartup":
        assert "did you mean 'startup'?" in str(caught.value)
