"""Some plays of a day at once: a row a copy, a column a play.

A body is what really stands there for a copy of the plan. Where a copy is lost, late or too old
and another steps in, the two exchange their bodies: the plan goes on with the names that it has.
Times are minutes from `prep_from`.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.planning.auditing.moments import UseKey
from app.planning.risk.dice import Dice
from app.planning.risk.picture import Intake, Lot, Picture, Scene, Serving, Task
from app.planning.risk.tails import Floats
from app.planning.risk.tally import Fallen, Missing, Story, Taker, Tally, Why

Bools = NDArray[np.bool_]
Whole = NDArray[np.int64]
Shift = tuple[Whole, Whole]
UNMOVED = (np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64))


class Play:
    """Plays of one picture with one luck.

    Parameters
    ----------
    picture
        What is played.
    dice
        The luck.
    tally
        Is told of each need how it went.
    later_min
        Needs whose copies are looked at so many minutes later, by number.
    shifts
        By how many minutes beats start and end later, in each play.
    story
        Is told all that happens; only for a few plays.
    """

    def __init__(
        self,
        picture: Picture,
        dice: Dice,
        tally: Tally,
        later_min: Mapping[int, int] | None = None,
        shifts: Mapping[UseKey, Shift] | None = None,
        story: Story | None = None,
    ) -> None:
        self.picture, self.dice, self.tally, self.story = picture, dice, tally, story
        self.later_min, self.shifts = later_min or {}, shifts or {}
        shape = len(picture.names), dice.plays
        self.exists = np.zeros(shape, dtype=bool)
        self.staged = np.zeros(shape)
        self.ready = np.zeros(shape)
        self.rows: list[NDArray[Any]] = [self.exists, self.staged, self.ready]
        if story is not None:
            self.bodies = np.repeat(np.arange(shape[0])[:, None], shape[1], axis=1)
            self.rows.append(self.bodies)
        self.ends = dice.lengths(len(picture.tasks))
        self.lost = np.zeros(dice.plays, dtype=bool)
        self.made = np.zeros((len(picture.lots), dice.plays), dtype=np.int64)

    def run(self) -> None:
        """Play the whole day."""
        for kept in self.picture.kept:
            self.exists[kept.copy] = True
            self.staged[kept.copy] = kept.staged
            self.ready[kept.copy] = kept.ready
        for kind, number in self.picture.events:
            if kind == "task":
                self._work(number, self.picture.tasks[number])
            else:
                self._show(self.picture.scenes[number])
        self.tally.played(self.dice.plays, int(np.count_nonzero(~self.lost)))

    def _work(self, number: int, task: Task) -> None:
        if task.ended is not None:
            self.ends[number] = task.ended
            return
        lot = self.picture.lots[task.lot]
        starts = self._starts(task, lot)
        if task.is_first:
            is_full = lot.is_begun
            self.made[task.lot] = lot.started if is_full else self._sets(task.lot, lot, starts)
        # Until now the row held by how much this phase takes longer.
        self.ends[number] = starts + self._lasts(task, starts, self.ends[number])
        if task.is_last:
            self._stage(task.lot, lot, self.ends[number])

    def _starts(self, task: Task, lot: Lot) -> Floats:
        if task.began is not None:
            return np.full(self.dice.plays, float(task.began))
        starts = np.full(self.dice.plays, float(task.earliest))
        for after in task.after:
            np.maximum(starts, self.ends[after.task] + after.lag_min, out=starts)
        if task.is_first:
            for intake in lot.intakes:
                self._wait(starts, intake)
        for since, until in task.closed:
            starts[(starts >= since) & (starts < until)] = until
        return starts

    def _lasts(self, task: Task, starts: Floats, times: Floats) -> Floats:
        if task.not_over_by is None:
            return task.lasts_min * times
        least = task.not_over_by - starts
        return self.dice.lasting(times, task.lasts_min, task.then_min, least)

    def _wait(self, starts: Floats, intake: Intake) -> None:
        for copy in intake.copies:
            ready = np.where(self.exists[copy], self.ready[copy], starts)
            np.maximum(starts, ready, out=starts)

    def _sets(self, number: int, lot: Lot, starts: Floats) -> Whole:
        """Return how many copies a batch begins: as many as it has whole sets of inputs for."""
        made = np.full(self.dice.plays, lot.started)
        missing: list[tuple[int, Bools]] = []
        for intake in lot.intakes:
            fit = np.zeros(self.dice.plays, dtype=np.int64)
            for copy in intake.copies:
                fits = self._fits(copy, starts, intake.keeps_min)
                self._tell(copy, lot.id, fits, starts)
                if not fits.all():
                    fits |= self._stand_in(copy, ~fits, intake.step_in, starts, intake.keeps_min)
                    missing.append((copy, ~fits))
                fit += fits
            sets = fit // intake.per_set + lot.more_sets
            np.minimum(made, sets * lot.yields, out=made)
        self.tally.began(number, self._blamed(missing, starts))
        return made

    def _stage(self, number: int, lot: Lot, ends: Floats) -> None:
        good = self.made[number]
        if lot.loss > 0:
            luck = self.dice.luck(number, lot.started)
            begun = np.arange(lot.started)[:, None] < good
            good = np.count_nonzero((luck >= lot.loss) & begun, axis=0)
        for rank, copy in enumerate(lot.copies):
            self.exists[copy] = good > rank
            self.staged[copy] = ends
            self.ready[copy] = ends

    def _show(self, scene: Scene) -> None:
        starts, ends = self.shifts.get(scene.key, UNMOVED)
        is_whole = np.ones(self.dice.plays, dtype=bool)
        for number in scene.servings:
            is_whole &= self._serve(number, starts, scene.back + ends)
        for copy in scene.sent:
            self.ready[copy] = np.maximum(self.ready[copy], scene.back + ends)
        for copy in scene.leaves:
            self.exists[copy] = is_whole
            self.staged[copy] = scene.staged + ends
            self.ready[copy] = scene.back + ends

    def _serve(self, number: int, shift: Whole, back: Whole) -> Bools:
        """Serve one need and return in which plays it has all its copies."""
        serving = self.picture.servings[number]
        start = np.full(self.dice.plays, float(serving.start + self.later_min.get(number, 0)))
        start += shift
        lacks = np.full(self.dice.plays, serving.is_short)
        missing: list[tuple[int, Bools]] = []
        self._tell_backups(serving, start)
        for copy in serving.copies:
            fits = self._fits(copy, start, serving.oldest_min, copy in serving.on_set)
            self._tell(copy, serving.key, fits, start)
            if not fits.all():
                fits |= self._stand_in(copy, ~fits, serving.step_in, start, serving.oldest_min)
                missing.append((copy, ~fits))
                lacks |= ~fits
            if copy in serving.returned:
                self.ready[copy] = np.where(fits, back, self.ready[copy])
        if not serving.is_short:
            self.lost |= lacks
        if self.story:
            self.story.short += [(int(play), number) for play in np.flatnonzero(lacks)]
        self.tally.served(number, int(np.count_nonzero(lacks)), self._blamed(missing, start))
        return ~lacks

    def _blamed(self, missing: list[tuple[int, Bools]], start: Floats) -> Iterator[Missing]:
        """Yield what is missing, why, and in how many plays it is the first that is."""
        counted = np.zeros(self.dice.plays, dtype=bool)
        for copy, lacking in missing:
            new = lacking & ~counted
            counted |= lacking
            there = new & self.exists[copy]
            late = there & (self.ready[copy] > start)
            yield copy, "late", int(np.count_nonzero(late))
            yield copy, "old", int(np.count_nonzero(there & ~late))
            yield copy, "lost", int(np.count_nonzero(new & ~self.exists[copy]))

    def _tell(
        self, copy: int, taker: Taker, fits: Bools, start: Floats, is_backup: bool = False
    ) -> None:
        """Tell of a copy that is there and can't be taken."""
        if self.story:
            for play in np.flatnonzero(self.exists[copy] & ~fits):
                why: Why = "late" if self.ready[copy, play] > start[play] else "old"
                body = int(self.bodies[copy, play])
                self.story.fallen.append(Fallen(int(play), body, taker, why, is_backup))

    def _tell_backups(self, serving: Serving, start: Floats) -> None:
        for copy in serving.backups if self.story else ():
            fits = self._fits(copy, start, serving.oldest_min)
            self._tell(copy, serving.key, fits, start, is_backup=True)

    def _fits(self, copy: int, start: Floats, oldest_min: int, is_on_set: bool = False) -> Bools:
        fits: Bools = self.exists[copy] & (start - self.staged[copy] <= oldest_min)
        return fits if is_on_set else fits & (self.ready[copy] <= start)

    def _stand_in(
        self,
        copy: int,
        wants: Bools,
        others: Iterable[int],
        start: Floats,
        oldest_min: int,
    ) -> Bools:
        """Let others take the place of a copy, the first that fits; return where one does."""
        filled = np.zeros(self.dice.plays, dtype=bool)
        where = np.flatnonzero(wants)
        for other in others:
            if where.size == 0:
                break
            fits = self._fits(other, start, oldest_min)[where]
            self._exchange(copy, other, where[fits])
            filled[where[fits]] = True
            where = where[~fits]
        return filled

    def _exchange(self, copy: int, other: int, where: Whole) -> None:
        for rows in self.rows:
            kept = rows[copy, where].copy()
            rows[copy, where] = rows[other, where]
            rows[other, where] = kept
        if self.picture.clean[other] and not self.picture.clean[copy]:
            # What has been on camera can't take the place of what must not have been.
            self.exists[other, where] = False
