"""Runs times beats: at which minute how many copies of which stage are needed and left."""

from dataclasses import dataclass

from app.planning.day import Beat, Day, Leaving, Need, Run
from app.planning.minutes import Clock, ceil_minute, floor_minute
from app.planning.moments import zero_second

StageKey = tuple[str, str]
BeatKey = tuple[str, str]


@dataclass(frozen=True)
class Use:
    """One need of one beat of one run. Minutes count from 1970 in UTC, seconds likewise."""

    index: int
    run: str
    beat: str
    stage: StageKey
    start_s: int
    end_s: int
    margin_min: int
    count: int
    backups: int
    untouched: bool
    oldest_min: int
    hands_back: int
    back: int

    @property
    def name(self) -> str:
        """Return the name of the use in the model."""
        return f"{self.stage[0]}/{self.stage[1]} use {self.index}"

    @property
    def start(self) -> int:
        """Return the minute that the beat starts in."""
        return floor_minute(self.start_s)

    @property
    def due(self) -> int:
        """Return the minute at which its copies stand ready."""
        return self.start - self.margin_min

    @property
    def at(self) -> BeatKey:
        """Return the beat of the run."""
        return self.run, self.beat


@dataclass(frozen=True)
class Left:
    """New copies that a beat of a run leaves."""

    run: str
    beat: str
    stage: StageKey
    count: int
    end_s: int
    staged: int
    back: int

    @property
    def at(self) -> BeatKey:
        """Return the beat of the run."""
        return self.run, self.beat


@dataclass(frozen=True)
class Needs:
    """Every use and every leaving of a day, in air order, and when the production ends."""

    uses: tuple[Use, ...]
    left: tuple[Left, ...]
    end: int


def needs_of(day: Day) -> Needs:
    """Return what the runs of a day need and leave, in air order."""
    uses: list[Use] = []
    left: list[Left] = []
    ends = [Clock(day.timezone).minute(day.prep_from)]
    for run, beat, start_s in _in_air_order(day):
        ends.append(ceil_minute(start_s + beat.lasts_s))
        if run.dry:
            continue
        moment = _Moment(day, run, beat, start_s)
        uses += [moment.use(need, len(uses) + i) for i, need in enumerate(beat.needs)]
        fresh = [(leaving, moment.new(leaving)) for leaving in beat.leaves]
        left += [moment.left(each, count) for each, count in fresh if count > 0]
    return Needs(tuple(uses), tuple(left), max(ends))


def _in_air_order(day: Day) -> list[tuple[Run, Beat, int]]:
    moments = []
    for run in day.runs:
        zero_s = zero_second(day, run)
        moments += [(run, beat, zero_s + beat.starts_s) for beat in day.beats_of(run)]
    return sorted(moments, key=lambda moment: (moment[2], moment[0].id, moment[1].id))


class _Moment:
    """One beat of one run, at its second."""

    def __init__(self, day: Day, run: Run, beat: Beat, start_s: int) -> None:
        self.day, self.run, self.beat = day, run, beat
        self.start_s, self.end_s = start_s, start_s + beat.lasts_s

    def times(self, part: Need | Leaving) -> int:
        """Return the count of a need or leaving over all stations."""
        return part.count * (self.run.stations if part.per_station else 1)

    def handed_back(self, stage: str) -> int:
        """Return how many copies of a stage that the beat needs it hands back."""
        needed = sum(self.times(need) for need in self.beat.needs if need.stage == stage)
        given = sum(self.times(leaves) for leaves in self.beat.leaves if leaves.stage == stage)
        return min(needed, given)

    def new(self, leaving: Leaving) -> int:
        """Return how many copies of a leaving are new."""
        return self.times(leaving) - self.handed_back(leaving.stage)

    def use(self, need: Need, index: int) -> Use:
        """Return the need as a use."""
        stage = self.day.stage(self.run.demonstration, need.stage)
        oldest = stage.keeps_min
        if need.tasting and stage.safety_min is not None:
            oldest = min(oldest, stage.safety_min)
        return Use(
            index=index,
            run=self.run.id,
            beat=self.beat.id,
            stage=(self.run.demonstration, need.stage),
            start_s=self.start_s,
            end_s=self.end_s,
            margin_min=self._margin_min(need),
            count=self.times(need),
            backups=need.backups,
            untouched=need.untouched or need.tasting,
            oldest_min=oldest,
            hands_back=self.handed_back(need.stage),
            back=ceil_minute(self.end_s) + self.day.policy.return_min,
        )

    def _margin_min(self, need: Need) -> int:
        for margin_min in (need.ready_margin_min, self.run.ready_margin_min):
            if margin_min is not None:
                return margin_min
        return self.day.policy.ready_margin_min

    def left(self, leaving: Leaving, count: int) -> Left:
        """Return the new copies of a leaving."""
        staged = ceil_minute(self.end_s)
        return Left(
            run=self.run.id,
            beat=self.beat.id,
            stage=(self.run.demonstration, leaving.stage),
            count=count,
            end_s=self.end_s,
            staged=staged,
            back=staged + self.day.policy.return_min,
        )
