"""Papers being drawn: asked for once, watched with progress, kept until they are fetched."""

import logging
import re
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Protocol
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from fastapi import Request

from app.paper.drawn import Drawn
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.prints import remember_print
from app.storage.engine import writing
from app.web.jobs import NotDrawn, drawn_apart

PAPERS = {
    "board": ("Prep board", "A page a prep day, for the wall: who does what when."),
    "pulls": ("Pull list", "A page a stage: what goes in, from where, and where copies go."),
    "runsheet": ("Run sheet", "A row a beat as it airs: what goes to set, what comes back."),
    "shelves": ("Shelf map", "A page a shelf unit, as it stands before each run."),
    "breakdown": ("Breakdown", "A page or two a demonstration: stages, ways, swaps, counts."),
    "allergens": ("Allergen sheet", "Stages against the allergens of a law, and people."),
    "shopping": ("Shopping list", "What to buy by place and day; tools and tins to have or hire."),
    "labels": ("Labels", "One a copy and stage, with a code that opens it on a phone."),
}
SIZES = {"a4": "A4", "a3": "A3", "letter": "Letter", "tabloid": "Tabloid"}
SHEETS = ("a4", "letter")
LARGE = {paper: tuple(SIZES) for paper in ("board", "shelves")}
KEPT = 12
_LOG = logging.getLogger(__name__)
Remember = Callable[[int, "Print"], None]


class Draw(Protocol):
    """What draws a paper; `more` is what only some papers take."""

    def __call__(
        self, paper: str, day: Day, plan: Plan, printed_at: str, size: str, **more: object
    ) -> Drawn:
        """Return the paper."""


@dataclass(frozen=True)
class Wish:
    """What somebody wants printed; with `since`, only what changed since that plan's print.

    `sheet`, `start` and `address` are for labels: their sheet, the first label of it that is
    still there, and where their codes lead. `beside` names further productions to buy for, with
    commas; `house` is the last change of what the house buys and holds, so that no paper from
    before it is taken for one from after.
    """

    paper: str
    size: str = "a4"
    since: int = 0
    sheet: str = ""
    start: int = 1
    address: str = ""
    beside: str = ""
    house: int = 0

    @property
    def query(self) -> str:
        """Return the wish as it stands in an address."""
        plain = Wish(self.paper)
        said = {
            name: value
            for name, value in asdict(self).items()
            if name == "size" or value != getattr(plain, name)
        }
        return urlencode(said)


@dataclass
class Print:
    """One paper of one plan: being drawn, there, or failed."""

    wish: Wish
    plan: int
    printed_at: str
    by: str
    began: float = field(default_factory=time.monotonic)
    drawn: Drawn | None = None
    failed: str | None = None
    done: threading.Event = field(default_factory=threading.Event)

    @property
    def seconds(self) -> float:
        """Return how long ago it was asked for."""
        return time.monotonic() - self.began


class Printing:
    """Holds the papers that somebody asked for; they are drawn one after the other."""

    def __init__(self, draw: Draw | None = None, remember: Remember | None = None) -> None:
        self._draw: Draw = draw or drawn_apart
        self._remember: Remember = remember or _remember
        self._kept: OrderedDict[tuple[object, ...], Print] = OrderedDict()
        self._turn = threading.Lock()

    def begin(
        self,
        production: int,
        wish: Wish,
        day: Day,
        plan: Plan,
        *,
        by: str,
        more: Mapping[str, object],
    ) -> Print:
        """Have a paper drawn, unless the same was asked for in this very minute."""
        printed_at = datetime.now(ZoneInfo(day.timezone)).strftime("%Y-%m-%dT%H:%M")
        with self._turn:
            key = (production, wish, plan.number)
            kept = self._kept.get(key)
            if kept is not None and kept.failed is None and _is_of(kept, printed_at):
                return kept
            asked = self._kept[key] = Print(wish, plan.number, printed_at, by)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        given = (production, asked, day, plan, more)
        threading.Thread(target=self._work, args=given, daemon=True).start()
        return asked

    def kept(self, production: int, wish: Wish, plan: int, printed_at: str) -> Print | None:
        """Return the paper that was asked for in a minute, if it is still there."""
        found = self._kept.get((production, wish, plan))
        return found if found is not None and found.printed_at == printed_at else None

    def _work(
        self, production: int, asked: Print, day: Day, plan: Plan, more: Mapping[str, object]
    ) -> None:
        wish = asked.wish
        try:
            asked.drawn = self._draw(wish.paper, day, plan, asked.printed_at, wish.size, **more)
            self._remember(production, asked)
        except NotDrawn as sentence:
            asked.failed = str(sentence)
        except Exception as error:
            _LOG.exception("The drawing failed.")
            asked.failed = f"The paper could not be drawn: {error}."
        finally:
            asked.done.set()


def printing_of(request: Request) -> Printing:
    """Return the printing of the app that answers."""
    state = request.app.state
    if not hasattr(state, "printing"):
        state.printing = Printing()
    found: Printing = state.printing
    return found


def sizes_of(paper: str) -> tuple[str, ...]:
    """Return the sizes that a paper makes sense in."""
    return LARGE.get(paper, SHEETS)


def file_name(title: str, paper: str, plan: int, size: str) -> str:
    """Return a plain file name: *harvest-hour-board-plan-3-a4.pdf*."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    return (
        "-".join(["-".join(words[:8])[:80], paper, "plan", str(plan), size.lower()]).strip("-")
        + ".pdf"
    )


def _remember(production: int, asked: Print) -> None:
    """Keep in the store that a paper was printed."""
    wish, drawn = asked.wish, asked.drawn
    if drawn is None:
        return
    with writing() as conn:
        remember_print(
            conn,
            production,
            wish.paper,
            wish.sheet or wish.size,
            asked.plan,
            drawn.marks,
            sheets=drawn.sheets,
            since=wish.since or None,
            by=asked.by,
        )


def _is_of(kept: Print, printed_at: str) -> bool:
    return kept.printed_at == printed_at or not kept.done.is_set()
