"""What a copy's life does to its clocks: time in heat, cold and neither, and what was measured.

A copy is under control in heat (hot enough) or in cold (cold enough). Out of both a clock runs from
the last minute under control. Cold stops it where the food got there in time: cooked food in two
steps, other food in one. Where nobody measured, heat and cold are believed to do their work;
a reading that says otherwise is believed more. What failed once stays failed, also when it is
cooked again or goes into something else: heat does not undo what grew.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from app.food.clocks import cooling_span, out_limit
from app.food.held import Failure, Held, Reading, Spell
from app.food.limits import ROUNDING_C, House

# Common practice: what goes from the oven to a hot place within half an hour is still hot, and
# what is worked on for half an hour between chill and chill still cold.
HANDLING_MIN = 30
# Kinds of equipment that heat, as kitchens call them; a kind may have more words.
HEATING = (
    *("oven", "hob", "stove", "range", "burner", "grill", "steamer", "kettle", "fryer", "wok"),
    *("microwave", "smoker", "griddle", "plancha", "salamander", "toaster", "water bath"),
)


def heats(kind: str) -> bool:
    """Return whether equipment of a kind heats food, as far as its name says (common practice)."""
    return any(known in kind.casefold() for known in HEATING)


def kept(
    held: Held,
    spells: Sequence[Spell],
    readings: Iterable[Reading],
    house: House,
    *,
    is_raw: bool = False,
) -> Held:
    """Return how a copy is kept after some more of its life.

    Parameters
    ----------
    held
        How what it is made from was kept; `Held()` for ingredients, which count from the first
        minute.
    spells
        Where it was, one after the other, without gaps.
    readings
        What was measured of it in that time, in any order.
    is_raw
        Whether it is raw animal food all the while, heated or not.

    Source
    ------
    FDA Food Code 3-501.14, 3-501.16, 3-501.19, 3-401.14 by the values of `house`.
    """
    told = sorted(readings)
    walk = _Walk(replace(held, is_raw=held.is_raw or is_raw), house, is_raw)
    for number, spell in enumerate(spells):
        is_last = number == len(spells) - 1
        walk.enter(spell)
        for reading in told:
            is_before_end = is_last or spell.ends is None or reading.at < spell.ends
            is_after_start = number == 0 or reading.at >= spell.starts
            if is_after_start and is_before_end:
                walk.read(reading, spell)
        walk.leave(spell)
    return walk.held


def mixed(parts: Sequence[Held], at: int) -> Held:
    """Return how a mix of copies is kept from a minute on: as the worst of them, in each respect.

    A mix keeps the earliest date of its parts.

    Source
    ------
    FDA Food Code 3-501.17 (D); for the rest rather too strict than too lenient.
    """
    counting = [each for each in parts if not each.is_fresh]
    raw = [each for each in parts if each.is_raw]
    mix = replace(
        _slowest(counting, at),
        made_at=min((each.made_at for each in counting if each.made_at is not None), default=None),
        frozen_min=min((each.frozen_min for each in counting), default=0),
        is_raw=bool(raw),
        is_cooked=bool(raw) and all(each.is_cooked for each in raw),
        first_heat_min=max((each.first_heat_min for each in parts), default=0),
        failed=next((each.failed for each in parts if each.failed), None),
    )
    good = [each.good_at for each in counting if each.good_at is not None]
    return replace(mix, good_at=min(good, default=None))


def _slowest(parts: Sequence[Held], at: int) -> Held:
    """Return the part whose clock ends first; hot and cold put together are neither."""
    out = [each for each in parts if each.since is not None]
    if out:
        first = min(out, key=lambda each: (not each.is_late, each.since))
        return replace(first, since=min(each.since for each in out if each.since is not None))
    controls = {each.control for each in parts}
    if len(controls) > 1:
        return Held(since=at, was_hot=True)
    return parts[0] if parts else Held()


class _Walk:
    """Walks through the life of one copy."""

    def __init__(self, held: Held, house: House, is_raw: bool) -> None:
        self.held, self.house, self.limits = held, house, house.limits
        self.is_raw = is_raw

    def enter(self, spell: Spell) -> None:
        """Come to a place."""
        if self.held.made_at is None:
            self._set(made_at=spell.starts)
        if spell.place in ("chill", "frozen"):
            self._to_cold(spell.starts)
        elif spell.place == "hot":
            self._to_hot(spell.starts)
        elif spell.place == "out":
            self._out(spell.starts)

    def leave(self, spell: Spell) -> None:
        """Go from a place; what was heated is hot, and counts anew from there."""
        if spell.ends is None:
            return
        if spell.place == "heat":
            self._heated(spell.starts, spell.ends)
        elif spell.place == "frozen":
            self._set(frozen_min=self.held.frozen_min + spell.ends - spell.starts)
        if self.held.since is None and spell.place != "out":
            self._set(good_at=max(spell.ends, self.held.good_at or spell.ends))

    def read(self, reading: Reading, spell: Spell) -> None:
        """Take a reading in."""
        if self.held.failed or spell.place == "heat":
            return
        if self.held.since is None:
            self._read_kept(reading)
        else:
            self._read_out(reading, self.held.since, spell)

    def _set(self, **values: object) -> None:
        self.held = replace(self.held, **values)  # type: ignore[arg-type]

    def _heated(self, starts: int, ends: int) -> None:
        if self.is_raw:
            self._set(first_heat_min=self.held.first_heat_min + ends - starts)
        else:
            self._set(made_at=ends, frozen_min=0, is_cooked=True)
        self._under("heat", ends)

    def _under(self, control: Literal["heat", "cold"], at: int, *, is_read: bool = False) -> None:
        """Be under control from a minute on."""
        self._set(
            control=control,
            since=None,
            chilled_at=None,
            is_late=False,
            is_middle_met=False,
            was_read_cold=is_read and control == "cold",
            warmest_c=None,
            good_at=at,
        )

    def _to_cold(self, at: int) -> None:
        held = self.held
        if held.since is None:
            if held.control == "cold":
                return
            was_hot = held.control == "heat"
            self._set(control="", since=at, was_hot=was_hot, chilled_at=at, is_middle_met=False)
        elif held.was_cold and held.warmest_c is None and at - held.since <= HANDLING_MIN:
            self._under("cold", at)
        elif held.chilled_at is None:
            most_min = self._time_to_chill()
            is_late = most_min is not None and at - held.since > most_min and not held.is_middle_met
            self._set(chilled_at=at, is_late=held.is_late or is_late)

    def _time_to_chill(self) -> float | None:
        """Return how long after heat or cold the chill still stops the clock."""
        limits = self.limits
        if not self.held.was_hot:
            return limits.cool_ambient_min or limits.out_cold_min
        return limits.cool_middle_min or limits.out_hot_min

    def _to_hot(self, at: int) -> None:
        held = self.held
        if held.since is None and held.control != "heat":
            self._set(control="", since=at, was_hot=False)
        elif held.since is not None and held.was_hot and at - held.since <= HANDLING_MIN:
            self._under("heat", at)

    def _out(self, at: int) -> None:
        held = self.held
        if held.since is None:
            was_hot, was_cold = held.control == "heat", held.control == "cold"
            self._set(control="", since=at, was_hot=was_hot, was_cold=was_cold)
            self._set(chilled_at=None, warmest_c=None, is_middle_met=False)
            return
        if held.chilled_at is None:
            return
        whole_min = cooling_span(held, self.limits)[1] or 0
        if not held.is_late and at - held.since >= whole_min:
            # In the chill for longer than cooling may take, and nobody measured otherwise.
            self._under("cold", at)
            self._out(at)
        else:
            self._set(chilled_at=None)

    def _read_kept(self, reading: Reading) -> None:
        """Take in a reading of what should be hot or cold."""
        limits, held = self.limits, self.held
        is_hot = held.control == "heat"
        if is_hot and limits.hot_c is not None and reading.celsius < limits.hot_c:
            self._lapse(reading, was_hot=True)
        elif held.control == "cold" and self._is_above(reading, limits.cold_c):
            self._lapse(reading, was_hot=False)
        else:
            self._set(good_at=reading.at, was_read_cold=held.control == "cold")

    def _lapse(self, reading: Reading, *, was_hot: bool) -> None:
        """Count from the last minute at which it was known to be kept well."""
        since = self.held.good_at if self.held.good_at is not None else reading.at
        self._set(
            control="",
            since=since,
            was_hot=was_hot,
            was_cold=False,
            chilled_at=None,
            is_middle_met=False,
            was_read_cold=False,
            warmest_c=reading.celsius,
        )

    def _read_out(self, reading: Reading, since: int, spell: Spell) -> None:
        """Take in a reading of what is out of control or cools."""
        held, hot_c = self.held, self.limits.hot_c
        was_below = held.warmest_c is not None and hot_c is not None and held.warmest_c < hot_c
        warmest_c = reading.celsius
        self._set(warmest_c=warmest_c if held.warmest_c is None else max(warmest_c, held.warmest_c))
        if held.was_hot and hot_c is not None and reading.celsius >= hot_c:
            self._read_hot(reading, since, was_below=was_below)
        elif held.chilled_at is not None:
            self._read_cooling(reading, since)
        elif not self._is_above(reading, self.limits.cold_c):
            self._read_cold(reading, since, spell)
        elif held.was_hot and not self._is_above(reading, self.limits.cool_middle_c):
            self._set(is_middle_met=self._is_within(self.limits.cool_middle_min, reading, since))

    def _read_hot(self, reading: Reading, since: int, *, was_below: bool) -> None:
        """Take in that it is hot: it still is, or it was heated up again hot and fast enough."""
        limits = self.limits
        if not was_below:
            self._set(since=max(since, reading.at), warmest_c=None)
            return
        is_hot_enough = limits.reheat_c is None or reading.celsius >= limits.reheat_c - ROUNDING_C
        if is_hot_enough and self._is_within(
            limits.reheat_min or limits.out_hot_min, reading, since
        ):
            self._under("heat", reading.at)

    def _read_cooling(self, reading: Reading, since: int) -> None:
        limits, held = self.limits, self.held
        if held.was_hot and limits.cool_middle_c is not None and not held.is_middle_met:
            if not self._is_above(reading, limits.cool_middle_c):
                self._set(is_middle_met=True)
            elif not self._is_within(limits.cool_middle_min, reading, since):
                self._fail("cool_middle_min", reading, since)
                return
        name, whole_min = cooling_span(held, limits)
        if not self._is_above(reading, limits.cold_c):
            if not held.is_late:
                self._under("cold", reading.at, is_read=True)
        elif not self._is_within(whole_min, reading, since):
            self._fail(name, reading, since)

    def _read_cold(self, reading: Reading, since: int, spell: Spell) -> None:
        """Take in that it is cold though it was warm, or stands where nothing keeps it cold."""
        if not self._is_within(out_limit(self.held, self.house)[1], reading, since):
            return
        self._under("cold", reading.at, is_read=True)
        if spell.place == "out":
            self._set(control="", since=reading.at, was_hot=False)

    def _fail(self, limit: str, reading: Reading, since: int) -> None:
        self._set(failed=Failure(limit, reading.at, since, reading.celsius))

    def _is_above(self, reading: Reading, most_c: float | None) -> bool:
        return most_c is not None and reading.celsius > most_c + ROUNDING_C

    def _is_within(self, span_min: float | None, reading: Reading, since: int) -> bool:
        return span_min is None or reading.at <= since + span_min
