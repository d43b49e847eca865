"""How surely the copies of each use stand ready: the one door of this folder."""

from collections.abc import Mapping
from math import sqrt

from app.planning.auditing.ledger import Ledger
from app.planning.day import Day
from app.planning.happened import Happened
from app.planning.plan import Plan
from app.planning.risk.dice import Rolled
from app.planning.risk.found import Chance, Gain, Risk, SoFar, Unmade, UseChance
from app.planning.risk.more import one_more_backup
from app.planning.risk.outline import picture_of
from app.planning.risk.overrun import overruns
from app.planning.risk.picture import Picture
from app.planning.risk.play import Play
from app.planning.risk.sofar import plan_so_far
from app.planning.risk.tally import WHYS, Tally

PLAYS = 10_000
SEED = 1
THROW = 2_000
MORE_MIN = 10


def risk_of(
    day: Day, plan: Plan, plays: int = PLAYS, seed: int = SEED, state: Happened | None = None
) -> Risk:
    """Play a day many times and tell how surely each use has its copies.

    A phase lasts its planned length times a lognormal of mean 1 and standard deviation
    `policy.spread`; a copy is lost with the `loss` of its step. The planned order is kept, no batch
    starts before its time, uses start when they start. A copy serves one if it is there by then,
    margin or no margin, and not too old; a backup, or what nothing waits for, steps in for it.

    With a state, only what is to come is played: what is staged is there or lost, a batch under way
    is not over yet, what has not begun starts no earlier than now.

    Parameters
    ----------
    day, plan
        A day, and a plan of it that keeps every rule; with a state, the day is the state's.
    plays
        How many times, 1 or more.
    seed
        What the result is repeated by, 0 or more.
    state
        How things stand now.

    Returns
    -------
    Risk
        Each share p of the plays with its standard error √(p(1 − p) ÷ plays).

    Source
    ------
    Closed forms, in tests/planning/risk/.
    """
    ledger = Ledger(day, plan if state is None else plan_so_far(state, plan))
    picture = picture_of(ledger, state)
    falls = tuple(overruns(ledger, picture, state))
    so_far = None if state is None else _so_far(ledger, plan, state)
    risk = _plain(picture, plays, seed, day.policy.spread)
    risk = risk.model_copy(update={"overruns": falls, "so_far": so_far})
    return risk if risk.weakest is None else _with_gains(ledger, picture, risk)


def _plain(picture: Picture, plays: int, seed: int, spread: float) -> Risk:
    """Return the chances alone."""
    tally = _played(picture, plays, seed, spread)
    uses = tuple(_use(picture, number, tally) for number in range(len(picture.servings)))
    return Risk(
        plays=plays,
        seed=seed,
        spread=spread,
        whole_day=_chance(tally.whole, plays),
        uses=uses,
        weakest=_weakest(uses),
    )


def _so_far(ledger: Ledger, plan: Plan, state: Happened) -> SoFar:
    clock, demands = ledger.clock, ledger.programme.demands.values()
    return SoFar(
        now=clock.text(state.now),
        over=tuple(each.key for each in demands if each.moment.key in state.aired),
        not_begun=tuple(
            batch.id
            for batch in plan.batches
            if batch.id not in state.begun and clock.minute(batch.starts) < state.now
        ),
    )


def _played(
    picture: Picture,
    plays: int,
    seed: int,
    spread: float,
    later_min: Mapping[int, int] | None = None,
) -> Tally:
    tally = Tally()
    for throw, played in enumerate(range(0, plays, THROW)):
        dice = Rolled(seed, throw, min(THROW, plays - played), spread)
        Play(picture, dice, tally, later_min).run()
    return tally


def _chance(happy: int, plays: int) -> Chance:
    share = happy / plays
    return Chance(chance=share, error=sqrt(share * (1 - share) / plays))


def _use(picture: Picture, number: int, tally: Tally) -> UseChance:
    serving = picture.servings[number]
    chance = _chance(tally.plays - tally.lacked[number], tally.plays)
    missing = {(copy, why): n for (need, copy, why), n in tally.first.items() if need == number}
    blamed: dict[int, int] = {}
    for (copy, _), plays in missing.items():
        lot = picture.maker.get(copy)
        if lot is not None and plays:
            blamed[lot] = blamed.get(lot, 0) + plays
    blame = max(blamed, key=lambda lot: blamed[lot]) if blamed else None
    run, beat, stage = serving.key
    return UseChance(
        chance=chance.chance,
        error=chance.error,
        run=run,
        beat=beat,
        stage=stage,
        count=serving.count,
        short=max(0, serving.count - len(serving.copies)),
        **{
            why: sum(n for (_, each), n in missing.items() if each == why) / tally.plays
            for why in WHYS
        },
        blame=None if blame is None else picture.lots[blame].id,
        unmade=None if blame is None else _unmade(picture, tally, blame),
    )


def _unmade(picture: Picture, tally: Tally, lot: int) -> Unmade | None:
    """Return what was most often too old for a batch, or for the one that its inputs lack from."""
    lacked = {(copy, why): n for (of, copy, why), n in tally.starved.items() if of == lot and n}
    if not lacked:
        return None
    copy, why = max(lacked, key=lambda each: lacked[each])
    if why == "old":
        share = lacked[copy, why] / tally.plays
        return Unmade(batch=picture.lots[lot].id, copy_id=picture.names[copy], share=share)
    before = picture.maker.get(copy)
    return None if before is None else _unmade(picture, tally, before)


def _weakest(uses: tuple[UseChance, ...]) -> int | None:
    """Return the need that lacks a copy most often, of those that the plan serves."""
    served = [number for number, use in enumerate(uses) if not use.short and use.chance < 1]
    return min(served, key=lambda number: uses[number].chance, default=None)


def _with_gains(ledger: Ledger, picture: Picture, risk: Risk) -> Risk:
    """Return the risk with what one more backup or ten minutes more do at its weakest link."""
    need = risk.weakest or 0
    later = _played(picture, risk.plays, risk.seed, risk.spread, {need: MORE_MIN})
    more = one_more_backup(ledger, picture, need)
    backup = None
    if more is not None:
        backed = _played(more.picture, risk.plays, risk.seed, risk.spread)
        backup = _gain(backed, need, more.cost)
    return risk.model_copy(
        update={"one_more_backup": backup, "ten_minutes_more": _gain(later, need)}
    )


def _gain(tally: Tally, need: int, cost: float | None = None) -> Gain:
    chance = _chance(tally.plays - tally.lacked[need], tally.plays)
    return Gain(chance=chance.chance, error=chance.error, cost=cost)
