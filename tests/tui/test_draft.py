"""The working brief: edited value by value, saved whole, kept against a kill."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from lineconfig.errors import InputError
from lineconfig.need_reading import need_of_text
from lineconfig.tui.app import fresh_draft, slug
from lineconfig.tui.draft import Draft, write_whole
from lineconfig.tui.fields import form_for
from lineconfig.tui.keeping import Keeper, state_folder
from tests.tui.seen import catalog, draft_of

FORM = form_for("USD")


def test_a_fresh_brief_is_sound_and_limits_nothing_that_is_not_asked_for() -> None:
    draft = fresh_draft()
    assert not draft.problems(catalog()) and not draft.changed
    for key in ("power", "water", "air", "door"):
        assert draft.value(("site", key)) is None


def test_containers_come_and_go_and_the_others_are_not_touched() -> None:
    draft = draft_of("growing-brewery")
    before = draft.value(("formats",))
    draft.put_formats(["can-355-standard", "can-473-standard", "can-568-standard"])
    assert draft.value(("formats",)) == [*before, {"container": "can-568-standard"}]
    draft.put_formats(["can-473-standard", "can-568-standard"])
    assert draft.value(("formats",)) == [before[1], {"container": "can-568-standard"}]


def test_a_container_described_in_the_brief_stays() -> None:
    draft = draft_of("growing-brewery")
    own = {"container": {"kind": "two-piece-can", "diameter": "66 mm"}, "annual_cans": 1}
    draft.put(("formats", 2), own)
    draft.put_formats(["can-473-standard"])
    assert draft.value(("formats",))[-1] == own and len(draft.value(("formats",))) == 2


def test_a_complaint_is_told_beside_its_field() -> None:
    draft = draft_of("startup")
    ceiling = FORM.by_key["site.ceiling"]
    draft.put(ceiling.path, "900 m")
    assert draft.complaint(ceiling, catalog())
    assert not draft.complaint(FORM.by_key["speed"], catalog())


def test_a_changed_need_is_written_into_the_brief() -> None:
    draft = draft_of("growing-brewery")
    before = draft.need(catalog()).brief
    other = draft_of("growing-brewery")
    other.put(("site", "ceiling"), "9 ft")
    other.put(("budget",), None)
    other.put(("exclude",), ["label"])
    draft.follow(before, other.need(catalog()).brief)
    assert draft.plain == other.plain


def test_saving_replaces_the_file_or_leaves_it(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    draft = draft_of("startup")
    draft.put(("name",), "Another")
    assert draft.changed
    draft.save(file)
    assert file.read_text() == draft.text and not draft.changed
    assert need_of_text(file.read_text(), "mine.yaml", catalog()).brief.name == "Another"
    with pytest.raises(InputError, match="cannot be written"):
        draft.save(tmp_path / "no" / "such.yaml")
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path, "text")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.yaml"]


def test_a_file_keeps_its_permissions(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    write_whole(file, "one")
    file.chmod(0o640)
    write_whole(file, "two")
    assert file.stat().st_mode & 0o777 == 0o640 and file.read_text() == "two"


@pytest.mark.parametrize(
    ("name", "file"),
    [("Saltmarsh Cider", "saltmarsh-cider"), ("Bräu & Söhne", "brau-sohne"), ("饮料", "brief")],
)
def test_a_file_is_named_after_the_brief(name: str, file: str) -> None:
    assert slug(name) == file


# --- kept against a kill ---------------------------------------------------------------------


def test_the_state_folder_follows_xdg(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert state_folder() == tmp_path / "lineconfig"
    monkeypatch.setenv("XDG_STATE_HOME", "relative")  # the specification ignores it
    monkeypatch.setenv("HOME", str(tmp_path))
    assert state_folder() == tmp_path / ".local" / "state" / "lineconfig"


def test_what_a_dead_process_kept_can_be_taken_up(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    draft = draft_of("startup")
    draft.save(file)
    draft.put(("name",), "Kept")
    keeper = Keeper(tmp_path)
    keeper.keep(draft)
    assert keeper.left_behind() == []  # this process is still there
    record = json.loads(keeper.file.read_text())
    done = subprocess.Popen([sys.executable, "-c", "pass"])
    done.wait()
    (tmp_path / "brief-1.json").write_text(json.dumps({**record, "pid": done.pid}))
    (left,) = keeper.left_behind()
    taken = left.draft()
    assert (taken.text, taken.path, taken.name, taken.changed) == (draft.text, file, "Kept", True)
    keeper.forget(left.file)
    assert keeper.left_behind() == []


def test_a_lock_tells_whose_process_is_gone_even_where_its_number_is_used_again(
    tmp_path: Path,
) -> None:
    hold = (
        "import sys, time; from pathlib import Path; from lineconfig.tui.draft import Draft;"
        "from lineconfig.tui.keeping import Keeper; draft = Draft('name: a\\n');"
        "draft.put(('name',), 'b'); Keeper(Path(sys.argv[1])).keep(draft);"
        "print('kept', flush=True); time.sleep(600)"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", hold, str(tmp_path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None and process.stdout.readline() == "kept\n"
    other = Keeper(tmp_path)
    assert other.left_behind() == []
    process.kill()  # nothing of it runs any more, as after a power cut
    process.wait()
    process.stdout.close()
    (file,) = tmp_path.glob("*.json")
    record = json.loads(file.read_text())
    file.write_text(json.dumps({**record, "pid": os.getpid()}))  # the number of a live process
    (left,) = other.left_behind()
    assert left.draft().name == "b"
    other.forget(left.file)
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_kept_once_it_is_saved(tmp_path: Path) -> None:
    keeper, draft = Keeper(tmp_path), draft_of("startup")
    draft.put(("name",), "Kept")
    keeper.keep(draft)
    assert keeper.file.exists()
    draft.save(tmp_path / "mine.yaml")
    keeper.keep(draft)
    assert not keeper.file.exists()


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"pid": "x"}', "\x00", '{"pid": 1}'])
def test_a_spoiled_file_is_passed_over(tmp_path: Path, text: str) -> None:
    (tmp_path / "brief-7.json").write_text(text)
    assert Keeper(tmp_path).left_behind() == []


@pytest.mark.skipif(os.name != "posix", reason="folders that cannot be written")
def test_a_state_folder_that_cannot_be_written_is_no_reason_to_stop(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    keeper, draft = Keeper(blocked / "state"), Draft("name: a\n")
    draft.put(("name",), "b")
    keeper.keep(draft)
    assert not keeper.works
