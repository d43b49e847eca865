"""Where a copy may be put down, given what stands already."""

from collections.abc import Iterator

from tests.brute.facts import Facts

Loc = tuple[int, ...]
Standing = tuple[Loc, int, int]  # where, stage, origin: one physical copy


class Shelves:
    """The shelf units of a day."""

    def __init__(self, facts: Facts) -> None:
        self.stages = facts.stages
        self.units = [(i, s.zone, s.levels) for i, s in enumerate(facts.day.kitchen.shelves)]
        self.wide = any((stage.slots or 1) > 1 for stage in facts.stages)

    def places(self, stage: int, zone: str, origin: int, there: list[Standing]) -> Iterator[Loc]:
        """Yield each place in a zone where one more copy of `origin` may stand."""
        width = self.stages[stage].slots or 1
        for unit, of_zone, levels in self.units:
            if of_zone != zone:
                continue
            inside = [each for each in there if each[0][0] == unit]
            for level, slots in enumerate(levels):
                if self._forbidden(stage, level, inside):
                    continue
                yield from self._on_level(stage, width, unit, level, slots, origin, inside)

    def _on_level(
        self,
        stage: int,
        width: int,
        unit: int,
        level: int,
        slots: int,
        origin: int,
        inside: list[Standing],
    ) -> Iterator[Loc]:
        opened = False
        for first in range(slots - width + 1):
            beside = [
                each
                for each in inside
                if each[0][1] == level
                and each[0][2] < first + width
                and first < each[0][2] + (self.stages[each[1]].slots or 1)
            ]
            if beside:
                room = self.stages[stage].copies_per_slot or 1
                alone = all(each[1:] == (stage, origin) for each in beside)
                if width == 1 and alone and len(beside) < room:
                    yield (unit, level, first)
            elif self.wide or not opened:
                opened = True
                yield (unit, level, first)

    def _forbidden(self, stage: int, level: int, inside: list[Standing]) -> bool:
        """Tell whether raw food would stand above what it must not drip on."""
        for loc, other, _ in inside:
            if loc[1] < level and self._drips(other, stage):
                return True
            if loc[1] > level and self._drips(stage, other):
                return True
        return False

    def _drips(self, upper: int, lower: int) -> bool:
        above, below = self.stages[upper], self.stages[lower]
        if not above.raw_animal:
            return False
        if below.ready_to_eat:
            return True
        if not below.raw_animal or above.cook_to_c is None or below.cook_to_c is None:
            return False
        return above.cook_to_c > below.cook_to_c
