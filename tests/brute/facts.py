"""A tiny day in whole numbers, read from `day/1` by nothing that the planner reads it with."""

from dataclasses import dataclass
from fractions import Fraction
from math import comb

from app.planning.day import Beat, Day, Phase, Run, Way
from app.planning.minutes import Clock, ceil_minute, floor_minute


@dataclass(frozen=True, eq=False)
class Option:
    """One size of batch of one way: `good` copies wanted, `started` begun."""

    stage: int
    way: str
    good: int
    started: int
    inputs: tuple[tuple[int, int], ...]
    lengths: tuple[int, ...]
    phases: tuple[Phase, ...]
    cost: Fraction
    hands_min: int

    @property
    def length(self) -> int:
        """Return the minutes from start to staged."""
        return sum(self.lengths)


@dataclass(frozen=True)
class Wanted:
    """One need of one beat of one run."""

    beat: int
    run: int
    stage: int
    start: int
    due: int
    count: int
    backups: int
    untouched: bool
    oldest: int
    hands_back: int


@dataclass(frozen=True)
class Moment:
    """One beat of one run."""

    run: int
    start_s: int
    end_s: int
    wanted: tuple[int, ...]
    new: tuple[tuple[int, int], ...]
    label: str


class Facts:
    """What the search reads: stages, options, wants and moments, all by number."""

    def __init__(self, day: Day) -> None:
        self.day, self.clock = day, Clock(day.timezone)
        self.prep = self.clock.minute(day.prep_from)
        pairs = list(day.all_stages())
        self.stages = [stage for _, stage in pairs]
        self.names = [f"{demo.id}/{stage.id}" for demo, stage in pairs]
        self.index = {(demo.id, stage.id): i for i, (demo, stage) in enumerate(pairs)}
        self.slack = [min(day.policy.step_slack_min, s.keeps_min // 2) for s in self.stages]
        zones = {shelf.zone for shelf in day.kitchen.shelves}
        self.placed = [stage.zone in zones for stage in self.stages]
        self.zones = zones
        self.wants: list[Wanted] = []
        self.moments: list[Moment] = []
        self.end = self.prep
        for number, run in enumerate(day.runs):
            self._read_run(number, run)
        self.moments_at: dict[int, list[int]] = {}
        for i in sorted(range(len(self.moments)), key=lambda i: self.moments[i].start_s):
            self.moments_at.setdefault(floor_minute(self.moments[i].start_s), []).append(i)
        self.options = [each for i in range(len(pairs)) for each in self._options_of(i)]
        self.shifts = [_joined(self._spans(cook.shifts)) for cook in day.kitchen.crew]
        self.closed = [self._spans(item.closed) for item in day.kitchen.equipment]

    def told_for_min(self, stage: int) -> int:
        """Return for how many minutes after it is back a copy is told from one long back.

        A batch takes it so long after it is back, and a backup must be back so long before its use.
        """
        margins = [want.start - want.due for want in self.wants if want.stage == stage]
        return max([self.slack[stage], *margins])

    def _spans(self, spans: tuple[tuple[str, str], ...]) -> list[tuple[int, int]]:
        return [(self.clock.minute(a), self.clock.minute(b)) for a, b in spans]

    def _read_run(self, number: int, run: Run) -> None:
        demo = self.day.demonstration(run.demonstration)
        if run.beats is not None:
            beats = [beat for beat in demo.beats if beat.id in run.beats]
        else:
            beats = [beat for beat in demo.beats if beat.kinds is None or run.kind in beat.kinds]
        zero_s = self.clock.minute(run.starts) * 60
        if run.starts_at_first_beat and beats:
            zero_s -= min(beat.starts_s for beat in beats)
        for beat in beats:
            start_s = zero_s + beat.starts_s
            self.end = max(self.end, ceil_minute(start_s + beat.lasts_s))
            if not run.dry:
                self._read_beat(number, run, beat, start_s)

    def _read_beat(self, number: int, run: Run, beat: Beat, start_s: int) -> None:
        def times(part: object) -> int:
            return part.count * (run.stations if part.per_station else 1)  # type: ignore[attr-defined]

        needed = {need.stage: times(need) for need in beat.needs}
        given = {leaves.stage: times(leaves) for leaves in beat.leaves}
        first = len(self.wants)
        for need in beat.needs:
            stage = self.index[run.demonstration, need.stage]
            margin = self.day.policy.ready_margin_min
            margin = margin if run.ready_margin_min is None else run.ready_margin_min
            margin = margin if need.ready_margin_min is None else need.ready_margin_min
            oldest, safe = self.stages[stage].keeps_min, self.stages[stage].safety_min
            if need.tasting and safe is not None:
                oldest = min(oldest, safe)
            start = floor_minute(start_s)
            self.wants.append(
                Wanted(
                    beat=len(self.moments), run=number, stage=stage, start=start,
                    due=start - margin, count=needed[need.stage], backups=need.backups,
                    untouched=need.untouched or need.tasting, oldest=oldest,
                    hands_back=min(needed[need.stage], given.get(need.stage, 0)),
                )
            )  # fmt: skip
        new = [
            (self.index[run.demonstration, stage], count - min(count, needed.get(stage, 0)))
            for stage, count in given.items()
        ]
        self.moments.append(
            Moment(
                run=number, start_s=start_s, end_s=start_s + beat.lasts_s,
                wanted=tuple(range(first, len(self.wants))),
                new=tuple(each for each in new if each[1]), label=f"{run.id}.{beat.id}",
            )
        )  # fmt: skip

    def _options_of(self, stage: int) -> list[Option]:
        made = []
        for way in self.stages[stage].ways:
            good = 1
            while (started := self._started(stage, way, good)) <= way.batch_max:
                made.append(self._option(stage, way, good, started))
                good += 1
        return made

    def _started(self, stage: int, way: Way, good: int) -> int:
        loss = self.stages[stage].loss if way.loss is None else way.loss
        return started(good, loss, self.day.policy.confidence)

    def _option(self, number: int, way: Way, good: int, begun: int) -> Option:
        stage = self.stages[number]
        demo = self.names[number].split("/")[0]
        takes = stage.takes if way.takes is None else way.takes
        yields = stage.yields if way.yields is None else way.yields
        cost = stage.cost if way.cost is None else way.cost
        sets = -(-begun // yields)
        lengths = tuple(phase.length_min(begun) for phase in way.phases)
        return Option(
            stage=number, way=way.id, good=good, started=begun,
            inputs=tuple(
                (self.index[each.demonstration or demo, each.stage], each.count * sets)
                for each in takes
            ),
            lengths=lengths, phases=way.phases, cost=Fraction(str(cost)) * begun,
            hands_min=sum(p.hands * long for p, long in zip(way.phases, lengths, strict=True)),
        )  # fmt: skip


def started(good: int, loss: float, confidence: float) -> int:
    """Return how many a batch of `good` wanted copies starts, straight from the definition."""
    if loss == 0:
        return good
    n = good + 1
    while sum(comb(n, k) * (1 - loss) ** k * loss ** (n - k) for k in range(good, n + 1)) < (
        confidence - 1e-9
    ):
        n += 1
    return n


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    whole: list[tuple[int, int]] = []
    for begin, end in sorted(spans):
        if whole and begin <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(end, whole[-1][1]))
        else:
            whole.append((begin, end))
    return whole
