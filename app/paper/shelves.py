"""Shelf map: a page a shelf unit, drawn from the front, before each run."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.paper import face, pdf
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
MOST_HOURS = 3
# As `print.css` has it: the edges and the head of a page, and about how high a moment's words, a
# free level, and one with copies stand, and each of these.
EDGES_MM, HEADS_MM = 20.0, 60.0
MOMENT_MM, FREE_MM, LEVEL_MM, HELD_MM = 11.0, 5.5, 2.0, 12.0
# In a small drawing: the edges and the number of a level, and a slot.
SMALL_MM, SLOT_MM = 10.0, 16.5


@dataclass(frozen=True)
class Standing:
    """Copies in a slot until an hour, in words; `goes` where they leave at this very moment."""

    badge: Badge
    code: str
    label: str
    copies: int
    stage: str
    bound_for: str
    until: str
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

    @property
    def at(self) -> str:
        """Return its hours in words, of many only the first and the last."""
        few = len(self.hours) <= MOST_HOURS
        return face.listed(self.hours) if few else f"{self.hours[0]} to {self.hours[-1]}"

    @property
    def before(self) -> str:
        """Return the runs that it stands before, of many only the first and the last."""
        if len(self.runs) <= MOST_HOURS:
            return face.listed(self.runs)
        return f"each run from {self.runs[0]} to {self.runs[-1]}"

    @property
    def going(self) -> tuple[str, ...]:
        """Return what goes at this moment, and what for."""
        slots = (slot for level in self.levels for line in level.lines for slot in line)
        held = (each for slot in slots for each in slot.held)
        return tuple(f"{each.label} {each.bound_for}" for each in held if each.goes)


@dataclass(frozen=True)
class Unit:
    """A shelf unit with the moments at which it is drawn.

    Where they would not fit on a page, drawings are small, so many `beside` each other.
    """

    name: str
    zone: str
    across: int
    is_narrow: bool
    is_roomy: bool
    has_raw: bool
    moments: tuple[Moment, ...]
    beside: int = 0

    @property
    def is_one_day(self) -> bool:
        """Return whether all moments have one date."""
        return len({moment.date for moment in self.moments}) < 2


def units(day: Day, plan: Plan, sheet: pdf.Sheet = pdf.SHEETS["a4"]) -> list[Unit]:
    """Return every shelf unit as it stands at each run's start less its margin."""
    reader = _Reader(day, plan, sheet)
    return [reader.unit(shelf) for shelf in day.kitchen.shelves]


class _Reader:
    """Reads the shelf map out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, sheet: pdf.Sheet) -> None:
        self.day, self.clock, self.sheet = day, Clock(day.timezone), sheet
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
        unit = Unit(name, shelf.zone, across, narrow, roomy, raw, moments)
        if sum(map(_high_mm, moments)) / (2 if narrow else 1) <= self.sheet.high_mm - HEADS_MM:
            return unit
        wide_mm = self.sheet.wide_mm - EDGES_MM
        return replace(unit, beside=max(1, int(wide_mm // (SMALL_MM + SLOT_MM * across))))

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
            until=face.hour(self.clock.text(stay.ends), self.clock.text(minute)),
            is_raw=self._is_raw(stay),
            goes=stay.ends == minute,
        )


def _high_mm(moment: Moment) -> float:
    """Return about how high a moment stands as it is usually drawn."""
    lines = [line for level in moment.levels for line in level.lines]
    most = (max(len(slot.held) for slot in line) for line in lines)
    return MOMENT_MM + sum(LEVEL_MM + HELD_MM * each if each else FREE_MM for each in most)


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


PAPER = Paper(
    "shelves.html",
    "Shelf map",
    lambda day, plan, given: {"units": units(day, plan, given.sheet)},
)
draw = PAPER.draw
