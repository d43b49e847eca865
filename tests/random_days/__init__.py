"""Tiny random days: valid, short enough to try everything, and together using every field.

`tiny_day(seed)` is a document; `days()` draws such days for hypothesis, which shrinks them.
"""

import itertools
import random
from collections.abc import Iterator

from hypothesis import strategies as st

from app.planning.day import Day
from app.planning.reading import read_day
from tests.random_days.dice import NEWEST_FROM, Document
from tests.random_days.dishes import Dishes


def tiny_day(seed: int) -> Document:
    """Return the tiny day of a seed, as a document."""
    return Tiny(random.Random(seed), seed).document()


def newest(count: int) -> range:
    """Return some seeds of days that may have all that a day can have."""
    return range(NEWEST_FROM, NEWEST_FROM + count)


def meeting(count: int) -> Iterator[int]:
    """Yield some such seeds of days on which two dishes, that share nothing, may want one oven."""
    baking = (seed for seed in itertools.count(NEWEST_FROM) if _bakes_both(tiny_day(seed)))
    return itertools.islice(baking, count)


def _bakes_both(day: Document) -> bool:
    shown = {run["demonstration"] for run in day["runs"] if not run.get("dry")}
    dishes = [str(each["stages"]) for each in day["demonstrations"] if each["id"] in shown]
    is_apart = "'demonstration':" not in "".join(dishes)
    return is_apart and sum("'oven'" in each for each in dishes) > 1


def days() -> st.SearchStrategy[Day]:
    """Return a strategy of tiny valid days."""
    rolls = st.randoms(use_true_random=False)
    return rolls.map(lambda roll: read_day(Tiny(roll).document()))


class Tiny(Dishes):
    """One day in the making."""

    def document(self) -> Document:
        """Return the whole day."""
        self.crew = self._crew()
        self.equipment = self._equipment()
        self.demonstrations = self._demonstrations()
        self.length = self._least_length() + self.roll.randint(0, 6)
        runs = self._runs()
        self._shifts()
        day: Document = {
            "format": "day/1", "title": "tiny", "timezone": self.clock.zone.key,
            "prep_from": self.at(0), "policy": self._policy(),
            "kitchen": {"equipment": self.equipment, "crew": self.crew, "shelves": self._shelves()},
            "stock": self._stock(), "demonstrations": self.demonstrations, "runs": runs,
        }  # fmt: skip
        return day

    def _policy(self) -> Document:
        policy: Document = {
            "ready_margin_min": self.roll.randint(0, 3),
            "return_min": self.roll.randint(0, 3),
            "confidence": self.roll.choice((0.8, 0.9, 0.95)),
        }
        if self.has["slack"]:
            policy["step_slack_min"] = self.roll.randint(1, 3)
        if self.has["reuse_off"]:
            policy["reuse"] = False
        if self.has["fresh"]:
            policy["prefer"] = "fresh"
        return policy

    def _runs(self) -> list[Document]:
        runs = []
        begin = self.length
        shown = [each for each in self.demonstrations if each.get("beats")]
        for i in range(self.roll.choice((1, 1, 1, 2, 2, 3))):
            demo = shown[i % len(shown)]
            run: Document = {
                "id": f"r{i}", "demonstration": demo["id"],
                "kind": self.roll.choice(("rehearsal", "take", "take", "stills")),
                "starts": self.at(begin),
            }  # fmt: skip
            if self.has["pickup"] and self.chance(0.5):
                chosen = [beat["id"] for beat in demo["beats"] if self.chance(0.6)]
                run.update(kind="pickup", beats=chosen, starts_at_first_beat=self.chance(0.6))
            if self.has["stations"] and self.chance(0.6):
                run["stations"] = 2
            if self.has["margins"] and self.chance(0.3):
                run["ready_margin_min"] = self.roll.randint(0, 4)
            if self.has["dry"] and self.chance(0.5):
                run["dry"] = True
            runs.append(run)
            begin += self.roll.choice((0, 2, 3, 5, 7, 10))
        return runs

    def _least_length(self) -> int:
        """Return about the minutes that one copy of everything takes, one after the other."""
        total = 0
        for demo in self.demonstrations:
            for stage in demo["stages"]:
                ways = [_length(way) for way in stage["ways"] if way["id"] != "never"]
                total += max(ways, default=0)
        return min(total, 14) + self.roll.randint(2, 5)

    def _stock(self) -> list[Document]:
        if not self.has["stock"]:
            return []
        demo = self.roll.choice(self.demonstrations)
        stage = self.roll.choice(demo["stages"])
        return [
            {
                "id": "left-over", "demonstration": demo["id"], "stage": stage["id"],
                "count": self.roll.choice((1, 1, 2)), "staged": self.at(self.roll.randint(-4, 6)),
            }
        ]  # fmt: skip


def _length(way: Document) -> int:
    return sum(
        phase["lasts_min"] + phase.get("per_copy_min", 0) + (1 if "per_copy_s" in phase else 0)
        for phase in way["phases"]
    )
