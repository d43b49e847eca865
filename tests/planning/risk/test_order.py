"""What holds of every play of every plan: drawn by hypothesis, on tiny days."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from hypothesis import HealthCheck, given, settings

from app.planning.auditing.holds import held
from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.risk.chances import risk_of
from app.planning.risk.dice import Certain, Rolled
from app.planning.risk.outline import picture_of
from app.planning.risk.picture import Picture
from app.planning.risk.play import Play
from app.planning.risk.tally import Story, Tally
from app.planning.solve import solve
from tests.random_days import days

PLAYS, CLOSE_MIN = 5, 1e-9
drawn = settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
Spans = dict[tuple[str, int], tuple[float, float]]


def ledger_of(day: Day) -> Ledger:
    """Return a day and its plan side by side."""
    return Ledger(day, solve(day))


def plays_of(ledger: Ledger, picture: Picture, spread: float = 0.4) -> Iterator[Spans]:
    """Yield when each phase (its batch, its planned start) starts and ends in each play."""
    dice = Rolled(1, 0, PLAYS, spread)
    play = Play(picture, dice, Tally())
    play.run()
    lasted = dice.lengths(len(picture.tasks))
    for number in range(PLAYS):
        yield {
            (picture.lots[task.lot].id, task.starts + ledger.prep_from): (
                play.ends[row, number] - task.lasts_min * lasted[row, number],
                play.ends[row, number],
            )
            for row, task in enumerate(picture.tasks)
        }


@drawn
@given(days())
def test_a_day_that_goes_as_planned_lacks_what_the_plan_lacks(day: Day) -> None:
    """Nothing lost, every length as planned: each phase is on time and each copy is taken."""
    ledger = ledger_of(day)
    picture, tally, story = picture_of(ledger), Tally(), Story()
    play = Play(picture, Certain(1), tally, story=story)
    play.run()
    assert [task.starts + task.lasts_min for task in picture.tasks] == play.ends[:, 0].tolist()
    assert story.fallen == []
    assert tally.whole == 1
    assert {need for _, need in story.short} == {
        need for need, serving in enumerate(picture.servings) if serving.is_short
    }


@drawn
@given(days())
def test_no_play_breaks_the_order_of_the_work(day: Day) -> None:
    """One thing at a time for each of the crew; units, settings and changes as the oven has them.

    No batch starts before its time, nor before what goes into it is there.
    """
    ledger = ledger_of(day)
    picture = picture_of(ledger)
    for spans in plays_of(ledger, picture):
        _check_crew(ledger, spans)
        _check_items(ledger, spans)
        _check_batches(ledger, spans)


def _check_crew(ledger: Ledger, spans: Spans) -> None:
    busy: dict[str, list[tuple[float, float]]] = {}
    for making in ledger.makings:
        for phase, span in zip(making.batch.phases, making.spans, strict=True):
            for cook in phase.crew:
                assert span is not None
                busy.setdefault(cook, []).append(spans[making.batch.id, span[0]])
    for times in busy.values():
        times.sort()
        assert all(one[1] <= then[0] + CLOSE_MIN for one, then in pairwise(times))


def _check_items(ledger: Ledger, spans: Spans) -> None:
    for holds in held(ledger).values():
        times = [(hold, *spans[hold.making.batch.id, hold.starts]) for hold in holds.all]
        for _, at, _ in times:
            inside = [hold.units for hold, starts, ends in times if starts <= at < ends - CLOSE_MIN]
            assert sum(inside) <= holds.item.units
        change_min = holds.item.settings.change_min if holds.item.settings else 0
        for one, _, ends in times:
            for then, starts, _ in times:
                if one.starts < then.starts and one.setting != then.setting:
                    lag_min = 0 if one.making is then.making else change_min
                    assert ends + lag_min <= starts + CLOSE_MIN


def _check_batches(ledger: Ledger, spans: Spans) -> None:
    base = ledger.prep_from
    for making in ledger.makings:
        starts = spans[making.batch.id, making.starts or 0][0]
        assert starts + CLOSE_MIN >= (making.starts or 0) - base
        for copy in making.batch.consumes:
            made = ledger.items[copy].making
            if made is not None and not any(stage.loss for _, stage in ledger.day.all_stages()):
                first = max(span[0] for span in made.spans if span)
                assert spans[made.batch.id, first][1] <= starts + CLOSE_MIN


@drawn
@given(days())
def test_chances_are_chances_and_repeat(day: Day) -> None:
    """Each between 0 and 1, the whole day no surer than any use, the same again for a seed."""
    plan = solve(day)
    risk = risk_of(day, plan, plays=40, seed=7)
    assert risk == risk_of(day, plan, plays=40, seed=7)
    served = [use for use in risk.uses if not use.short]
    assert all(0 <= use.chance <= 1 and use.error >= 0 for use in risk.uses)
    assert all(use.chance == 0 for use in risk.uses if use.short)
    assert all(risk.whole_day.chance <= use.chance for use in served)
    assert all(np.isclose(use.late + use.old + use.lost, 1 - use.chance) for use in served)
    if risk.weakest_use is not None:
        assert risk.weakest_use.chance == min(use.chance for use in served)
        gain = risk.one_more_backup
        assert gain is None or (gain.cost or 0) >= 0
