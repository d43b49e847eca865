"""Who does what: hands, skill, shift, and one thing at a time."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, cook, day, run, stage


def _phase(lasts_min: int, hands: int = 0, **rest: object) -> Facts:
    return {"lasts_min": lasts_min, "hands": hands, **rest}


def _day(phase: Facts, needed: int = 1, crew: list[Facts] | None = None) -> Facts:
    way = {"id": "way", "batch_max": 4, "phases": [phase]}
    show = beat("show", 0, 60, {"bread": needed}, {})
    facts = day([stage("bread", way, keeps_min=600)], [show], [run("t1", "12:00")])
    return facts | {"kitchen": {"crew": crew or [cook()]}}


def _bake(facts: Facts, *phases: tuple[object, ...], copies: str = "k1") -> Draft:
    draft = Draft(facts).batch("b1", "loaf/bread", copies, *phases)
    return draft.use("t1/show/bread", copies)


CREW = [cook("ada", skills=["pastry"]), cook("bea"), cook("cid", ("10:00", "11:00"))]


@pytest.mark.parametrize(
    ("crew", "expected"),
    [
        ("ada bea", set()),
        ("bea ada", set()),
        ("ada", {"crew"}),
        ("ada ada", {"crew"}),
        ("ada bea cid", {"crew"}),
        ("bea cid", {"crew"}),
        ("ada zoe", {"crew"}),
        ("", {"crew"}),
    ],
)
def test_a_phase_has_its_hands_one_of_them_skilled(crew: str, expected: set[str]) -> None:
    facts = _day(_phase(30, hands=2, skill="pastry"), crew=CREW)
    assert _bake(facts, ("10:00", "10:30", crew)).broken() == expected


def test_a_phase_without_hands_holds_nobody() -> None:
    facts = _day(_phase(30), crew=CREW)
    assert _bake(facts, ("10:00", "10:30", "ada")).broken() == {"crew"}


def test_a_phase_lies_in_one_shift() -> None:
    facts = _day(_phase(30, hands=1), crew=CREW)
    assert _bake(facts, ("10:00", "10:30", "cid")).broken() == set()
    assert _bake(facts, ("10:30", "11:00", "cid")).broken() == set()
    assert _bake(facts, ("10:31", "11:01", "cid")).broken() == {"crew"}
    assert _bake(facts, ("09:59", "10:29", "cid")).broken() == {"crew"}


@pytest.mark.parametrize(("ends", "expected"), [("24", set()), ("23:59", {"crew"})])
def test_shifts_that_touch_are_one(ends: str, expected: set[str]) -> None:
    """Tests a phase over midnight, in two shifts that touch and in two a minute apart."""
    midnight = "2027-03-04T00:00"
    first = midnight if ends == "24" else "2027-03-03T23:59"
    shifts = [[midnight, "2027-03-04T06:00"], ["2027-03-03T20:00", first]]
    facts = _day(_phase(30, hands=1), crew=[cook() | {"shifts": shifts}])
    facts["prep_from"] = "2027-03-03T06:00"
    facts["demonstrations"][0]["stages"][0]["keeps_min"] = 1440
    made = ("2027-03-03T23:45", "2027-03-04T00:15", "ada")
    assert _bake(facts, made).broken() == expected


def test_one_person_does_one_thing_at_a_time() -> None:
    facts = _day(_phase(30, hands=1), needed=2)
    for starts, ends, expected in (("10:30", "11:00", set()), ("10:29", "10:59", {"crew"})):
        draft = Draft(facts).batch("b1", "loaf/bread", "k1", ("10:00", "10:30", "ada"))
        draft.batch("b2", "loaf/bread", "k2", (starts, ends, "ada"))
        assert draft.use("t1/show/bread", "k1 k2").broken() == expected


def test_a_long_task_is_not_forgotten_behind_a_short_one() -> None:
    """Tests three batches of which the first overlaps the third, but not the second alone."""
    facts = _day(_phase(30, hands=1), needed=3)
    ways = facts["demonstrations"][0]["stages"][0]["ways"]
    ways += [{"id": "long", "batch_max": 1, "phases": [_phase(90, hands=1)]}]
    facts["kitchen"]["crew"].append(cook("bea"))
    draft = Draft(facts).batch("b1", "loaf/bread", "k1", ("09:00", "10:30", "ada"), way="long")
    draft.batch("b2", "loaf/bread", "k2", ("09:10", "09:40", "bea"))
    draft.batch("b3", "loaf/bread", "k3", ("10:00", "10:30", "ada"))
    assert draft.use("t1/show/bread", "k1 k2 k3").broken() == {"crew"}
