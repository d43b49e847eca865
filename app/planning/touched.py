"""Which demonstrations an accident touches: those whose part of the published plan can't stay.

Whatever is left alone is checked here, link by link; whatever is touched is planned anew.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.frozen import Frozen
from app.planning.happened import Happened
from app.planning.minutes import Clock
from app.planning.needs import BeatKey, Left, Needs, StageKey, Use
from app.planning.plan import Copy, Plan, Taker
from app.planning.room import Room


@dataclass(frozen=True)
class Touched:
    """What of a published plan can't stay: demonstrations, and what exactly is amiss in them.

    `short` are the demonstrations in which all is as it was, and something lacked before.
    """

    demonstrations: frozenset[str]
    short: frozenset[str]
    batches: frozenset[str]
    copies: frozenset[str]


def touched(state: Happened, plan: Plan, frozen: Frozen, needs: Needs) -> Touched:
    """Return what of the published plan is not whole any more.

    Parameters
    ----------
    state, plan
        The state now, of the published plan.
    frozen
        What a search takes as it is.
    needs
        All needs of the state's day.
    """
    links = _Links(state, plan, frozen, needs)
    copies = list(links.copies_amiss())
    batches = list(Room(state, plan, frozen).amiss())
    owners = [copy.demonstration for copy in copies] + [batch.demonstration for batch in batches]
    demonstrations = frozenset((*owners, *links.needs_amiss()))
    return Touched(
        demonstrations=demonstrations,
        short=frozenset(links.short) - demonstrations,
        batches=frozenset(batch.id for batch in batches),
        copies=frozenset(copy.id for copy in copies),
    )


@dataclass(frozen=True)
class _AtHand:
    """When a copy can go where. Minutes count from 1970 in UTC, seconds likewise."""

    staged: int
    ready: int
    else_from: int
    held_for: BeatKey | None = None
    run: str | None = None
    free_s: int = 0

    def ready_for(self, use: Use) -> int:
        """Return when it is there for a use of another run."""
        return self.ready if self.held_for == use.at else self.else_from

    def after(self, use: Use) -> "_AtHand":
        """Return it as it is once a use has handed it back."""
        return _AtHand(self.staged, use.back, use.back, None, use.run, use.end_s)


class _Links:
    """The links from copies to what takes them, as the published plan has them."""

    def __init__(self, state: Happened, plan: Plan, frozen: Frozen, needs: Needs) -> None:
        self.state, self.plan, self.day = state, plan, state.day
        self.uses = {(*use.at, use.stage): use for use in needs.uses}
        self.left: dict[tuple[str, str, StageKey], Left] = {
            (*left.at, left.stage): left for left in needs.left
        }
        self.supply = {copy: each for each in frozen.supplies for copy in each.copies}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.consumes = {batch.id: batch.consumes for batch in plan.batches}
        clock = Clock(state.day.timezone)
        self.starts = {batch.id: clock.minute(batch.starts) for batch in plan.batches}
        self.ends = {batch.id: clock.minute(batch.ends) for batch in plan.batches}
        self.shown: dict[str, bool] = {}
        self.lacked: Counter[tuple[tuple[str, str, StageKey], str]] = Counter()
        for lack in plan.unmet:
            run = next((run for run in self.day.runs if run.id == lack.run), None)
            if run is not None:
                key = lack.run, lack.beat, (run.demonstration, lack.stage)
                self.lacked[key, lack.kind] += lack.count
        self.short: set[str] = set()

    def needs_amiss(self) -> Iterator[str]:
        """Yield demonstrations whose needs to come are not those of the plan; note the short."""
        served = {}
        for told in self.plan.uses:
            for copy in (*told.copies, *told.backups):
                stage = self._stage(copy)
                if (told.run, told.beat, stage) not in self.uses:
                    yield stage[0]
                served[told.run, told.beat, stage] = len(told.copies), len(told.backups)
        for key, use in self.uses.items():
            copies, backups = served.get(key, (0, 0))
            lacked = self.lacked[key, "copies"], self.lacked[key, "backups"]
            if use.at in self.state.aired:
                continue
            if copies + lacked[0] != use.count or backups + lacked[1] < use.backups:
                yield use.stage[0]
            elif any(lacked):
                self.short.add(use.stage[0])

    def copies_amiss(self) -> Iterator[Copy]:
        """Yield copies that can't go where they were to go."""
        backed: dict[str, list[Use]] = {}
        for told in self.plan.uses:
            for backup in told.backups:
                use = self.uses.get((told.run, told.beat, self._stage(backup)))
                if use is not None and use.at not in self.state.aired:
                    backed.setdefault(backup, []).append(use)
        for copy in self.plan.copies:
            takers = [taker for taker in copy.taken_by if not self._is_over(taker)]
            uses = backed.get(copy.id, [])
            if (takers or uses) and not self._serves(copy, takers, uses):
                yield copy

    def _stage(self, copy: str) -> StageKey:
        return self.copies[copy].demonstration, self.copies[copy].stage

    def _is_over(self, taker: Taker) -> bool:
        if taker.use is not None:
            return taker.use in self.state.aired
        return taker.batch in self.state.begun

    def _serves(self, copy: Copy, takers: list[Taker], backed: list[Use]) -> bool:
        """Tell whether a copy can serve all that it still is to serve, in their order."""
        at = self._at_hand(copy)
        if at is None or not all(self._backs(copy, at, use, takers) for use in backed):
            return False
        for taker in takers:
            if taker.batch is not None:
                return self._feeds(copy, at, taker.batch)
            use = self.uses.get((*taker.use, self._stage(copy.id))) if taker.use else None
            if use is None or not self._is_taken(copy, at, use):
                return False
            at = at.after(use)
        return True

    def _at_hand(self, copy: Copy) -> _AtHand | None:
        """Return where a copy is, or will be; None if it is not to be had."""
        origin = copy.made_by
        if copy.id in self.state.copies:
            there = self.supply.get(copy.id)
            if there is None:
                return None
            return _AtHand(
                there.staged, there.ready, there.else_from, there.held_for, there.run, there.free_s
            )
        if origin.use is not None:
            left = self.left.get((*origin.use, self._stage(copy.id)))
            if left is None or left.at in self.state.aired:
                return None
            return _AtHand(left.staged, left.back, left.back, None, left.run, left.end_s)
        if origin.batch is None or origin.batch in self.state.begun:
            return None
        staged = self.ends[origin.batch]
        return _AtHand(staged, staged, staged)

    def _is_taken(self, copy: Copy, at: _AtHand, use: Use) -> bool:
        if use.start - at.staged > use.oldest_min or (use.untouched and self._was_shown(copy, at)):
            return False
        if at.run == use.run:
            return at.free_s <= use.start_s
        return (at.run is None or self.day.policy.reuse) and at.ready_for(use) <= use.due

    def _feeds(self, copy: Copy, at: _AtHand, batch: str) -> bool:
        keeps_min = self.day.stage(*self._stage(copy.id)).keeps_min
        slack_min = min(self.day.policy.step_slack_min, keeps_min // 2)
        if at.run is not None and not self.day.policy.reuse:
            return False
        return at.else_from + slack_min <= self.starts[batch] <= at.staged + keeps_min

    def _backs(self, copy: Copy, at: _AtHand, use: Use, takers: list[Taker]) -> bool:
        if use.start - at.staged > use.oldest_min or at.ready_for(use) > use.due:
            return False
        if at.held_for not in (None, use.at) or (use.untouched and self._was_shown(copy, at)):
            return False
        known = self.state.copies.get(copy.id)
        if known is not None and any(taker.use is not None for taker in known.takers):
            return False
        return all(self._start(taker, copy) > use.start for taker in takers[:1])

    def _start(self, taker: Taker, copy: Copy) -> int:
        if taker.batch is not None:
            return self.starts[taker.batch]
        use = self.uses.get((*taker.use, self._stage(copy.id))) if taker.use else None
        return use.start if use is not None else -1

    def _was_shown(self, copy: Copy, at: _AtHand) -> bool:
        return at.run is not None or self._is_shown(copy.id)

    def _is_shown(self, copy: str) -> bool:
        """Tell whether a copy, or anything it is made from, was on camera before it is taken."""
        if copy not in self.shown:
            known, origin = self.state.copies.get(copy), self.copies[copy].made_by
            if known is not None:
                self.shown[copy] = known.shown
            else:
                self.shown[copy] = origin.use is not None or any(
                    self._is_shown(each)
                    or any(taker.use is not None for taker in self.copies[each].taken_by)
                    for each in self.consumes.get(origin.batch or "", ())
                )
        return self.shown[copy]
