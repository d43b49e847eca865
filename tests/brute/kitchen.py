"""Hands and equipment: all the ways in which a batch can be staffed and housed."""

from collections.abc import Iterator
from itertools import combinations

from tests.brute.facts import Facts, Option

Busy = tuple[tuple[int, int], ...]
Usage = tuple[int, int, int, int, bool]
Crew = tuple[Busy, ...]
Items = tuple[tuple[Usage, ...], ...]


class Kitchen:
    """The crew and the equipment of a day."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.crew = facts.day.kitchen.crew
        self.equipment = facts.day.kitchen.equipment
        self.alike_crew = _alike([(c.skills, facts.shifts[i]) for i, c in enumerate(self.crew)])
        self.alike_items = _alike(
            [(e.kind, e.units, facts.closed[i], e.settings) for i, e in enumerate(self.equipment)]
        )

    def empty(self) -> tuple[Crew, Items]:
        """Return a kitchen in which nothing has been started."""
        return ((),) * len(self.crew), ((),) * len(self.equipment)

    def staffed(self, crew: Crew, option: Option, start: int) -> Iterator[Crew]:
        """Yield the crew's engagements after each way to staff a batch."""
        spans = _spans(option, start)
        jobs = [
            (begin, end, phase.hands, phase.skill)
            for phase, (begin, end) in zip(option.phases, spans, strict=True)
            if phase.hands
        ]
        yield from self._staff(crew, jobs)

    def _staff(self, crew: Crew, jobs: list[tuple[int, int, int, str | None]]) -> Iterator[Crew]:
        if not jobs:
            yield crew
            return
        begin, end, hands, skill = jobs[0]
        free = [
            i
            for i, busy in enumerate(crew)
            if any(a <= begin and end <= b for a, b in self.facts.shifts[i])
            and all(b <= begin or end <= a for a, b in busy)
        ]
        for team in combinations(free, hands):
            if skill is not None and not any(skill in self.crew[i].skills for i in team):
                continue
            after = tuple(
                (*busy, (begin, end)) if i in team else busy for i, busy in enumerate(crew)
            )
            yield from self._staff(after, jobs[1:])

    def housed(self, items: Items, option: Option, start: int) -> Iterator[Items]:
        """Yield the items' uses after each way to house a batch."""
        yield from self._house(items, self._stretches(option, start))

    def _stretches(self, option: Option, start: int) -> list[tuple[str, list[Usage]]]:
        """Return the phases in a row that use one kind: they stay on one item."""
        made: list[tuple[str, list[Usage]]] = []
        last: dict[str, tuple[int, list[Usage]]] = {}
        for number, (phase, (begin, end)) in enumerate(
            zip(option.phases, _spans(option, start), strict=True)
        ):
            for each in phase.equipment:
                setting = -1 if each.setting is None else each.setting
                usage = (begin, end, each.units(option.started), setting, False)
                if each.kind in last and last[each.kind][0] == number - 1:
                    last[each.kind][1].append(usage)
                    last[each.kind] = (number, last[each.kind][1])
                else:
                    stretch = [usage]
                    made.append((each.kind, stretch))
                    last[each.kind] = (number, stretch)
        return made

    def _house(self, items: Items, stretches: list[tuple[str, list[Usage]]]) -> Iterator[Items]:
        if not stretches:
            yield items
            return
        kind, stretch = stretches[0]
        for i, item in enumerate(self.equipment):
            if item.kind != kind:
                continue
            held = self._held(i, items[i], stretch)
            if held is not None:
                yield from self._house((*items[:i], held, *items[i + 1 :]), stretches[1:])

    def _held(
        self, number: int, held: tuple[Usage, ...], stretch: list[Usage]
    ) -> tuple[Usage, ...] | None:
        item = self.equipment[number]
        if item.settings is None:
            mine = [(a, b, units, -1, False) for a, b, units, _, _ in stretch]
        else:
            mine = []
            for i, (a, b, units, setting, _) in enumerate(stretch):
                beside = [stretch[j][3] for j in (i - 1, i + 1) if 0 <= j < len(stretch)]
                mine.append((a, b, units, setting, any(each != setting for each in beside)))
            change = item.settings.change_min
            if mine[0][0] < self.facts.prep + change:
                return None
            if any(_clash(old, new, change) for old in held for new in mine):
                return None
        for a, b, _, _, _ in mine:
            if any(begin < b and a < end for begin, end in self.facts.closed[number]):
                return None
        every = (*held, *mine)
        for minute in {each[0] for each in every}:
            if sum(each[2] for each in every if each[0] <= minute < each[1]) > item.units:
                return None
        return every

    def later(self, crew: Crew, items: Items, minute: int) -> tuple[Crew, Items]:
        """Return only what still matters after `minute`, like members in one order."""
        people = [tuple(sorted(span for span in busy if span[1] > minute)) for busy in crew]
        kept = []
        for i, held in enumerate(items):
            settings = self.equipment[i].settings
            change = 0 if settings is None else settings.change_min
            kept.append(tuple(sorted(each for each in held if each[1] + change > minute)))
        return _ordered(people, self.alike_crew), _ordered(kept, self.alike_items)


def _clash(old: Usage, new: Usage, change_min: int) -> bool:
    if old[0] < new[1] and new[0] < old[1]:
        return old[3] != new[3] or old[4] or new[4]
    if old[3] == new[3]:
        return False
    return max(new[0] - old[1], old[0] - new[1]) < change_min


def _spans(option: Option, start: int) -> list[tuple[int, int]]:
    spans = []
    for long in option.lengths:
        spans.append((start, start + long))
        start += long
    return spans


def _alike(looks: list[object]) -> list[list[int]]:
    groups: list[list[int]] = []
    for i, look in enumerate(looks):
        for group in groups:
            if looks[group[0]] == look:
                group.append(i)
                break
        else:
            groups.append([i])
    return [group for group in groups if len(group) > 1]


def _ordered(states: list, groups: list[list[int]]) -> tuple:  # type: ignore[type-arg]
    for group in groups:
        for i, state in zip(group, sorted(states[i] for i in group), strict=True):
            states[i] = state
    return tuple(states)
