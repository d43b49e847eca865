"""What holds of every plan of every day: drawn by hypothesis, on tiny days."""

from hypothesis import HealthCheck, assume, given, settings

from app.planning.audit import audit
from app.planning.day import Cook, Day, Equipment
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.solve import solve
from tests.random_days import days

LITTLE_WORK = 1.0
drawn = settings(
    max_examples=15,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def is_proven(plan: Plan) -> bool:
    """Tell whether the first goal of a plan is proven."""
    return plan.bounds.unmet == plan.objective.unmet


def kitchen_of(day: Day, **parts: tuple[Equipment, ...] | tuple[Cook, ...]) -> Day:
    """Return the day with parts of its kitchen exchanged."""
    return day.model_copy(update={"kitchen": day.kitchen.model_copy(update=parts)})


def never_worse(less: Day, more: Day) -> None:
    """Check that a day with more to work with lacks no more copies, where little work proves it."""
    before, after = solve(less, work=LITTLE_WORK), solve(more, work=LITTLE_WORK)
    assume(is_proven(before) and is_proven(after))
    assert after.objective.unmet <= before.objective.unmet


@settings(drawn, max_examples=30)
@given(days())
def test_a_plan_never_breaks_a_rule(day: Day) -> None:
    """Tests the planner against the checker that shares no code with it."""
    assert audit(day, solve(day)) == []


@drawn
@given(days())
def test_the_same_day_gives_the_same_plan(day: Day) -> None:
    """Tests that a plan repeats, byte for byte."""
    assert solve(day).model_dump_json() == solve(day).model_dump_json()


@drawn
@given(days())
def test_one_more_oven_never_makes_copies_lack(day: Day) -> None:
    """Tests the first goal with one more item of each kind."""
    more = tuple(each.model_copy(update={"id": f"{each.id}-too"}) for each in day.kitchen.equipment)
    assume(more)
    never_worse(day, kitchen_of(day, equipment=(*day.kitchen.equipment, *more)))


@drawn
@given(days())
def test_one_more_cook_never_makes_copies_lack(day: Day) -> None:
    """Tests the first goal with one more member of the crew, as able as the first."""
    more = day.kitchen.crew[0].model_copy(update={"id": "one-more"})
    never_worse(day, kitchen_of(day, crew=(*day.kitchen.crew, more)))


@drawn
@given(days())
def test_one_more_minute_of_shift_never_makes_copies_lack(day: Day) -> None:
    """Tests the first goal with everybody's last shift a minute longer."""
    clock = Clock(day.timezone)
    crew = []
    for cook in day.kitchen.crew:
        begin, end = cook.shifts[-1]
        later = clock.text(clock.minute(end) + 1)
        crew.append(cook.model_copy(update={"shifts": (*cook.shifts[:-1], (begin, later))}))
    never_worse(day, kitchen_of(day, crew=tuple(crew)))
