"""An answer in pools, with its minutes, as a draft of single batches and copies."""

from collections.abc import Iterator, Mapping

from app.planning.draft import Draft, Item, Made, Work, backs_first, taken_after
from app.planning.needs import StageKey, Use
from app.planning.pools import Pool, Pools, Source
from app.planning.settling import Answer, Going


def pour(pools: Pools, answer: Answer, minutes: Mapping[Pool, int]) -> Draft:
    """Return the draft that an answer means.

    Parameters
    ----------
    pools
        The pools that it is of.
    answer
        What they make, and where it goes.
    minutes
        When the batches of each pool are staged.
    """
    return _Pouring(pools, answer, minutes).draft()


class _Pouring:
    """One answer in the making."""

    def __init__(self, pools: Pools, answer: Answer, minutes: Mapping[Pool, int]) -> None:
        self.pools, self.answer = pools, answer
        self.made: dict[Pool, list[Made]] = {}
        self.taken: dict[int, list[Item]] = {}
        self.fed: dict[tuple[Pool, StageKey], list[Item]] = {}
        for pool, goods in answer.batches.items():
            self.made[pool] = [
                _made(pool, good, minutes[pool], f"{len(self.made)}/{place}")
                for place, good in enumerate(goods)
            ]

    def draft(self) -> Draft:
        """Return the draft."""
        of_source: dict[Source, list[Going]] = {}
        for going in self.answer.going:
            of_source.setdefault(going.source, []).append(going)
        sources = [source for key in self.pools.of for source in self.pools.sources(key)]
        items = {source: self._items(source, of_source.get(source, [])) for source in sources}
        for pool, some in self.made.items():
            self._feed(pool, some)
        backing = {
            use.index: self._backing(use, items)
            for use in self.pools.by_index.values()
            if use.backups
        }
        made = sorted(
            (each for some in self.made.values() for each in some),
            key=lambda each: (each.starts, each.stage, each.name),
        )
        every = [item for some in items.values() for item in some]
        listed = [item for item in every if item.takers or item.backs or item.batch]
        return Draft(made, listed, self.taken, backing)

    def _items(self, source: Source, goings: list[Going]) -> list[Item]:
        """Return the copies of a source, each with the uses that take it.

        Those that go into a pool are laid by for it.
        """
        items = list(self._new(source))
        left = iter([item for item in items if not item.spare])
        arrived: dict[int, list[Item]] = {}
        for going in sorted(goings, key=_when):
            for _ in range(going.copies):
                item = next(left) if going.after is None else arrived[going.after.index].pop(0)
                if going.use is not None:
                    item.takers.append(going.use)
                    self.taken.setdefault(going.use.index, []).append(item)
                    arrived.setdefault(going.use.index, []).append(item)
                elif going.pool is not None:
                    self.fed.setdefault((going.pool, source.stage), []).append(item)
        return items

    def _new(self, source: Source) -> Iterator[Item]:
        if isinstance(source, Pool):
            for made in self.made.get(source, []):
                made.copies = [
                    Item(made.stage, made.ends, made, spare=place >= made.good)
                    for place in range(made.started)
                ]
                yield from made.copies
            return
        stock = source.found.origin.stock if source.found else None
        for _ in range(source.count):
            yield Item(source.stage, source.staged, None, source.left, stock, source.found)

    def _feed(self, pool: Pool, some: list[Made]) -> None:
        """Give each batch of a pool its sets of inputs."""
        for stage, count in pool.sizes.method.takes:
            given = iter(self.fed.get((pool, stage), []))
            for made in some:
                for _ in range(count * made.method.sets(made.started)):
                    item = next(given)
                    item.takers.append(made)
                    made.inputs.append(item)

    def _backing(self, use: Use, items: Mapping[Source, list[Item]]) -> list[Item]:
        """Return the copies that stand by a use: those that back nothing else, first."""
        chosen: list[Item] = []
        for source in self.pools.sources(use.stage):
            idle = self.answer.idle.get((source, use.index), 0)
            later = self.answer.later.get((source, use.index), 0)
            good = sorted((item for item in items[source] if not item.spare), key=backs_first)
            chosen += [item for item in good if not item.takers][:idle]
            chosen += [item for item in good if taken_after(item, use)][:later]
        for item in chosen:
            item.backs.append(use)
        return chosen


def _when(going: Going) -> tuple[int, int]:
    """Return the order in which the flows of a source are followed: in air order, pools last."""
    if going.use is not None:
        return going.use.start_s, going.use.index
    return (1 << 62), 0


def _made(pool: Pool, good: int, staged: int, name: str) -> Made:
    method = pool.sizes.method
    started = method.started[good]
    at, work = staged - method.way.length_min(started), []
    for phase in method.way.phases:
        ends = at + phase.length_min(started)
        work.append(Work(at, ends, {}, []))
        at = ends
    return Made(name, pool.stage, method, good, started, work)
