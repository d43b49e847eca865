"""What goes in costs: each copy, each backup, the plan."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from app.food.larder import Larder
from app.planning.buying import Prices
from app.planning.day import Day
from app.planning.minutes import Clock
from app.planning.plan import Batch, Copy, Plan, Use
from app.planning.takings import Taking, of_batches, of_beats

FREE = Fraction(0)


@dataclass(frozen=True)
class Cost:
    """Money, and the ingredients of which nobody has said a price: it costs at least that."""

    money: Fraction = FREE
    unpriced: frozenset[str] = frozenset()

    def __add__(self, other: "Cost") -> "Cost":
        return Cost(self.money + other.money, self.unpriced | other.unpriced)

    def shared(self, copies: int) -> "Cost":
        """Return the share of one of so many copies."""
        return Cost(self.money / copies, self.unpriced)


@dataclass(frozen=True)
class StageCost:
    """The copies that batches make of one stage: what one costs, and what backups and spares do.

    Copies of one stage may differ in cost; `least` and `most` are those of the cheapest and the
    dearest.
    """

    demonstration: str
    stage: str
    copies: int
    least: Cost
    most: Cost
    backups: int
    backups_cost: Cost
    spares: int
    spares_cost: Cost


@dataclass(frozen=True)
class PlanCost:
    """What a whole plan costs in ingredients, and each of its stages and copies."""

    whole: Cost
    stages: tuple[StageCost, ...]
    copies: dict[str, Cost]

    @property
    def backups(self) -> Cost:
        """Return what all copies that only back a use cost."""
        return _sum(each.backups_cost for each in self.stages)

    @property
    def spares(self) -> Cost:
        """Return what the extra copies for losses cost."""
        return _sum(each.spares_cost for each in self.stages)


def plan_cost(day: Day, plan: Plan, larder: Larder) -> PlanCost:
    """Return what the ingredients of a plan cost, by what is used of a pack.

    A copy costs what went into its batch, inputs included, shared by all copies started. What a
    beat leaves new costs what the beat used up. Stock costs nothing here.
    """
    reader = _Reader(day, plan, larder)
    # What a copy was made of was staged before it, so that no chain of copies is climbed twice.
    minute = Clock(day.timezone).minute
    ordered = sorted(plan.copies, key=lambda copy: minute(copy.staged_at))
    copies = {copy.id: reader.copy(copy.id) for copy in ordered}
    every = [*reader.batches.values(), *reader.beats.values()]
    return PlanCost(
        whole=_sum(reader.taken(some) for some in every),
        stages=tuple(_stages(day, plan, copies)),
        copies=copies,
    )


class _Reader:
    """Follows copies back to their ingredients; each is reckoned once."""

    def __init__(self, day: Day, plan: Plan, larder: Larder) -> None:
        self.day, self.plan, self.larder = day, plan, larder
        self.batches, self.beats = of_batches(day, plan), of_beats(day)
        self.batch_of = {batch.id: batch for batch in plan.batches}
        self.copy_of = {copy.id: copy for copy in plan.copies}
        self.uses: dict[tuple[str, str], list[Use]] = {}
        for each in plan.uses:
            self.uses.setdefault((each.run, each.beat), []).append(each)
        every = (*self.batches.values(), *self.beats.values())
        self.prices = Prices(chain(*every), larder)
        self.known: dict[str, Cost] = {}
        self.batch_known: dict[str, Cost] = {}
        self.use_known: dict[tuple[str, str], Cost] = {}

    def copy(self, copy: str) -> Cost:
        """Return what a copy costs."""
        if copy not in self.known:
            self.known[copy] = self._made(self.copy_of[copy])
        return self.known[copy]

    def _made(self, copy: Copy) -> Cost:
        origin = copy.made_by
        if origin.batch is not None:
            return self._batch(self.batch_of[origin.batch])
        return self._use(origin.use) if origin.use is not None else Cost()

    def _batch(self, batch: Batch) -> Cost:
        """Return what each copy of a batch costs."""
        if batch.id not in self.batch_known:
            inputs = _sum(self.copy(each) for each in batch.consumes)
            whole = inputs + self.taken(self.batches[batch.id])
            self.batch_known[batch.id] = whole.shared(len(batch.copies))
        return self.batch_known[batch.id]

    def _use(self, use: tuple[str, str]) -> Cost:
        """Return what each copy that a beat leaves new costs: its share of what was used up."""
        if use not in self.use_known:
            run, beat = self.day.run(use[0]), use[1]
            left = self.day.demonstration(run.demonstration).beat(beat).leaves
            new = 0
            back: list[str] = []
            taken = {each.stage: each.copies for each in self.uses.get(use, [])}
            for each in left:
                count = each.count * (run.stations if each.per_station else 1)
                handed = taken.get(each.stage, ())[:count]
                new += count - len(handed)
                back += handed
            used_up = [each for some in taken.values() for each in some if each not in back]
            whole = _sum(self.copy(each) for each in used_up) + self.taken(self.beats.get(use, ()))
            self.use_known[use] = whole.shared(max(1, new))
        return self.use_known[use]

    def taken(self, takings: Iterable[Taking]) -> Cost:
        """Return what ingredients cost; what is to taste counts as unpriced."""
        return _sum(self._ingredient(each) for each in takings)

    def _ingredient(self, taking: Taking) -> Cost:
        good, quantity = self.larder.good(taking.name), taking.quantity
        unknown = Cost(FREE, frozenset({good.name}))
        money = None if quantity is None else self.prices.of(good, quantity)
        return unknown if money is None else Cost(money)


def _stages(day: Day, plan: Plan, costs: dict[str, Cost]) -> Iterable[StageCost]:
    made: dict[tuple[str, str], list[Copy]] = {}
    for copy in plan.copies:
        if copy.made_by.batch is not None:
            made.setdefault((copy.demonstration, copy.stage), []).append(copy)
    for demonstration, stage in day.all_stages():
        some = made.get((demonstration.id, stage.id))
        if not some:
            continue
        each = sorted((costs[copy.id] for copy in some), key=lambda cost: cost.money)
        backups = [costs[copy.id] for copy in some if copy.role == "backup"]
        spares = [costs[copy.id] for copy in some if copy.role == "spare"]
        yield StageCost(
            *(demonstration.id, stage.id, len(some), each[0], each[-1]),
            *(len(backups), _sum(backups), len(spares), _sum(spares)),
        )


def _sum(costs: Iterable[Cost]) -> Cost:
    total = Cost()
    for each in costs:
        total = total + each
    return total
