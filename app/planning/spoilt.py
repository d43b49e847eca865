"""What clocks and readings find after the plan was made: copies for eating that must not be eaten.

Such a copy is lost for the plan, which is mended; the best copy in its place is named. As long as
it is not made yet, what spoils it is lost: a broth that cooled too slowly, and not the bowls to
come. A copy that is only shown stays: it is not for eating, and it still looks the same.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from app.food.clocks import verdict
from app.planning.day import Day, Need
from app.planning.eating import Eating, Eatings
from app.planning.histories import Watch
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan, Use
from app.planning.standing import place_in_words
from app.planning.tasks import tags_in_words

BEST_FIRST = ("backup", "spare", "camera", "feeds")


@dataclass(frozen=True)
class Spoilt:
    """A copy that is to be eaten and may not be then.

    Attributes
    ----------
    why
        The sentence that says so.
    use
        The first tasting that it serves or backs, as run and beat.
    next_best
        What may serve in its place, if anything may.
    is_found
        Whether readings or ticks show it; else the plan itself keeps it too long.
    is_mendable
        Whether it only has to be cooked on, or somebody may decide by name: it is not lost yet.
    into
        The tags of the copies that it was to go into, if those are what would be eaten.
    """

    copy: Copy
    why: str
    use: tuple[str, str]
    next_best: Copy | None
    is_found: bool
    is_mendable: bool = False
    into: tuple[str, ...] = ()


class Spoiling:
    """Looks through the copies of one plan that are to be eaten."""

    def __init__(self, day: Day, plan: Plan, watch: Watch, lost: Collection[str]) -> None:
        self.day, self.plan, self.lost = day, plan, set(lost)
        self.eatings = Eatings(day, plan, watch)
        self.planned = self.eatings if watch.is_bare else Eatings(day, plan, Watch(watch.house))
        self.copies = {copy.id: copy for copy in plan.copies}

    def found(self, now: int) -> list[Spoilt]:
        """Return each copy that a tasting still to come would serve spoilt, in the plan's order."""
        told: dict[str, Spoilt] = {}
        for use in self.plan.uses:
            minute = use_minute(self.day, use.run, use.beat)
            if minute < now or not self._need(use).tasting:
                continue
            for id in (*use.copies, *use.backups):
                copy = self.copies.get(id)
                if copy is None or id in told or id in self.lost:
                    continue
                eating = self.eatings.of(copy, minute)
                if eating.is_found and not eating.is_safe:
                    told[id] = self._spoilt(copy, use, eating, minute)
        return list(told.values())

    def losses(self, now: int) -> list[Spoilt]:
        """Return each copy that readings and ticks lose: those found, or what goes into them."""
        told: dict[str, Spoilt] = {}
        for each in self.found(now):
            if not each.is_found or each.is_mendable:
                continue
            for cause, starts in self._causes(each, now):
                if cause.id in self.lost:
                    continue
                if cause is each.copy:
                    told[cause.id] = each
                    continue
                before = told.get(cause.id)
                into = (*(before.into if before else ()), each.copy.tag)
                best = self._other(cause, starts)
                told[cause.id] = replace(each, copy=cause, next_best=best, into=into)
        return list(told.values())

    def is_spoilt(self, copy: Copy, since: int) -> bool:
        """Return whether readings and ticks still show a copy to be lost.

        Parameters
        ----------
        since
            The minute from which tastings are looked at: those that the copy serves or backs; where
            a mended plan has given it up, the first of its stage. What is not eaten itself is kept
            otherwise than planned, or is not.
        """
        tastings = [
            (use_minute(self.day, use.run, use.beat), use)
            for use in self.plan.uses
            if self._need(use).tasting and self._is_of(use, copy)
        ]
        if not tastings:
            held = self.eatings.histories.held(copy, since)
            as_planned = self.planned.histories.held(copy, since)
            return held.failed is not None or held.since != as_planned.since
        coming = sorted((each for each in tastings if each[0] >= since), key=lambda each: each[0])
        own = [minute for minute, use in coming if copy.id in (*use.copies, *use.backups)]
        told = [
            self.eatings.of(copy, minute)
            for minute in own or [minute for minute, _ in coming[:1]] or [since]
        ]
        return any(each.is_found and not each.is_safe and each.core is None for each in told)

    def next_best(self, copy: Copy, use: Use) -> Copy | None:
        """Return the copy that may be eaten in place of another at a use: the least missed."""
        minute = use_minute(self.day, use.run, use.beat)
        fit = [
            each
            for each in self.plan.copies
            if (each.demonstration, each.stage) == (copy.demonstration, copy.stage)
            and each.id != copy.id
            and self._is_there(each, use, minute)
        ]
        return min(fit, key=lambda each: self._missed(each, use), default=None)

    def _spoilt(self, copy: Copy, use: Use, eating: Eating, minute: int) -> Spoilt:
        is_found = self.planned.of(copy, minute).is_safe
        best = self.next_best(copy, use)
        is_mendable = eating.core is not None
        return Spoilt(copy, eating.why, (use.run, use.beat), best, is_found, is_mendable)

    def _causes(self, spoilt: Spoilt, now: int) -> Iterator[tuple[Copy, int]]:
        """Yield what is there and spoils a copy: itself, or what it is to be made from.

        Each with the minute at which it was to be taken.
        """
        eaten_at = use_minute(self.day, *spoilt.use)
        has_failed = self.eatings.histories.held(spoilt.copy).failed is not None
        waiting, seen = [(spoilt.copy, eaten_at)], set[str]()
        while waiting:
            copy, taken_at = waiting.pop()
            starts = self.eatings.histories.starts(copy)
            if starts is None or starts <= now or copy.id in self.eatings.watch.readings:
                yield copy, taken_at
                continue
            for each in self.eatings.histories.inputs(copy):
                if each.id not in seen and self._spoils(each, starts, eaten_at, has_failed):
                    seen.add(each.id)
                    waiting.append((each, starts))

    def _spoils(self, copy: Copy, taken_at: int, eaten_at: int, has_failed: bool) -> bool:
        """Return whether what a copy goes into at a minute may not be eaten because of it."""
        held = self.eatings.histories.held(copy, taken_at)
        if has_failed:
            return held.failed is not None
        house = self.eatings.watch.house
        told = verdict(held, "out", house, is_raw=False, day_end=self.eatings.day_end)
        return told.until is not None and told.until < eaten_at

    def _other(self, copy: Copy, minute: int) -> Copy | None:
        """Return another copy of a stage that is there by a minute, kept well, promised to none."""
        stage = self.day.stage(copy.demonstration, copy.stage)
        fit = [
            each
            for each in self.plan.copies
            if (each.demonstration, each.stage) == (copy.demonstration, copy.stage)
            and each.id not in (copy.id, *self.lost)
            and not each.taken_by
            and 0 <= minute - self.eatings.histories.staged(each) <= stage.keeps_min
            and self.eatings.histories.held(each, minute).failed is None
        ]
        return min(fit, key=lambda each: BEST_FIRST.index(each.role), default=None)

    def _is_there(self, copy: Copy, use: Use, minute: int) -> bool:
        """Return whether a copy waits for a use in time, fresh, safe, and promised to none."""
        stage = self.day.stage(copy.demonstration, copy.stage)
        staged = self.eatings.histories.staged(copy)
        if copy.id in self.lost or copy.id in use.copies:
            return False
        if not staged <= minute - self._margin_min(use) or minute - staged > stage.keeps_min:
            return False
        return self.eatings.of(copy, minute).is_safe and not copy.taken_by

    def _missed(self, copy: Copy, use: Use) -> tuple[bool, int, int]:
        staged = self.eatings.histories.staged(copy)
        return copy.id not in use.backups, BEST_FIRST.index(copy.role), -staged

    def _is_of(self, use: Use, copy: Copy) -> bool:
        of = self.day.run(use.run).demonstration
        return (of, use.stage) == (copy.demonstration, copy.stage)

    def _margin_min(self, use: Use) -> int:
        run, policy = self.day.run(use.run), self.day.policy
        own = (self._need(use).ready_margin_min, run.ready_margin_min, policy.ready_margin_min)
        return next(each for each in own if each is not None)

    def _need(self, use: Use) -> Need:
        run = self.day.run(use.run)
        beat = self.day.demonstration(run.demonstration).beat(use.beat)
        return next(each for each in beat.needs if each.stage == use.stage)


def lost_because(day: Day, spoilt: Spoilt) -> str:
    """Return why a copy is lost, with what to take in its place, in words."""
    best, why = spoilt.next_best, spoilt.why
    if spoilt.into:
        why = f"{why} It was to go into {tags_in_words(spoilt.into)}."
    if best is None:
        done = "take" if spoilt.into else "be eaten in"
        return f"{why} No other copy can {done} its place."
    last = best.places[-1] if best.places else None
    place = f", {place_in_words(day, last.shelf, last.level, last.slot)}" if last else ""
    return f"{why} Next best: {best.tag}{place}."
