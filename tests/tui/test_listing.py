"""Quick answers while a brief is edited are those of a study made anew."""

from __future__ import annotations

from typing import Any

import pytest

from lineconfig.layout import Layout
from lineconfig.rank import Ranked, Recommendation, recommend
from lineconfig.session import Study
from lineconfig.tui.draft import Draft
from lineconfig.tui.listing import ListingStudy
from lineconfig.tui.solving import First, News, Solver, Told, Unsound, Whole
from lineconfig.varying.pooled import Pool
from tests.tui.seen import catalog, draft_of, small_draft

EDITS: list[tuple[tuple[str, ...], Any]] = [
    (("staff", "wage"), "31 USD/h"),
    (("budget",), "310000 USD"),
    (("speed",), "34 cpm"),
    (("site", "ceiling"), "8 ft 6 in"),
    (("site", "length"), "50 ft"),
    (("budget",), "40000 USD"),  # nothing fits
    (("budget",), None),
    (("prefer",), "people"),
    (("site", "length"), "52 ft"),
    (("prefer",), "life-cycle-cost"),
    (("horizon",), "3 years"),
]


def told(answer: Recommendation) -> object:
    """All that is said of the layouts."""
    nothing = answer.no_layout
    return (
        answer.view, answer.complete, answer.valid_layouts,
        [_told(item) for item in answer.layouts], [_told(item) for item in answer.arrangements],
        [(clash.rule, clash.text) for clash in nothing.conflict] if nothing else None,
        [opening.text for opening in nothing.openings] if nothing else None,
    )  # fmt: skip


def _told(item: Ranked) -> object:
    layout = item.layout
    return (
        item.rank, layout.id, layout.money, layout.speed, layout.crew, layout.floor,
        item.payback_years, item.net_present_value, item.stays_first, item.reason,
    )  # fmt: skip


def edited(draft: Draft) -> list[str]:
    """The texts of a brief under one edit after another."""
    texts = [draft.text]
    for path, value in EDITS:
        draft.put(path, value)
        texts.append(draft.text)
    return texts


@pytest.mark.parametrize("latest", [1, 3])
def test_edits_of_one_pool_change_no_answer(latest: int) -> None:
    pool, before = Pool(), None
    texts = edited(small_draft())
    found: list[bool] = []
    for text in texts:
        need = Draft(text).need(catalog())
        study = ListingStudy(need, catalog(), pool=pool, before=before)
        first = study.best(1)
        ours, theirs = recommend(study), recommend(Study(need, catalog()))
        assert told(ours) == told(theirs), text
        assert [each.id for each in first] == [item.layout.id for item in ours.layouts[:1]]
        study.settle()
        pool.trim(latest)
        assert len(pool.builders) <= latest and len(pool.bundlers) <= latest
        before = ours.layouts[0].layout if ours.layouts else before
        found.append(bool(ours.layouts))
    assert True in found and False in found


def test_the_newest_question_is_answered_and_the_screen_gets_a_study_of_its_own() -> None:
    solver = Solver(catalog())
    news: list[News] = []

    def hear(item: News) -> None:
        news.append(item)
        if isinstance(item, First):
            item.painted.set()

    firsts: list[Layout] = []
    for text in edited(draft_of("startup"))[:3]:
        solver.solve(text, "brief", *solver.question(), hear)
        first, whole = (next(n for n in news if isinstance(n, kind)) for kind in (First, Whole))
        assert isinstance(first, First) and isinstance(whole, Whole)
        assert not [n for n in news if isinstance(n, Unsound | Told)]
        # A thread of its own may ask it, while the pool is at work for the next question.
        assert type(first.study) is Study and whole.answered.study is first.study
        assert whole.answered.answer.layouts[0].layout.id == first.layouts[0].id
        firsts.append(first.layouts[0])
        news.clear()
    assert solver.pool is not None and len(solver.pool.builders) == 1
    called_off = solver.question()
    solver.question()
    solver.solve(draft_of("startup").text, "brief", *called_off, hear)
    assert not news
