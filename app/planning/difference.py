"""What changes from one plan to the next, in words."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.phrases import listed
from app.planning.plan import Batch, Plan

Kind = Literal["moved", "resized", "added", "dropped", "staffed", "run", "need", "placed"]
SOON_MIN = 120
SOON_WEIGHT = 2
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_Key = tuple[str, str, str]
_Pair = tuple[Batch | None, Batch | None]


@dataclass(frozen=True)
class Change:
    """One thing that is different; `batch` is its id in the new plan, else in the old one.

    `weight` counts a batch that moves, comes or goes: 1, or 2 where it is about to start. `how` are
    the words without the name of a batch that is in both plans. `other` is a second batch of which
    the same is told.
    """

    kind: Kind
    words: str
    batch: str | None = None
    weight: int = 0
    how: str = ""
    other: str | None = None

    @property
    def batches(self) -> tuple[str, ...]:
        """Return the ids of the batches that it tells of."""
        return tuple(each for each in (self.batch, self.other) if each is not None)


def weight_of(changes: Iterable[Change]) -> int:
    """Return how much changes: the batches that move, come or go, those about to start twice."""
    return sum(change.weight for change in changes)


def weight_at(starts: int, now: int | None) -> int:
    """Return how much it weighs to move, add or drop a batch that starts at a minute."""
    return SOON_WEIGHT if now is not None and is_soon(starts, now) else 1


def is_soon(starts: int, now: int) -> bool:
    """Tell whether a batch is about to start."""
    return starts <= now + SOON_MIN


def run_changes(before: Day, after: Day) -> tuple[Change, ...]:
    """Return which runs moved, came or went between two states of a day.

    Parameters
    ----------
    before, after
        The same production, earlier and now.
    """
    old = {run.id: run for run in before.runs}
    new = {run.id: run for run in after.runs}
    said: list[Change] = []
    for run in after.runs:
        title = after.demonstration(run.demonstration).title
        if run.id not in old:
            said.append(Change("run", f"{title}, {run.called} is new, at {run.starts[11:16]}"))
        elif old[run.id].starts != run.starts:
            moved = _from_to(old[run.id].starts, run.starts)
            said.append(Change("run", f"{title}, {run.called} moves {moved}"))
        elif len(beats := after.beats_of(run)) < len(before.beats_of(old[run.id])) and beats:
            said.append(Change("run", f"{title}, {run.called} ends with {beats[-1].called}"))
    for run in before.runs:
        if run.id not in new:
            title = before.demonstration(run.demonstration).title
            said.append(Change("run", f"{title}, {run.called} is gone"))
    return tuple(said)


def shelf_changes(before: Day, after: Day, old: Plan, new: Plan) -> tuple[Change, ...]:
    """Return which shelf units copies begin to stand on, and on which none stands any more.

    Parameters
    ----------
    before, after
        The days of the two plans, which give the names.
    """
    was, now = _on_shelves(old), _on_shelves(new)
    called = {shelf.id: shelf.called for day in (before, after) for shelf in day.kitchen.shelves}
    said: list[Change] = []
    for shelf in dict.fromkeys((*was, *now)):
        if not now[shelf]:
            words = f"nothing stands there any more, before {_copies(was[shelf])}"
        elif not was[shelf]:
            words = f"{_copies(now[shelf])} will stand there, before none"
        else:
            continue
        said.append(Change("placed", f"{called.get(shelf, shelf)}: {words}"))
    return tuple(said)


def _on_shelves(plan: Plan) -> Counter[str]:
    """Return how many copies stand on each shelf unit at some time."""
    found: Counter[str] = Counter()
    for copy in plan.copies:
        found.update({standing.shelf for standing in copy.places})
    return found


def changes(
    day: Day, old: Plan, new: Plan, *, now: int | None = None, begun: Collection[str] = ()
) -> tuple[Change, ...]:
    """Return what is different in a new plan, batch by batch, in the new plan's order of time.

    Parameters
    ----------
    day
        The day of the new plan; it gives the names.
    old, new
        The two plans. Batches have no lasting ids, but in a plan that is mended: within one
        demonstration, stage and way those with the same start are the same, the rest are paired in
        order of time.
    now
        The minute now, from 1970 in UTC, of a plan that is mended: what starts in the two hours
        after it weighs double.
    begun
        Ids of batches that have begun, which last from one plan to the other: their real times
        are no change.

    Returns
    -------
    tuple[Change, ...]
        Empty where both plans ask for the same work by the same people at the same times.
    """
    teller = _Teller(day, now, begun)
    said: list[tuple[str, Change]] = []
    for key, gone, come in _groups(old, new):
        pairs = _paired(gone, come, teller.clock, begun, lasting=now is not None)
        said += teller.exchanges(key, pairs)
        for number, (was, then) in enumerate(pairs, 1):
            at = (then or was or gone[0]).starts
            said += [(at, each) for each in teller.changes(key, number, was, then)]
    said.sort(key=lambda each: teller.clock.minute(each[0]))
    lacks = [Change("need", words) for words in teller.lacks(old, new)]
    return (*lacks, *(change for _, change in said))


def _groups(old: Plan, new: Plan) -> Iterator[tuple[_Key, list[Batch], list[Batch]]]:
    grouped: defaultdict[_Key, tuple[list[Batch], list[Batch]]] = defaultdict(lambda: ([], []))
    for side, plan in enumerate((old, new)):
        for batch in plan.batches:
            grouped[batch.demonstration, batch.stage, batch.way][side].append(batch)
    for key, (gone, come) in grouped.items():
        yield key, gone, come


def _paired(
    old: list[Batch], new: list[Batch], clock: Clock, begun: Collection[str], lasting: bool
) -> list[_Pair]:
    """Pair batches: those whose ids last, those that start together, the rest in order of time."""
    kept = {batch.id: batch for batch in old if lasting or batch.id in begun}
    pairs: list[_Pair] = [(kept.pop(each.id), each) for each in new if each.id in kept]
    paired = {id(batch) for pair in pairs for batch in pair}
    kept = {batch: kept[batch] for batch in kept if batch in begun}
    waiting: defaultdict[str, list[Batch]] = defaultdict(list)
    for batch in old:
        if id(batch) not in paired and batch.id not in kept:
            waiting[batch.starts].append(batch)
    come: list[Batch] = []
    for batch in new:
        if id(batch) not in paired:
            if waiting[batch.starts]:
                pairs.append((waiting[batch.starts].pop(0), batch))
            else:
                come.append(batch)
    left = sorted(
        (b for each in waiting.values() for b in each), key=lambda b: clock.minute(b.starts)
    )
    come.sort(key=lambda batch: clock.minute(batch.starts))
    both = min(len(left), len(come))
    pairs += zip(left[:both], come[:both], strict=True)
    pairs += [(batch, None) for batch in (*left[both:], *kept.values())]
    pairs += [(None, batch) for batch in come[both:]]
    return sorted(pairs, key=lambda pair: clock.minute((pair[1] or pair[0] or old[0]).starts))


class _Teller:
    """Puts differences into words, with the names of the day."""

    def __init__(self, day: Day, now: int | None, begun: Collection[str]) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.now, self.begun = now, begun
        self.cooks = {cook.id: cook.called for cook in day.kitchen.crew}
        self.exchanged: set[str] = set()

    def exchanges(self, key: _Key, pairs: list[_Pair]) -> Iterator[tuple[str, Change]]:
        """Yield the batches that exchange their numbers of copies, and the time of the first."""
        open_: dict[tuple[int, int], list[tuple[int, Batch]]] = {}
        for number, (was, now) in enumerate(pairs, 1):
            if was is None or now is None or len(was.copies) == len(now.copies):
                continue
            before, after = len(was.copies), len(now.copies)
            if not (others := open_.get((after, before))):
                open_.setdefault((before, after), []).append((number, now))
                continue
            first_number, first = others.pop(0)
            self.exchanged |= {first.id, now.id}
            how = f"exchange how much they make: {_copies(before)} at {self._at(first.starts)}"
            how += f", {after} at {self._at(now.starts)}"
            words = f"{self._name(key)}, batches {first_number} and {number} {how}"
            yield first.starts, Change("resized", words, first.id, how=how, other=now.id)

    def changes(
        self, key: _Key, number: int, was: Batch | None, now: Batch | None
    ) -> Iterator[Change]:
        """Yield what is different from the batch that was to the batch that is."""
        name = f"{self._name(key)}, batch {number}"
        if was is None and now is not None:
            copies = _copies(len(now.copies))
            words = f"{name} is new: {copies} at {self._at(now.starts)}"
            yield Change("added", words, now.id, self._weight(now))
        elif now is None and was is not None:
            words = f"{name} at {self._at(was.starts)} is gone"
            yield Change("dropped", words, was.id, self._weight(was))
        elif was is not None and now is not None:
            yield from self._of_pair(name, was, now)

    def _of_pair(self, name: str, was: Batch, now: Batch) -> Iterator[Change]:
        if was.starts != now.starts and now.id not in self.begun:
            how = f"moves {_from_to(was.starts, now.starts)}"
            yield Change("moved", f"{name} {how}", now.id, self._weight(was, now), how)
        if len(was.copies) != len(now.copies) and now.id not in self.exchanged:
            how = f"makes {_copies(len(now.copies))} instead of {len(was.copies)}"
            yield Change("resized", f"{name} {how}", now.id, how=how)
        before, after = self._people(was), self._people(now)
        if before != after:
            how = f"{after or 'nobody'} instead of {before or 'nobody'}"
            yield Change("staffed", f"{name}: {how}", now.id, how=how)

    def _weight(self, *batches: Batch) -> int:
        """Return how much a change of a batch weighs, by the earlier of its starts."""
        return weight_at(min(self.clock.minute(batch.starts) for batch in batches), self.now)

    def lacks(self, old: Plan, new: Plan) -> Iterator[str]:
        """Yield what the new plan lacks more or less than the old one."""
        for kind, said in (("copies", "short"), ("backups", "without backup")):
            was = sum(lack.count for lack in old.unmet if lack.kind == kind)
            now = sum(lack.count for lack in new.unmet if lack.kind == kind)
            if was != now:
                yield f"{_copies(now)} {said}, before {was}"

    def _name(self, key: _Key) -> str:
        demonstration, stage, way = key
        try:
            told = self.day.demonstration(demonstration)
            ways = told.stage(stage).ways
            by = next((f" ({each.called})" for each in ways if each.id == way), f" ({way})")
            return f"{told.title}: {told.stage(stage).called}{by if len(ways) > 1 else ''}"
        except KeyError:
            return f"{demonstration}: {stage}"

    def _people(self, batch: Batch) -> str:
        held = {cook for phase in batch.phases for cook in phase.crew}
        return listed(sorted(self.cooks.get(cook, cook) for cook in held))

    def _at(self, text: str) -> str:
        return f"{_weekday(text)} {text[11:16]}"


def _copies(count: int) -> str:
    return f"{count} {'copy' if count == 1 else 'copies'}"


def _from_to(was: str, now: str) -> str:
    if was[:10] == now[:10]:
        return f"from {was[11:16]} to {now[11:16]}"
    return f"from {_weekday(was)} {was[11:16]} to {_weekday(now)} {now[11:16]}"


def _weekday(text: str) -> str:
    return WEEKDAYS[date.fromisoformat(text[:10]).weekday()]
