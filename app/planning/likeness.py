"""Which batch of a mended plan is which of the published one, so that its labels hold.

A batch that is still to begin is the same if it makes the same stage in the same way and starts
when it should, or else if its copies go to the same uses in the end, whenever it starts now.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator

from app.planning.draft import Draft, Item, Made
from app.planning.minutes import Clock
from app.planning.needs import BeatKey, Use
from app.planning.plan import Batch, Plan

Kind = tuple[str, str, str]
Uses = frozenset[BeatKey]


class Likeness:
    """The batches of a published plan that are still to begin, beside those planned anew.

    Parameters
    ----------
    clock, plan
        The published plan.
    gone
        Those of its batches that may be planned anew.
    """

    def __init__(self, clock: Clock, plan: Plan, gone: Iterable[Batch]) -> None:
        self.clock = clock
        self.left: defaultdict[Kind, list[Batch]] = defaultdict(list)
        for batch in gone:
            self.left[batch.demonstration, batch.stage, batch.way].append(batch)
        self.published = _Published(plan)
        self.anew: dict[int, Uses] = {}

    def same(self, draft: Draft) -> dict[int, Batch]:
        """Return the published batch that each batch of a draft is, by `id()`; none if it is new.

        Those that start together come first, then those that have most in common.
        """
        found: dict[int, Batch] = {}
        for made in draft.made:
            starts = self.clock.text(made.starts)
            there = [each for each in self._alike(made) if each.starts == starts]
            if there:
                found[id(made)] = min(there, key=lambda batch: _more(made, batch))
                self._alike(made).remove(found[id(made)])
        moved = [made for made in draft.made if id(made) not in found]
        for made, batch in self._rated(moved):
            if id(made) not in found and batch in self._alike(made):
                found[id(made)] = batch
                self._alike(made).remove(batch)
        return found

    def _alike(self, made: Made) -> list[Batch]:
        return self.left[(*made.stage, made.method.way.id)]

    def _rated(self, moved: list[Made]) -> Iterator[tuple[Made, Batch]]:
        """Yield what may be the same, the likeliest first: most copies for the same uses.

        Of those that are alike the first is the first, as all may have moved together.
        """
        kinds: defaultdict[Kind, list[Made]] = defaultdict(list)
        for made in sorted(moved, key=lambda made: made.starts):
            kinds[(*made.stage, made.method.way.id)].append(made)
        pairs: list[tuple[int, int, int, int, Made, Batch]] = []
        for kind, come in kinds.items():
            gone = sorted(self.left[kind], key=lambda each: self.clock.minute(each.starts))
            pairs += [
                (-shared, _more(made, batch), abs(i - k), i, made, batch)
                for i, made in enumerate(come)
                for k, batch in enumerate(gone)
                if (shared := self._shared(made, batch))
            ]
        for *_, made, batch in sorted(pairs, key=lambda pair: pair[:4]):
            yield made, batch

    def _shared(self, made: Made, batch: Batch) -> int:
        """Return how many copies, for how many uses, a batch makes as the published one did."""
        now = Counter(use for item in made.copies for use in self._goes_to(item))
        was = Counter(use for copy in batch.copies for use in self.published.goes_to(copy))
        return (now & was).total()

    def _goes_to(self, item: Item) -> Uses:
        """Return the uses that a copy, or what is made from it, serves or backs in the end."""
        if id(item) not in self.anew:
            uses = {use.at for use in item.backs}
            for taker in item.takers:
                if isinstance(taker, Use):
                    uses.add(taker.at)
                else:
                    uses.update(use for copy in taker.copies for use in self._goes_to(copy))
            self.anew[id(item)] = frozenset(uses)
        return self.anew[id(item)]


class _Published:
    """What the copies of the published plan were for."""

    def __init__(self, plan: Plan) -> None:
        self.takers = {copy.id: copy.taken_by for copy in plan.copies}
        self.made = {batch.id: batch.copies for batch in plan.batches}
        self.backed: defaultdict[str, set[BeatKey]] = defaultdict(set)
        for told in plan.uses:
            for copy in told.backups:
                self.backed[copy].add((told.run, told.beat))
        self.known: dict[str, Uses] = {}

    def goes_to(self, copy: str) -> Uses:
        """Return the uses that a copy, or what is made from it, was to serve or back."""
        if copy not in self.known:
            uses = set(self.backed[copy])
            for taker in self.takers.get(copy, ()):
                if taker.use is not None:
                    uses.add(taker.use)
                else:
                    made = self.made.get(taker.batch or "", ())
                    uses.update(use for each in made for use in self.goes_to(each))
            self.known[copy] = frozenset(uses)
        return self.known[copy]


def _more(made: Made, batch: Batch) -> int:
    """Return by how many copies two batches differ."""
    return abs(len(batch.copies) - made.started)
