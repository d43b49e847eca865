"""What would serve everything: more cooks, items and shelves at once, where nothing less does.

First it is seen whether a kitchen with far more of what clashes are about can serve all, else one
with far more of everything. Then there is less of it, part by part, as long as all is served. Of
shelves so many levels are left as the plan needs that was found.
"""

from collections.abc import Collection, Iterator, Sequence
from copy import copy

from app.planning.audit import audit
from app.planning.blockers.clash import Clash
from app.planning.outcome import Outcome
from app.planning.remedies.enlarged import Enlarging, More, Part
from app.planning.remedies.offer import DayFile
from app.planning.remedies.trying import Shown
from app.planning.solve import nobody, served, tidied
from app.planning.watch import Watch

FAR_MORE = {"crew": 8, "equipment": 8, "shelf": 40}
MOST_TRIES = 10
# So many more are most often enough.
A_FEW = 2


class Altogether:
    """Looks for one change by which every need of a day has its copies.

    Parameters
    ----------
    file
        The day.
    until
        The minute of its last need.
    watch
        The clock, the stop button and the listener.
    """

    def __init__(self, file: DayFile, until: int, watch: Watch) -> None:
        self.file, self.enlarging, self.watch = file, Enlarging(file, until), watch
        self.tries = 0

    def found(self, clashes: Sequence[Clash]) -> tuple[tuple[Part, ...], Shown] | None:
        """Return of what there is more, and the change, if one is found by which nothing lacks."""
        if any(clash.anyway for clash in clashes):
            return None
        every = self.enlarging.parts()
        about = set(self._about(clashes))
        named = [part for part in every if part in about]
        for parts in [named, every] if named and named != every else [every]:
            more = {part: FAR_MORE[part.kind] for part in parts}
            outcome = self._served(more)
            if outcome is not None:
                return self._least(more, named, outcome)
        return None

    def _about(self, clashes: Sequence[Clash]) -> Iterator[Part]:
        """Yield the parts of the kitchen that clashes are about; of shelves, those of all zones."""
        kinds = {item.id: item.kind for item in self.file.day.kitchen.equipment}
        for fact in (fact for clash in clashes for fact in clash.kitchen):
            if fact.kind == "crew":
                yield Part("crew")
            elif fact.kind == "equipment":
                yield Part("equipment", kinds[fact.ids[0]])
            else:
                yield from (part for part in self.enlarging.parts() if part.kind == "shelf")

    def _least(
        self, more: More, named: Collection[Part], outcome: Outcome
    ) -> tuple[tuple[Part, ...], Shown] | None:
        """Return about the least of it that serves everything, and the change.

        What no clash is about may not be needed at all.
        """
        for part in [part for part in more if part.kind != "shelf"]:
            more, outcome = self._with_fewer(part, more, outcome, A_FEW if part in named else 0)
        more, outcome = self._with_lower_shelves(more, tidied(outcome))
        parts = tuple(part for part, count in more.items() if count)
        hours = self.enlarging.hours_worked(outcome.plan())
        for change in (self.enlarging.change(more, hours), self.enlarging.change(more)):
            day = self.file.changed(change)
            plan = None if day is None else outcome.on(day).plan()
            if parts and day is not None and plan is not None and not audit(day, plan):
                return parts, Shown(change, plan, change)
        return None

    def _with_fewer(
        self, part: Part, more: More, outcome: Outcome, guess: int
    ) -> tuple[More, Outcome]:
        """Return as few cooks or items of one part as are found to do, beside the others."""
        failed, count = 0 if len(more) == 1 else -1, more[part]
        fewer = min(guess, count - 1)
        while fewer > failed and self.tries < MOST_TRIES:
            found = self._served({**more, part: fewer})
            if found is None:
                failed = fewer
            else:
                count, outcome = fewer, found
            fewer = (failed + count) // 2
        return {**more, part: count}, outcome

    def _with_lower_shelves(self, more: More, outcome: Outcome) -> tuple[More, Outcome]:
        """Return as few levels of each zone as a plan is found to stand on."""
        enough = {part: count for part, count in more.items() if part.kind == "shelf"}
        failed = dict.fromkeys(enough, -1)
        while any(enough[part] - failed[part] > 1 for part in enough):
            middle = {part: max(0, failed[part] + enough[part]) // 2 for part in enough}
            day = self.file.changed(self.enlarging.change({**more, **middle}))
            full = {part.name for part in enough} if day is None else outcome.on(day).full
            for part in enough:
                (failed if part.name in full else enough)[part] = middle[part]
        return {**more, **enough}, outcome

    def _served(self, more: More) -> Outcome | None:
        """Return how a kitchen with so much more serves everything, if it does."""
        day = self.file.changed(self.enlarging.change(more))
        if day is None or self.watch.over():
            return None
        self.tries += 1
        self.watch.told_again()
        quiet = copy(self.watch)
        quiet.tell = nobody
        return served(day, quiet)
