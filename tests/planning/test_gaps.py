"""What is left of a kitchen: no start that is possible is missing from it."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from app.planning.beside import beside, occupied_by
from app.planning.day import Day, Phase
from app.planning.descent import Answer, descend
from app.planning.drafting import draft_of, draft_solved
from app.planning.families import families_of, stages_of
from app.planning.gaps import Gaps
from app.planning.holds import Hold, Occupied
from app.planning.hours import ALWAYS, Spans, meet, teams_of
from app.planning.minutes import Clock
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.proving import COPY_GOALS
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.watch import Watch, never
from tests.planning import drafts
from tests.random_days import newest, tiny_day

GOALS = (*COPY_GOALS, "hands_min")


def morning() -> Day:
    """Return a day with two cooks from eight to twelve, and an oven for two that heats for ten."""
    closed = [[drafts.at("11:00"), drafts.at("11:20")]]
    settings = {"change_min": 10}
    oven = {"id": "oven", "kind": "oven", "units": 2, "settings": settings, "closed": closed}
    shift = ("08:00", "12:00")
    crew = [drafts.cook("ada", shift, skills=["sugar"]), drafts.cook("bo", shift)]
    kitchen = {"equipment": [oven], "crew": crew}
    return read_day(drafts.day([drafts.stage("baked")], [], [], kitchen=kitchen))


def gaps(busy: Mapping[str, Spans] | None = None, holds: tuple[Hold, ...] = ()) -> Gaps:
    """Return the gaps of the morning; times are minutes after eight."""
    day = morning()
    taken = {
        cook: tuple((at(a), at(b), 1) for a, b in spans) for cook, spans in (busy or {}).items()
    }
    return Gaps(day, teams_of(day), Occupied(holds, taken))


def at(minute: int) -> int:
    """Return a minute after eight as the planner counts them."""
    day = morning()
    return Clock(day.timezone).minute(day.kitchen.crew[0].shifts[0][0]) + minute


def found(left: Gaps, lasts_min: int, **phase: object) -> list[tuple[int, int]]:
    """Return when a phase can start, as minutes after eight and by noon."""
    asked = Phase.model_validate({"lasts_min": lasts_min, **phase})
    spans = meet(left.starts(asked, lasts_min), ((at(0), at(240)),))
    return [(start - at(0), end - at(0)) for start, end in spans]


def test_hands_are_free_between_what_they_do_for_all_of_a_phase() -> None:
    """A cook who is busy from nine to ten can start half an hour by half past eight, or at ten."""
    left = gaps({"ada": ((60, 120),), "bo": ((0, 240),)})
    assert found(left, 30, hands=1) == [(0, 30), (120, 210)]
    assert found(left, 60, hands=1) == [(0, 0), (120, 180)]
    assert found(left, 90, hands=1) == [(120, 150)]


def test_two_hands_must_be_free_at_once_and_a_skill_be_among_them() -> None:
    """Nobody does a phase with the hands of one who is busy."""
    left = gaps({"ada": ((60, 120),), "bo": ((180, 200),)})
    assert found(left, 30, hands=2) == [(0, 30), (120, 150), (200, 210)]
    assert found(left, 30, hands=1, skill="sugar") == [(0, 30), (120, 210)]
    assert found(left, 30, hands=1) == [(0, 210)]


def test_an_oven_is_shared_at_its_setting_and_heats_for_another() -> None:
    """It is closed from eleven to twenty past; one of its two units is held from nine to ten."""
    held = (Hold("oven", at(60), at(120), 1, 180),)
    same = {"kind": "oven", "per_batch": 1, "setting": 180}
    other = {"kind": "oven", "per_batch": 1, "setting": 220}
    both = same | {"per_batch": 2}
    assert found(gaps(holds=held), 30, equipment=[same]) == [(0, 150), (200, 240)]
    assert found(gaps(holds=held), 30, equipment=[both]) == [(0, 30), (120, 150), (200, 240)]
    assert found(gaps(holds=held), 30, equipment=[other]) == [(0, 20), (130, 150), (200, 240)]


def test_what_takes_no_time_starts_at_any_minute() -> None:
    """It holds nothing."""
    assert gaps().starts(Phase.model_validate({"lasts_min": 0, "hands": 1}), 0) == ALWAYS


def solved(scope: Scope, wanted: Wanted) -> Answer:
    """Return the best answer of a model with what is proven of it."""
    patient = Watch(None, lambda: 0.0, never, lambda _: None)
    return descend(build(scope, wanted), GOALS, patient, 20.0)


def days_of_two() -> list[int]:
    """Return the seeds of some tiny days with more than one family."""
    seeds = (*range(120), *newest(60))
    return [seed for seed in seeds if len(families_of(Scope(read_day(tiny_day(seed))))) > 1]


@pytest.mark.parametrize("seed", days_of_two())
def test_beside_others_gaps_lose_nothing_and_a_loose_kitchen_offers_no_less(seed: int) -> None:
    """The best that a second family has beside the first is the same with all its windows."""
    scope = Scope(read_day(tiny_day(seed)))
    one, other = families_of(scope)[:2]
    wanted = Wanted((), cost_scale(scope), short=one | other, bare=one | other)
    first = replace(wanted, stages=stages_of(scope, one))
    answer = solved(scope, first)
    assert answer.values is not None
    assert answer.solved is not None
    taken = [occupied_by(scope, draft_of(scope, first, answer.values))]
    assert occupied_by(scope, draft_solved(scope, *answer.solved)) == taken[0]
    second = replace(wanted, stages=stages_of(scope, other))
    in_gaps = solved(beside(scope, taken, other, None), second)
    anywhere = solved(beside(scope, taken, (), None), second)
    assert in_gaps.rank(GOALS) == anywhere.rank(GOALS)
    loose = solved(beside(scope, taken, other, None), replace(second, kitchen="loose"))
    assert loose.rank(GOALS) <= anywhere.rank(GOALS)


@pytest.mark.parametrize(("skilled", "short"), [(1, 1), (2, 0)])
def test_a_loose_kitchen_has_as_many_skilled_hands_as_there_are(skilled: int, short: int) -> None:
    """Two pull sugar at once, each with somebody to help; so does the real kitchen."""
    phase = {"lasts_min": 30, "hands": 2, "skill": "sugar"}
    way = {"id": "pull", "batch_max": 1, "phases": [phase]}
    crew = [drafts.cook(f"cook-{i}", skills=["sugar"][: i < skilled]) for i in range(4)]
    show = drafts.beat("show", 0, 60, {"pulled": 1}, {})
    runs = [drafts.run("one", "12:00"), drafts.run("two", "12:00")]
    stages = [drafts.stage("pulled", way, keeps_min=15)]
    scope = Scope(read_day(drafts.day(stages, [show], runs, kitchen={"crew": crew})))
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), short=frozenset({"loaf"}))
    for kitchen in ("loose", "exact"):
        assert solved(scope, replace(wanted, kitchen=kitchen)).figures["unmet"] == short
