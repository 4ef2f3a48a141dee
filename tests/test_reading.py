"""Reading files: places, wrong files, wrong YAML, wrong values, all problems at once."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path
from typing import Any, Literal

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

from lineconfig import reading
from lineconfig.errors import MOST_PROBLEMS, InputError, Problem
from lineconfig.fields import Count, Id, LengthMm, LengthSpanMm, Phases, Record, Text
from lineconfig.reading import MOST_BYTES, MOST_LEVELS, read_model, read_text, read_tree


class Part(Record):
    name: Text
    length_mm: LengthMm = Field(alias="length")


class Sample(Record):
    """A schema with every form that the project's schemas have."""

    id: Id = "none"
    name: Text = "none"
    kind: Literal["none", "batch", "tunnel"] = "none"
    phases: Phases = 1
    count: Count = 0
    share: float = Field(default=0, ge=0, le=1)
    ready: bool = False
    length_mm: LengthMm | None = Field(default=None, alias="length")
    span_mm: LengthSpanMm | None = Field(default=None, alias="span")
    words: list[Text] = Field(default=[], max_length=3)
    parts: list[Part] = []
    main: Part | None = None
    basis: dict[str, Text] = {}


JARGON = ("Value error", "Input should", "pydantic", "Traceback", "validation", "str_type", "ctx")


def problems(text: str, model: type[Record] = Sample) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read_model(model, text, "sample.yaml")
    assert not any(word in str(caught.value) for word in JARGON)
    assert all(problem.file == "sample.yaml" for problem in caught.value.problems)
    return caught.value.problems


def only(text: str) -> tuple[int, str]:
    (problem,) = problems(text)
    return problem.line, problem.text


# --- sound files -----------------------------------------------------------------------------


def test_a_sound_text_becomes_a_model() -> None:
    sample = read_model(
        Sample,
        "# a comment\nid: a-1\nname: A thing\nlength: 12 ft 6 in\nspan: 1 to 2 m\n"
        "parts:\n  - {name: lid, length: 3 mm}\nbasis: {length: invented}\nshare: 1\nready: yes\n",
        "sample.yaml",
    )
    assert sample.length_mm == pytest.approx(3810)  # 150 in of 25.4 mm
    assert sample.parts[0].name == "lid" and sample.ready and sample.share == 1.0


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("12", 12), ("-3", -3), ("330_000", 330_000), ("1.5", 1.5), (".5", 0.5), ("1.5e+3", 1500.0),
        ("yes", True), ("No", False), ("on", True), ("OFF", False), ("true", True), ("~", None),
        ("null", None), ("", None),
        # YAML 1.1 by the letter: 90, 83, a date, 2**16, infinity. Nobody means that in a brief.
        ("1:30", "1:30"), ("0123", "0123"), ("2024-01-31", "2024-01-31"), ("0x10", "0x10"),
        (".inf", ".inf"), (".nan", ".nan"), ("y", "y"), ("12 ft", "12 ft"), ("'12'", "12"),
        ('"no"', "no"), ("!!str 12", "12"), ("9" * 5000, "9" * 5000),
    ],
)  # fmt: skip
def test_scalars_are_read_as_they_are_meant(written: str, meant: object) -> None:
    root, found = read_tree(f"key: {written}\n", "sample.yaml")
    value = root.at(("key",)).value
    assert (value, type(value)) == (meant, type(meant))
    assert not found


def test_each_value_knows_its_line() -> None:
    root, _ = read_tree(
        "# comment\n\nname: x\nmain:\n  name: y\n  length:\n    3 m\n"
        "parts:\n- name: a\n- {name: b,\n   length: 1 m}\n",
        "sample.yaml",
    )
    lines: dict[tuple[str | int, ...], int] = {
        (): 3, ("name",): 3, ("main",): 4, ("main", "name"): 5, ("main", "length"): 6,
        ("parts",): 8, ("parts", 0): 9, ("parts", 1): 10, ("parts", 1, "length"): 11,
        ("parts", 7): 8, ("main", "none", "deeper"): 4,
    }  # fmt: skip
    assert {path: root.at(path).line for path in lines} == lines


plain_data = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**15), 10**15) | st.text(max_size=20)
    | st.floats(-1e15, 1e15, allow_nan=False),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(st.text(max_size=9), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@given(st.dictionaries(st.text(max_size=9), plain_data, min_size=1, max_size=4))
def test_what_a_yaml_writer_writes_is_read_back(data: dict[str, Any]) -> None:
    # The oracle is the general library's own writer and reader.
    text = yaml.safe_dump(data)
    root, found = read_tree(text, "sample.yaml")
    assert not found
    assert root.plain() == yaml.safe_load(text) == data


# --- files that cannot be read ---------------------------------------------------------------


def refusal(source: str | Path) -> Problem:
    with pytest.raises(InputError) as caught:
        read_text(source)
    (problem,) = caught.value.problems
    return problem


def test_a_missing_file_names_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "brief.yaml").write_text("brief: 1\n")
    missing = tmp_path / "breif.yaml"
    problem = refusal(missing)
    assert problem.file == str(missing) and problem.line == 0
    assert problem.text == "there is no such file; did you mean 'brief.yaml'?"
    assert refusal(tmp_path / "no" / "where.yaml").text == "there is no such file"


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    assert refusal(tmp_path).text == "is a folder, not a file"


@pytest.mark.parametrize("data", [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", bytes(range(256)), b"a: \0"])
def test_a_binary_file_is_refused(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "picture.yaml"
    file.write_bytes(data)
    assert refusal(file).text == "is a binary file, not a text file"


def test_another_encoding_is_refused_with_the_line(tmp_path: Path) -> None:
    file = tmp_path / "latin.yaml"
    file.write_bytes("brief: 1\nname: Brasserie d'été\n".encode("latin-1"))
    problem = refusal(file)
    assert problem.line == 2 and "not UTF-8" in problem.text
    file.write_bytes("brief: 1\n".encode("utf-16"))
    assert "UTF-16" in refusal(file).text


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    file = tmp_path / "mark.yaml"
    file.write_bytes(b"\xef\xbb\xbfname: x\r\n")
    text, label = read_text(file)
    assert read_model(Sample, text, label).name == "x"


def test_a_10_mb_file_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "large.yaml"
    file.write_bytes(b"# line\n" * (10_000_000 // 7))
    asked: list[int] = []

    class Watched(io.FileIO):
        def read(self, size: int | None = -1, /) -> bytes:
            asked.append(-1 if size is None else size)
            return super().read(size)

    def watched_open(path: Path, mode: str) -> Watched:
        return Watched(path, mode)

    monkeypatch.setattr(Path, "open", watched_open)
    assert "larger than 1 MB" in refusal(file).text
    assert asked == [MOST_BYTES + 1]


def test_an_endless_device_is_refused() -> None:
    device = Path("/dev/zero")
    if not device.exists():
        pytest.skip("no such device here")
    assert "larger than 1 MB" in refusal(device).text


def test_names_that_are_none() -> None:
    assert refusal("a\0b").text == "is not a file name"
    assert (
        "cannot be read" in refusal("x" * 5000).text or "no such file" in refusal("x" * 5000).text
    )
    assert refusal("").text == "is a folder, not a file"  # the current one


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file"
)
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    file = tmp_path / "locked.yaml"
    file.write_text("brief: 1\n")
    file.chmod(0)
    assert refusal(file).text.startswith("cannot be read: permission denied")


def test_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO("name: é\n".encode())))
    assert read_text("-") == ("name: é\n", "<stdin>")
    monkeypatch.setattr(sys, "stdin", io.StringIO("name: é\n"))
    assert read_text("-") == ("name: é\n", "<stdin>")
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"\xff\xfe")))
    assert refusal("-").file == "<stdin>"
    monkeypatch.setattr(sys, "stdin", None)
    assert refusal("-").text == "there is no standard input"


# --- YAML that cannot be read ----------------------------------------------------------------


@pytest.mark.parametrize("text", ["", "   \n\n", "---\n", "# only\n# comments\n"])
def test_an_empty_file(text: str) -> None:
    line, said = only(text)
    assert line == 0
    assert said.startswith(
        "holds nothing but comments" if "#" in text or "-" in text else "is empty"
    )
    assert "`lineconfig new`" in said


@pytest.mark.parametrize("text", ["- a\n- b\n", "just words\n", "12\n", "'quoted'\n"])
def test_a_file_that_is_no_mapping(text: str) -> None:
    line, said = only(text)
    assert line == 1 and "not keys with values" in said


@pytest.mark.parametrize(
    ("text", "line", "hint"),
    [
        ("name: x\n\tkind: none\n", 2, ""),
        ("name: x\nkind:\n\tnone\n", 3, "spaces, not with tabs"),
        ("name: a: b\n", 1, "in quotes"),
        ("name: 'open\nkind: none\n", 3, ""),
        ("words: [a, b\nkind: none\n", 2, ""),
        ("name: x\n kind: none\n", 2, "check the indentation"),
        ("name: x\n}\n", 2, ""),
        ("a: b\nc\nd: e\n", 3, "colon"),
    ],
)
def test_a_syntax_error_has_its_line(text: str, line: int, hint: str) -> None:
    found, said = only(text)
    assert abs(found - line) <= 1 and said.startswith("cannot be read as YAML: ")
    assert hint in said


def test_a_control_character_has_its_line() -> None:
    assert only("name: x\nkind: \x07\n") == (2, "holds the control character 0x07")


def test_a_second_document_is_refused() -> None:
    assert only("name: x\n---\nname: y\n") == (2, "'---' starts a second document: one per file")


def test_keys_that_are_no_words() -> None:
    for text in ("[a, b]: c\n", "{a: b}: c\n", "? [a]\n: b\n"):
        line, said = only(text)
        assert line == 1 and "keys are plain words" in said


def test_tags_are_refused() -> None:
    line, said = only("name: x\nkind: !!python/object/apply:os.system [ls]\n")
    assert line == 2 and "YAML tag" in said
    assert only("words: !mine [a]\n")[0] == 1
    assert only("main: !!set {a, b}\n")[0] == 1


BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{key}: &{key} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, key in zip("abcdefgh", "bcdefghi", strict=True)
)
"""Nine levels of nine: half a billion texts, were it unfolded."""


def test_an_alias_bomb_is_refused() -> None:
    found = problems(BOMB)
    assert all("aliases such as" in p.text or "unknown key" in p.text for p in found)
    assert any(p.line == 2 and "'*a'" in p.text for p in found)


def test_an_alias_is_refused_with_its_line() -> None:
    line, said = only("name: &n x\nkind: none\nmain:\n  name: *n\n  length: 3 m\n")
    assert (line, said) == (4, "aliases such as '*n' are not read: write it out")
    assert any("aliases" in p.text for p in problems("x: &a b\n*a : c\n"))


@pytest.mark.parametrize(
    "text",
    [
        "words: " + "[" * 100_000,
        "words: " + "[" * 500 + "]" * 500,
        "main: " + "{a: " * 200_000,
        "words:\n  " + "- " * 100_000 + "x\n",
        "".join(f"{' ' * depth}a:\n" for depth in range(900)),
    ],
    ids=["open", "closed", "flow", "dashes", "indented"],
)
def test_deep_nesting_is_refused(text: str) -> None:
    line, said = only(text)
    assert said == f"is nested more than {MOST_LEVELS} levels deep" and line >= 1


def test_the_reader_without_libyaml_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "name: x\nparts:\n  - {name: a, length: 3 m}\n"
    with_library = read_tree(text, "f")
    monkeypatch.delattr(yaml, "CSafeLoader", raising=False)
    assert read_tree(text, "f") == with_library
    for bad in ("words: " + "[" * 3000, "name: a: b\n", "kind: \x07\n", "a: b\n\tc: d\n"):
        assert len(problems(bad)) == 1


# --- keys ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("depth: {length: 3,8 m, width: 2 m}", "3,8 m is cut at the comma"),
        ("depth: {length: 3,8 m, width: 2 m}", "write 3.8 m, or '3,8 m' in quotes"),
        ("depth: {cans: 3,000,000}", "write 3000000"),
        ("depth: [{cans: 300,000, width: 2 m}]", "write 300000"),
        ("depth: {width: 1,234.5 mm}", "write 1234.5 mm, or '1,234.5 mm' in quotes"),
    ],
)  # fmt: skip
def test_a_comma_inside_braces_is_explained_once(text: str, hint: str) -> None:
    _, found = read_tree(text, "t.yaml")
    (problem,) = found
    assert hint in problem.text and problem.line == 1


def test_commas_between_entries_and_outside_braces_are_left_alone() -> None:
    for text in ("a: {b: 3, c: 4 m}", "a: 3,8 m", "a: {b: '3,8 m'}", "a: {b: x, 8 m}"):
        assert read_tree(text, "t.yaml")[1] == []


def test_a_key_written_twice_names_both_lines() -> None:
    assert only("name: x\nkind: none\nname: y\n") == (
        3, "key 'name' is written twice, first in line 1",
    )  # fmt: skip
    assert only("main: {name: x, length: 3 m,\n  name: y}\n")[0] == 2


def test_an_unknown_key_names_the_nearest_and_the_known() -> None:
    line, said = only("name: x\nlenght: 3 m\n")
    assert line == 2
    assert said.startswith("unknown key 'lenght'; did you mean 'length'? (known: id, name, kind")
    line, said = only("parts:\n  - name: a\n    length: 3 m\n    colour: red\n")
    assert (line, said) == (4, "unknown key 'colour' in parts[1] (known: name, length)")


def test_the_name_inside_the_program_is_no_key() -> None:
    assert "unknown key 'length_mm'; did you mean 'length'?" in only("length_mm: 3 m\n")[1]


def test_an_endless_key_is_cut_in_the_message() -> None:
    _, said = only(f"? {'k' * 100_000}\n: x\n")
    assert said.startswith("unknown key 'kkk") and len(said) < 400


def test_a_missing_key_is_reported_at_its_parent() -> None:
    assert only("name: x\nmain:\n  name: a\n") == (
        2, "main.length is missing: write a length such as '12 ft 6 in'",
    )  # fmt: skip
    assert only("parts:\n  - {name: a, length: 3 m}\n  - length: 3 m\n") == (
        3, "parts[2].name is missing: write a text",
    )  # fmt: skip


# --- values ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name: no", "name: a bare no is read by YAML as false: put it in quotes, 'no'"),
        ("name: 202", "name: a bare 202 is read by YAML as a number: put it in quotes, '202'"),
        ("name:", "name is empty: write a text"),
        ("name: ''", "name is empty: at least 1 is needed"),
        ("name: [a]", "name is a list: write a text"),
        (f"name: {'x' * 401}", "name is too long: at most 400 characters"),
        ("id: Can 355", "id: 'Can 355' is not an id: ids are small letters and digits"),
        ("kind: bath", "'bath' is not accepted; did you mean 'batch'?: write none, batch or"),
        ("kind: no", "kind: no is not accepted; did you mean 'none'?"),
        ("kind: [none]", "kind: a list is not accepted: write none, batch or tunnel"),
        ("phases: 2", "phases: 2 is not accepted: write 1 or 3"),
        ("phases: yes", "phases: a bare yes is read by YAML as true: write 1 or 3"),
        ("count: 1.5", "count is the number 1.5: a plain whole number is needed"),
        ("count: 900,000", "number is needed, without a unit: write 900000"),
        ("count: yes", "count is yes (true or false): a plain whole number is needed"),
        ("count: -1", "count: -1 is out of range: it must be at least 0"),
        ("count: 9_000_000_000", "must be at most 1,000,000,000"),
        ("count: " + "9" * 5000, "count is the text '999"),
        ("share: 2", "share: 2 is out of range: it must be at most 1"),
        ("share: .nan", "share is the text '.nan': a plain number is needed"),
        ("share: 0.5 %", "a plain number is needed, without a unit: write 0.5"),
        ("ready: maybe", "ready is the text 'maybe': write true or false"),
        ("ready: 1", "ready is the number 1: write true or false"),
        ("length: 12", "length: 12 has no unit: a length needs one of mm, cm, m, in, ft"),
        ("length: 12 furlongs", "unit 'furlongs' in '12 furlongs' is not a unit of length"),
        ("length: no", "length: a bare no is read by YAML as false: write a length such as"),
        ("length: {m: 3}", "length: a length is one text such as '12 ft 6 in'"),
        ("span: 3 m to 1 m", "runs backwards"),
        ("main:\n  name: a\n  length:", "main.length is empty: write a length such as"),
        ("words: a", "words is the text 'a': a list is needed, each entry after '- ' or in [ ]"),
        ("words: [a, b, c, d]", "words is too long: at most 3 entries"),
        ("words: [a, no]", "words[2]: a bare no is read by YAML as false"),
        ("parts: [a]", "parts[1] is the text 'a': a mapping with the keys name, length is needed"),
        ("main: 3", "main is the number 3: a mapping with the keys name, length is needed"),
        ("basis: [a]", "basis is a list: a mapping is needed"),
        ("basis: {length: 3}", "basis.length: a bare 3 is read by YAML as a number"),
    ],
)  # fmt: skip
def test_a_wrong_value_is_explained(text: str, said: str) -> None:
    line, found = only(f"\n{text}\n")
    assert said in found
    assert line == 1 + len(text.splitlines())


def test_all_problems_come_at_once_in_order_of_lines() -> None:
    found = problems(
        "kind: bath\nlength: 3\nparts:\n  - {name: no, lenght: 1}\nlength: 4 m\ncount: x\n"
        "colour: red\n"
    )
    assert [problem.line for problem in found] == [1, 2, 4, 4, 4, 5, 6, 7]


def test_thousands_of_problems_are_counted_not_listed() -> None:
    found = problems("".join(f"key{number}: 1\n" for number in range(3000)))
    assert len(found) == MOST_PROBLEMS + 1
    assert found[-1].text == f"and {3000 - MOST_PROBLEMS} more problems"


def test_a_problem_shows_as_file_line_text() -> None:
    assert str(Problem("a.yaml", 3, "is wrong")) == "a.yaml:3: is wrong"
    assert str(Problem("a.yaml", 0, "is wrong")) == "a.yaml: is wrong"


def test_reading_loads_no_schema_library_until_it_is_needed() -> None:
    code = (
        "import sys, lineconfig.reading, lineconfig.errors;"
        "print(sorted({'pydantic', 'yaml'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        cwd=Path(reading.__file__).parents[1],
    )  # fmt: skip
    assert done.stdout.strip() == "[]"


# --- any text --------------------------------------------------------------------------------

scraps = st.sampled_from(
    ["name", "kind", "length", "parts", "main", "basis", ": ", ":", "\n", "\n  ", "\n- ", "- ",
     "{", "}", "[", "]", ",", "'", '"', "&a ", "*a", "!x ", "!!str ", "#", "|", ">", "? ", "%", "@",
     "---\n", "...\n", "\t", "3 m", "no", "12", "x", "<<", "\x07", "\N{PRIME}", "\ud800", "\r"]
)  # fmt: skip
yaml_like = st.one_of(st.text(max_size=200), st.lists(scraps, max_size=40).map("".join))


@given(yaml_like)
def test_no_text_raises_anything_but_an_input_error(text: str) -> None:
    try:
        read_model(Sample, text, "sample.yaml")
    except InputError as error:
        lines = text.count("\n") + text.count("\r") + text.count("\x85") + 2
        found = error.problems
    else:
        return
    assert found
    for problem in found:
        assert problem.text and "\n" not in problem.text and 0 <= problem.line <= lines + 200
