"""What the rule of thumb would cost: everything twice, for every run, nothing used again."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from app.planning.day import Day, Stage, Way
from app.planning.needs import StageKey, needs_of

TWICE = 2


@dataclass(frozen=True)
class RuleOfThumb:
    """The copies that the rule of thumb starts, and what starting them costs.

    `unmakable` are stages that a need wants and no way makes: only a beat or the stock gives them,
    so doubling them cannot be bought.
    """

    cost: float
    made: dict[StageKey, int]
    unmakable: tuple[StageKey, ...]


def rule_of_thumb(day: Day) -> RuleOfThumb:
    """Return what it takes to make every need twice, each copy filled from ingredients.

    Parameters
    ----------
    day
        The day; of its kitchen, stock, losses, policy and backups nothing is used.

    Returns
    -------
    RuleOfThumb
        Every use of every run counts twice (times its stations); no copy serves two uses, and none
        that a beat left or the stock holds is used. The inputs of a stage are summed over all
        uses before they are rounded up to whole sets: batches are as large as they like. Of
        several ways the one counts that costs least a copy, its inputs included.

    Source
    ------
    Common practice in kitchens that cook for cameras.
    """
    wanted: defaultdict[StageKey, int] = defaultdict(int)
    for use in needs_of(day).uses:
        wanted[use.stage] += TWICE * use.count
    chain = _Chain(day)
    for key in chain.last_first():
        for taken, count in chain.inputs(key, wanted[key]):
            wanted[taken] += count
    made = {key: wanted[key] for key in chain.in_order if wanted[key] and key in chain.way}
    return RuleOfThumb(
        cost=sum(chain.cost_each(key) * count for key, count in made.items()),
        made=made,
        unmakable=tuple(key for key in chain.in_order if wanted[key] and key not in chain.way),
    )


class _Chain:
    """Which stage is made from which, by the way that costs least a copy."""

    def __init__(self, day: Day) -> None:
        self.stages: dict[StageKey, Stage] = {
            (demonstration.id, stage.id): stage for demonstration, stage in day.all_stages()
        }
        self.way: dict[StageKey, Way] = {}
        self.in_order: list[StageKey] = []
        self._price: dict[StageKey, float] = {}
        for key in self.stages:
            self._settle(key)

    def _settle(self, key: StageKey) -> float:
        """Choose the way of a stage after those of all that it can be made from; its price."""
        if key not in self._price:
            prices = [(self._price_by(key, way), way) for way in self.stages[key].ways]
            best = min(prices, key=lambda each: each[0], default=None)
            self._price[key] = best[0] if best else 0.0
            if best:
                self.way[key] = best[1]
            self.in_order.append(key)
        return self._price[key]

    def _price_by(self, key: StageKey, way: Way) -> float:
        stage = self.stages[key]
        sets = 1 / stage.yields_by(way)
        taken = self._taken(key, way)
        return stage.cost_by(way) + sets * sum(self._settle(each) * n for each, n in taken)

    def _taken(self, key: StageKey, way: Way) -> Iterator[tuple[StageKey, int]]:
        for taken in self.stages[key].takes_by(way):
            yield (taken.demonstration or key[0], taken.stage), taken.count

    def last_first(self) -> list[StageKey]:
        """Return the stages so that each comes before what it is made from."""
        return self.in_order[::-1]

    def inputs(self, key: StageKey, copies: int) -> Iterator[tuple[StageKey, int]]:
        """Yield how many copies of which stages so many copies of a stage take."""
        way = self.way.get(key)
        if way is not None:
            sets = -(-copies // self.stages[key].yields_by(way))
            for taken, count in self._taken(key, way):
                yield taken, sets * count

    def cost_each(self, key: StageKey) -> float:
        """Return what starting one copy of a stage costs, without its inputs."""
        return self.stages[key].cost_by(self.way[key])
