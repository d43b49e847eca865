"""The state of a production at one minute: what has begun, which copies there are, where they are.

What nobody has told is taken to have gone as planned, as far as it can have: a beat whose time has
come took the copies that were there for it, and what it left is back when it should be.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from app.planning.begun import Begun, begun_batches, named
from app.planning.day import Day
from app.planning.day_now import day_now
from app.planning.events import Added, AnyEvent, Dropped, Placed
from app.planning.minutes import MINUTE_S
from app.planning.needs import BeatKey
from app.planning.plan import Copy, Plan, Taker
from app.planning.played import NeedKey, Played, Track
from app.planning.undoing import standing

State = Literal["coming", "kitchen", "set", "used", "lost"]
Spot = tuple[str, int, int]


@dataclass(frozen=True)
class Known:
    """One copy of the plan that exists, will exist as things are, or existed. Minutes in UTC.

    `ready` is when it is, or will be, at hand in the kitchen, if it is not `used` or `lost`;
    `takers` are those that have had it; `spot` is where it stands, as shelf unit, level, slot;
    `put` when and where somebody put it last, elsewhere than planned;
    `shown` says that it, or anything that it was made from, has been on camera; `returns` when it
    is back from each beat that had it. Within `run`, that of its last beat, it is handed over on
    set from the second `free_s` on.
    """

    copy: Copy
    state: State
    staged: int
    ready: int
    takers: tuple[Taker, ...]
    spot: Spot | None
    put: tuple[int, Spot] | None
    shown: bool
    run: str | None
    free_s: int
    returns: tuple[tuple[BeatKey, int], ...]


@dataclass(frozen=True)
class Happened:
    """A production at one minute.

    `aired` are the beats that have begun, `uses` their needs with the copies that they took;
    `left_more` counts their new copies that the plan does not list; `sent` are copies that have
    gone to the set for a beat to come; `named` are the copies that events speak of; `notices` are
    sentences about events that changed nothing.
    """

    day: Day
    now: int
    begun: dict[str, Begun]
    copies: dict[str, Known]
    aired: frozenset[BeatKey]
    uses: dict[NeedKey, tuple[str, ...]]
    left_more: dict[NeedKey, int]
    sent: dict[BeatKey, tuple[str, ...]]
    named: frozenset[str]
    notices: tuple[str, ...]


def happened(day: Day, plan: Plan, events: Iterable[AnyEvent], now: int) -> Happened:
    """Return the state of a production.

    Parameters
    ----------
    day, plan
        The plan that people work from, and its day.
    events
        What was told, in the order of the numbers; those that were taken back too.
    now
        The minute now, from 1970 in UTC.
    """
    told = standing(events)
    after = day_now(day, told)
    begun = begun_batches(after, plan, told, now)
    played = Played(after, plan, told, now, begun)
    reader = _Reader(played, told)
    return Happened(
        day=after,
        now=now,
        begun=played.begun,
        copies={copy: reader.known(track) for copy, track in played.tracks.items()},
        aired=frozenset(played.begun_beats),
        uses=played.uses,
        left_more=played.left_more,
        sent={at: copies for at in played.told.sent if (copies := reader.still_out(at))},
        named=frozenset(copy for event in told for copy in named(event)),
        notices=tuple(_notices(day, told)),
    )


class _Reader:
    """Reads the state of single copies out of what was played."""

    def __init__(self, played: Played, events: list[AnyEvent]) -> None:
        self.played, self.clock, self.now = played, played.clock, played.now
        self.batch_of = {
            copy: each.batch for each in played.begun.values() for copy in each.batch.copies
        }
        self.placed: dict[str, tuple[int, Spot]] = {}
        for event in events:
            if isinstance(event, Placed):
                spot = event.shelf, event.level, event.slot
                self.placed[event.copy_id] = self.clock.minute(event.at), spot
        self.shown: dict[str, bool] = {}

    def known(self, track: Track) -> Known:
        """Return one copy as it is now."""
        state = self._state(track)
        return Known(
            copy=track.copy,
            state=state,
            staged=track.staged,
            ready=track.ready,
            takers=tuple(track.takers),
            spot=self._spot(track) if state == "kitchen" else None,
            put=self.placed.get(track.copy.id),
            shown=self._is_shown(track.copy.id),
            run=track.run,
            free_s=track.free_s,
            returns=tuple(track.returns.items()),
        )

    def still_out(self, at: BeatKey) -> tuple[str, ...]:
        """Return the copies that have gone to a beat to come and are not back."""
        if at in self.played.begun_beats:
            return ()
        sent = self.played.told.sent[at].items()
        return tuple(copy for copy, minute in sent if self._is_out(copy, minute))

    def _is_out(self, copy: str, since: int) -> bool:
        track, told = self.played.tracks.get(copy), self.played.told
        if track is None or track.is_gone or copy in told.lost:
            return False
        return told.back(copy, since) is None

    def _state(self, track: Track) -> State:
        origin, begun = track.copy.made_by, self.played.begun
        if track.is_gone:
            return "used"
        if track.copy.id in self.played.told.lost:
            return "lost"
        making = begun.get(origin.batch) if origin.batch is not None else None
        if track.staged > self.now or (making is not None and not making.is_staged):
            return "coming"
        sent = (at for at, copies in self.played.told.sent.items() if track.copy.id in copies)
        if track.ready > self.now or any(track.copy.id in self.still_out(at) for at in sent):
            return "set"
        return "kitchen"

    def _spot(self, track: Track) -> Spot | None:
        """Return where a copy stands: where somebody put it since it came, else as planned."""
        placed = self.placed.get(track.copy.id)
        if placed is not None and placed[0] >= track.ready:
            return placed[1]
        here = None
        for place in track.copy.places:
            comes = self.clock.minute(place.from_)
            is_after_its_beat = track.run is None or comes * MINUTE_S >= track.free_s
            if is_after_its_beat and (here is None or comes <= self.now):
                here = place.shelf, place.level, place.slot
        return here

    def _is_shown(self, copy: str) -> bool:
        if copy not in self.shown:
            track = self.played.tracks.get(copy)
            inputs = self.batch_of[copy].consumes if copy in self.batch_of else ()
            self.shown[copy] = track is not None and (
                track.copy.made_by.use is not None
                or any(taker.use is not None for taker in track.takers)
                or any(self._is_shown(each) for each in inputs)
            )
        return self.shown[copy]


def _notices(day: Day, events: Iterable[AnyEvent]) -> Iterator[str]:
    known = {run.id for run in day.runs}
    for event in events:
        if isinstance(event, Added):
            known.add(event.run.id)
        elif isinstance(event, Dropped) and event.run not in known:
            yield f"There is no run “{event.run}” to drop."
