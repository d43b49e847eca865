"""The swap chart in words: for readers that see no picture, and for the hints on it."""

from collections import Counter

from app.planning.day import Day, Demonstration
from app.planning.minutes import MINUTE_S, Clock
from app.planning.plan import Batch, Plan
from app.planning.tasks import tags_in_words
from app.web import words
from app.web.charts.fates import Airing, Leg, Line


class Teller:
    """Tells legs and lines of one demonstration; in a rough plan no batch has a time."""

    def __init__(self, day: Day, plan: Plan, shown: Demonstration, is_rough: bool = False) -> None:
        self.day, self.shown, self.clock = day, shown, Clock(day.timezone)
        self.is_rough = is_rough
        self.made = {
            batch.id: f"{day.demonstration(batch.demonstration).title}, "
            f"{day.stage(batch.demonstration, batch.stage).called}"
            if batch.demonstration != shown.id
            else day.stage(batch.demonstration, batch.stage).called
            for batch in plan.batches
        }

        self.of = {copy.id: (copy.demonstration, copy.stage) for copy in plan.copies}
        self.joined = {batch.id: self._from_elsewhere(batch) for batch in plan.batches}

    def _from_elsewhere(self, batch: Batch) -> str:
        """Return what goes into a batch from other demonstrations: *2 broth of House broth*."""
        if batch.demonstration != self.shown.id or not batch.consumes:
            return ""
        taken = Counter(self.of[each] for each in batch.consumes)
        return words.listed(
            [
                f"{count} {self.day.stage(*key).called} of {self.day.demonstration(key[0]).title}"
                for key, count in taken.items()
                if key[0] != self.shown.id
            ]
        )

    def line(self, line: Line) -> str:
        """Return the fate of a line's copies: *KN-4: scaled, ready 11:49, …*."""
        return f"{tags_in_words(line.tags)}: {'; '.join(self.leg(leg) for leg in line.legs)}."

    def leg(self, leg: Leg) -> str:
        """Return one stage of a copy: when it is ready and what it is for."""
        told = [self.shown.stage(leg.stage).called, self._since(leg)]
        if self.joined.get(leg.made_by):
            told.append(f"its batch with {self.joined[leg.made_by]}")
        if leg.on_set:
            told.append("on camera in " + words.listed([self._beat(each) for each in leg.on_set]))
        if leg.backs:
            told.append("backup for " + words.listed([self._beat(each) for each in leg.backs]))
        if leg.taken_by:
            at = "" if self.is_rough else f" at {self._hour(leg.ends_s)}"
            told.append(f"goes into {self.made[leg.taken_by]}{at}")
        if leg.role == "spare":
            told.append("extra for losses")
        return ", ".join(told)

    def _since(self, leg: Leg) -> str:
        hour = self._hour(leg.begins_s)
        if leg.worked_from_s is None and leg.touched:
            return f"left on set {hour}"
        if leg.worked_from_s is None:
            return f"in stock since {hour}"
        return "made" if self.is_rough else f"ready {hour}"

    def _beat(self, each: Airing) -> str:
        beat = self.shown.beat(each.beat).called
        return f"{self.day.run(each.run).called}, {beat} at {self._hour(each.starts_s)}"

    def _hour(self, second: int) -> str:
        return self.clock.hour(second // MINUTE_S)
