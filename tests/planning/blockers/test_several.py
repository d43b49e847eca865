"""Clashes that have nothing to do with each other are all told; the same cause is told once."""

from app.planning.day import Day
from tests.planning.blockers.looked import Document, clashes, oven_day, told


def _dish(name: str, lasts_min: int, keeps_min: int, setting: int | None = None) -> Document:
    phase: Document = {"lasts_min": lasts_min}
    if setting is not None:
        phase["equipment"] = [{"kind": "oven", "per_batch": 1, "setting": setting}]
    way = {"id": "way", "phases": [phase]}
    stage = {"id": "done", "keeps_min": keeps_min, "ways": [way]}
    beats = [
        {"id": beat, "starts_s": starts_s, "lasts_s": 60, "needs": [{"stage": "done"}]}
        for beat, starts_s in (("show", 0), ("again", 120))
    ]
    return {"id": name, "title": name, "stages": [stage], "beats": beats}


def _run(dish: str, hour: str, *beats: str) -> Document:
    run: Document = {
        "id": f"{dish}-run",
        "demonstration": dish,
        "kind": "take",
        "starts": f"2027-03-04T{hour}",
    }
    return run | {"beats": list(beats or ("show",))}


def _day(dishes: list[Document], runs: list[Document]) -> Day:
    return oven_day(dishes, runs, settings={"change_min": 10})


def test_three_clashes_of_one_day_are_all_told() -> None:
    """A jelly that is wanted before it can be set, and two pairs that want the oven at once."""
    dishes = [
        _dish("jelly", 300, 600),
        _dish("bun", 20, 15, 200), _dish("pie", 20, 15, 180),
        _dish("tart", 20, 15, 200), _dish("roll", 20, 15, 180),
    ]  # fmt: skip
    runs = [_run("jelly", "10:00"), _run("bun", "12:00"), _run("pie", "12:00"),
            _run("tart", "14:00"), _run("roll", "14:00")]  # fmt: skip
    found = [told(clash) for clash in clashes(_day(dishes, runs))]
    times = [{ids[0] for kind, ids, _ in facts if kind == "run"} for facts in found]
    assert sorted(times, key=sorted) == [
        {"bun-run", "pie-run"},
        {"jelly-run"},
        {"roll-run", "tart-run"},
    ]
    for facts in found:
        oven = {each for each in facts if each[0] == "equipment"}
        assert bool(oven) == (("prep_from", (), "") not in facts)


def test_two_needs_that_fail_for_the_same_reason_are_told_once() -> None:
    """Both beats of a run want what cannot be set so early; the second tells nothing new."""
    day = _day([_dish("jelly", 300, 600)], [_run("jelly", "10:00", "show", "again")])
    (facts,) = [told(clash) for clash in clashes(day)]
    assert sum(kind == "need" for kind, _, _ in facts) == 1


def test_what_no_clash_is_about_is_left_out() -> None:
    """A dish that can be served is in no clash, nor is its run."""
    dishes = [_dish("jelly", 300, 600), _dish("bun", 20, 60, 200)]
    day = _day(dishes, [_run("jelly", "10:00"), _run("bun", "12:00")])
    (facts,) = [told(clash) for clash in clashes(day)]
    assert facts == {
        ("run", ("jelly-run",), ""),
        ("need", ("jelly-run", "show", "done"), ""),
        ("way", ("jelly", "done", "way"), ""),
        ("prep_from", (), ""),
    }


def test_a_pair_among_many_dishes_that_want_the_same_oven_is_found() -> None:
    """Two dishes want it at two settings at noon; the others, of which it bakes one an hour, do."""
    names = [f"dish-{i}" for i in range(1, 7)]
    dishes = [_dish(name, 20, 15, 200 if i % 2 else 180) for i, name in enumerate(names)]
    hours = ("09:00", "10:00", "11:00", "12:00", "12:05", "14:00")
    runs = [_run(name, hour) for name, hour in zip(names, hours, strict=True)]
    (facts,) = [told(clash) for clash in clashes(_day(dishes, runs))]
    assert {ids[0] for kind, ids, _ in facts if kind == "run"} == {"dish-4-run", "dish-5-run"}
