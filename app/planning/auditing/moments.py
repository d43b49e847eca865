"""What the day asks for: each beat of each run on the clock, and each of its needs."""

from dataclasses import dataclass

from app.planning.day import Beat, Day, Need, Run, Stage
from app.planning.minutes import MINUTE_S, Clock, ceil_minute, floor_minute

UseKey = tuple[str, str]
NeedKey = tuple[str, str, str]


@dataclass(frozen=True, eq=False)
class Moment:
    """One beat of one run. Seconds and minutes since 1970 in UTC."""

    run: Run
    beat: Beat
    starts_s: int
    ends_s: int
    return_min: int

    @property
    def key(self) -> UseKey:
        """Return the ids of run and beat."""
        return self.run.id, self.beat.id

    @property
    def start(self) -> int:
        """Return the minute that the beat starts in."""
        return floor_minute(self.starts_s)

    @property
    def staged(self) -> int:
        """Return the minute at which what the beat leaves anew is staged."""
        return ceil_minute(self.ends_s)

    @property
    def back(self) -> int:
        """Return the minute at which what the beat leaves is back in the kitchen."""
        return self.staged + self.return_min


@dataclass(frozen=True, eq=False)
class Demand:
    """One need of one beat of one run, multiplied by the stations."""

    moment: Moment
    need: Need
    stage: Stage
    count: int
    margin_min: int

    @property
    def key(self) -> NeedKey:
        """Return the ids of run, beat and stage."""
        return (*self.moment.key, self.need.stage)

    @property
    def demonstration(self) -> str:
        """Return the id of the demonstration whose stage is needed."""
        return self.moment.run.demonstration

    @property
    def due(self) -> int:
        """Return the minute by which a copy from the kitchen stands ready."""
        return self.moment.start - self.margin_min


@dataclass(frozen=True, eq=False)
class Programme:
    """All that is to happen on camera or in class, and when the production ends."""

    moments: dict[UseKey, Moment]
    demands: dict[NeedKey, Demand]
    left: dict[NeedKey, int]
    ends: int


def programme(day: Day, clock: Clock) -> Programme:
    """Return the beats, needs and leavings of every run of the day."""
    moments: dict[UseKey, Moment] = {}
    demands: dict[NeedKey, Demand] = {}
    left: dict[NeedKey, int] = {}
    ends = clock.minute(day.prep_from)
    last_s: list[int] = []
    for run in day.runs:
        for moment in _moments(day, run, clock):
            last_s.append(moment.ends_s)
            if not run.dry:
                moments[moment.key] = moment
                demands |= {each.key: each for each in _demands(day, moment)}
                left |= _left(moment)
    return Programme(moments, demands, left, ceil_minute(max(last_s)) if last_s else ends)


def _moments(day: Day, run: Run, clock: Clock) -> list[Moment]:
    beats = day.beats_of(run)
    zero_s = clock.minute(run.starts) * MINUTE_S
    if run.starts_at_first_beat and beats:
        zero_s -= min(beat.starts_s for beat in beats)
    return [
        Moment(
            run=run,
            beat=beat,
            starts_s=zero_s + beat.starts_s,
            ends_s=zero_s + beat.starts_s + beat.lasts_s,
            return_min=day.policy.return_min,
        )
        for beat in beats
    ]


def _demands(day: Day, moment: Moment) -> list[Demand]:
    run = moment.run
    margin = day.policy.ready_margin_min if run.ready_margin_min is None else run.ready_margin_min
    return [
        Demand(
            moment=moment,
            need=need,
            stage=day.stage(run.demonstration, need.stage),
            count=need.count * (run.stations if need.per_station else 1),
            margin_min=margin if need.ready_margin_min is None else need.ready_margin_min,
        )
        for need in moment.beat.needs
    ]


def _left(moment: Moment) -> dict[NeedKey, int]:
    return {
        (*moment.key, leaving.stage): leaving.count
        * (moment.run.stations if leaving.per_station else 1)
        for leaving in moment.beat.leaves
    }
