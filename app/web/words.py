"""How times, lengths and numbers read on a screen."""

from collections.abc import Callable
from typing import Any

from app.planning.dates import lasting, short_date
from app.planning.phrases import listed as listed


def hour(text: str) -> str:
    """Return `hh:mm` of a local time; the offset stays where the time is double."""
    return text[11:16] + (f" ({text[16:]})" if len(text) > 16 else "")


def date(text: str) -> str:
    """Return the date of a local time as people say it: *Thu 4 March*."""
    return short_date(text)


def when(text: str) -> str:
    """Return date and hour of a local time: *Thu 4 March, 14:00*."""
    return f"{date(text)}, {hour(text)}"


def seconds(value: float) -> str:
    """Return seconds in words: *0.4 s*, *12 s*, *1 min 20 s*, *4 min*."""
    if value < 10 and isinstance(value, float):
        return f"{value:.1f} s"
    minutes, rest = divmod(int(value), 60)
    said = [f"{minutes} min"] if minutes else []
    return " ".join([*said, f"{rest} s"] if rest or not minutes else said)


def run_second(value: int) -> str:
    """Return a second of a run as a stop watch shows it: *0:30*, *12:05*."""
    return f"{value // 60}:{value % 60:02d}"


def number(value: float) -> str:
    """Return a number without needless zeros: 1.0 is *1*, 2.50 is *2.5*."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def many(count: int, one: str, more: str | None = None) -> str:
    """Return a count with its noun: *1 copy*, *3 copies*."""
    return f"{count} {one if count == 1 else more or one + 's'}"


FILTERS: dict[str, Callable[..., Any]] = {
    each.__name__: each
    for each in (hour, date, when, lasting, seconds, run_second, number, many, listed)
}
