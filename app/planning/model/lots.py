"""Batches in lots: for each call as many as anybody likes, each at any minute that may be of use.

A lot counts its batches, copies and inputs, but decides no minutes, so that it leaves out rules
and adds none: what is proven with lots holds for any number of batches in any kitchen. An answer
in lots is no plan. Where some needs must not have been on camera a call has two lots, of which
one is made from what has been.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from app.planning.calls import Call
from app.planning.day import Phase
from app.planning.hours import Spans, joined, last_in, meet
from app.planning.model.batches import Choice, Maybe
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Making, Method


@dataclass(frozen=True)
class Size:
    """Batches of one size: how many, the sets that each takes, their last start."""

    method: Method
    count: Expr
    sets: int
    last_start: int


@dataclass
class Lot(Maybe):
    """All batches of a call: `starts` and `staged` say nothing, the rest is of all together.

    `handled` are the batches that ask for hands.
    """

    shown: bool = False
    batches: Expr = 0
    handled: Expr = 0
    hands_min: Expr = 0
    sizes: list[Size] = field(default_factory=list)
    window: tuple[int, int] = (0, 0)

    def takes_after(self, stage: StageKey, minute: int) -> Expr:
        """Return how many copies of a stage it takes at most in batches that start later."""
        return total(
            count * size.sets * size.count
            for size in self.sizes
            for taken, count in size.method.takes
            if taken == stage and size.last_start > minute
        )


def lots_of(sheet: Sheet, making: Making, is_shy: bool) -> Iterator[Lot]:
    """Yield the lots of a stage; `is_shy` tells that it matters what has been on camera."""
    for call in making.calls.values():
        window = meet(making.staged, ((call.useful_from, call.staged_until),))
        for shown in (False, True) if is_shy else (False,):
            lot = _lot(sheet, making, call, _name(making, call.run, shown), window)
            if lot.choices:
                lot.shown = shown
                yield lot


def copies_in_lots(making: Making, run: str, method: Method, values: Mapping[str, int]) -> int:
    """Return how many good copies the lots of a call make by one way, as an answer says."""
    good = 0
    for shown in (False, True):
        label = f"{_name(making, run, shown)} {method.way.id}"
        good += values.get(f"{label} good", 0)
        good += sum(n * values.get(f"{label} of {n}", 0) for n in range(1, method.good_max + 1))
    return good


def _name(making: Making, run: str, shown: bool) -> str:
    return f"{making.code}/{run}/lot{' shown' if shown else ''}"


def _lot(sheet: Sheet, making: Making, call: Call, name: str, window: Spans) -> Lot:
    lot = Lot(name, making, call, sheet.model.new_constant(1), 0, 0, window, [])
    starts: list[tuple[int, int]] = []
    for method in making.methods:
        first = call.useful_from - method.longest_min
        last = call.staged_until - method.shortest_min
        possible = meet(method.starts, ((first, last),))
        if possible and window:
            starts += possible
            _add_way(sheet, lot, method)
    if starts:
        every = joined(starts)
        lot.window = every[0][0], every[-1][1]
    return lot


def _add_way(sheet: Sheet, lot: Lot, method: Method) -> None:
    """Add one way with all its batches: alike in all but number, or told apart by their size."""
    label = f"{lot.name} {method.way.id}"
    if method.loss == 0 and method.yields == 1 and method.shortest_min == method.longest_min:
        good, started, sets, batches = _alike(sheet, lot, method, label)
    else:
        good, started, sets, batches = _by_size(sheet, lot, method, label)
    hands = [
        _worked(sheet, phase, started, batches, f"{label} {i}")
        for i, phase in enumerate(method.way.phases)
        if phase.hands
    ]
    lot.choices.append(Choice(method, lot.present, good, lot.call.any.good, started, sets))
    lot.batches = total([lot.batches, batches])
    lot.handled = total([lot.handled, batches if hands else 0])
    lot.hands_min = total([lot.hands_min, *hands])


def _alike(sheet: Sheet, lot: Lot, method: Method, label: str) -> tuple[Expr, Expr, Expr, Expr]:
    """Return the good copies, those started, the sets and the batches."""
    most = lot.call.any
    batches = sheet.count(f"{label} batches", 0, most.batches)
    good = sheet.count(f"{label} good", 0, most.good)
    sheet.model.add(good >= batches)
    sheet.model.add(good <= method.good_max * batches)
    lot.sizes.append(Size(method, good, 1, _last_start(lot, method, 1)))
    return good, good, good, batches


def _by_size(sheet: Sheet, lot: Lot, method: Method, label: str) -> tuple[Expr, Expr, Expr, Expr]:
    """Return the good copies, those started, the sets and the batches, each size by itself."""
    most = lot.call.any.good
    own: list[tuple[int, Size]] = []
    for good in range(1, min(method.good_max, most) + 1):
        count = sheet.count(f"{label} of {good}", 0, most // good)
        started = method.started[good]
        last_start = _last_start(lot, method, started)
        own.append((good, Size(method, count, method.sets(started), last_start)))
    lot.sizes += [each for _, each in own]
    return (
        total(good * each.count for good, each in own),
        total(method.started[good] * each.count for good, each in own),
        total(each.sets * each.count for _, each in own),
        total(each.count for _, each in own),
    )


def _last_start(lot: Lot, method: Method, started: int) -> int:
    return last_in(method.starts, lot.call.staged_until - method.way.length_min(started))


def _worked(sheet: Sheet, phase: Phase, started: Expr, batches: Expr, name: str) -> Expr:
    """Return the crew minutes of one phase of all batches; seconds are rounded up only once."""
    whole = phase.lasts_min * batches + phase.per_copy_min * started
    if phase.per_copy_s == 0:
        return phase.hands * whole
    seconds = sheet.whole(f"{name} seconds", 0, 10**6)
    sheet.model.add(60 * seconds >= phase.per_copy_s * started)
    return phase.hands * (whole + seconds)
