"""What a change of the brief did to the ranking, against the two rankings themselves."""

from __future__ import annotations

from functools import cache

from lineconfig.catalog_loading import load_catalog
from lineconfig.changes import Answered, ranking_changes, with_reasons
from lineconfig.locate import examples_dir
from lineconfig.need_reading import need_of_text
from lineconfig.rank import recommend
from lineconfig.session import Study

CATALOG = load_catalog()


@cache
def answered(ceiling: str = "9 ft", people: int = 4) -> Answered:
    text = (examples_dir() / "startup.yaml").read_text(encoding="utf-8")
    need = need_of_text(text, "startup.yaml", CATALOG)
    site = need.brief.site.model_dump(by_alias=True) | {"ceiling": ceiling}
    staff = need.brief.staff.model_dump(by_alias=True) | {"per_shift": people}
    plain = need.brief.model_dump(by_alias=True) | {"site": site, "staff": staff}
    import yaml

    study = Study(need_of_text(yaml.safe_dump(plain), "brief", CATALOG), CATALOG)
    return Answered(study, recommend(study))


def kinds(item: Answered) -> list[str]:
    return [ranked.layout.family for ranked in item.answer.arrangements]


def test_the_same_brief_moves_nothing() -> None:
    changes = ranking_changes(answered(), answered())
    assert [change.move for change in changes] == ["same"] * len(kinds(answered()))
    assert all(change.reason.endswith("as before") for change in changes)


def test_every_move_is_the_difference_of_the_two_rankings() -> None:
    before, after = answered(), answered("16 ft")
    was, now = kinds(before), kinds(after)
    assert set(now) - set(was)  # more room, more kinds
    found = {change.family: change for change in ranking_changes(before, after)}
    assert set(found) == set(was) | set(now)
    for family, change in found.items():
        assert change.before == (was.index(family) + 1 if family in was else None)
        assert change.after == (now.index(family) + 1 if family in now else None)
        if family in was and family in now:
            rise = was.index(family) - now.index(family)
            assert change.move == ("up" if rise > 0 else "down" if rise < 0 else "same")
        else:
            assert change.move == ("new" if family in now else "gone")


def test_what_went_says_which_rule_sent_it_away() -> None:
    before, after = answered("16 ft"), answered()
    told = with_reasons(ranking_changes(before, after), before, after)
    gone = [change for change in told if change.move == "gone"]
    assert gone and "ceiling" in gone[0].reason
    back = with_reasons(ranking_changes(after, before), after, before)
    assert any(change.reason.startswith("before: ") for change in back if change.move == "new")


def test_where_nothing_is_left_the_conflict_is_the_reason() -> None:
    before, after = answered(), answered(people=1)
    assert after.answer.no_layout is not None
    told = with_reasons(ranking_changes(before, after), before, after)
    assert {change.move for change in told} == {"gone"}
    assert after.answer.no_layout.conflict[0].text in told[0].reason


def test_reasons_are_not_looked_for_once_called_off() -> None:
    before, after = answered("16 ft"), answered()
    changes = ranking_changes(before, after)
    assert with_reasons(changes, before, after, lambda: True) == changes
