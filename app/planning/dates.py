"""Dates as people say them, on every screen, in the history and on paper."""

from datetime import datetime

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)


def short_date(text: str) -> str:
    """Return the date of a local text, short: *Thu 4 March*."""
    when = datetime.strptime(text[:10], "%Y-%m-%d")
    return f"{DAYS[when.weekday()][:3]} {when.day} {MONTHS[when.month - 1]}"
