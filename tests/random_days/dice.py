"""The dice that a tiny random day is rolled with, and what the day is to have."""

import random
from typing import Any

from app.planning.minutes import Clock

Document = dict[str, Any]

# an ordinary morning, and two over which the clocks change
BEGINNINGS = (
    ("Europe/Lisbon", "2027-03-04T09:00"),
    ("Europe/Lisbon", "2027-03-28T00:50"),
    ("Europe/Lisbon", "2027-10-31T00:50"),
)
FLAGS = {
    "carry": 0.45, "back": 0.35, "stock": 0.25, "backups": 0.4, "loss": 0.25, "yields": 0.3,
    "inputs": 0.3, "shared": 0.2, "ways": 0.35, "own_from": 0.3, "oven": 0.4, "settings": 0.6,
    "falling": 0.3, "closed": 0.2, "slack": 0.3, "skills": 0.3, "shelves": 0.35, "slots": 0.4,
    "raw": 0.4, "untouched": 0.25, "tasting": 0.2, "stations": 0.2, "pickup": 0.25, "dry": 0.1,
    "reuse_off": 0.2, "fresh": 0.2, "clocks": 0.12, "margins": 0.3, "per_copy": 0.4, "costs": 0.3,
    "two_shifts": 0.2, "zone_phase": 0.3,
}  # fmt: skip
# What days may have too from a seed on. Days of earlier seeds stay as they are, since tests name
# some that once went wrong: what is new comes last, from a seed beyond all that any test names.
LATER = {20_000: {"own_inputs": 0.6, "units_of_both": 0.6}}
NEWEST_FROM = max(LATER)


class Dice:
    """Every choice of a day comes from one random source."""

    def __init__(self, roll: random.Random, seed: int = NEWEST_FROM) -> None:
        self.roll = roll
        self.has = {name: roll.random() < chance for name, chance in FLAGS.items()}
        for first, later in LATER.items():
            may = seed >= first
            self.has |= {name: may and roll.random() < chance for name, chance in later.items()}
        zone, begins = BEGINNINGS[roll.choice((1, 2)) if self.has["clocks"] else 0]
        self.clock = Clock(zone)
        self.prep = self.clock.minute(begins)
        self.zones = ["ambient", "chill"] if self.has["shelves"] else ["ambient"]

    def chance(self, of: float) -> bool:
        """Return true as often as `of` says."""
        return self.roll.random() < of

    def at(self, minute: int) -> str:
        """Return the local text of a minute after `prep_from`."""
        return self.clock.text(self.prep + minute)
