"""Needs that lack because others do: what those leave, or what stands in their place."""

import pytest

from app.planning.blockers.asking import Asking
from app.planning.blockers.case import Case
from app.planning.blockers.clash import Clash
from app.planning.blockers.deciding import Decider
from app.planning.blockers.facts import Fact
from app.planning.blockers.looking import Hindrances, hindrances_of
from app.planning.blockers.telling import Telling
from app.planning.day import Day
from app.planning.plan import Lack, Objective, Plan
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning.blockers.looked import Document, oven_day


def _day(demonstrations: list[Document], runs: list[Document]) -> Day:
    return oven_day(demonstrations, runs, units=2, settings={"change_min": 60})


def _run(id: str, dish: str, hour: str) -> Document:
    return {"id": id, "demonstration": dish, "kind": "take", "starts": f"2027-03-04T{hour}"}


def _terrine(sets_min: int) -> Document:
    """Return a dish that is turned out, which leaves a slice to be eaten five minutes later."""
    ways = [{"id": "set", "phases": [{"lasts_min": sets_min}]}]
    slow = [{"id": "cut", "phases": [{"lasts_min": 240}]}]
    return {
        "id": "terrine",
        "title": "Terrine",
        "stages": [
            {"id": "set", "keeps_min": 600, "ways": ways},
            {"id": "slice", "keeps_min": 60, "from": [{"stage": "set"}], "ways": slow},
        ],
        "beats": [
            {
                "id": "turn-out",
                "starts_s": 0,
                "lasts_s": 60,
                "needs": [{"stage": "set"}],
                "leaves": [{"stage": "slice"}],
            },
            {"id": "eat", "starts_s": 600, "lasts_s": 60, "needs": [{"stage": "slice"}]},
        ],
    }


def test_what_hangs_on_a_need_that_cannot_be_met_is_told_with_it() -> None:
    """Nothing is set by ten, so nothing is turned out, and there is no slice to eat."""
    day = _day([_terrine(sets_min=180)], [_run("take", "terrine", "10:00")])
    assert solve(day).objective.unmet == 2
    found = hindrances_of(day, solve(day), Watch(None, still, never, nobody))
    (clash,) = found.clashes
    assert clash.needs == (Fact("need", ("take", "turn-out", "set")),)
    assert clash.hanging == (Fact("need", ("take", "eat", "slice")),)
    assert found.at_least == 2


def test_what_hangs_is_told_where_nothing_keeps_as_long_as_it_stands_ready() -> None:
    """A fillet keeps for five minutes and has to stand ready for ten, unless a beat leaves it."""
    made = [{"id": "bench", "phases": [{"lasts_min": 18}]}]
    shown = {"lasts_s": 60, "needs": [{"stage": "boned"}], "leaves": [{"stage": "boned"}]}
    salmon = {
        "id": "salmon",
        "title": "Salmon",
        "stages": [{"id": "boned", "keeps_min": 5, "ways": made}],
        "beats": [{"id": "bone", "starts_s": 0, **shown}, {"id": "bury", "starts_s": 120, **shown}],
    }
    day = _day([salmon], [_run("take", "salmon", "12:00")])
    (clash,) = hindrances_of(day, solve(day), Watch(None, still, never, nobody)).clashes
    assert clash.needs == (Fact("need", ("take", "bone", "boned")),)
    assert clash.hanging == (Fact("need", ("take", "bury", "boned")),)


def test_what_has_its_copies_hangs_on_nothing() -> None:
    """Set in time, it leaves its slice: the same day with less to wait for lacks nothing."""
    day = _day([_terrine(sets_min=60)], [_run("take", "terrine", "10:00")])
    assert solve(day).objective.unmet == 0


@pytest.mark.parametrize(("backups", "hangs"), [(False, True), (True, False)])
def test_where_backups_alone_lack_nothing_hangs_on_them(backups: bool, hangs: bool) -> None:
    """The terrine is turned out and leaves its slice; only what stands behind it lacks."""
    case = Case(_day([_terrine(sets_min=60)], [_run("take", "terrine", "10:00")]), backups)
    telling = Telling(Asking(case, Decider(Watch(None, still, never, nobody), work=1.0)))
    turned_out, eaten = case.needs
    telling.tell(Clash((turned_out,), anyway=False), [])
    telling.tell_more([case.needs], case.needs)
    assert telling.clashes[0].hanging == ((eaten,) if hangs else ())


def _baked(dish: str, setting: int) -> Document:
    oven = {"kind": "oven", "per_batch": 1, "setting": setting}
    way = {"id": "bake", "phases": [{"lasts_min": 20, "equipment": [oven]}]}
    return {
        "id": dish,
        "title": dish,
        "stages": [{"id": "baked", "keeps_min": 15, "ways": [way]}],
        "beats": [{"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "baked"}]}],
    }


def _lacking(day: Day, *runs: str) -> Hindrances:
    """Return what is told of a day whose plan leaves the needs of some runs short."""
    plan = Plan.model_construct(
        objective=Objective.model_construct(unmet=len(runs), hands_min=0),
        unmet=tuple(
            Lack(run=run, beat="show", stage="baked", kind="copies", count=1) for run in runs
        ),
    )
    return hindrances_of(day, plan, Watch(None, still, never, nobody))


def test_what_clashes_in_the_place_of_another_is_told_with_the_clash() -> None:
    """Two loaves bake together, and a pie beside neither: it is told of both, and of no third."""
    day = _day(
        [_baked("loaf", 220), _baked("pie", 160)],
        [
            _run("first", "loaf", "12:00"),
            _run("second", "loaf", "12:05"),
            _run("late", "loaf", "17:00"),
            _run("pie", "pie", "12:00"),
        ],
    )
    found = _lacking(day, "first", "second", "pie", "late")
    (clash,) = found.clashes
    assert _runs(clash.needs) | _runs(clash.akin) == {"first", "second", "pie"}
    assert len(clash.needs) == 2
    assert "pie" in _runs(clash.needs)
    assert found.untold == (Fact("need", ("late", "show", "baked")),)
    assert found.at_least == 1


def _runs(needs: tuple[Fact, ...]) -> set[str]:
    return {need.ids[0] for need in needs}


def test_every_need_is_counted_once() -> None:
    """What is told in more than one way is one need still."""
    need = Fact("need", ("take", "show", "baked"))
    clash = Clash((need,), anyway=False, also=(need,), akin=(need,), hanging=(need,))
    assert clash.every == {need}
