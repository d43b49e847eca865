"""At which minutes the batches of an answer in pools are staged: as late as all of it allows.

Each pool gets one minute. Where there is none, whatever made it too early is told apart, so that
the same answer is not possible any more.
"""

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from app.planning.needs import Use
from app.planning.pools import Pool, Pools, Source, Splits


@dataclass(frozen=True, eq=False)
class Going:
    """So many copies of a source that a use or a pool takes, fresh or after a use."""

    source: Source
    after: Use | None
    use: Use | None
    pool: Pool | None
    copies: int


@dataclass
class Answer:
    """What is made and where it goes: the good copies of each batch of each pool, and the flows.

    `idle` and `later` are as in `Pooled`, `lasting` those flows whose copies have to wait until
    after a use, by which they stand.
    """

    batches: dict[Pool, list[int]]
    going: list[Going]
    idle: dict[tuple[Source, int], int]
    later: dict[tuple[Source, int], int]
    lasting: list[tuple[Going, Use]] = field(default_factory=list)


@dataclass(frozen=True)
class Settled:
    """The minute of each pool, and what is to be told apart where these do not suffice."""

    minutes: dict[Pool, int]
    splits: Splits | None = None


@dataclass(frozen=True)
class _Tie:
    """The minute of one pool is at most that of another, if there is one, and so many minutes.

    These hold the length of a batch of one of the two, of so many good copies.
    """

    one: Pool
    other: Pool | None
    apart_min: int
    sized: Pool
    good: int


@dataclass(frozen=True)
class _Event:
    """A pool is to be staged at a minute, because of a tie to another, which was to be before."""

    pool: Pool
    minute: int
    tie: _Tie | None = None
    before: "_Event | None" = None


def settle(pools: Pools, answer: Answer) -> Settled:
    """Return the latest minutes at which all that an answer says is possible.

    Parameters
    ----------
    pools
        The pools that it is of.
    answer
        What they make, and where it goes.
    """
    least: dict[Pool, int] = {}
    for pool, minute in _leasts(pools, answer):
        least[pool] = max(minute, least.get(pool, minute))
    latest = _latest(pools, answer, least)
    minutes = {pool: event.minute for pool, event in latest.items()}
    late = [event for pool, event in latest.items() if event.minute < least[pool]]
    if not late:
        return Settled(minutes)
    splits = Splits()
    for event in late:
        _tell_apart(splits, event, least[event.pool], max(answer.batches[event.pool]))
    return Settled(minutes, splits)


def fuller(pools: Pools, answer: Answer) -> Answer:
    """Return the same answer in fewer batches, as far as larger ones can be staged in time."""
    packed = {pool: _packed(pool, goods) for pool, goods in answer.batches.items()}
    if settle(pools, replace(answer, batches=packed)).splits is None:
        return replace(answer, batches=packed)
    for pool, goods in packed.items():
        if len(goods) < len(answer.batches[pool]):
            tried = replace(answer, batches={**answer.batches, pool: goods})
            if settle(pools, tried).splits is None:
                answer = tried
    return answer


def _packed(pool: Pool, goods: list[int]) -> list[int]:
    """Return batches of one set each as few batches that take as many sets."""
    method, packed, sets = pool.sizes.method, [0], 0
    if not pool.sizes.by_sets:
        return goods
    for good in goods:
        both = packed[-1] + good
        if both <= method.good_max and method.sets(both) == sets + 1:
            packed[-1], sets = both, sets + 1
        else:
            packed.append(good)
            sets = 1
    return packed


def _latest(pools: Pools, answer: Answer, least: Mapping[Pool, int]) -> dict[Pool, _Event]:
    """Return the latest minutes, each with what made it so early.

    Of a pool that is too early it is told no further what follows from it.
    """
    ties: dict[Pool | None, list[_Tie]] = {}
    for tie in _ties(pools, answer):
        ties.setdefault(tie.other, []).append(tie)
    latest = {pool: _Event(pool, pool.staged) for pool in answer.batches}
    ahead: deque[Pool | None] = deque([None, *latest])
    while ahead:
        other = ahead.popleft()
        before = None if other is None else latest[other]
        if before is not None and before.minute < least[before.pool]:
            continue
        for tie in ties.get(other, ()):
            minute = tie.apart_min + (0 if before is None else before.minute)
            if minute < latest[tie.one].minute:
                latest[tie.one] = _Event(tie.one, minute, tie, before)
                if tie.one not in ahead:
                    ahead.append(tie.one)
    return latest


def _ties(pools: Pools, answer: Answer) -> Iterator[_Tie]:
    """Yield how the inputs of a batch hold it, and it holds them."""
    for going in answer.going:
        pool, source = going.pool, going.source
        if pool is None:
            continue
        making = pools.scope.makings[source.stage]
        least, most = min(answer.batches[pool]), max(answer.batches[pool])
        fresh_min = making.stage.keeps_min + pool.sizes.length_min(least)
        if not isinstance(source, Pool):
            yield _Tie(pool, None, source.staged + fresh_min, pool, least)
            continue
        yield _Tie(pool, source, fresh_min, pool, least)
        if going.after is None:
            before_min = pool.sizes.length_min(most) + making.slack_min
            yield _Tie(source, pool, -before_min, pool, most)


def _leasts(pools: Pools, answer: Answer) -> Iterator[tuple[Pool, int]]:
    """Yield the first minutes at which pools can be staged, by what stands still."""
    longest = {pool: pool.sizes.length_min(max(goods)) for pool, goods in answer.batches.items()}
    for pool, length_min in longest.items():
        yield pool, pool.sizes.method.starts[0][0] + length_min
    for going in answer.going:
        source, taker = going.source, going.pool
        if going.use is not None and isinstance(source, Pool):
            yield source, going.use.start - going.use.oldest_min
        if taker is not None and (going.after is not None or not isinstance(source, Pool)):
            ready = source.back if going.after is None else going.after.back
            yield taker, ready + pools.scope.makings[source.stage].slack_min + longest[taker]
    for told in (answer.idle, answer.later):
        for (source, index), copies in told.items():
            if copies and isinstance(source, Pool):
                use = pools.by_index[index]
                yield source, use.start - use.oldest_min
    for going, use in answer.lasting:
        if going.pool is not None:
            yield going.pool, use.start + 1 + longest[going.pool]


def _tell_apart(splits: Splits, late: _Event, needed: int, most: int) -> None:
    """Split spans where what made a pool too early is staged, and sizes that would do otherwise."""
    more_min = late.pool.sizes.length_min(most) - late.pool.sizes.least_min
    _cut(splits, late.pool, most, needed - late.minute, more_min)
    event: _Event | None = late
    while event is not None:
        at, tie, ends = event.pool, event.tie, {event.minute}
        if tie is not None:
            length_min = tie.sized.sizes.length_min(tie.good)
            more_min = length_min - tie.sized.sizes.least_min
            if tie.sized is at:
                more_min = at.sizes.stretch_min - length_min
                ends.add(event.minute + more_min)
        ends = {each for each in ends if at.after < each < at.staged}
        if tie is not None:
            _cut(splits, tie.sized, tie.good, needed - event.minute if ends else 0, more_min)
            needed -= tie.apart_min
        splits.minutes.setdefault(at.stage, set()).update(ends)
        event = event.before


def _cut(splits: Splits, pool: Pool, good: int, lacks_min: int, more_min: int) -> None:
    """Tell sizes apart, if a batch of another size could be as late as is needed."""
    if more_min and lacks_min <= more_min:
        way = pool.stage, pool.sizes.method.way.id
        splits.sizes.setdefault(way, set()).add(good)
