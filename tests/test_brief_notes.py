"""Improbable values are noted and taken; impossible ones are refused together with the rest."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from lineconfig.brief_notes import USUAL
from lineconfig.catalog_loading import load_catalog
from lineconfig.checking import check_file, examined
from lineconfig.cli import main
from lineconfig.locate import examples_dir

SOUND = {
    "speed": "60 cpm",
    "annual_cans": "900000",
    "ceiling": "12 ft",
    "wage": "30 USD/h",
    "budget": "400000 USD",
    "hours": "32",
}


def brief(folder: Path, **changes: str) -> Path:
    said = SOUND | changes
    file = folder / "brief.yaml"
    file.write_text(
        "brief: 1\n"
        f"speed: {said['speed']}\n"
        f"formats: [{{container: can-355-standard, annual_cans: {said['annual_cans']}}}]\n"
        f"site: {{ceiling: {said['ceiling']}}}\n"
        f"staff: {{wage: {said['wage']}}}\n"
        f"budget: {said['budget']}\n"
        f"operation: {{hours_per_week: {said['hours']}}}\n",
        encoding="utf-8",
    )
    return file


@pytest.mark.parametrize("path", sorted(examples_dir().glob("*.yaml")), ids=lambda path: path.stem)
def test_no_example_is_improbable(path: Path) -> None:
    found = examined(path)
    assert found.problems == () and found.notes == ()


@pytest.mark.parametrize(
    ("key", "value", "line", "said"),
    [
        ("speed", "2 cpm", 2, "speed: 2 cpm is improbable (usual: 5 to 2,500 cpm)"),
        ("annual_cans", "12", 3, "formats[1].annual_cans: 12 is improbable"),
        ("ceiling", "70 ft", 4, "site.ceiling: 70 ft is improbable (usual: 6 to 60 ft"),
        ("ceiling", "5 ft 6 in", 4, "site.ceiling: 5 ft 6 in is improbable"),
        ("wage", "2 USD/h", 5, "staff.wage: 2 USD/h is improbable (usual: 3 to 200 an hour)"),
        ("wage", "320 USD/h", 5, "staff.wage: 320 USD/h is improbable"),
        ("budget", "400 USD", 6, "budget: 400 USD is improbable"),
        ("hours", "160", 7, "operation.hours_per_week: 160 is improbable"),
    ],
)  # fmt: skip
def test_an_improbable_value_is_noted_with_its_line(
    tmp_path: Path, key: str, value: str, line: int, said: str
) -> None:
    file = brief(tmp_path, **{key: value})
    found = examined(file)
    assert found.problems == ()
    (note,) = found.notes
    assert (note.file, note.line) == (str(file), line)
    assert said in note.text


def test_the_edges_of_the_usual_are_usual(tmp_path: Path) -> None:
    edges = {"ceiling": "60 ft", "wage": "200 USD/h", "budget": "1000 USD", "hours": "144"}
    assert examined(brief(tmp_path, **edges)).notes == ()
    assert all(usual.least < usual.most for usual in USUAL)


def test_notes_go_to_stderr_and_into_the_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = brief(tmp_path, ceiling="70 ft")
    assert main(["recommend", str(file), "--top", "1", "--json"]) == 0
    out, err = capsys.readouterr()
    assert err.startswith(f"lineconfig: note: {file}:4: site.ceiling: 70 ft is improbable")
    (warning,) = json.loads(out)["warnings"]
    assert warning["line"] == 4 and warning["text"].startswith("site.ceiling: 70 ft")
    assert main(["check", str(file)]) == 0
    out, err = capsys.readouterr()
    assert "sound" in out and "note" in err


def test_impossible_values_come_with_the_unknown_keys_and_units(tmp_path: Path) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text(
        "brief: 1\nspeeed: 60 cpm\nspeed: 60\nformats: [{container: can-355-standard, "
        "annual_cans: 1, speed: 9000 cpm}]\n"
        "site: {ceiling: 0.5 m, width: 3}\nstaff: {wage: 2 EUR/h}\nbudget: 0 USD\n"
        "operation: {hours_per_week: 170}\n",
        encoding="utf-8",
    )
    said = "\n".join(str(problem) for problem in check_file(file))
    for words in (
        "unknown key 'speeed'", "speed: 60 has no unit", "site.width: 3 has no unit",
        "site.ceiling: 0.5 m is out of range", "staff.wage: 2 EUR/h is not in USD",
        "budget: 0 USD is out of range", "formats[1].speed: 9000 cpm is out of range",
        "hours_per_week: 170 is out of range: it must be at most 168",
    ):  # fmt: skip
        assert said.count(words) == 1, words


def test_a_missing_speed_comes_with_the_rest_but_not_beside_its_misspelling(
    tmp_path: Path,
) -> None:
    file = tmp_path / "bad.yaml"
    plain = "brief: 1\nformats: [{container: can-355-standard}]\nsite: {ceiling: 3}\n"
    file.write_text(plain, encoding="utf-8")
    said = [problem.text for problem in check_file(file)]
    assert any("neither speed nor annual_cans" in text for text in said)
    assert any("site.ceiling: 3 has no unit" in text for text in said)
    file.write_text(f"{plain}speeed: 60 cpm\n", encoding="utf-8")
    assert not any("neither speed" in problem.text for problem in check_file(file))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("  - id: twist-rinser\n    price: 26500 USD\n",
         "twist-rinser.price: the catalogue's price_per_track (11000 USD for each track) is added"),
        ("  - id: tunnel-pasteurizer\n    price: {low: 1 USD, typical: 2 USD, high: 3 USD}\n",
         "tunnel-pasteurizer.price: the catalogue's area_price ("),
    ],
)  # fmt: skip
def test_a_price_that_more_is_added_to_is_noted(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "quotes.yaml"
    file.write_text(f"classes:\n{text}", encoding="utf-8")
    (note,) = load_catalog([file]).notes
    assert (note.file, note.line) == (str(file), 3) and said in note.text
    assert examined(file).notes == (note,)


def test_a_price_with_what_is_added_to_it_needs_no_note(tmp_path: Path) -> None:
    file = tmp_path / "quotes.yaml"
    file.write_text(
        "classes:\n  - {id: twist-rinser, price: 26500 USD, price_per_track: 0 USD}\n"
        "  - {id: single-filing-table, price: 26500 USD}\n",
        encoding="utf-8",
    )
    catalog = load_catalog([file])
    assert catalog.notes == ()
    track = catalog.classes["twist-rinser"].price_per_track
    assert track is not None and float(track.typical) == 0
