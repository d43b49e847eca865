"""What a command of the command line is given, and how it ends."""

import argparse
import math
from pathlib import Path
from typing import NoReturn

DONE, BREACHES, REFUSED, UNMET, FAILED = range(5)
MOST_PLAYS = 1_000_000
SIZES = {"a4": "A4", "a3": "A3", "letter": "letter", "tabloid": "tabloid"}
STATUS = """\
The command ends with 0: done; 1: the plan breaks rules, a line each; 2: the day, the plan or an
event is refused, or the plan is of another day; 3: some needs stay unmet, the best plan is written
all the same; 4: anything else, in one sentence.
"""


class Ended(Exception):
    """The end of a command, with its status and what to say about it."""

    def __init__(self, status: int, *lines: str) -> None:
        super().__init__(*lines)
        self.status, self.lines = status, lines


class Parser(argparse.ArgumentParser):
    """Says in one sentence what is wrong with a command."""

    def error(self, message: str) -> NoReturn:
        """End the command with the sentence."""
        said = message[:1].upper() + message[1:].rstrip(".")
        raise Ended(FAILED, f"{said}. See: {self.prog} --help")


def add_events(command: Parser) -> None:
    """Add what has happened since a plan was made, and the time now."""
    command.add_argument(
        "--events", type=Path, metavar="EVENTS", help="what has happened (JSON, a line an event)"
    )
    command.add_argument(
        "--now", metavar="T", help="a local time; if not given, that of the last event"
    )


def seconds(text: str) -> float:
    """Return the seconds that a text says; ValueError if it says none above zero."""
    said = float(text)
    if not (math.isfinite(said) and said > 0):
        raise ValueError(text)
    return said


def plays(text: str) -> int:
    """Return how many times a day is to be played."""
    return _whole(text, "plays", 1, MOST_PLAYS)


def seed(text: str) -> int:
    """Return the seed of the dice."""
    return _whole(text, "the seed", 0, 2**32 - 1)


def _whole(text: str, what: str, least: int, most: int) -> int:
    said = int(text) if text.isascii() and text.isdecimal() and len(text) < 20 else -1
    if not least <= said <= most:
        raise argparse.ArgumentTypeError(f"{what}: {text!r} is no number from {least} to {most}")
    return said


def size(text: str) -> str:
    """Return the size of paper that a text names, in capitals or not."""
    return SIZES[text.lower()] if text.lower() in SIZES else _no_size(text)


def _no_size(text: str) -> NoReturn:
    raise argparse.ArgumentTypeError(f"there is no size {text!r}: A4, A3, letter or tabloid")
