"""From a day, its best plan and what clashes to what would help, the cheapest first."""

from collections.abc import Callable, Iterator
from itertools import zip_longest
from typing import TypeVar

from app.planning.blockers.clash import Clash
from app.planning.day import Day
from app.planning.plan import Plan, Remedy
from app.planning.remedies.crew import more_crew
from app.planning.remedies.kitchen import more_shelves, more_units
from app.planning.remedies.offer import DayFile, Offer
from app.planning.remedies.rules import fewer_backups, milder_rules
from app.planning.remedies.runs import later_runs
from app.planning.remedies.shifts import day_before, earlier_prep, longer_shifts
from app.planning.remedies.trying import Shown, Trying
from app.planning.remedies.ways import other_ways
from app.planning.watch import Watch

T = TypeVar("T")
REMEDY_WORK = 12.0
# In the order in which they are tried, the likely ones first; the number tells the effort.
OFFERS: tuple[tuple[Callable[[DayFile, Clash], Iterator[Offer]], int], ...] = (
    (later_runs, 1),
    (milder_rules, 2),
    (more_units, 7),
    (earlier_prep, 4),
    (longer_shifts, 3),
    (more_crew, 8),
    (more_shelves, 6),
    (other_ways, 9),
    (day_before, 5),
)


def remedies_of(
    day: Day, plan: Plan, clashes: list[Clash], watch: Watch, work: float = REMEDY_WORK
) -> list[Remedy]:
    """Return changes of a day after which it lacks less, each solved and audited.

    Parameters
    ----------
    day, plan
        A day and its best plan, which lacks something.
    clashes
        What stands in the way.
    watch
        The clock, the stop button and the listener, who is told each of them when it is found.
    work
        Counted work in all.
    """
    file = DayFile(day)
    trying = Trying(file, plan, watch, work)
    shown: dict[str, tuple[tuple[float, ...], Shown]] = {}
    for clash, effort, offer in _in_turn(file, clashes, trying.backups):
        if trying.over():
            break
        found = trying.least(offer, clash)
        key = "" if found is None else repr(found.change.operations)
        if found is not None and key not in shown:
            shown[key] = (*_dear(found), effort), found
            watch.told("remedies", len(shown), None, _remedy(found))
    in_order = sorted(shown.values(), key=lambda each: each[0])
    return [_remedy(found) for _, found in in_order]


def _in_turn(
    file: DayFile, clashes: list[Clash], backups: bool
) -> Iterator[tuple[Clash, int, Offer]]:
    """Yield one offer for each clash, then one of another kind for each, and so on."""
    offers = [
        [(clash, *offer) for offer in _one_of_each(_offers(file, clash, backups))]
        for clash in clashes
    ]
    yield from _one_of_each(offers)


def _one_of_each(groups: list[list[T]]) -> Iterator[T]:
    """Yield the first of each group, then the second of each, and so on."""
    for turn in zip_longest(*groups):
        yield from (each for each in turn if each is not None)


def _offers(file: DayFile, clash: Clash, backups: bool) -> list[list[tuple[int, Offer]]]:
    """Return offers by their kinds, each with its place among those that cost the same."""
    kinds = [[(effort, offer) for offer in kind(file, clash)] for kind, effort in OFFERS]
    if backups:
        kinds.insert(0, [(0, offer) for offer in fewer_backups(file, clash)])
    return [kind for kind in kinds if kind]


def _dear(shown: Shown) -> tuple[float, ...]:
    """Return how dear a change is: what lacks still, then copies, then minutes by hand."""
    figures = shown.plan.objective
    return figures.unmet, figures.unbacked, figures.cost, figures.hands_min


def _remedy(shown: Shown) -> Remedy:
    figures = shown.plan.objective
    still = [
        f"{count} {what} {'lacks' if count == 1 else 'lack'} still"
        for count, what in (
            (figures.unmet, "copy" if figures.unmet == 1 else "copies"),
            (figures.unbacked, "backup" if figures.unbacked == 1 else "backups"),
        )
        if count
    ]
    return Remedy(
        change=shown.change.operations,
        words=f"{'; '.join([shown.change.words, *still])}.",
        cost=figures.cost,
        hands_min=figures.hands_min,
    )
