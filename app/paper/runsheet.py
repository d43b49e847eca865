"""Run sheet: a row a beat as it airs, with what goes to set, what comes back, and the resets."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from app.paper import face
from app.paper.letters import Badge, badges
from app.paper.paper import Paper
from app.planning.dates import short_date
from app.planning.day import Beat, Day, Run
from app.planning.fetches import Fetch
from app.planning.minutes import MINUTE_S, Clock
from app.planning.moments import beat_second
from app.planning.people import Table
from app.planning.plan import Plan
from app.planning.pulls import Amount, BeatPull, beat_pulls

LONGEST_NAME = 60


@dataclass(frozen=True)
class Place:
    """Copies of one stage, and where they come from or go to."""

    label: str
    stage: str
    place: str
    bound_for: str


@dataclass(frozen=True)
class Row:
    """A beat of a run; `facts` says what else goes to set, `second` when in the run it begins.

    `avoided` says who of its people would meet what they avoid.
    """

    starts: str
    second: str
    name: str
    note: str
    fetch_by: str
    takes: tuple[Place, ...]
    lacks: tuple[str, ...]
    backups: tuple[Place, ...]
    lacks_backups: tuple[str, ...]
    back_at: str
    comes_back: tuple[Place, ...]
    facts: tuple[tuple[str, str], ...]
    avoided: tuple[str, ...]


@dataclass(frozen=True)
class Reset:
    """What is to be done after a run, for the next one of the same demonstration."""

    then: str
    again: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Part:
    """Beats of one run that air one after the other; `reset` where the run ends with them."""

    badge: Badge
    title: str
    run: str
    starts: str
    is_more: bool
    is_dry: bool
    rows: tuple[Row, ...]
    reset: Reset | None


@dataclass(frozen=True)
class Page:
    """All that airs on a date."""

    date: str
    short: str
    parts: tuple[Part, ...]


def pages(day: Day, plan: Plan) -> list[Page]:
    """Return the pages of a plan, a date each."""
    return list(_Reader(day, plan).pages())


class _Reader:
    """Reads the run sheet out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.badges = badges(day, plan)
        self.pulls = {(each.run, each.beat): each for each in beat_pulls(day, plan)}
        self.last = {run.id: run.id for run in day.runs}
        self.people = Table(day, plan)

    def pages(self) -> Iterator[Page]:
        for date, airing in groupby(self._airing(), key=lambda each: self._date(*each)):
            yield Page(face.date(date), short_date(date), tuple(self._parts(list(airing))))

    def _airing(self) -> list[tuple[Run, Beat | None]]:
        """Return every beat of every run as they air; a run without beats is there as well."""
        found: list[tuple[Run, Beat | None]] = []
        for run in self.day.runs:
            found += [(run, beat) for beat in self.day.beats_of(run)] or [(run, None)]
        return sorted(found, key=lambda each: self._second(*each))

    def _second(self, run: Run, beat: Beat | None) -> int:
        if beat is None:
            return self.clock.minute(run.starts) * MINUTE_S
        return beat_second(self.day, run, beat.id)

    def _date(self, run: Run, beat: Beat | None) -> str:
        return self.clock.date(self._second(run, beat) // MINUTE_S)

    def _parts(self, airing: list[tuple[Run, Beat | None]]) -> Iterator[Part]:
        seen: set[str] = set()
        left = {run.id: sum(each[0].id == run.id for each in airing) for run, _ in airing}
        for run, some in groupby(airing, key=lambda each: each[0]):
            beats = [beat for _, beat in some]
            left[run.id] -= len(beats)
            ends = left[run.id] == 0
            yield self._part(run, [each for each in beats if each], run.id in seen, ends=ends)
            seen.add(run.id)

    def _part(self, run: Run, beats: list[Beat], is_more: bool, *, ends: bool) -> Part:
        benches = f", {run.stations} benches" if run.stations > 1 else ""
        return Part(
            badge=self.badges[run.demonstration],
            title=face.clipped(self.day.demonstration(run.demonstration).title, LONGEST_NAME),
            run=f"{face.clipped(run.called, LONGEST_NAME)}{benches}",
            starts=face.hour(run.starts),
            is_more=is_more,
            is_dry=run.dry,
            rows=tuple(self._row(run, beat) for beat in beats),
            reset=self._reset(run) if ends and not run.dry else None,
        )

    def _row(self, run: Run, beat: Beat) -> Row:
        starts = self.clock.text(self._second(run, beat) // MINUTE_S)
        pull = self.pulls.get((run.id, beat.id))
        needs = pull.needs if pull else ()
        return Row(
            starts=face.hour(starts),
            second=f"at {stopwatch(self._since(run, beat))} for {stopwatch(beat.lasts_s)}",
            name=beat.called,
            note=beat.note,
            fetch_by=face.hour(self.clock.text(pull.fetch_by), starts) if pull else "",
            takes=_places(fetch for need in needs for fetch in need.takes),
            lacks=tuple(f"{each.lacks} {each.stage_name}" for each in needs if each.lacks),
            backups=_places(fetch for need in needs for fetch in need.backups),
            lacks_backups=tuple(
                f"{each.lacks_backups} {each.stage_name}" for each in needs if each.lacks_backups
            ),
            back_at=face.hour(self.clock.text(pull.back_at), starts) if pull else "",
            comes_back=_places(pull.comes_back if pull else ()),
            facts=_facts([pull] if pull else []),
            avoided=tuple(dict.fromkeys(each.said for each in self.people.at(run.id, beat.id))),
        )

    def _since(self, run: Run, beat: Beat) -> int:
        """Return the second of the run's stopwatch at which a beat begins."""
        first = min((each.starts_s for each in self.day.beats_of(run)), default=0)
        return beat.starts_s - (first if run.starts_at_first_beat else 0)

    def _reset(self, run: Run) -> Reset:
        starts = self.clock.minute(run.starts)
        later = [
            each
            for each in self.day.runs
            if each.demonstration == run.demonstration
            and not each.dry
            and self.clock.minute(each.starts) > starts
        ]
        if not later:
            return Reset("No further run of it: clear the set.", (), ())
        following = min(later, key=lambda each: self.clock.minute(each.starts))
        pulls = [
            self.pulls[following.id, beat.id]
            for beat in self.day.beats_of(following)
            if (following.id, beat.id) in self.pulls
        ]
        minutes = self.clock.minute(following.starts) - starts
        then = (
            f"Reset for {face.clipped(following.called, LONGEST_NAME)} at "
            f"{face.hour(following.starts, run.starts)}, {face.length(minutes)} after this began."
        )
        return Reset(then, tuple(_again(pulls)), _facts(pulls))


def _again(pulls: list[BeatPull]) -> Iterator[str]:
    """Yield how many copies of each stage the next run wants."""
    takes: dict[str, int] = {}
    backups: dict[str, int] = {}
    for need in (need for pull in pulls for need in pull.needs):
        takes[need.stage_name] = takes.get(need.stage_name, 0) + _copies(need.takes)
        backups[need.stage_name] = backups.get(need.stage_name, 0) + _copies(need.backups)
    for stage, count in takes.items():
        beside = f" and {backups[stage]} to stand by" if backups[stage] else ""
        yield f"{count} {stage}{beside}"


def _copies(fetches: tuple[Fetch, ...]) -> int:
    return sum(len(each.tags) for each in fetches)


def _places(fetches: Iterable[Fetch]) -> tuple[Place, ...]:
    return tuple(
        Place(
            label=each.label,
            stage=each.stage_name,
            place=each.place,
            bound_for=each.bound_for,
        )
        for each in fetches
    )


def _facts(pulls: list[BeatPull]) -> tuple[tuple[str, str], ...]:
    """Return what goes to set beside the copies, each thing once."""
    amounts = [each for pull in pulls for each in pull.ingredients]
    return tuple(things_for_set(amounts, *pulls))


def things_for_set(amounts: Iterable[Amount], *beats: BeatPull | Beat) -> Iterator[tuple[str, str]]:
    """Yield what goes to set for beats beside the copies, each thing once, under what it is."""
    ingredients = dict.fromkeys(_amount(each) for each in amounts)
    tools = dict.fromkeys(each for beat in beats for each in beat.tools)
    dressing = dict.fromkeys(each for beat in beats for each in beat.dressing)
    for called, things in (("On set", ingredients), ("Tools", tools), ("Dressing", dressing)):
        if things:
            yield called, face.listed(things)


def _amount(each: Amount) -> str:
    return f"{each.shown} {each.name}" if each.amount else each.name


def stopwatch(seconds: int) -> str:
    """Return seconds as a stopwatch shows them: *0:30*, *12:05*."""
    return f"{seconds // MINUTE_S}:{seconds % MINUTE_S:02d}"


PAPER = Paper(
    "runsheet.html",
    "Run sheet",
    lambda day, plan, _: {"pages": pages(day, plan)},
    is_landscape=True,
)
draw = PAPER.draw
