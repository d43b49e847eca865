"""What clocks and readings find after the plan was made: copies for eating that must not be eaten.

Such a copy is lost for the plan, which is mended; the best copy in its place is named. A copy that
is only shown stays: it is not for eating, and it still looks the same.
"""

from collections.abc import Collection
from dataclasses import dataclass

from app.planning.day import Day, Need
from app.planning.eating import Eating, Eatings
from app.planning.histories import Watch
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan, Use
from app.planning.standing import place_in_words

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
    """

    copy: Copy
    why: str
    use: tuple[str, str]
    next_best: Copy | None
    is_found: bool
    is_mendable: bool = False


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

    def is_spoilt(self, copy: Copy, since: int) -> bool:
        """Return whether a copy may not be eaten when it would be, so that it is lost for the plan.

        Parameters
        ----------
        since
            The minute from which tastings are looked at: those that the copy serves or backs; where
            a mended plan has given it up, the first of its stage.
        """
        tastings = [
            (use_minute(self.day, use.run, use.beat), use)
            for use in self.plan.uses
            if self._need(use).tasting and self._is_of(use, copy)
        ]
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
    best = spoilt.next_best
    if best is None:
        return f"{spoilt.why} No other copy can be eaten in its place."
    last = best.places[-1] if best.places else None
    place = f", {place_in_words(day, last.shelf, last.level, last.slot)}" if last else ""
    return f"{spoilt.why} Next best: {best.tag}{place}."
