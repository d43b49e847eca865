"""Which offers are tried first, and how widely."""

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.day import Day, Shelf
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.remedies.found import _in_turn
from app.planning.remedies.mended import mended_for
from app.planning.remedies.offer import DayFile
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning import drafts

LATER_RUN, MORE_SHELVES, MORE_UNITS = 1, 6, 7


def _dish(name: str, keeps_min: int) -> drafts.Facts:
    return {
        "id": name,
        "title": name.capitalize(),
        "stages": [drafts.stage("baked", drafts.way(10), keeps_min=keeps_min)],
        "beats": [drafts.beat("show", 0, 60, {"baked": 1}, {})],
    }


def _day(pie: str) -> Day:
    """Return a day of one cook: a bun at ten, which keeps, and a pie, which hardly does."""
    runs = [drafts.run("bun", "10:00", "bun"), drafts.run("pie", pie, "pie")]
    kitchen = {
        "crew": [drafts.cook()],
        "equipment": [{"id": "oven", "kind": "oven", "units": 1}],
    }
    told = drafts.day([], [], runs, kitchen=kitchen)
    return read_day(told | {"demonstrations": [_dish("bun", 240), _dish("pie", 15)]})


def _clash(run: str) -> Clash:
    need, units = Fact("need", (run, "show", "baked")), Fact("equipment", ("oven",), "units")
    return Clash((Fact("run", (run,)), need, units), anyway=False)


def _first(*clashes: Clash) -> int:
    return next(_in_turn(DayFile(_day("18:00")), list(clashes), backups=False))[1]


def test_what_changes_a_fact_of_many_clashes_is_tried_first() -> None:
    """Two takes clash with one oven: one more oven may help both, a later take only itself."""
    assert _first(_clash("bun")) == LATER_RUN
    assert _first(_clash("bun"), _clash("pie")) == MORE_UNITS


def test_where_shelves_alone_are_short_more_of_them_come_first() -> None:
    """Copies stand for hours: a take would have to be hours later; beside an oven, it may not."""
    day = _day("18:00")
    shelf = Shelf(id="rack", zone="ambient", levels=(1,))
    kitchen = day.kitchen.model_copy(update={"shelves": (shelf,)})
    file = DayFile(day.model_copy(update={"kitchen": kitchen}))
    run, need, units = _clash("bun").facts
    room = Fact("shelf", ("rack",))

    def first(*facts: Fact) -> int:
        return next(_in_turn(file, [Clash(facts, anyway=False)], backups=False))[1]

    assert first(run, need, room) == MORE_SHELVES
    assert first(run, need, units, room) == LATER_RUN


def _mended(*, widely: bool) -> Plan:
    plan, changed = solve(_day("18:00")), _day("10:00")
    watch = Watch(None, still, never, nobody)
    return mended_for(changed, plan, ["pie"], watch, widely=widely)


def test_others_who_keep_the_crew_busy_make_way_where_it_is_looked_for_widely() -> None:
    """The bun is made at the last moment, when the cook would have to make the pie."""
    assert [lack.run for lack in _mended(widely=False).unmet] == ["pie"]
    assert _mended(widely=True).unmet == ()
