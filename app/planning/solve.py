"""From a day to a plan: the one door of the planner."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

from app.planning.again import joined_again, placed_again
from app.planning.alone import alone
from app.planning.bettering import Bettering
from app.planning.crewing import name_crew
from app.planning.day import Day
from app.planning.descent import Answer
from app.planning.draft import Draft
from app.planning.families import in_order, stages_of
from app.planning.joining import LANES, Family, Joining, Lacking
from app.planning.model.build import Wanted
from app.planning.model.goals import cost_scale
from app.planning.naming import name_all
from app.planning.outcome import Outcome
from app.planning.places import Stay, place, stays_of
from app.planning.placing import Placing
from app.planning.plan import Plan
from app.planning.scope import Scope
from app.planning.watch import Progress, Watch, never

LANE_WORK = 5.0
WORK_PER_S = 0.5
FAMILIES = 6
READINGS = ((False, 0), (True, 0), (True, 0))
FREE_SLOTS = (*((False, slots) for slots in (0, 1, 2, 3, 4, 6, 8, 12, 16)), (True, 0))
ALONE_SHARE = 0.7
SHARE_OF_LONG = 0.9
SHARE_OF_END = 0.1
SHARE_OF_TIDYING = 0.05
HANDS_FIRST = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")
FRESH_FIRST = ("unmet", "unbacked", "cost", "waiting_min", "hands_min")


def nobody(progress: Progress) -> None:
    """Listen to no progress."""


def still() -> float:
    """Return 0: a clock that stands, for work that is limited by counting alone."""
    return 0.0


def solve(
    day: Day,
    *,
    seconds: float | None = None,
    number: int = 1,
    now: Callable[[], float] = still,
    stop: Callable[[], bool] = never,
    tell: Callable[[Progress], None] = nobody,
    work: float = LANE_WORK,
) -> Plan:
    """Return the best plan of a day within the limit, and what is proven of it.

    Parameters
    ----------
    seconds
        The limit by the clock; None: counted work, so that the plan repeats.
    number
        The number that the plan bears.
    now, stop, tell
        A clock in seconds (needed where `seconds` is given), the stop button, the listener.
    work
        The counted work, where the clock does not limit it.
    """
    watch = Watch(seconds, now, stop, tell)
    watch.keep_back(SHARE_OF_END)
    return _outcome(day, watch, work, may_lack=True).plan(number)


def served(day: Day, watch: Watch) -> Outcome | None:
    """Return the first outcome that is found in which no copy lacks; None as soon as one would.

    Parameters
    ----------
    day
        A day of which it is not known whether all can be served.
    watch
        The clock, the stop button and the listener.
    """
    try:
        return _outcome(day, watch, LANE_WORK, may_lack=False)
    except Lacking:
        return None


def tidied(outcome: Outcome) -> Outcome:
    """Return an outcome with nothing earlier than it must be, as far as that can stand."""
    return Outcome(outcome.scope, outcome.joining, *_tidied(outcome.scope, outcome.joining)[:2])


def _outcome(day: Day, watch: Watch, work: float, may_lack: bool) -> Outcome:
    scope = Scope(day)
    goals = FRESH_FIRST if day.policy.prefer == "fresh" else HANDS_FIRST
    wanted = Wanted(tuple(scope.makings), cost_scale(scope))
    joining = _joined(scope, wanted, goals, watch, work, may_lack)
    return _standing(scope, joining)


def _joined(
    scope: Scope,
    wanted: Wanted,
    goals: tuple[str, ...],
    watch: Watch,
    work: float,
    may_lack: bool,
) -> Joining:
    """Plan each family alone, side by side, then all of them in one kitchen.

    Where nothing may lack, the first plan will do.
    """
    families = in_order(scope)
    if watch.seconds is not None:
        work = watch.seconds * WORK_PER_S
    else:
        work = max(work, work * len(families) / FAMILIES)
    joining = Joining(scope, wanted, goals, watch, families, work)
    joining.may_lack = may_lack
    _place_all(joining, work * ALONE_SHARE * LANES / max(LANES, len(families)))
    joining = _seen_to_stand(joining)
    joining.stand(joining.best)
    if joining.wanted.shelves:
        watch.keep_back(SHARE_OF_END)
    if may_lack:
        Bettering(joining).improve()
    return joining


def _place_all(joining: Joining, share: float) -> None:
    """Plan each family alone, with a share of the work, and place it as it arrives."""
    if joining.is_long:
        share = max(share, SHARE_OF_LONG)

    def one(family: Family) -> tuple[Wanted, Answer]:
        scope, in_kitchen = joining.scope, not joining.is_long
        own = replace(wanted, stages=stages_of(scope, family))
        return alone(scope, own, joining.goals, joining.watch, share, in_kitchen=in_kitchen)

    wanted, families = joining.wanted, joining.families
    with ThreadPoolExecutor(LANES) as lanes:
        arriving = zip(families, lanes.map(one, families), strict=True)
        try:
            Placing(joining, lanes).place_all(joining.met(each) for each in arriving)
        except Lacking:
            lanes.shutdown(wait=False, cancel_futures=True)
            raise


def _seen_to_stand(joining: Joining) -> Joining:
    """Return the day placed with an eye on the shelves that are too full, before it is bettered.

    Nothing is told to be served before that. A short day whose work is counted is bettered first:
    there is always time to place it anew.
    """
    is_timed = joining.watch.seconds is not None
    readings = FREE_SLOTS if joining.is_long else READINGS[:1] if is_timed else ()
    for strict, slots in readings:
        full = joining.full_zones(joining.placed)
        if not full or joining.watch.over():
            break
        joining = placed_again(joining, _watched(joining.wanted, full, strict, slots))
    return joining


def _watched(wanted: Wanted, full: set[str], strict: bool, slots: int) -> Wanted:
    """Return what is wanted with an eye on some more zones, so many of their slots left free."""
    zones = wanted.shelves | full
    return replace(wanted, shelves=zones, strict_shelves=strict, slots_free=slots)


def _standing(scope: Scope, joining: Joining) -> Outcome:
    """Return the plan with a place for every copy.

    Where there is no placing, the plan is cut off and solved again with an eye on the shelves:
    first loosely, which proves, then strictly, which can always stand. On a long day slots are only
    counted, and more and more of them left free.
    """
    first = _tidied if joining.may_lack else _drafted
    draft, stays, full = first(scope, joining)
    for strict, slots in FREE_SLOTS if joining.is_long else READINGS:
        if not full:
            break
        wanted = _watched(joining.wanted, full, strict, slots)
        if joining.is_long and wanted == joining.wanted:
            continue
        joining = joined_again(joining, wanted)
        look = _drafted if joining.is_long else _tidied
        draft, stays, full = look(scope, joining)
    if full:
        raise AssertionError(f"no place found in {', '.join(sorted(full))}")
    return Outcome(scope, joining, draft, stays)


def _tidied(scope: Scope, joining: Joining) -> tuple[Draft, list[Stay], set[str]]:
    """Return the draft with nothing earlier than it must be, as long as it can stand like that."""
    before, stopped_by = joining.best, joining.watch.stopped_by
    joining.watch.grant(SHARE_OF_TIDYING)
    Bettering(joining).tidy()
    joining.watch.stopped_by = joining.watch.stopped_by or stopped_by
    drafted = _drafted(scope, joining)
    if drafted[2] and joining.best is not before:
        joining.take(before)
        drafted = _drafted(scope, joining)
    return drafted


def _drafted(scope: Scope, joining: Joining) -> tuple[Draft, list[Stay], set[str]]:
    """Return the answer in single copies, with names and places, and the zones that overflow."""
    draft = joining.draft()
    name_all(scope, draft)
    name_crew(scope.day, draft)
    stays = stays_of(scope, draft)
    return draft, stays, place(scope, stays)
