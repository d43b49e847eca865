"""Shelf map: a page a shelf unit, drawn from the front, before each run."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.paper import face
from app.paper.letters import Badge, badges, stage_codes
from app.paper.paper import Paper
from app.planning.day import Day, Run, Shelf
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.standing import Stay, standing_at, stays

MOST_ACROSS = 8
NARROW = 1
ROOMY = 4
LONGEST_NAME = 60
LONGEST_STAGE = 24
LONGEST_BOUND = 70


@dataclass(frozen=True)
class Standing:
    """Copies in a slot, in words; `goes` where they leave at this very moment."""

    badge: Badge
    code: str
    label: str
    copies: int
    stage: str
    bound_for: str
    is_raw: bool
    goes: bool


@dataclass(frozen=True)
class Slot:
    """One slot, or several side by side that one copy fills."""

    number: int
    wide: int
    held: tuple[Standing, ...] = ()


@dataclass(frozen=True)
class Level:
    """One shelf of a unit; a long one is drawn in several lines."""

    number: int
    lines: tuple[tuple[Slot, ...], ...]


@dataclass(frozen=True)
class Moment:
    """A unit as it stands before some runs."""

    date: str
    hours: tuple[str, ...]
    runs: tuple[str, ...]
    levels: tuple[Level, ...]
    is_empty: bool


@dataclass(frozen=True)
class Unit:
    """A shelf unit with the moments at which it is drawn."""

    name: str
    zone: str
    across: int
    is_narrow: bool
    is_roomy: bool
    has_raw: bool
    moments: tuple[Moment, ...]


def units(day: Day, plan: Plan) -> list[Unit]:
    """Return every shelf unit as it stands at each run's start less its margin."""
    reader = _Reader(day, plan)
    return [reader.unit(shelf) for shelf in day.kitchen.shelves]


class _Reader:
    """Reads the shelf map out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.stays = stays(day, plan)
        self.badges = badges(day, plan)
        self.codes = {each.id: stage_codes(each) for each in day.demonstrations}

    def unit(self, shelf: Shelf) -> Unit:
        across = min(MOST_ACROSS, max(shelf.levels, default=1))
        mine = [stay for stay in self.stays if stay.shelf == shelf.id]
        moments = tuple(_told_once(self._moments(shelf, mine, across)))
        name = face.clipped(shelf.called, LONGEST_NAME)
        narrow, roomy = across <= NARROW, NARROW < across <= ROOMY
        raw = any(self._is_raw(stay) for stay in mine)
        return Unit(name, shelf.zone, across, narrow, roomy, raw, moments)

    def _moments(self, shelf: Shelf, mine: list[Stay], across: int) -> Iterator[Moment]:
        """Yield the unit at each moment at which a run wants its first copies."""
        before: dict[int, list[Run]] = {}
        for run in self.day.runs:
            if not run.dry:
                before.setdefault(self._wanted(run), []).append(run)
        for minute, runs in sorted(before.items()):
            there = [*standing_at(mine, minute), *(stay for stay in mine if stay.ends == minute)]
            text = self.clock.text(minute)
            yield Moment(
                date=face.date(text),
                hours=(face.hour(text),),
                runs=tuple(
                    f"{face.clipped(run.called, LONGEST_NAME)} at {face.hour(run.starts, text)}"
                    for run in runs
                ),
                levels=tuple(self._levels(shelf, there, minute, across)),
                is_empty=not there,
            )

    def _wanted(self, run: Run) -> int:
        margin_min = run.ready_margin_min
        if margin_min is None:
            margin_min = self.day.policy.ready_margin_min
        return self.clock.minute(run.starts) - margin_min

    def _levels(self, shelf: Shelf, there: list[Stay], minute: int, across: int) -> Iterator[Level]:
        for number, slots in enumerate(shelf.levels, start=1):
            here = [stay for stay in there if stay.level == number]
            drawn = list(self._slots(here, slots, minute))
            yield Level(number, tuple(_in_lines(drawn, across)))

    def _slots(self, here: list[Stay], slots: int, minute: int) -> Iterator[Slot]:
        slot = 1
        while slot <= slots:
            inside = [stay for stay in here if stay.slot == slot]
            wide = max((stay.wide for stay in inside), default=1)
            yield Slot(slot, wide, tuple(self._standing(stay, minute) for stay in inside))
            slot += wide

    def _is_raw(self, stay: Stay) -> bool:
        return self.day.stage(stay.demonstration, stay.stage).raw_animal

    def _standing(self, stay: Stay, minute: int) -> Standing:
        return Standing(
            badge=self.badges[stay.demonstration],
            code=self.codes[stay.demonstration][stay.stage],
            label=stay.label,
            copies=len(stay.copies),
            stage=face.clipped(stay.stage_name, LONGEST_STAGE),
            bound_for=face.clipped(stay.bound_for, LONGEST_BOUND),
            is_raw=self._is_raw(stay),
            goes=stay.ends == minute,
        )


def _in_lines(slots: list[Slot], across: int) -> Iterator[tuple[Slot, ...]]:
    """Yield the slots of a level in lines of at most `across`."""
    line: list[Slot] = []
    for slot in slots:
        wide = min(slot.wide, across)
        if line and sum(each.wide for each in line) + wide > across:
            yield tuple(line)
            line = []
        line.append(replace(slot, wide=wide))
    yield tuple(line)


def _told_once(moments: Iterator[Moment]) -> Iterator[Moment]:
    """Yield moments, those before which nothing changed told together with the first."""
    kept: Moment | None = None
    for moment in moments:
        if kept is not None and (kept.date, kept.levels) == (moment.date, moment.levels):
            hours, runs = kept.hours + moment.hours, kept.runs + moment.runs
            kept = replace(kept, hours=hours, runs=runs)
            continue
        if kept is not None:
            yield kept
        kept = moment
    if kept is not None:
        yield kept


PAPER = Paper("shelves.html", "Shelf map", lambda day, plan, _: {"units": units(day, plan)})
draw = PAPER.draw
