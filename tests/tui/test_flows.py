"""Each way through the UI, by keys and by mouse."""

from __future__ import annotations

import gc
import json
import threading
from pathlib import Path
from typing import Any

import pytest
from textual.command import CommandList
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static
from textual.widgets._footer import FooterKey

from lineconfig.need_reading import need_of_text
from lineconfig.session import Study
from lineconfig.tui.app import fresh_draft
from lineconfig.tui.draft import Draft
from lineconfig.tui.exporting import KINDS, text_of
from lineconfig.tui.keeping import Keeper
from lineconfig.tui.screens.compare import CompareScreen
from lineconfig.tui.screens.export import ExportDialog
from lineconfig.tui.screens.files import OpenDialog, SaveDialog
from lineconfig.tui.screens.help import HelpDialog, TextDialog
from lineconfig.tui.screens.layout import LayoutScreen
from lineconfig.tui.screens.questionnaire import QuestionScreen
from lineconfig.tui.screens.recovery import LeaveDialog, RecoveryDialog
from lineconfig.tui.screens.whatif import Scale, WhatIfScreen
from lineconfig.tui.screens.workbench import WorkbenchScreen
from lineconfig.tui.widgets.containers import ContainerList, ContainerPicker
from lineconfig.tui.widgets.entry import Entry, FieldRow
from lineconfig.tui.widgets.palette import Commands
from lineconfig.tui.widgets.sheet import Sheet
from tests.tui.seen import (
    PATIENCE,
    app_for,
    catalog,
    draft_of,
    screen_text,
    settled,
    small_draft,
)

SMALL, MIDDLE = (80, 24), (120, 40)


# --- questionnaire ---------------------------------------------------------------------------


async def test_from_the_questions_to_a_layout_by_enter_alone(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    app.asked_for = False
    async with app.run_test(size=SMALL) as pilot:
        assert isinstance(app.screen, QuestionScreen)
        for _ in app.form.questions:
            await pilot.press("enter")
            await pilot.pause()
        await settled(pilot)
        assert isinstance(app.screen, WorkbenchScreen)
        assert "kinds fit, lowest life-cycle cost first" in screen_text(app)
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, LayoutScreen)
        assert "Heights" in screen_text(app) or "station" in screen_text(app)
        await pilot.press("escape", "escape")
        assert isinstance(app.screen, QuestionScreen)
        # Looking changes nothing; the order that was agreed to is written down.
        assert app.draft.plain == {**small_draft().plain, "prefer": "life-cycle-cost"}


async def test_answers_are_judged_as_they_are_typed(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        for _ in range(6):
            await pilot.press("tab")
        assert "How high is the lowest ceiling" in screen_text(app)
        await pilot.press("1", "2")
        assert "has no unit" in screen_text(app)
        await pilot.press("tab")  # it is mended before it is left
        assert "has no unit" in screen_text(app) and "(Esc" in screen_text(app)
        await pilot.press("space", "f", "t", "space", "6")
        assert "3,810 mm, 12'-6\"" in screen_text(app)
        await pilot.press("enter")
        assert app.draft.value(("site", "ceiling")) == "12 ft 6 in"
        await pilot.press("up", "9", "9", "9", "m")
        assert app.draft.value(("site", "ceiling")) == "12 ft 6 in"
        assert "! " in screen_text(app)
        await pilot.press("escape", "f8")
        assert app.draft.value(("site", "ceiling")) == "13 ft"
        await pilot.press("f4")  # the ceiling cannot be left out
        assert "This one is needed" in screen_text(app)
        await pilot.click("#asked", offset=(5, 2))
        await pilot.press("f4")
        assert app.draft.value(("product", "carbonation")) is None
        need = need_of_text(app.draft.text, "brief", catalog())
        assert any("carbonation" in text for text in need.defaults_used)
        assert isinstance(app.focused, ContainerList)  # and on to the next question


async def test_containers_and_words_are_picked_by_keys_and_by_mouse(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await pilot.press("tab", "tab")
        assert "122 mm" in screen_text(app)  # the one that is marked is drawn
        await pilot.press("down", "space")
        names = [entry["container"] for entry in app.draft.value(("formats",))]
        assert names == ["can-355-standard", "can-440-standard"]
        options = app.screen.query_one(ContainerList)
        await pilot.click(ContainerList, offset=(4, 0))
        names = [entry["container"] for entry in app.draft.value(("formats",))]
        assert names[2] == options.get_option_at_index(round(options.scroll_y)).id
        for name in list(names):
            app.screen.query_one(ContainerPicker).toggle(name)
        await pilot.pause()
        assert len(app.draft.value(("formats",))) == 1  # one always stays
        await pilot.click("#asked", offset=(5, 12))
        assert "What counts most for you?" in screen_text(app)
        await pilot.click("#words", offset=(3, 2))
        await settled(pilot)
        assert app.draft.value(("prefer",)) == "people"
        assert isinstance(app.screen, WorkbenchScreen)


# --- workbench -------------------------------------------------------------------------------


async def test_the_newest_change_is_solved_and_told(tmp_path: Path) -> None:
    draft = Draft(draft_of("startup").text.replace("ceiling: 9 ft", "ceiling: 9"))
    app = app_for(draft, tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await settled(pilot)  # a brief with mistakes is opened, to be mended
        row = app.screen.query_one("#row-site-ceiling")
        assert "cannot be worked out yet" in screen_text(app) and row.has_class("-wrong")
        app.screen.query_one("#row-site-ceiling Entry", Entry).focus()
        await pilot.press(*"9", "space", "f", "t")
        await settled(pilot)
        assert "kinds fit" in screen_text(app) and not row.has_class("-wrong")
        app.screen.query_one("#row-staff-per-shift Entry", Entry).focus()
        await pilot.press("f8", "f8", "f8", "f8", "f7")
        await settled(pilot)
        bench = app.screen
        assert isinstance(bench, WorkbenchScreen) and bench.answered is not None
        assert bench.answered.study.need.brief.staff.per_shift == 7
        assert "People: 4 -> 7" in screen_text(app)
        app.screen.query_one("#row-site-ceiling Entry", Entry).focus()
        await pilot.press(*"16", "space", "f", "t")
        await settled(pilot)
        assert "Ceiling: 9 ft -> 16 ft" in screen_text(app)
        told = str(app.screen.query_one("#change-text", Static).content)
        assert " new at " in told and "before: " in told  # with the reason why it was not there
        assert "before that: People: 4 -> 7" in told


async def test_the_workbench_by_mouse(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await pilot.click("#row-prefer Choice", offset=(6, 0))
        await settled(pilot)
        assert app.draft.value(("prefer",)) == "first-cost"
        assert "lowest first cost first" in screen_text(app)
        await pilot.click("#row-prefer Choice", offset=(0, 0))
        await settled(pilot)
        assert app.draft.value(("prefer",)) == "life-cycle-cost"
        await pilot.click("#containers")
        await pilot.press("down", "space", "enter")
        await settled(pilot)
        assert len(app.draft.value(("formats",))) == 2
        assert len(app.screen.query("#formats FieldRow")) == 2
        await pilot.click("#ranking", offset=(8, 2))
        await settled(pilot)
        assert isinstance(app.screen, LayoutScreen) and app.screen.label == "B"
        await pilot.click("#--content-tab-money")
        await settled(pilot)
        assert app.screen.page == "money"
        await pilot.press(str([page.id for page in app.screen.pages].index("week") + 1))
        await settled(pilot)
        assert "running order" in screen_text(app)


async def test_two_layouts_are_marked_and_compared(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        bench = app.screen
        assert isinstance(bench, WorkbenchScreen)
        await pilot.press("f3")
        assert "best of all" in screen_text(app) and bench.lines[0].label == "1"
        await pilot.press("f3", "space", "down", "space", "c")
        await settled(pilot)
        assert isinstance(app.screen, CompareScreen)
        shown = screen_text(app)
        for line in bench.lines[:2]:
            assert line.name.split()[0] in shown
        rows = [row.text for row in app.screen.query_one(Sheet).rows]
        assert "first cost" in shown and any("Where they differ" in text for text in rows)
        assert "What changes their order" in rows


async def test_an_opening_is_applied_with_one_key(tmp_path: Path) -> None:
    draft = small_draft()
    draft.put(("staff", "per_shift"), 1)
    app = app_for(draft, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        assert "No layout fits this brief." in screen_text(app)
        assert app.screen.query_one("#openings", OptionList).option_count
        await pilot.press("1")
        await settled(pilot)
        assert "lowest life-cycle cost first" in screen_text(app)
        assert app.draft.text != small_draft().text and app.draft.changed


# --- what if ---------------------------------------------------------------------------------


async def test_what_if_marks_where_the_first_place_changes_and_takes_a_value(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await pilot.press("f5")
        await settled(pilot)
        assert isinstance(app.screen, WhatIfScreen)
        assert len(app.screen.told) == len(app.screen.texts) == 11
        (mark,) = app.screen.marks or ()
        assert not mark.exact and "changes hands near" in screen_text(app)
        await pilot.press("down", "enter")
        await settled(pilot)
        assert isinstance(app.screen, WorkbenchScreen)
        assert app.draft.value(("site", "ceiling")) == "9 ft 6 in"
        assert "Ceiling: 9 ft -> 9 ft 6 in" in screen_text(app)


async def test_a_switching_value_is_traced_and_the_scale_can_be_clicked(tmp_path: Path) -> None:
    draft = draft_of("startup")
    app = app_for(draft, tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await settled(pilot)
        await pilot.press("f5", "right", "right")  # from the ceiling to the wage
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, WhatIfScreen) and screen.key == "staff.wage"
        assert screen.marks
        low, high = screen.value_of(screen.texts[0]), screen.value_of(screen.texts[-1])
        (mark,) = [mark for mark in screen.marks if low <= mark.value <= high]
        assert mark.exact and f"hands at {mark.value:.4g} USD/h" in screen_text(app)
        # Solved plainly a cent below and above, other layouts are first.
        first = []
        for wage in (mark.value - 0.01, mark.value + 0.01):
            other = draft_of("startup")
            other.put(("staff", "wage"), f"{wage:.4f} USD/h")
            first.append(Study(other.need(catalog()), catalog()).best(1)[0].family)
        assert first[0] != first[1]
        scale = screen.query_one(Scale)
        await pilot.click(Scale, offset=(scale.start + 1 + scale.length - 1, 0))
        assert screen.query_one("#steps", OptionList).highlighted == len(screen.texts) - 1
        await pilot.click("#steps", offset=(5, 0))
        await settled(pilot)
        assert isinstance(app.screen, WorkbenchScreen)
        assert draft.value(("staff", "wage")) == screen.texts[0]


# --- before the whole answer is there --------------------------------------------------------


async def test_the_first_place_is_shown_before_the_rest_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    from lineconfig import rank

    go_on, recommend = threading.Event(), rank.recommend

    def slowly(study: Study) -> rank.Recommendation:
        assert go_on.wait(60)
        return recommend(study)

    monkeypatch.setattr(rank, "recommend", slowly)
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        request.addfinalizer(go_on.set)
        bench = await first_place(pilot)
        assert [line.label for line in bench.lines] == ["A"]
        await pilot.press("enter")
        layout = app.screen
        assert isinstance(layout, LayoutScreen) and layout.ranked is None
        await pilot.press("ctrl+e")  # an export waits for what belongs into it
        assert app.screen is layout and "One moment" in screen_text(app)
        go_on.set()
        await settled(pilot)
        assert isinstance(app.screen, ExportDialog) and layout.ranked is not None
        assert "list-json" in [kind.id for kind in app.screen.kinds]
        await pilot.press("escape", "escape")
        await settled(pilot)
        kinds = len(bench.lines)
        assert kinds > 2 and not any(line.stale for line in bench.lines)
        go_on.clear()
        app.screen.query_one("#row-staff-wage Entry", Entry).focus()
        await pilot.press("f8")
        await first_place(pilot)
        assert len(bench.lines) == kinds and [line.stale for line in bench.lines[:2]] == [0, 1]
        assert "looking at what it does" in str(bench.query_one("#change-text", Static).content)
        bench.query_one("#ranking", OptionList).focus()
        await pilot.press("down", "enter")  # figures of the answer before open nothing
        assert app.screen is bench
        assert "worked out again" in [note.message for note in app._notifications][-1]
        go_on.set()
        await settled(pilot)
        assert not any(line.stale for line in bench.lines)


async def first_place(pilot: Pilot[Any]) -> WorkbenchScreen:
    """Wait until the first place is there, and no more than that."""
    bench = pilot.app.screen
    assert isinstance(bench, WorkbenchScreen)
    for _ in range(PATIENCE):
        await pilot.pause(0.01)
        if bench.waiting and bench.study is not None and "The first now" in screen_text(pilot.app):  # type: ignore[arg-type]
            return bench
    raise AssertionError("nothing was first")


# --- by mouse alone --------------------------------------------------------------------------


async def click_key(pilot: Pilot[Any], words: str) -> None:
    """Click a key in the line at the bottom."""
    await settled(pilot)
    (key,) = [key for key in pilot.app.screen.query(FooterKey) if key.description == words]
    await pilot.click(key)
    await settled(pilot)


async def test_from_a_brief_that_cannot_be_met_to_a_saved_drawing_by_mouse(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    draft = small_draft()
    draft.put(("staff", "per_shift"), 1)
    (tmp_path / "mine.yaml").write_text(draft.text)
    app = app_for(None, tmp_path / "state")
    async with app.run_test(size=MIDDLE, notifications=True) as pilot:
        await click_key(pilot, "Open")
        await pilot.click("#files", offset=(4, 0))
        await settled(pilot)
        assert app.draft.path == Path("mine.yaml") or app.draft.path == tmp_path / "mine.yaml"
        await pilot.click("#openings", offset=(4, 0))
        await settled(pilot)
        bench = app.screen
        assert isinstance(bench, WorkbenchScreen) and bench.lines and app.draft.changed
        await click_key(pilot, "Mark")
        await pilot.hover("#ranking", offset=(8, 2))
        await click_key(pilot, "Compare")
        assert isinstance(app.screen, CompareScreen) or "Mark two or three" in screen_text(app)
        if isinstance(app.screen, CompareScreen):
            await click_key(pilot, "Back")
        await click_key(pilot, "What if")
        assert isinstance(app.screen, WhatIfScreen)
        await click_key(pilot, "Higher")
        await click_key(pilot, "Back")
        await pilot.click("#ranking", offset=(8, 0))
        await settled(pilot)
        assert isinstance(app.screen, LayoutScreen)
        await click_key(pilot, "Export")
        assert isinstance(app.screen, ExportDialog)
        place = [kind.id for kind in app.screen.kinds].index("layout-text")
        await pilot.click(app.screen.query_one(OptionList), offset=(4, place))
        await settled(pilot)
        (file,) = tmp_path.glob("*.txt")
        assert "first cost" in file.read_text()
        await click_key(pilot, "Save")
        assert (tmp_path / "mine.yaml").read_text() == app.draft.text
        await click_key(pilot, "Help")
        assert isinstance(app.screen, HelpDialog)


async def test_keys_at_the_bottom_are_never_cut_and_help_is_always_among_them(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        for width in (40, 80, 140):
            await pilot.resize_terminal(width, 24)
            await settled(pilot)
            keys = list(app.screen.query(FooterKey))
            assert keys[-1].region.right <= width
            assert "Help" in [key.description for key in keys]
            assert ("Leave" in [key.description for key in keys]) == (width >= 140)


# --- layout ----------------------------------------------------------------------------------


async def test_every_page_of_a_layout_is_shown_and_tells_its_basis(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, LayoutScreen)
        assert "invented]" in screen_text(app)  # the basis of the price under the cursor
        for number, page in enumerate(screen.pages, 1):
            if page.slow:
                continue
            await pilot.press(str(number))
            await settled(pilot)
            assert screen.page == page.id
            rows = screen.query_one(f"#sheet-{page.id}", Sheet).rows
            assert len(rows) > 2, page.id
            for row in rows:
                assert not row.basis or screen.basis_of(row), (page.id, row)
        await pilot.press("1", "enter")
        assert isinstance(app.screen, TextDialog)
        assert "accepts.kinds" in screen_text(app)


async def test_a_page_that_takes_its_time_shows_what_it_has_and_is_called_off(
    tmp_path: Path,
) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, LayoutScreen)
        await pilot.press(str([page.id for page in screen.pages].index("why") + 1))
        for _ in range(1000):
            await pilot.pause(0.01)
            if "Why not something else" in screen_text(app):
                break
        assert "What speaks for it" in screen_text(app)
        await pilot.press("escape")
        await settled(pilot)  # or it would be waited for
        assert isinstance(app.screen, WorkbenchScreen)


# --- files -----------------------------------------------------------------------------------


async def test_briefs_are_saved_and_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "our-first-line.yaml").write_text("somebody else's")
    app = app_for(None, tmp_path / "state")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("end", *"!", "ctrl+s")
        assert isinstance(app.screen, SaveDialog)
        await pilot.press("enter")
        assert "Enter again replaces it" in screen_text(app)
        app.screen.query_one(Input).value = "no/such/folder.yaml"
        await pilot.press("enter")
        assert "there is no folder" in screen_text(app)
        app.screen.query_one(Input).value = "mine.yaml"
        await pilot.press("enter")
        await pilot.pause()
        assert (tmp_path / "mine.yaml").read_text() == app.draft.text and not app.draft.changed
        assert (tmp_path / "our-first-line.yaml").read_text() == "somebody else's"
        assert not list((tmp_path / "state").glob("*.json"))
        await pilot.press(*"?", "ctrl+s")  # from now on without a question
        await pilot.pause()
        assert (tmp_path / "mine.yaml").read_text() == app.draft.text
        (tmp_path / "odd.yaml").write_text("a: [")
        await pilot.press("ctrl+o", *"odd", "enter")
        await pilot.pause()  # no brief: the one in hand stays
        assert app.draft.name == "Our first line" and "cannot be read as YAML" in screen_text(app)
        await pilot.press("ctrl+o")
        assert isinstance(app.screen, OpenDialog)
        await pilot.press(*"startup", "enter")
        await settled(pilot)
        assert isinstance(app.screen, WorkbenchScreen)
        assert app.draft.name == draft_of("startup").name and "kinds fit" in screen_text(app)
        await pilot.press("ctrl+s")  # an example is a copy: its own file is never written
        assert isinstance(app.screen, SaveDialog)


async def test_what_is_shown_is_exported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    app = app_for(small_draft(), tmp_path / "state")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await settled(pilot)
        await pilot.press("enter", "ctrl+e")
        assert isinstance(app.screen, ExportDialog)
        places = [each.id for each in app.screen.kinds]
        app.screen.query_one(OptionList).highlighted = places.index("plan-svg")
        await pilot.press("enter")
        await settled(pilot)
        (file,) = tmp_path.glob("*-a.svg")
        assert "<svg" in file.read_text() and f"Wrote {file.name}" in screen_text(app)
        for kind in KINDS:
            if not kind.command:
                matter = app.screen.subject_of_export()
                text = text_of(matter, app.draft, kind)
                if kind.suffix == ".json":
                    assert json.loads(text)
                elif kind.id == "brief":
                    assert text == app.draft.text
                else:
                    assert "first cost" in text


# --- leaving and coming back -----------------------------------------------------------------


async def test_leaving_with_changes_asks(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press(*"perry", "ctrl+q")
        assert isinstance(app.screen, LeaveDialog)
        await pilot.press("escape")
        assert isinstance(app.screen, QuestionScreen)
        await pilot.press("ctrl+q", "k")
    assert app.return_code == 0
    assert [file.name for file in tmp_path.glob("*.json")] == [app.keeper.file.name]


async def test_what_was_left_is_taken_up(tmp_path: Path) -> None:
    draft = fresh_draft()
    draft.put(("name",), "Left behind")
    keeper = Keeper(tmp_path)
    keeper.keep(draft)
    record = json.loads(keeper.file.read_text())
    keeper.file.unlink()
    (tmp_path / "brief-0.json").write_text(json.dumps({**record, "pid": 2**22 + 1}))
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, RecoveryDialog)
        assert "Left behind" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
        assert app.draft.name == "Left behind" and app.draft.changed
        assert "Left behind (not saved)" in screen_text(app)
        assert [file.name for file in tmp_path.glob("*.json")] == [app.keeper.file.name]
        await pilot.press("ctrl+q", "d")
    assert not list(tmp_path.glob("*.json"))


# --- help, palette, looks --------------------------------------------------------------------


async def test_dialogs_that_are_closed_leave_nothing_in_memory(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        for _ in range(3):
            await pilot.press("f1", "escape")
        await settled(pilot)
        before = widgets_in_memory()
        for _ in range(3):
            await pilot.press("f1", "escape")
            await pilot.resize_terminal(100, 30)
            await pilot.resize_terminal(*SMALL)
        await settled(pilot)
        assert widgets_in_memory() - before < 8  # a dialog alone has more than twenty


def widgets_in_memory() -> int:
    gc.collect()
    return sum(isinstance(each, Widget) for each in gc.get_objects())


async def test_help_explains_the_field_in_hand_and_the_keys(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=MIDDLE) as pilot:
        await settled(pilot)
        app.screen.query_one("#row-staff-wage Entry", Entry).focus()
        await pilot.press("f1")
        assert isinstance(app.screen, HelpDialog)
        shown = screen_text(app)
        assert "What does an hour of work cost you?" in shown and "If it is wrong" in shown
        assert "to buy: machines" in shown  # what the columns mean
        assert any("Ctrl+P" in line for line in app.screen.lines)
        await pilot.press("escape")
        assert isinstance(app.screen, WorkbenchScreen)
        before = screen_text(app)
        await pilot.press("ctrl+p", *"light or dark")
        await pilot.pause(0.3)
        await pilot.press("enter")
        await pilot.pause()
        assert not app.current_theme.dark and screen_text(app) == before


async def test_commands_that_are_closed_before_their_search_ends_do_no_harm(
    tmp_path: Path,
) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("ctrl+p", *"zzz")
        palette = app.screen
        assert isinstance(palette, Commands)
        await pilot.pause(0.1)
        # The clock of the last search runs out just when the list has been taken away.
        ended: list[Any] = []
        palette.set_timer(0.05, lambda: ended.append(palette.query_one(CommandList)))
        await palette.query(CommandList).remove()
        await pilot.pause(0.2)
        assert app.is_running and not ended


async def test_every_screen_is_plain_letters_where_they_are_asked_for(tmp_path: Path) -> None:
    draft = small_draft()
    app = app_for(draft, tmp_path, ascii_only=True)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        seen = [screen_text(app)]
        for keys in (["enter"], ["2"], ["4"], ["6"], ["escape", "c"], ["escape", "f5"], ["f1"]):
            await pilot.press(*keys)
            await settled(pilot)
            seen.append(screen_text(app))
    assert not {sign for text in seen for sign in text if not sign.isascii()}


async def test_without_colour_the_line_in_hand_still_stands_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")  # https://no-color.org
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("tab", "tab")
        for theme in ("textual-dark", "textual-light"):
            app.theme = theme
            await settled(pilot)
            segments = [
                segment for line in app.screen._compositor.render_strips() for segment in line
                if segment.style
            ]  # fmt: skip
            assert not any("#" in str(s.style) or "color(" in str(s.style) for s in segments)
            reversed_text = "".join(s.text for s in segments if s.style and s.style.reverse)
            assert "[x] 355 ml standard can" in reversed_text, theme
            assert "Which cans or bottles?" not in reversed_text


async def test_a_served_session_offers_no_files_of_this_machine(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "private.yaml").write_text("brief: 1\n")
    app = app_for(None, tmp_path / "state", served=True)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("ctrl+o")
        assert isinstance(app.screen, OpenDialog)
        assert app.screen.found and "private.yaml" not in app.screen.found
        app.screen.query_one(Input).value = str(tmp_path / "private.yaml")
        await pilot.press("enter")
        assert isinstance(app.screen, OpenDialog)


async def test_up_and_down_go_through_the_fields_of_the_brief(tmp_path: Path) -> None:
    app = app_for(small_draft(), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await pilot.press("f6")
        bench = app.screen
        assert isinstance(bench, WorkbenchScreen)
        rows = list(bench.query(FieldRow))
        seen = [bench.focused]
        for _ in range(40):
            await pilot.press("down")
            if bench.focused is seen[-1]:
                break
            seen.append(bench.focused)
        entries = [row.entry for row in rows]
        assert [each for each in seen if each in entries] == entries
        assert len(seen) == len(entries) + 1  # the button that opens the containers
        await pilot.press("enter")  # nothing below: it stays
        assert bench.focused is entries[-1]
        for _ in seen:
            await pilot.press("up")
        assert bench.focused is entries[0]
        await pilot.press("f8")
        await settled(pilot)
        assert bench.history[0] == "Rank by: life cost -> first cost"
        assert bench.history[0] in screen_text(app)


async def test_a_picker_that_is_taken_away_at_once_does_no_harm(tmp_path: Path) -> None:
    app = app_for(None, tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        screen = app.screen
        assert isinstance(screen, QuestionScreen)
        for _ in range(3):
            screen.at = [field.path for field in app.form.questions].index(("formats",))
            screen._ask()
            screen.at += 1
            screen._ask()
            await pilot.pause()
        assert not screen.query(ContainerPicker)
        assert "How many cans a year?" in screen_text(app)
