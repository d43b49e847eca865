"""Offers: changes of a day that may help, the smaller ones first."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from app.planning.blockers.words import Wording
from app.planning.canonical import document
from app.planning.day import Day, Named
from app.planning.minutes import Clock
from app.planning.phrases import listed
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.refusals.fault import Refused
from app.planning.remedies.patch import NotPatched, Operation, added, patched

Operations = tuple[Operation, ...]


@dataclass(frozen=True)
class Change:
    """A change of the day: what is done to its document, and in words."""

    operations: Operations
    words: str


def as_told(change: Change, plan: Plan) -> Change | None:
    """Tell a change as it was offered, whatever plan shows it to work."""
    return change


def as_it_is(plan: Plan) -> Change | None:
    """Know no smaller change than the one that works."""
    return None


@dataclass(frozen=True)
class Offer:
    """Changes that are alike: `at(n)` for n from 1 to `most`, the least that works is wanted.

    If it `grows`, whatever one of them makes possible all larger ones do as well.
    From the plan that shows it to work, `tightened` tells a smaller change that may do as well, and
    `worded` tells it in words (None: that plan does not need it). If there are `others`, the first
    that works is wanted.
    """

    at: Callable[[int], Change]
    most: int = 1
    grows: bool = False
    others: "tuple[Offer, ...]" = ()
    worded: Callable[[Change, Plan], Change | None] = as_told
    tightened: Callable[[Plan], Change | None] = as_it_is


def having(change: Change) -> Change:
    """Return a change of what there is, told as what is to be done: *Have one more cook*."""
    return Change(change.operations, f"Have {change.words}")


def single(words: str, *operations: Operation) -> Offer:
    """Return an offer of one change."""
    return just(Change(operations, words))


def just(change: Change) -> Offer:
    """Return an offer of a change that is there already."""
    return Offer(lambda _: change)


def one_of(offers: Sequence[Offer]) -> Offer:
    """Return an offer of whatever works first."""
    return replace(offers[0], others=tuple(offers[1:]))


class DayFile:
    """The day as a document, and where in it things stand.

    Parameters
    ----------
    day
        The day.
    """

    def __init__(self, day: Day) -> None:
        self.day, self.document = day, document(day)
        self.clock = Clock(day.timezone)
        self.wording = Wording(day, backups=True)
        kitchen = day.kitchen
        self.runs = _places("/runs", day.runs)
        self.crew = _places("/kitchen/crew", kitchen.crew)
        self.equipment = _places("/kitchen/equipment", kitchen.equipment)
        self.shelves = _places("/kitchen/shelves", kitchen.shelves)
        self.demonstrations = _places("/demonstrations", day.demonstrations)

    def changed(self, change: Change) -> Day | None:
        """Return the changed day; None if it is none, or the change does not fit."""
        try:
            return read_day(patched(self.document, change.operations))
        except (NotPatched, Refused):
            return None

    def stage(self, demonstration: str, stage: str) -> str:
        """Return the place of a stage."""
        stages = self.day.demonstration(demonstration).stages
        return _places(f"{self.demonstrations[demonstration]}/stages", stages)[stage]

    def need(self, demonstration: str, beat: str, stage: str) -> str:
        """Return the place of a need."""
        told = self.day.demonstration(demonstration)
        place = _places(f"{self.demonstrations[demonstration]}/beats", told.beats)[beat]
        stages = [need.stage for need in told.beat(beat).needs]
        return f"{place}/needs/{stages.index(stage)}"

    def with_equipment(self, new: object) -> Operation:
        """Return the operation that adds an item to the kitchen, be it the first."""
        kitchen = self.document.get("kitchen")
        if kitchen is None:
            return added("/kitchen", {"equipment": [new]})
        if "equipment" in kitchen:
            return added("/kitchen/equipment/-", new)
        return added("/kitchen/equipment", [new])

    def later(self, text: str, by_min: int) -> str:
        """Return a local time so many minutes later, or earlier if that is less than 0."""
        return self.clock.text(self.clock.minute(text) + by_min)

    def begun_before(self, plan: Plan) -> list[str]:
        """Return the steps that a plan begins on a day before the day's prep would start, those of
        a demonstration together: *Cardamom knots, scaled and mixed*."""
        first = self.day.prep_from[:10]
        early = [each for each in plan.batches if each.starts[:10] < first]
        steps: dict[str, dict[str, None]] = {}
        for batch in early:
            shown = self.day.demonstration(batch.demonstration)
            steps.setdefault(shown.title, {}).setdefault(shown.stage(batch.stage).called)
        return [f"{title}, {listed(stages)}" for title, stages in steps.items()]


def _places(path: str, things: Sequence[Named]) -> dict[str, str]:
    return {each.id: f"{path}/{i}" for i, each in enumerate(things)}
