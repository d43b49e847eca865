"""From a day, its best plan and what clashes to what would help, the cheapest first."""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import TypeVar

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.day import Day
from app.planning.plan import Plan, Remedy
from app.planning.remedies.altogether import Altogether
from app.planning.remedies.crew import more_crew
from app.planning.remedies.enlarged import Part
from app.planning.remedies.kitchen import more_shelves, more_units
from app.planning.remedies.offer import DayFile, Offer
from app.planning.remedies.rules import fewer_backups, milder_rules
from app.planning.remedies.runs import later_runs
from app.planning.remedies.shifts import day_before, earlier_prep, longer_shifts
from app.planning.remedies.trying import Shown, Trying
from app.planning.remedies.ways import other_ways
from app.planning.watch import Watch

T = TypeVar("T")
Dear = dict[str, tuple[tuple[float, ...], Shown]]
REMEDY_WORK = 9.0
ITEMS = ("equipment", "shelf")
# The likely ones first; the number tells the effort, then come the facts that they change.
OFFERS: tuple[tuple[Callable[[DayFile, Clash], Iterator[Offer]], int, frozenset[str]], ...] = (
    (later_runs, 1, frozenset({"run"})),
    (milder_rules, 2, frozenset({"policy"})),
    (more_units, 7, frozenset({"equipment"})),
    (earlier_prep, 4, frozenset({"prep_from"})),
    (longer_shifts, 3, frozenset({"crew"})),
    (more_crew, 8, frozenset({"crew"})),
    (more_shelves, 6, frozenset({"shelf"})),
    (other_ways, 9, frozenset({"way"})),
    (day_before, 5, frozenset({"prep_from", "crew"})),
)


@dataclass(frozen=True)
class Found:
    """What would help, the cheapest first; and, if it takes more of several things of the kitchen
    that nothing lacks, what these are.
    """

    remedies: tuple[Remedy, ...] = ()
    parts: tuple[Part, ...] = ()


def remedies_of(
    day: Day, plan: Plan, clashes: Sequence[Clash], watch: Watch, work: float = REMEDY_WORK
) -> Found:
    """Return changes of a day after which it lacks less, each solved and audited.

    Of those that are alike and only go less or further, the one after which least lacks is told;
    of two that lack as much, the cheaper. Where copies lack still whatever one changes, it is
    looked for what would serve everything.

    Parameters
    ----------
    day, plan
        A day and its best plan, which lacks something.
    clashes
        What stands in the way.
    watch
        The clock, the stop button and the listener, who is told those so far when there is one
        more, or one that is better than its like; each keeps its place.
    work
        Counted work in all.
    """
    file = DayFile(day)
    trying = Trying(file, plan, watch, work)
    shown: Dear = {}
    for clash, effort, offer in _as_long_as_none(trying, shown, clashes):
        if trying.over():
            break
        if offer.most == 1 and repr(offer.at(1).operations) in shown:
            continue
        found = trying.least(offer, clash)
        if found is None:
            continue
        key, dear = repr(found.least.operations), (*_dear(found), effort)
        if key not in shown or dear < shown[key][0]:
            shown[key] = dear, found
            so_far = tuple(_remedy(each) for _, each in shown.values())
            watch.told("remedies", len(shown), None, so_far)
    parts = _tried_altogether(trying, shown, clashes)
    in_order = sorted(shown.values(), key=lambda each: each[0])
    return Found(tuple(_remedy(each) for _, each in in_order), parts)


def _tried_altogether(trying: Trying, shown: Dear, clashes: Sequence[Clash]) -> tuple[Part, ...]:
    """Look for what would serve everything where nothing else does; return of what it is more."""
    if trying.backups or any(not each.plan.objective.unmet for _, each in shown.values()):
        return ()
    until = max(trying.case.starts.values())
    found = Altogether(trying.file, until, trying.watch).found(clashes)
    if found is None:
        return ()
    parts, served = found
    shown["altogether"] = _dear(served), served
    return parts


def _as_long_as_none(
    trying: Trying, shown: Collection[str], clashes: Sequence[Clash]
) -> Iterator[tuple[Clash, int, Offer]]:
    """Yield the offers in turn; once more if none of them is shown, to be tried more widely where
    it may be others who keep the crew busy.
    """
    yield from _in_turn(trying.file, clashes, trying.backups)
    trying.widely = not trying.is_small
    if trying.widely and not shown:
        some = [clash for clash in clashes if not any(f.kind in ITEMS for f in clash.facts)]
        yield from _in_turn(trying.file, some, trying.backups)


def _in_turn(
    file: DayFile, clashes: Sequence[Clash], backups: bool
) -> Iterator[tuple[Clash, int, Offer]]:
    """Yield one offer for each clash, then one of another kind for each, and so on."""
    shared = Counter(fact for clash in clashes for fact in clash.facts)
    offers = [
        [(clash, *offer) for offer in _one_of_each(_offers(file, clash, shared, backups))]
        for clash in clashes
    ]
    yield from _one_of_each(offers)


def _one_of_each(groups: list[list[T]]) -> Iterator[T]:
    """Yield the first of each group, then the second of each, and so on."""
    for turn in zip_longest(*groups):
        yield from (each for each in turn if each is not None)


def _offers(
    file: DayFile, clash: Clash, shared: Counter[Fact], backups: bool
) -> list[list[tuple[int, Offer]]]:
    """Return offers by their kinds, each with its place among those that cost the same.

    What changes a fact that many clashes share comes first: it may help against all of them. Where
    shelves alone are short, more of them come before: copies stand there for hours, so that a run
    has to start hours later to help.
    """

    def clashes_of(about: frozenset[str]) -> int:
        return max((shared[fact] for fact in clash.facts if fact.kind in about), default=0)

    def turn(about: frozenset[str]) -> tuple[bool, int]:
        return not (clash.lacks_room and "shelf" in about), -clashes_of(about)

    in_order = sorted(OFFERS, key=lambda each: turn(each[2]))
    kinds = [[(effort, offer) for offer in kind(file, clash)] for kind, effort, _ in in_order]
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
