"""When a phase finds hands and items free beside what is taken of the kitchen.

Each phase is looked at by itself, with its least length: no start that is possible is missing.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise

from app.planning.day import Day, Equipment, Phase, PhaseEquipment
from app.planning.holds import Hold, Occupied
from app.planning.hours import ALWAYS, EVER, Spans, Team, at_least, joined, meet
from app.planning.minutes import Clock

Run = tuple[int, int, int]


class Gaps:
    """The gaps that are left of a kitchen.

    Parameters
    ----------
    day, teams
        A day, and its crew in teams.
    occupied
        What is taken of its kitchen.
    """

    def __init__(self, day: Day, teams: tuple[Team, ...], occupied: Occupied) -> None:
        self.day, self.teams, self.occupied = day, teams, occupied
        self.clock = Clock(day.timezone)
        self.cooks = {team.name: list(_free_cooks(team, occupied)) for team in teams}
        self.holds: dict[str, list[Hold]] = {item.id: [] for item in day.kitchen.equipment}
        for hold in occupied.holds:
            self.holds[hold.item].append(hold)
        self.of_teams: dict[tuple[str, int, int], Spans] = {}
        self.in_items: dict[tuple[str, int | None, int, int], Spans] = {}

    def starts(self, phase: Phase, lasts_min: int) -> Spans:
        """Return when a phase of so many minutes can start."""
        if lasts_min == 0:
            return ALWAYS
        found = self._with_hands(phase, lasts_min) if phase.hands else ALWAYS
        for entry in phase.equipment:
            found = meet(found, self._in_items(entry, lasts_min))
        return found

    def _with_hands(self, phase: Phase, lasts_min: int) -> Spans:
        able: list[tuple[int, int]] = []
        skilled: list[tuple[int, int]] = []
        for team in self.teams:
            for cooks in range(1, min(len(team.cooks), phase.hands) + 1):
                spans = self._of_team(team, cooks, lasts_min)
                able += spans
                if cooks == 1 and phase.skill in team.skills:
                    skilled += spans
        found = at_least(able, phase.hands) if phase.hands > 1 else joined(able)
        return found if phase.skill is None else meet(found, joined(skilled))

    def _of_team(self, team: Team, cooks: int, lasts_min: int) -> Spans:
        key = team.name, cooks, lasts_min
        if key not in self.of_teams:
            self.of_teams[key] = _long_enough(self.cooks[team.name], cooks, lasts_min)
        return self.of_teams[key]

    def _in_items(self, entry: PhaseEquipment, lasts_min: int) -> Spans:
        units = entry.units(1)
        return joined(
            span
            for item in self.day.kitchen.equipment
            if item.kind == entry.kind and item.units >= units
            for span in self._in_item(item, entry.setting, units, lasts_min)
        )

    def _in_item(self, item: Equipment, setting: int | None, units: int, lasts_min: int) -> Spans:
        key = item.id, setting, units, lasts_min
        if key not in self.in_items:
            free = _runs(item.units, self._taken(item, setting))
            self.in_items[key] = _long_enough(free, units, lasts_min)
        return self.in_items[key]

    def _taken(self, item: Equipment, setting: int | None) -> Iterator[Run]:
        """Yield when units of an item are closed, or held, or kept by heat at another setting."""
        for start, end in item.closed:
            yield self.clock.minute(start), self.clock.minute(end), item.units
        change_min = item.settings.change_min if item.settings else 0
        for hold in self.holds[item.id]:
            differs = item.settings is not None and hold.setting != setting
            gap_min = change_min if differs else 0
            units = item.units if differs or hold.falls else hold.units
            yield hold.starts - gap_min, hold.ends + gap_min, units


def _free_cooks(team: Team, occupied: Occupied) -> Iterator[Run]:
    """Yield how many of a team are free, shift by shift."""
    busy = occupied.busy.get(team.name, ())
    for start, end in team.shifts:
        inside = [each for each in busy if each[0] < end and start < each[1]]
        yield from _runs(len(team.cooks), inside, start, end)


def _runs(most: int, taken: Iterable[Run], since: int = -EVER, until: int = EVER) -> Iterator[Run]:
    """Yield from when to when how much of something is left."""
    steps = Counter({since: 0, until: 0})
    for start, end, amount in taken:
        steps[max(start, since)] -= amount
        steps[min(end, until)] += amount
    left = most
    for start, end in pairwise(sorted(steps)):
        left += steps[start]
        yield start, end, left


def _long_enough(runs: Iterable[Run], amount: int, lasts_min: int) -> Spans:
    """Return when something can start that takes so much of it for so long."""
    free = joined((start, end) for start, end, left in runs if left >= amount)
    return tuple((start, end - lasts_min) for start, end in free if end - start >= lasts_min)
