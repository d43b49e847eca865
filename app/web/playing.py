"""Days being played, outside the request: begun once for a plan, watched, kept as long as it holds.

Each is played in a process of its own, one after the other: it is a second of work, and the server
answers meanwhile.
"""

import logging
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection

from fastapi import Request

from app.planning.day import Day
from app.planning.events import AnyEvent
from app.planning.happened import happened
from app.planning.plan import Plan
from app.planning.risk.found import Risk
from app.web.apart import Apart

KEPT = 12
STALE_MIN = 5
LONGEST_S = 300.0
POLITENESS = 5
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True)
class Since:
    """All that was told of a plan by a minute, in UTC: what comes after is played."""

    events: tuple[AnyEvent, ...]
    now: int

    def still_tells(self, now: "Since") -> bool:
        """Tell whether nothing was told since, and not much time has passed."""
        return self.events == now.events and abs(now.now - self.now) <= STALE_MIN


Player = Callable[[Day, Plan, Since | None], Risk]


class NotPlayed(RuntimeError):
    """A day that could not be played; its text is the sentence to show."""


@dataclass
class Played:
    """The plays of one plan: under way, there, or failed.

    With `since`, what is to come of it; the day is then as nothing was told yet.
    """

    day: Day
    plan: Plan
    since: Since | None = None
    risk: Risk | None = None
    failed: str | None = None
    done: threading.Event = field(default_factory=threading.Event)

    def is_of(self, day: Day, plan: Plan, since: Since | None) -> bool:
        """Tell whether it is about this very plan of this very day, as things stand."""
        same = self.plan is plan and self.day is day
        return self._still_tells(since) and (same or (self.plan == plan and self.day == day))

    def _still_tells(self, since: Since | None) -> bool:
        if self.since is None or since is None:
            return self.since is since
        return self.since.still_tells(since)


class Playing:
    """Holds the plays of the plans that somebody looked at."""

    def __init__(self, player: Player | None = None) -> None:
        self.player: Player = player or played_apart
        self._kept: OrderedDict[int, Played] = OrderedDict()
        self._turn = threading.Lock()
        self._one_at_a_time = threading.Lock()

    def kept(
        self, production: int, day: Day, plan: Plan, since: Since | None = None
    ) -> Played | None:
        """Return the plays of a plan, if somebody has asked for them."""
        found = self._kept.get(production)
        return found if found is not None and found.is_of(day, plan, since) else None

    def begin(
        self,
        production: int,
        day: Day,
        plan: Plan,
        since: Since | None = None,
        *,
        again: bool = False,
    ) -> Played:
        """Have a plan played, unless that was asked for; what failed is tried `again`."""
        with self._turn:
            found = self.kept(production, day, plan, since)
            if found is not None and not (again and found.failed):
                return found
            asked = self._kept[production] = Played(day, plan, since)
            self._kept.move_to_end(production)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        threading.Thread(target=self._work, args=(asked,), daemon=True).start()
        return asked

    def _work(self, asked: Played) -> None:
        try:
            with self._one_at_a_time:
                asked.risk = self.player(asked.day, asked.plan, asked.since)
        except NotPlayed as sentence:
            asked.failed = str(sentence)
        except Exception as error:
            _LOG.exception("The playing failed.")
            asked.failed = f"The day could not be played: {error}."
        finally:
            asked.done.set()


def played_apart(day: Day, plan: Plan, since: Since | None = None) -> Risk:
    """Return how sure a plan is, played in a process of its own.

    Raises
    ------
    NotPlayed
        With the sentence to show, if it comes to nothing.
    """
    child = Apart(_play, day, plan, since)
    try:
        if not child.pipe.poll(LONGEST_S):
            raise NotPlayed("Playing this day took too long and was given up.")
        said = child.pipe.recv()
    except (EOFError, OSError) as error:
        how = child.ended()
        raise NotPlayed(f"The process that plays the day is gone: {how}.") from error
    finally:
        child.kill()
        child.ended()
    if isinstance(said, Risk):
        return said
    raise NotPlayed(str(said))


def playing_of(request: Request) -> Playing:
    """Return the playing of the app that answers."""
    state = request.app.state
    if not hasattr(state, "playing"):
        state.playing = Playing()
    found: Playing = state.playing
    return found


def _play(pipe: Connection, day: Day, plan: Plan, since: Since | None) -> None:
    import os

    # Only the child carries the arithmetic.
    from app.planning.risk.chances import risk_of

    os.nice(POLITENESS)
    try:
        state = None if since is None else happened(day, plan, since.events, since.now)
        pipe.send(risk_of(day if state is None else state.day, plan, state=state))
    except Exception as error:
        _LOG.exception("The playing failed.")
        pipe.send(f"The day could not be played, which is a fault of this program: {error!r}.")
