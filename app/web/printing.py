"""Papers being drawn: asked for once, watched with progress, kept until they are fetched."""

import logging
import re
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

from fastapi import Request

from app.planning.day import Day
from app.planning.plan import Plan
from app.web.jobs import NotDrawn, drawn_apart

PAPERS = {
    "board": ("Prep board", "A page a prep day, for the wall: who does what when."),
    "pulls": ("Pull list", "A page a stage: what goes in, from where, and where copies go."),
    "shelves": ("Shelf map", "A page a shelf unit, as it stands before each run."),
}
SIZES = {"a4": "A4", "a3": "A3", "letter": "Letter", "tabloid": "Tabloid"}
SENSIBLE = {"board": tuple(SIZES), "pulls": ("a4", "letter"), "shelves": ("a4", "letter")}
KEPT = 12
_LOG = logging.getLogger(__name__)
Draw = Callable[[str, Day, Plan, str, str], bytes]


@dataclass
class Print:
    """One paper of one plan in one size: being drawn, there, or failed."""

    paper: str
    size: str
    plan: int
    printed_at: str
    since: float = field(default_factory=time.monotonic)
    pdf: bytes | None = None
    failed: str | None = None
    done: threading.Event = field(default_factory=threading.Event)

    @property
    def seconds(self) -> float:
        """Return how long ago it was asked for."""
        return time.monotonic() - self.since


class Printing:
    """Holds the papers that somebody asked for; they are drawn one after the other."""

    def __init__(self, draw: Draw | None = None) -> None:
        self._draw: Draw = draw or drawn_apart
        self._kept: OrderedDict[tuple[object, ...], Print] = OrderedDict()
        self._turn = threading.Lock()

    def begin(self, production: int, paper: str, day: Day, plan: Plan, size: str) -> Print:
        """Have a paper drawn, unless the same was asked for in this very minute."""
        printed_at = datetime.now(ZoneInfo(day.timezone)).strftime("%Y-%m-%dT%H:%M")
        with self._turn:
            key = (production, paper, size, plan.number)
            kept = self._kept.get(key)
            if kept is not None and kept.failed is None and _is_of(kept, printed_at):
                return kept
            asked = self._kept[key] = Print(paper, size, plan.number, printed_at)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
        threading.Thread(target=self._work, args=(asked, day, plan), daemon=True).start()
        return asked

    def kept(
        self, production: int, paper: str, size: str, plan: int, printed_at: str
    ) -> Print | None:
        """Return the paper that was asked for in a minute, if it is still there."""
        found = self._kept.get((production, paper, size, plan))
        return found if found is not None and found.printed_at == printed_at else None

    def _work(self, asked: Print, day: Day, plan: Plan) -> None:
        try:
            asked.pdf = self._draw(asked.paper, day, plan, asked.printed_at, asked.size)
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


def file_name(title: str, paper: str, plan: int, size: str) -> str:
    """Return a plain file name: *harvest-hour-board-plan-3-a4.pdf*."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    return (
        "-".join(["-".join(words[:8])[:80], paper, "plan", str(plan), size.lower()]).strip("-")
        + ".pdf"
    )


def _is_of(kept: Print, printed_at: str) -> bool:
    return kept.printed_at == printed_at or not kept.done.is_set()
