"""The beats that have begun, played in order with the copies that there were for them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from app.planning.begun import Begun
from app.planning.day import Day
from app.planning.events import AnyEvent, Lost, Returned, Sent, Used
from app.planning.minutes import MINUTE_S, Clock
from app.planning.moments import beat_second
from app.planning.needs import BeatKey, Left, Use, needs_of
from app.planning.plan import Copy, Plan, Taker

NeedKey = tuple[str, str, str]


@dataclass
class Track:
    """What became of one copy so far. Minutes and seconds count from 1970 in UTC.

    `ready` is when it is at hand in the kitchen again, `free_s` when its last beat lets it go,
    `run` the run of that beat; `returns` is when it is back from each beat that had it, or left
    it; `is_gone` says that a beat used it up, or a batch took it.
    """

    copy: Copy
    staged: int
    ready: int
    free_s: int
    run: str | None = None
    takers: list[Taker] = field(default_factory=list)
    returns: dict[BeatKey, int] = field(default_factory=dict)
    is_gone: bool = False


@dataclass
class Moment:
    """One beat of one run: when it starts, what it needs, what it leaves anew."""

    at: BeatKey
    start_s: int
    uses: list[Use]
    left: list[Left]


class Told:
    """What events say of single copies, as minutes from 1970 in UTC."""

    def __init__(self, clock: Clock, events: Iterable[AnyEvent], now: int) -> None:
        self.lost: dict[str, int] = {}
        self.returned: dict[str, list[int]] = {}
        self.used: dict[BeatKey, list[str]] = {}
        self.sent: dict[BeatKey, dict[str, int]] = {}
        for event in events:
            at = min(clock.minute(event.at), now)
            if isinstance(event, Lost):
                self.lost.setdefault(event.copy_id, at)
            elif isinstance(event, Returned):
                for copy in event.copies:
                    self.returned.setdefault(copy, []).append(at)
            elif isinstance(event, Used):
                self.used.setdefault((event.run, event.beat), []).extend(event.copies)
            elif isinstance(event, Sent):
                for copy in event.copies:
                    self.sent.setdefault((event.run, event.beat), {})[copy] = at

    def back(self, copy: str, since: int) -> int | None:
        """Return when a copy came back first, from a minute on; None if nobody said so."""
        return min((at for at in self.returned.get(copy, ()) if at >= since), default=None)


class Played:
    """One production played up to a minute."""

    def __init__(
        self, day: Day, plan: Plan, events: Iterable[AnyEvent], now: int, begun: dict[str, Begun]
    ) -> None:
        self.day, self.plan, self.now, self.begun = day, plan, now, dict(begun)
        self.clock = Clock(day.timezone)
        self.told = Told(self.clock, events, now)
        for each in begun.values():
            for lost in each.lost:
                self.told.lost.setdefault(lost, each.ends)
        self.planned = {(use.run, use.beat, use.stage): use for use in plan.uses}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.left_by: dict[NeedKey, list[Copy]] = {}
        for copy in plan.copies:
            if copy.made_by.use is not None:
                self.left_by.setdefault((*copy.made_by.use, copy.stage), []).append(copy)
        self.stock = {entry.id: self.clock.minute(entry.staged) for entry in day.stock}
        self.needed_later = self._needed_later()
        self.tracks: dict[str, Track] = {}
        self.uses: dict[NeedKey, tuple[str, ...]] = {}
        self.left_more: dict[NeedKey, int] = {}
        self.begun_beats: set[BeatKey] = set()
        for copy in plan.copies:
            self._begin(copy)
        for happening in self._in_order():
            if isinstance(happening, Moment):
                self._air(happening)
            else:
                self._take(happening)
        self._settle()

    def _needed_later(self) -> dict[str, list[int]]:
        """Return the seconds at which something takes a copy that events speak of for certain."""
        found: dict[str, list[int]] = {}
        for begun in self.begun.values():
            for copy in begun.batch.consumes:
                found.setdefault(copy, []).append(begun.starts * MINUTE_S)
        runs = {run.id: run for run in self.day.runs}
        for (run, beat), copies in self.told.used.items():
            if run in runs:
                start_s = beat_second(self.day, runs[run], beat)
                for copy in copies:
                    found.setdefault(copy, []).append(start_s)
        return found

    def _begin(self, copy: Copy) -> None:
        """Follow a copy that is there already: made by a batch that has begun, or in stock."""
        origin = copy.made_by
        staged: int | None = None
        if origin.batch is not None and origin.batch in self.begun:
            making = self.begun[origin.batch]
            staged = making.ends if making.is_staged else making.due
        elif origin.stock is not None:
            staged = self.stock.get(origin.stock)
        if staged is not None:
            self.tracks[copy.id] = Track(copy, staged, staged, staged * MINUTE_S)

    def _settle(self) -> None:
        """Settle the batches that nobody has staged: a beat that took of them tells, too."""
        for ident, making in self.begun.items():
            tracks = [self.tracks[copy] for copy in making.batch.copies if copy in self.tracks]
            if making.is_staged:
                continue
            if any(track.takers for track in tracks):
                self.begun[ident] = making.staged_when_due()
                continue
            for track in tracks:
                track.staged = track.ready = making.ends

    def _in_order(self) -> list[Moment | Begun]:
        """Return the batches and beats that have begun, in order of time; batches come first."""
        timed: list[tuple[int, int, Moment | Begun]] = [
            (begun.starts * MINUTE_S, 0, begun) for begun in self.begun.values()
        ]
        timed += [(moment.start_s, 1, moment) for moment in self._moments()]
        timed.sort(key=lambda each: each[:2])
        return [happening for _, _, happening in timed]

    def _moments(self) -> Iterator[Moment]:
        needs = needs_of(self.day)
        uses: dict[BeatKey, list[Use]] = {}
        left: dict[BeatKey, list[Left]] = {}
        for use in needs.uses:
            uses.setdefault(use.at, []).append(use)
        for each in needs.left:
            left.setdefault(each.at, []).append(each)
        for run in (run for run in self.day.runs if not run.dry):
            for beat in self.day.beats_of(run):
                at, start_s = (run.id, beat.id), beat_second(self.day, run, beat.id)
                if at in self.told.used or start_s <= self.now * MINUTE_S:
                    yield Moment(at, start_s, uses.get(at, []), left.get(at, []))

    def _take(self, begun: Begun) -> None:
        """Let a batch take its copies: they were there, whatever else is known of them."""
        for copy in begun.batch.consumes:
            track = self._track(copy)
            track.takers.append(Taker(batch=begun.batch.id))
            track.is_gone = True

    def _air(self, moment: Moment) -> None:
        """Let one beat take its copies and leave what it leaves."""
        self.begun_beats.add(moment.at)
        lacks = False
        for use in moment.uses:
            taken = self._taken(use)
            self.uses[use.run, use.beat, use.stage[1]] = tuple(each.copy.id for each in taken)
            lacks = lacks or len(taken) < use.count
            self._hand_back(use, taken)
            self._bring_back(use, taken)
        for left in moment.left if not lacks else ():
            key = *moment.at, left.stage[1]
            listed = self.left_by.get(key, [])
            for copy in listed:
                self._leave(copy, left)
            if left.count > len(listed):
                self.left_more[key] = left.count - len(listed)

    def _bring_back(self, use: Use, taken: list[Track]) -> None:
        """Bring back what was sent to a beat and not taken."""
        for copy in self.told.sent.get(use.at, {}):
            track = self.tracks.get(copy)
            if track is not None and track not in taken and self._is_of(copy, use):
                back = self.told.back(copy, self.told.sent[use.at][copy])
                track.ready = use.back if back is None else back

    def _leave(self, copy: Copy, left: Left) -> None:
        back = self.told.back(copy.id, left.staged)
        ready = left.back if back is None else back
        track = Track(copy, left.staged, ready, left.end_s, left.run)
        track.returns[left.at] = ready
        self.tracks[copy.id] = track

    def _taken(self, use: Use) -> list[Track]:
        """Return the copies that a beat took for one need.

        Those that are told; then what has been sent, what was planned and what stood ready beside,
        as far as it was there.
        """
        told = [each for each in self.told.used.get(use.at, []) if self._is_of(each, use)]
        planned = self.planned.get((use.run, use.beat, use.stage[1]))
        others = [each for each in self.told.sent.get(use.at, {}) if self._is_of(each, use)]
        if planned is not None:
            others += [*planned.copies, *planned.backups]
        taken = [self._track(copy) for copy in dict.fromkeys(told)]
        for copy in dict.fromkeys(others):
            if len(taken) < use.count and copy not in told and self._is_there(copy, use):
                taken.append(self.tracks[copy])
        return taken[: use.count]

    def _is_of(self, copy: str, use: Use) -> bool:
        known = self.copies.get(copy)
        return known is not None and (known.demonstration, known.stage) == use.stage

    def _track(self, copy: str) -> Track:
        """Return the track of a copy that somebody has seen, whatever else is known of it."""
        if copy not in self.tracks:
            known = self.copies[copy]
            staged = self.clock.minute(known.staged_at)
            self.tracks[copy] = Track(known, staged, staged, staged * MINUTE_S)
        return self.tracks[copy]

    def _is_there(self, copy: str, use: Use) -> bool:
        """Tell whether a beat can have taken a copy."""
        track = self.tracks.get(copy)
        if track is None or track.is_gone or self.told.lost.get(copy, use.start + 1) <= use.start:
            return False
        if not use.hands_back and any(s > use.start_s for s in self.needed_later.get(copy, ())):
            return False
        if track.run == use.run:
            return track.free_s <= use.start_s
        return track.ready <= use.start

    def _hand_back(self, use: Use, taken: list[Track]) -> None:
        """Let the beat hand back what it can; what is needed later comes back first."""

        def stays(track: Track) -> tuple[bool, bool, bool]:
            copy = track.copy
            later = [each for each in copy.taken_by if each not in (*track.takers, _taker(use))]
            is_needed = any(s > use.start_s for s in self.needed_later.get(copy.id, ()))
            back = self.told.back(copy.id, use.start)
            return back is None, not is_needed, not later

        for number, track in enumerate(sorted(taken, key=stays)):
            back = self.told.back(track.copy.id, use.start)
            track.is_gone = number >= use.hands_back
            track.ready = use.back if back is None else back
            track.returns[use.at] = track.ready
            track.free_s, track.run = use.end_s, use.run
        for track in taken:
            track.takers.append(_taker(use))


def _taker(use: Use) -> Taker:
    return Taker(use=use.at)
