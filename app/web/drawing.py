"""Papers drawn outside the server's process: one drawer, a short queue, results kept by content."""

import hashlib
import importlib
import json
import logging
import threading
from collections import OrderedDict
from multiprocessing.connection import Connection

from app.paper.drawn import Drawn
from app.planning.day import Day
from app.planning.plan import Plan
from app.web.apart import Apart

QUEUE = 8
KEPT = 24
LONGEST_S = 600.0
_LOG = logging.getLogger(__name__)


class NotDrawn(RuntimeError):
    """A paper that could not be drawn; its text is the sentence to show."""


class Drawer:
    """The drawing process. It starts with the first paper and again after it died."""

    def __init__(self, longest_s: float = LONGEST_S) -> None:
        self._longest_s = longest_s
        self._child: Apart | None = None
        self._turn = threading.Lock()
        self._waiting = threading.Semaphore(QUEUE)
        self._kept: OrderedDict[str, Drawn] = OrderedDict()

    def draw(
        self, paper: str, day: Day, plan: Plan, printed_at: str, size: str, **more: object
    ) -> Drawn:
        """Return a paper as it was drawn; `more` is what only some papers take.

        Raises
        ------
        NotDrawn
            If too many wait already, the drawing takes too long, or the drawer fails.
        """
        key = _content(paper, day, plan, printed_at, size, more)
        if not self._waiting.acquire(blocking=False):
            raise NotDrawn("Many papers are being drawn just now. Please ask again in a minute.")
        try:
            with self._turn:
                if key not in self._kept:
                    self._keep(key, self._ask(paper, (day, plan, printed_at, size), more))
                self._kept.move_to_end(key)
                return self._kept[key]
        finally:
            self._waiting.release()

    def _keep(self, key: str, drawn: Drawn) -> None:
        self._kept[key] = drawn
        while len(self._kept) > KEPT:
            self._kept.popitem(last=False)

    def _ask(self, *given: object) -> Drawn:
        if self._child is None or not self._child.is_alive:
            self._child = Apart(_draw_on)
        child = self._child
        try:
            child.pipe.send(given)
            if not child.pipe.poll(self._longest_s):
                self.close()
                raise NotDrawn("Drawing this paper took too long and was given up.")
            said = child.pipe.recv()
        except (EOFError, OSError) as error:
            self._child = None
            raise NotDrawn(
                f"The drawing process is gone: {child.ended()}. Please ask again."
            ) from error
        if isinstance(said, Drawn):
            return said
        raise NotDrawn(str(said))

    def close(self) -> None:
        """End the drawing process at once."""
        if self._child is not None:
            self._child.kill()
            self._child = None


_DRAWER = Drawer()


def drawn_apart(
    paper: str, day: Day, plan: Plan, printed_at: str, size: str = "A4", **more: object
) -> Drawn:
    """Return a paper that was drawn in the one drawing process of this server.

    Raises
    ------
    NotDrawn
        With the sentence to show, if there is no PDF.
    """
    return _DRAWER.draw(paper, day, plan, printed_at, size, **more)


def _content(
    paper: str, day: Day, plan: Plan, printed_at: str, size: str, more: dict[str, object]
) -> str:
    told = [paper, size, printed_at, repr(sorted(more.items()))]
    whole = [*told, day.model_dump(mode="json"), plan.document()]
    return hashlib.sha256(json.dumps(whole, sort_keys=True).encode()).hexdigest()


def _draw_on(pipe: Connection) -> None:
    while True:
        pipe.send(_drawn(*pipe.recv()))


def _drawn(paper: str, given: tuple[object, ...], more: dict[str, object]) -> Drawn | str:
    # Only the drawing process carries the PDF maker.
    from app.paper.pdf import NoPaper, UnknownSize

    try:
        drawn: Drawn = importlib.import_module(f"app.paper.{paper}").PAPER.drawn(*given, **more)
    except (NoPaper, UnknownSize) as sentence:
        return str(sentence)
    except Exception as error:
        _LOG.exception("The drawing failed.")
        return f"The paper could not be drawn, which is a fault of this program: {error}."
    return drawn
