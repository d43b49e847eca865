"""Dates and lengths of time as people say them, on every screen, in the history and on paper."""

from datetime import datetime

HOUR_MIN = 60
DAY_MIN = 24 * HOUR_MIN
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def short_date(text: str) -> str:
    """Return the date of a local text, short: *Thu 4 March*."""
    when = datetime.strptime(text[:10], "%Y-%m-%d")
    return f"{DAYS[when.weekday()][:3]} {when.day} {MONTHS[when.month - 1]}"


def lasting(minutes: int) -> str:
    """Return a length of time in words: *45 min*, *2 h*, *1 h 20*, *2 days 3 h*."""
    days, rest = divmod(minutes, DAY_MIN)
    hours, left = divmod(rest, HOUR_MIN)
    said = [f"{days} {'day' if days == 1 else 'days'}"] if days else []
    if hours:
        said.append(f"{hours} h")
    if left or not said:
        said.append(f"{left} min" if not hours else f"{left:02d}")
    return " ".join(said)


def working(minutes: int) -> str:
    """Return how long people work in words, in hours however many: *45 min*, *40 h 51*.

    A day of work is no day and night.
    """
    hours, left = divmod(minutes, HOUR_MIN)
    if not hours:
        return f"{left} min"
    return f"{hours} h {left:02d}" if left else f"{hours} h"
