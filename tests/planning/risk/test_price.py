"""The price of one more backup against the plan of the day that asks for it."""

import random

import pytest

from app.planning.audit import audit
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import NeedKey
from app.planning.auditing.parts import Item
from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.risk.more import one_more_backup
from app.planning.risk.outline import picture_of
from app.planning.solve import solve
from tests.random_days import tiny_day

ASKED = "asked"
AT_THAT = (1, 2, 3, 4, 5, 10, 20_045)
FOR_LESS = (16, 95, 119)
"""Days on which copies for a later use stand by, or copies in stock feed one more."""
NO_ROOM = (14, 42)
TRIED = [*AT_THAT, *FOR_LESS, *NO_ROOM]


def with_backups(day: Day, key: NeedKey, backups: int) -> Day:
    """Return the day in which one need, of one run alone, asks for so many backups."""
    run = day.run(key[0])
    shown = day.demonstration(run.demonstration)
    beat = shown.beat(key[1])
    needs = [
        each.model_copy(update={"backups": backups}) if each.stage == key[2] else each
        for each in beat.needs
    ]
    asked = beat.model_copy(update={"id": ASKED, "needs": tuple(needs), "kinds": ()})
    beats = [part for each in shown.beats for part in ((each, asked) if each is beat else (each,))]
    has = tuple(ASKED if each is beat else each.id for each in day.beats_of(run))
    return day.model_copy(
        update={
            "demonstrations": tuple(
                each.model_copy(update={"beats": tuple(beats)}) if each is shown else each
                for each in day.demonstrations
            ),
            "runs": tuple(
                each.model_copy(update={"beats": has}) if each is run else each for each in day.runs
            ),
        }
    )


def standing_by(ledger: Ledger, key: NeedKey) -> int:
    """Return how many copies stand ready beside a need, as the model says."""
    demand, taken = ledger.programme.demands[key], ledger.served.get(key, ())
    is_strict = demand.need.untouched or demand.need.tasting
    oldest = demand.stage.keeps_min
    if demand.need.tasting and demand.stage.safety_min is not None:
        oldest = min(oldest, demand.stage.safety_min)

    def stands_by(item: Item) -> bool:
        staged = item.staged or 0
        ready = item.left_by.back if item.left_by else staged
        takings = ledger.takings.get(item.copy.id, ())
        return (
            item.copy.id not in taken
            and item.copy.role != "spare"
            and ready <= demand.due
            and demand.moment.start - staged <= oldest
            and not (is_strict and (item.left_by or item.making in ledger.shown))
            and all(each.start > demand.moment.start for each in takings)
        )

    return sum(map(stands_by, ledger.alike.get((demand.demonstration, key[2]), ())))


def priced(day: Day, plan: Plan, key: NeedKey) -> tuple[float | None, float | None]:
    """Return what one more backup is said to cost, and by how much a plan with it costs more.

    None where nothing is said, and where no plan has one more.
    """
    ledger = Ledger(day, plan)
    picture = picture_of(ledger)
    need = [each.key for each in picture.servings].index(key)
    more = one_more_backup(ledger, picture, need)
    asked = with_backups(day, key, standing_by(ledger, key) + 1)
    other = solve(asked)
    assert audit(asked, other) == []
    can_be = not other.objective.unmet and not other.objective.unbacked
    return more and more.cost, other.objective.cost - plan.objective.cost if can_be else None


@pytest.mark.parametrize("seed", TRIED)
def test_one_more_backup_costs_at_most_what_is_said(seed: int) -> None:
    """The day is planned with it: mostly it costs just that, and never more."""
    day = read_day(tiny_day(seed))
    plan = solve(day)
    keys = list(Ledger(day, plan).programme.demands)
    random.Random(seed).shuffle(keys)
    said, costs = priced(day, plan, keys[0])
    assert said is not None
    if seed in NO_ROOM:
        assert costs is None
    else:
        assert costs is not None
        assert costs <= said
        assert (costs == said) == (seed in AT_THAT)
