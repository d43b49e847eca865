"""What stands on the label of each copy, or of each slot-full where copies share a slot."""

from collections.abc import Callable, Iterator
from dataclasses import astuple, dataclass, replace

from app.paper import face
from app.paper.changes import in_words
from app.paper.drawn import mark
from app.paper.letters import Badge, badges, stage_codes
from app.paper.of_house import NOTHING, OfHouse
from app.planning.dates import short_date
from app.planning.day import Day, Need, Run, Stage
from app.planning.eating import Eatings, contained
from app.planning.minutes import Clock
from app.planning.people import label_warnings
from app.planning.plan import Copy, Plan, Use
from app.planning.standing import STRAIGHT_ON, Destinations, place_in_words
from app.planning.tasks import tags_in_words

LONGEST_NAME = 48
LONGEST_USE = 90
MOST_USES = 4
MARKED = " · "
WEEK_MIN = 6 * 24 * 60


@dataclass(frozen=True)
class Label:
    """One label, in words; `ref` is the tag that its code opens.

    `avoided` says which people of its runs must not eat it, `why_not` why nobody may.
    """

    badge: Badge
    code: str
    tags: str
    count: str
    stage: str
    title: str
    is_hero: bool
    feeds_hero: bool
    bench: str
    uses: tuple[str, ...]
    staged: str
    good_until: str
    is_safe: bool
    eat: str
    why_not: str
    contains: str
    avoided: tuple[str, ...]
    place: str
    ref: str

    @property
    def mark(self) -> str:
        """Return what tells this label from others: equal for labels that say the same.

        It begins with the label's name, so that one that is void can be found and thrown away.
        Of how many it is one is told on all of a stage: nobody prints those anew for one more.
        """
        return f"{self.tags} {self.stage}{MARKED}{mark(astuple(replace(self, count='')))}"


def labels(
    day: Day,
    plan: Plan,
    house: OfHouse = NOTHING,
    has_room: Callable[[Label], bool] = lambda label: True,
) -> list[Label]:
    """Return the labels of a plan, by day of staging, demonstration, stage and time.

    Parameters
    ----------
    day, plan
        A plan, and the day that it was worked out for.
    house
        The limits that the house works by, and what was measured.
    has_room
        Whether a label holds what stands on it; one of a slot-full that doesn't becomes one a copy.
    """
    reader = _Reader(day, plan, house)
    found: list[Label] = []
    for copies in reader.together():
        whole = reader.label(copies)
        is_one = len(copies) == 1 or has_room(whole)
        found += [whole] if is_one else [reader.label((each,)) for each in copies]
    return found


class _Reader:
    """Reads the labels out of one plan; the lookups are made once."""

    def __init__(self, day: Day, plan: Plan, house: OfHouse) -> None:
        self.day, self.plan, self.clock = day, plan, Clock(day.timezone)
        self.badges = badges(day, plan)
        self.codes = {each.id: stage_codes(each) for each in day.demonstrations}
        self.order = {(each.id, stage.id): n for n, (each, stage) in enumerate(day.all_stages())}
        self.destinations = Destinations(day, plan)
        self.eatings = Eatings(day, plan, house.watch)
        self.avoided = label_warnings(day, plan)
        self.needs = {id(use): self._need(use) for use in plan.uses}
        self.heroes, self.shown = self._heroes(), self._shown()
        self.before_heroes = self._before(self.heroes)
        self.benches = dict(self._benches())
        self.numbers = self._numbers()

    def together(self) -> list[tuple[Copy, ...]]:
        """Return the copies of each label: those of one batch that share a slot have one."""
        found: dict[tuple[object, ...], list[Copy]] = {}
        for copy in sorted(self.plan.copies, key=self._in_order):
            stage = self.day.stage(copy.demonstration, copy.stage)
            shared = (stage.copies_per_slot or 1) > 1
            first = copy.places[0] if copy.places else None
            where = (first.shelf, first.level, first.slot, first.from_) if first else ()
            key = (copy.demonstration, copy.stage, copy.made_by, copy.staged_at, where)
            found.setdefault((*key, "" if shared else copy.id), []).append(copy)
        return [part for copies in found.values() for part in self._slot_fulls(copies)]

    def label(self, copies: tuple[Copy, ...]) -> Label:
        """Return the label of copies that stand together."""
        first = copies[0]
        stage = self.day.stage(first.demonstration, first.stage)
        eat, why_not = self._eating(copies)
        ids = {copy.id for copy in copies}
        is_hero = not ids.isdisjoint(self.heroes)
        return Label(
            badge=self.badges[first.demonstration],
            code=self.codes[first.demonstration][first.stage],
            tags=tags_in_words(copy.tag for copy in copies),
            count=self._count(copies),
            stage=face.clipped(stage.called, LONGEST_NAME),
            title=face.clipped(self.day.demonstration(first.demonstration).title, LONGEST_NAME),
            is_hero=is_hero,
            feeds_hero=not is_hero and not ids.isdisjoint(self.before_heroes),
            bench=self._bench(copies),
            uses=tuple(self._uses(copies)),
            staged=self._when(first.staged_at),
            good_until=self._later(first, stage.keeps_min),
            is_safe=not why_not,
            eat=eat,
            why_not=why_not,
            contains=face.listed(
                each.allergen for each in contained(self.day, first.demonstration, first.stage)
            ),
            avoided=tuple(
                dict.fromkeys(words for each in copies for words in self.avoided.get(each.id, ()))
            ),
            place=self._place(first, stage),
            ref=first.tag,
        )

    def _in_order(self, copy: Copy) -> tuple[object, ...]:
        minute = self.clock.minute(copy.staged_at)
        number = copy.tag.rpartition("-")[2]
        tag = (int(number) if number.isdigit() else 0, copy.tag)
        stage = self.order[copy.demonstration, copy.stage]
        return self.clock.date(minute), stage, minute, tag

    def _slot_fulls(self, copies: list[Copy]) -> Iterator[tuple[Copy, ...]]:
        """Yield as many as a slot holds; those that go straight on stand in none."""
        most = self.day.stage(copies[0].demonstration, copies[0].stage).copies_per_slot or 1
        for at in range(0, len(copies), most):
            yield tuple(copies[at : at + most])

    def _numbers(self) -> dict[str, tuple[int, int]]:
        """Return for each copy which it is of its stage, and of how many."""
        by_stage: dict[tuple[str, str], list[Copy]] = {}
        for copy in sorted(self.plan.copies, key=self._in_order):
            by_stage.setdefault((copy.demonstration, copy.stage), []).append(copy)
        return {
            copy.id: (number, len(copies))
            for copies in by_stage.values()
            for number, copy in enumerate(copies, start=1)
        }

    def _count(self, copies: tuple[Copy, ...]) -> str:
        number, of = self.numbers[copies[0].id]
        return f"{number} of {of}" if len(copies) == 1 else f"{len(copies)} of {of} copies"

    def _need(self, use: Use) -> Need | None:
        beat = self.day.demonstration(self.day.run(use.run).demonstration).beat(use.beat)
        return next((each for each in beat.needs if each.stage == use.stage), None)

    def _heroes(self) -> set[str]:
        """Return the copies that must not have been on camera before they are taken."""
        return {
            copy
            for use in self.plan.uses
            for copy in (*use.copies, *use.backups)
            if (need := self.needs[id(use)]) and (need.untouched or need.tasting)
        }

    def _shown(self) -> set[str]:
        """Return the copies that go in front of the camera and are not eaten there."""
        return {
            copy
            for use in self.plan.uses
            for copy in use.copies
            if not ((need := self.needs[id(use)]) and need.tasting)
        }

    def _before(self, heroes: set[str]) -> set[str]:
        """Return the copies that such copies are made from."""
        found, wanted = set[str](), set(heroes)
        while wanted:
            made_from = {
                copy
                for batch in self.plan.batches
                if not wanted.isdisjoint(batch.copies)
                for copy in batch.consumes
            }
            wanted = made_from - found
            found |= made_from
        return found - heroes

    def _benches(self) -> Iterator[tuple[str, int]]:
        """Yield copies with the bench that gets them first; what is dealt once has none."""
        seen: set[str] = set()
        for use in sorted(self.plan.uses, key=lambda each: self._run(each).starts):
            need, run = self.needs[id(use)], self._run(use)
            if need is None or run.stations < 2 or not need.per_station:
                continue
            for index, copy in enumerate(use.copies):
                if copy not in seen:
                    seen.add(copy)
                    yield copy, index // need.count + 1

    def _run(self, use: Use) -> Run:
        return self.day.run(use.run)

    def _bench(self, copies: tuple[Copy, ...]) -> str:
        found = sorted({self.benches[each.id] for each in copies if each.id in self.benches})
        if not found:
            return ""
        return f"Bench{'es' if len(found) > 1 else ''} {in_words(found)}"

    def _uses(self, copies: tuple[Copy, ...]) -> Iterator[str]:
        """Yield what the copies are for; where they differ, with the tags of those."""
        wanted: dict[str, list[str]] = {}
        for copy in copies:
            for words in self.destinations.all_of(copy) or ["left aside"]:
                wanted.setdefault(words, []).append(copy.tag)
        for words, tags in list(wanted.items())[:MOST_USES]:
            whose = "" if len(tags) == len(copies) else f"{tags_in_words(tags)}: "
            yield face.clipped(f"{whose}{words}", LONGEST_USE)
        if len(wanted) > MOST_USES:
            yield f"and {len(wanted) - MOST_USES} more: open its code"

    def _eating(self, copies: tuple[Copy, ...]) -> tuple[str, str]:
        """Return whether copies may be eaten once they are staged, and why not, in words."""
        told = [self.eatings.of(each, self.clock.minute(each.staged_at)) for each in copies]
        why_not = face.listed(dict.fromkeys(each.brief for each in told if not each.is_safe))
        if why_not:
            return "NOT FOR EATING", why_not
        untils = [each.until for each in told if each.until is not None]
        until = f" until {self._beside(min(untils), copies[0])}" if untils else ""
        times = min((each.on_label for each in told if each.on_label), default=())
        control = face.listed(self._beside(each, copies[0]) for each in times)
        marked = f", time as control {control}" if control else ""
        shown = any(copy.id in self.shown for copy in copies)
        return f"Safe to eat{until}{marked}{', not once on camera' if shown else ''}", ""

    def _place(self, copy: Copy, stage: Stage) -> str:
        if copy.places:
            first = copy.places[0]
            return place_in_words(self.day, first.shelf, first.level, first.slot)
        has_shelf = any(shelf.zone == stage.zone for shelf in self.day.kitchen.shelves)
        return STRAIGHT_ON if has_shelf else f"{stage.zone}, no shelf named"

    def _when(self, text: str) -> str:
        return f"{_day(text)} {face.stamp(text)}"

    def _later(self, copy: Copy, minutes: int) -> str:
        """Return a time with its day of the week; with its date where that comes again."""
        text = self.clock.text(self.clock.minute(copy.staged_at) + minutes)
        return self._when(text) if minutes >= WEEK_MIN else f"{_day(text)} {face.hour(text)}"

    def _beside(self, minute: int, copy: Copy) -> str:
        """Return the hour of a minute, with its day where that is not the day of staging."""
        return face.hour(self.clock.text(minute), copy.staged_at)


def _day(text: str) -> str:
    return short_date(text).partition(" ")[0]
