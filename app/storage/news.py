"""Tells who listens what was just stored, a moment after it is safe on the disk.

A live stream listens with a call that only hands the news over, for example
`listen(lambda news: loop.call_soon_threadsafe(queue.put_nowait, news))`.
"""

import logging
from collections.abc import Callable
from typing import Literal, NamedTuple

from app.storage.ticks import AnyTick

log = logging.getLogger(__name__)
HOUSE = 0


class News(NamedTuple):
    """What was stored: ticks (with their numbers), a published plan, a change of the day, or of the
    kitchen that it shares with the production whose change it is; a draft that comes or goes.

    A change of the house, which belongs to no production, has the production `HOUSE`.
    """

    production: int
    kind: Literal["ticks", "plan", "day", "kitchen", "draft", "house"]
    n: int
    ticks: tuple[AnyTick, ...] = ()


Listener = Callable[[News], None]
_listeners: dict[object, Listener] = {}


def listen(listener: Listener) -> Callable[[], None]:
    """Have `listener` called with all news, by the thread that stored them; return how to stop.

    It must not wait, write or raise.
    """
    key = object()
    _listeners[key] = listener

    def stop() -> None:
        _listeners.pop(key, None)

    return stop


def tell(news: News) -> None:
    """Tell every listener; one that fails is logged and does not keep the others from hearing."""
    for listener in list(_listeners.values()):
        try:
            listener(news)
        except Exception:
            log.exception("a listener failed over %s of production %s", news.kind, news.production)
