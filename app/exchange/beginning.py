"""A demonstration begun from somebody's words: what was understood, what is open, what was not."""

from dataclasses import dataclass

from app.planning.day import Demonstration


@dataclass(frozen=True)
class Beginning:
    """A demonstration to be completed.

    `missing` says what was put in because nobody told it; `unread` what could not be read, in the
    words that it had.
    """

    demonstration: Demonstration
    missing: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
