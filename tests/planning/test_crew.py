"""Who of the crew is there, able and free."""

import random
from itertools import combinations

from app.planning.crew import Crew, Duty, clash, clashes, is_able
from app.planning.day import Cook, Phase
from app.planning.minutes import Clock
from tests.planning import drafts
from tests.planning.drafts import at

CLOCK = Clock("Europe/Lisbon")


def _duty(starts: str, ends: str, skill: str | None = None) -> Duty:
    phase = Phase(lasts_min=1, hands=1, skill=skill)
    return Duty((f"b{starts}", 0), CLOCK.minute(at(starts)), CLOCK.minute(at(ends)), phase)


def _crew(*shifts: tuple[str, str], begun: tuple[Duty, ...] = ()) -> Crew:
    """Return a crew of Ada alone."""
    ada = drafts.cook("ada") | {"shifts": [[at(starts), at(ends)] for starts, ends in shifts]}
    day = drafts.Draft(drafts.day([], [], [], kitchen={"crew": [ada]})).day
    return Crew(day, {"ada": begun})


def test_who_works_from_a_shift_into_the_next_is_there_all_the_time() -> None:
    crew = _crew(("08:00", "12:00"), ("12:00", "16:00"), ("17:00", "20:00"))
    assert crew.can("ada", _duty("08:00", "16:00"))
    assert not crew.can("ada", _duty("15:30", "17:30"))
    assert not crew.can("bo", _duty("09:00", "10:00")), "nobody knows Bo"


def test_nobody_does_two_things_at_once() -> None:
    """Neither beside what has begun nor beside what else they are given."""
    held, given = _duty("09:00", "10:00"), _duty("11:00", "12:00")
    crew = _crew(("08:00", "16:00"), begun=(held,))
    assert crew.can("ada", _duty("10:00", "11:00"), [given])
    assert not crew.can("ada", _duty("09:59", "11:00"), [given])
    assert not crew.can("ada", _duty("10:00", "11:01"), [given])
    assert crew.there(_duty("09:59", "11:00")) == []


def test_one_of_those_who_do_it_has_the_skill() -> None:
    crew = _crew(("08:00", "16:00"))
    assert crew.are_able(["ada"], Phase(hands=1))
    assert not crew.are_able(["ada"], Phase(hands=1, skill="knead"))
    assert is_able(Cook(id="bo", shifts=(), skills=("knead",)), Phase(hands=1, skill="knead"))


def test_what_clashes_by_twos_clashes_among_many() -> None:
    """Whoever adds to `clash` is told if `clashes` leaves it out, or has more."""
    for seed in range(50):
        roll = random.Random(seed)
        duties = []
        for number in range(12):
            starts, skill = roll.randrange(60), roll.choice((None, "knead"))
            phase = Phase(lasts_min=1, hands=1, skill=skill)
            duties.append(Duty((f"b{number}", 0), starts, starts + roll.randint(1, 15), phase))
        by_twos = {(a.key, b.key) for a, b in combinations(duties, 2) if clash(a, b)}
        among = {
            (a.key, b.key)
            for a, b in combinations(duties, 2)
            if any(a in some and b in some for some in clashes(duties))
        }
        assert by_twos == among
