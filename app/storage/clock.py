"""When something was stored."""

from datetime import UTC, datetime


def now() -> str:
    """Return the moment in UTC, to the second: `2027-03-04T11:49:07Z`."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
