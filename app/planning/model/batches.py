"""Batches that may be: each with the way it takes, its copies, its start and its phases."""

import itertools
from dataclasses import dataclass, field

from app.planning.calls import Call
from app.planning.day import Phase
from app.planning.hours import Spans, joined, meet
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Making, Method


@dataclass
class Span:
    """One phase of one way of a batch that may be. It counts only where `chosen` is true."""

    name: str
    phase: Phase
    chosen: Lit
    started: Expr
    started_max: int
    starts: Expr
    lasts: Expr
    ends: Expr
    earliest: int
    latest: int


@dataclass
class Choice:
    """One way of a batch that may be."""

    method: Method
    chosen: Lit
    good: Expr
    good_max: int
    started: Expr
    sets: Expr
    spans: list[Span] = field(default_factory=list)


@dataclass
class Maybe:
    """A batch that may be: absent, or one of its choices."""

    name: str
    making: Making
    call: Call
    present: Lit
    starts: Expr
    staged: Expr
    staged_spans: Spans
    choices: list[Choice]

    @property
    def window(self) -> tuple[int, int]:
        """Return the first and last minute at which it can start."""
        first = [choice.spans[0] for choice in self.choices]
        return min(span.earliest for span in first), max(span.latest for span in first)

    @property
    def starts_until(self) -> Expr:
        """Return the last minute at which one of its copies starts."""
        return self.starts

    @property
    def staged_until(self) -> Expr:
        """Return the last minute at which one of its copies is staged."""
        return self.staged

    @property
    def good(self) -> Expr:
        """Return its copies without the spares."""
        return total(choice.good for choice in self.choices)

    @property
    def good_max(self) -> int:
        """Return the most good copies it can give."""
        return max(choice.good_max for choice in self.choices)

    def takes(self, stage: StageKey) -> Expr:
        """Return how many copies of a stage it takes."""
        return total(
            count * choice.sets
            for choice in self.choices
            for taken, count in choice.method.takes
            if taken == stage
        )


def maybes(sheet: Sheet, making: Making, in_order: bool = True) -> list[Maybe]:
    """Return the batches of a stage that may be, those of one call in the order of staging.

    Where a plan is mended, batches that were published may change their order.
    """
    return [
        maybe for call in making.calls.values() for maybe in _of_call(sheet, making, call, in_order)
    ]


def _of_call(sheet: Sheet, making: Making, call: Call, in_order: bool) -> list[Maybe]:
    windows = [_window(method, call) for method in making.methods]
    if not any(windows):
        return []
    names = [f"{making.code}/{call.run}/{i}" for i in range(call.batches)]
    found = [
        _maybe(sheet, making, call, name, windows)
        for name in names
        if not sheet.is_absent(f"{name} present")
    ]
    for one, other in itertools.pairwise(found):
        sheet.model.add_implication(other.present, one.present)
        if in_order:
            sheet.model.add(one.staged <= other.staged).only_enforce_if(other.present)
    return found


def _window(method: Method, call: Call) -> Spans:
    """Return when a batch for a call can start."""
    latest = call.staged_until - method.shortest_min
    return meet(method.starts, ((call.useful_from - method.longest_min, latest),))


def _maybe(sheet: Sheet, making: Making, call: Call, name: str, windows: list[Spans]) -> Maybe:
    present = sheet.choice(f"{name} present")
    possible = [each for each in zip(making.methods, windows, strict=True) if each[1]]
    every = joined(span for _, window in possible for span in window)
    starts = sheet.minute(f"{name} starts", every)
    sheet.model.add(starts == every[0][0]).only_enforce_if(~present)
    choices = []
    for method, window in zip(making.methods, windows, strict=True):
        label, chosen = f"{name} {method.way.id}", present
        if not window:
            sheet.never(f"{label} chosen")
            continue
        if len(making.methods) > 1:
            chosen = sheet.choice(f"{label} chosen")
            sheet.within(starts, window, chosen)
        choices.append(_choice(sheet, call, method, label, chosen))
        _phases_rule(sheet, choices[-1], label, starts, window)
    if len(making.methods) > 1:
        sheet.model.add(total(choice.chosen for choice in choices) == present)
    staged = _staged(sheet, call, choices, name)
    spans = joined(
        (start + method.shortest_min, end + method.longest_min)
        for method, window in possible
        for start, end in window
    )
    return Maybe(name, making, call, present, starts, staged, spans, choices)


def _choice(sheet: Sheet, call: Call, method: Method, label: str, chosen: Lit) -> Choice:
    """Return one way with its counts: good copies, copies started, sets of inputs."""
    most = min(method.good_max, call.considered.good)
    if most == 1:
        good: Expr = chosen
    else:
        good = sheet.count(f"{label} good", 0, most)
        sheet.model.add(good >= chosen)
        sheet.model.add(good <= most * chosen)
    started = _started(sheet, method, most, good, label)
    sets = rounded_up(sheet, f"{label} sets", started, method.yields, method.started[most], chosen)
    return Choice(method, chosen, good, most, started, sets)


def _started(sheet: Sheet, method: Method, most: int, good: Expr, label: str) -> Expr:
    """Rule `spares`: a batch that is to give so many good copies starts so many."""
    if method.loss == 0:
        return good
    if most == 1:
        return method.started[1] * good
    started = sheet.whole(f"{label} started", 0, method.started[most])
    pairs = list(enumerate(method.started[: most + 1]))
    sheet.model.add_allowed_assignments([good, started], pairs)
    return started


def rounded_up(
    sheet: Sheet, name: str, amount: Expr, by: int, most: int, chosen: Lit, times: int = 1
) -> Expr:
    """Return ⌈amount × times ÷ by⌉ of a batch, 0 where it is not chosen."""
    if times % by == 0:
        return times // by * amount
    if most * times <= by:
        return chosen * 1
    whole = sheet.whole(name, 0, -(-most * times // by))
    sheet.model.add(by * whole >= times * amount)
    sheet.model.add(by * whole <= times * amount + by - 1)
    return whole


def _phases_rule(sheet: Sheet, choice: Choice, label: str, starts: Expr, window: Spans) -> None:
    """Rule `phases`: they follow each other without a gap and have the right lengths."""
    method, at = choice.method, starts
    least, most = method.started[1], method.started[choice.good_max]
    earliest, latest = window[0][0], window[-1][1]
    for i, phase in enumerate(method.way.phases):
        name = f"{label} {i}"
        ends: Expr
        if phase.length_min(least) == phase.length_min(most):
            lasts: Expr = phase.length_min(least)
            ends = at + lasts
        else:
            lasts = sheet.whole(f"{name} lasts", 0, phase.length_min(most))
            ends = sheet.whole(f"{name} ends", earliest, latest + phase.length_min(most))
            sheet.model.add(lasts == _asked(sheet, choice, phase, name, most))
            sheet.model.add(ends == at + lasts).only_enforce_if(choice.chosen)
            sheet.model.add(ends == earliest).only_enforce_if(~choice.chosen)
        choice.spans.append(
            Span(
                name, phase, choice.chosen, choice.started, most, at, lasts, ends, earliest, latest
            )
        )
        at = ends
        earliest += phase.length_min(least)
        latest += phase.length_min(most)


def _asked(sheet: Sheet, choice: Choice, phase: Phase, name: str, most: int) -> Expr:
    """Return the minutes that a phase of the copies started lasts; 0 where it is not chosen."""
    seconds = rounded_up(
        sheet, f"{name} seconds", choice.started, 60, most, choice.chosen, phase.per_copy_s
    )
    return phase.lasts_min * choice.chosen + phase.per_copy_min * choice.started + seconds


def _staged(sheet: Sheet, call: Call, choices: list[Choice], name: str) -> Expr:
    if len(choices) == 1:
        return choices[0].spans[-1].ends
    staged = sheet.whole(f"{name} staged", call.useful_from, call.staged_until)
    for choice in choices:
        sheet.model.add(staged == choice.spans[-1].ends).only_enforce_if(choice.chosen)
    return staged
