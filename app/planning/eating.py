"""May a copy be eaten, until when, and what is in it, as far as the day says."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from app.food.clocks import Due, Verdict, label_times, verdict
from app.food.cooking import Core, rule
from app.food.limits import degrees, section
from app.planning.cores import core_key
from app.planning.day import Beat, Day, Stage
from app.planning.histories import PLACES, Histories, Watch
from app.planning.moments import use_minute
from app.planning.plan import Copy, Plan

StageKey = tuple[str, str]
DAY_MIN = 24 * 60
WHY_NOT_RAW = {
    "raw": "Raw animal food is in it, and no stage since has heated it.",
    "part-cooked": "It was part-cooked while it was raw, and that wants an approved procedure.",
}
BRIEF_RAW = {"raw": "raw animal food in it", "part-cooked": "part-cooked raw food"}
OUT = {
    "out_hot_min": "out of the heat",
    "out_hot_room_min": "out in a hot room",
    "out_cold_min": "out of the cold",
    "out_long_min": "out of the cold",
}


@dataclass(frozen=True)
class Eating:
    """Whether a copy may be eaten, and why.

    Attributes
    ----------
    until
        The last minute at which it may; None where neither day nor law give a limit.
    dues
        What must be cold by when, while it cools.
    on_label
        The one or two minutes that a label of time as control bears.
    is_found
        Whether clocks or readings say no, where its stages say yes.
    core
        A core that was measured too cold: cooked on, or decided by name, it may be eaten after all.
    brief
        Why it may not, in as few words as a label has room for; nothing where it may.
    """

    is_safe: bool
    why: str
    until: int | None = None
    dues: tuple[Due, ...] = ()
    on_label: tuple[int, ...] = ()
    is_found: bool = False
    core: Core | None = None
    brief: str = ""


@dataclass(frozen=True)
class Contained:
    """An allergen and the ingredients that bring it."""

    allergen: str
    ingredients: tuple[str, ...]


class Eatings:
    """Whether each copy of a plan may be eaten; what nobody said to be safe is not.

    Parameters
    ----------
    day, plan
        A plan, and the day that it was worked out for.
    watch
        The house's limits, and what is known of what really happened.
    """

    def __init__(self, day: Day, plan: Plan, watch: Watch | None = None) -> None:
        self.day, self.watch = day, watch or Watch()
        self.histories = Histories(day, plan, self.watch)
        self.clock = self.histories.clock
        self.touched = touched(plan)

    def of(self, copy: Copy, now: int) -> Eating:
        """Return whether a copy may be eaten.

        Parameters
        ----------
        now
            The minute in which somebody asks: what went on camera before it is not for eating.
        """
        stage = self.day.stage(copy.demonstration, copy.stage)
        if not stage.ready_to_eat:
            brief = "raw animal food" if stage.raw_animal else "not ready to eat"
            why = f"The stage “{stage.called}” is not said to be ready to eat."
            return Eating(False, why, brief=brief)
        if self._is_touched(copy, now):
            why = "It has been in front of the camera, or was made from what has been."
            return Eating(False, why, brief="on camera before")
        if stage.safety_min is None and stage.needs_temperature_control:
            why = "It needs cold or heat to stay safe, and the day gives no time limit."
            return Eating(False, why, brief="no time limit given")
        told = self._verdict(copy, stage)
        if told.is_raw_food:
            why, brief = WHY_NOT_RAW[told.is_raw_food], BRIEF_RAW[told.is_raw_food]
            return Eating(False, why, is_found=True, brief=brief)
        if told.failed:
            return Eating(False, self._failed(told), is_found=True, brief="cooled too slowly")
        cold = self.cold_core(copy)
        if cold is not None:
            why, brief = self.core_in_words(cold), "core was too cold"
            return Eating(False, why, is_found=True, core=cold, brief=brief)
        return self._timed(copy, stage, told, now)

    def cold_core(self, copy: Copy) -> Core | None:
        """Return a core measured too cold on which nobody has decided."""
        found = self.histories.core(copy)
        return None if found is None or core_key(found) in self.watch.decided else found

    def core_in_words(self, core: Core) -> str:
        """Return what was measured of a core and what is due, and what may be done."""
        house = self.watch.house
        return (
            f"Its core was {degrees(core.celsius, house)} at {self.clock.hour(core.at)}; "
            f"{degrees(core.wanted_c, house)} is due ({rule(house.limits, core.wanted_c)}). "
            "Cook it on and measure again, or decide by name."
        )

    def _is_touched(self, copy: Copy, now: int) -> bool:
        uses = [taker.use for taker in copy.taken_by if taker.use]
        return copy.id in self.touched or any(use_minute(self.day, *use) < now for use in uses)

    def _verdict(self, copy: Copy, stage: Stage) -> Verdict:
        held, house = self.histories.held(copy), self.watch.house
        told = verdict(
            held, PLACES[stage.zone], house, is_raw=stage.raw_animal, day_end=self.day_end
        )
        if stage.needs_temperature_control or told.is_raw_food or told.failed:
            return told
        return Verdict()

    def _timed(self, copy: Copy, stage: Stage, told: Verdict, now: int) -> Eating:
        """Return what the day's limit and the law's say, whichever ends first."""
        until, why = None, "The stage is ready to eat"
        if stage.safety_min is not None:
            until = self.histories.staged(copy) + stage.safety_min
        is_law = told.until is not None and (until is None or told.until < until)
        if is_law:
            until, why = told.until, f"{why}, {self._counted(told)}"
        elif until is None:
            why = f"{why}, and the day gives no time limit"
        on_label = label_times(told) if is_law else ()
        if until is not None and now > until:
            counted = self._counted(told) if is_law else "by the day's own limit"
            over = f"Its time was over at {self.clock.hour(until)}, {counted}."
            brief = "its time is over"
            return Eating(False, over, until, told.dues, on_label, is_found=True, brief=brief)
        return Eating(True, f"{why}.{self._unread(told, now)}", until, told.dues, on_label)

    def _unread(self, told: Verdict, now: int) -> str:
        """Return a further sentence where what was due is past and nobody has measured it."""
        for due in told.dues:
            if due.by < now:
                cold, by = degrees(due.celsius, self.watch.house), self.clock.hour(due.by)
                return f" Nobody has measured that it was at {cold} by {by}: measure it first."
        return ""

    def _counted(self, told: Verdict) -> str:
        """Return what a law's limit is counted from, and where it stands."""
        limits = self.watch.house.limits
        where = section(limits, told.limit)
        if told.limit == "date_mark_days":
            made = self.clock.date(told.since or 0)
            return f"made on {made} and kept cold for {limits.date_mark_days:g} days ({where})"
        since = self.clock.hour(told.since or 0)
        span_min = (told.until or 0) - (told.since or 0)
        rule = where if self.watch.house.has_time_control else f"{where}, by a written procedure"
        return f"{OUT[told.limit]} since {since}, for {span_min / 60:g} hours at most ({rule})"

    def _failed(self, told: Verdict) -> str:
        failed, house = told.failed, self.watch.house
        assert failed is not None
        limits, hour = house.limits, self.clock.hour
        span_min = limits.get(failed.limit) or 0
        is_first = failed.limit == "cool_middle_min"
        wanted = limits.cool_middle_c if is_first else limits.cold_c
        return (
            f"It cooled too slowly: still {degrees(failed.celsius, house)} at {hour(failed.at)}; "
            f"{degrees(wanted or 0, house)} was due by {hour(failed.since + round(span_min))} "
            f"({section(limits, failed.limit)})."
        )

    def day_end(self, minute: int, days: int) -> int:
        """Return the last minute of the local day so many days after that of a minute."""
        after = str(date.fromisoformat(self.clock.date(minute)) + timedelta(days=days + 1))
        # Clocks change at night: noon is there, and once.
        first = self.clock.minute(f"{after}T12:00") - DAY_MIN // 2
        while self.clock.date(first - 1) == after:
            first -= 1
        while self.clock.date(first) != after:
            first += 1
        return first - 1


def eating(day: Day, plan: Plan, copy: Copy, now: int, watch: Watch | None = None) -> Eating:
    """Return whether one copy may be eaten; who asks for many asks `Eatings`."""
    return Eatings(day, plan, watch).of(copy, now)


def touched(plan: Plan) -> frozenset[str]:
    """Return the copies that come from the camera: left by a beat, or made from what was on it.

    Every copy of a batch counts as made from all inputs of the batch.
    """
    left = {copy.id for copy in plan.copies if copy.made_by.use}
    sources = left | {copy.id for copy in plan.copies if _is_shown(copy)}
    while True:
        made = {
            copy
            for batch in plan.batches
            if not sources.isdisjoint(batch.consumes)
            for copy in batch.copies
        }
        if made <= left:
            return frozenset(left)
        left |= made
        sources |= made


def contained(day: Day, demonstration: str, stage: str) -> list[Contained]:
    """Return the allergens of a stage and of all that may have gone into it, in order.

    Whichever way it is made and whichever beat leaves it: rather one too many than one too few.
    """
    found: dict[str, dict[str, None]] = {}
    for name, contains in _ingredients(day, (demonstration, stage), set()):
        for allergen in contains:
            found.setdefault(allergen, {})[name] = None
    return [Contained(allergen, tuple(found[allergen])) for allergen in sorted(found)]


def named(day: Day, demonstration: str, stage: str) -> list[str]:
    """Return the names of all ingredients that may have gone into a stage, in order."""
    names = {name for name, _ in _ingredients(day, (demonstration, stage), set())}
    return sorted(names)


def _is_shown(copy: Copy) -> bool:
    return any(taker.use is not None for taker in copy.taken_by)


def _ingredients(
    day: Day, key: StageKey, seen: set[StageKey]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    if key in seen:
        return
    seen.add(key)
    demonstration, stage = day.demonstration(key[0]), day.stage(*key)
    for each in stage.ingredients:
        yield each.name, each.contains
    for above in _inputs(key[0], stage):
        yield from _ingredients(day, above, seen)
    for beat in demonstration.beats:
        if _leaves_anew(beat, key[1]):
            for each in beat.ingredients:
                yield each.name, each.contains
            for need in beat.needs:
                yield from _ingredients(day, (key[0], need.stage), seen)


def _inputs(demonstration: str, stage: Stage) -> Iterator[StageKey]:
    sets = [stage.takes, *(way.takes for way in stage.ways if way.takes is not None)]
    for takes in sets:
        for each in takes:
            yield each.demonstration or demonstration, each.stage


def _leaves_anew(beat: Beat, stage: str) -> bool:
    return any(leaving.stage == stage for leaving in beat.leaves)
