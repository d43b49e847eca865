"""Batches that may be: each with the way it takes, its copies, its start and its phases."""

import itertools
from dataclasses import dataclass, field

from app.planning.day import Phase
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Making, Method, Scope


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
    started: Expr
    sets: Expr
    spans: list[Span] = field(default_factory=list)


@dataclass
class Maybe:
    """A batch that may be: absent, or one of its choices."""

    name: str
    making: Making
    present: Lit
    starts: Expr
    staged: Expr
    choices: list[Choice]

    @property
    def good(self) -> Expr:
        """Return its copies without the spares."""
        return total(choice.good for choice in self.choices)

    @property
    def good_max(self) -> int:
        """Return the most good copies it can give."""
        return max(choice.method.good_max for choice in self.choices)

    def takes(self, stage: StageKey) -> Expr:
        """Return how many copies of a stage it takes."""
        return total(
            count * choice.sets
            for choice in self.choices
            for taken, count in choice.method.takes
            if taken == stage
        )


def maybes(sheet: Sheet, scope: Scope, making: Making) -> list[Maybe]:
    """Return the batches of a stage that may be, the earlier staged before the later."""
    if not making.methods or making.staged_from > making.staged_until:
        return []
    found = [_maybe(sheet, scope, making, i) for i in range(making.batches)]
    for one, other in itertools.pairwise(found):
        sheet.model.add_implication(other.present, one.present)
        sheet.model.add(one.staged <= other.staged).only_enforce_if(other.present)
    return found


def _maybe(sheet: Sheet, scope: Scope, making: Making, index: int) -> Maybe:
    name = f"{making.code}/{index}"
    earliest = max(scope.prep_from, making.useful_from - max(_longest(making)))
    latest = making.staged_until - min(each.shortest_min for each in making.methods)
    starts = sheet.whole(f"{name} starts", earliest, latest)
    present = sheet.either(f"{name} present")
    sheet.model.add(starts == earliest).only_enforce_if(~present)
    choices = [_choice(sheet, making, method, name, present) for method in making.methods]
    if len(choices) > 1:
        sheet.model.add(total(choice.chosen for choice in choices) == present)
    for choice in choices:
        _phases_rule(sheet, making, choice, name, starts, earliest, latest)
    staged = _staged(sheet, making, choices, name)
    return Maybe(name, making, present, starts, staged, choices)


def _longest(making: Making) -> list[int]:
    return [method.longest_min for method in making.methods]


def _choice(sheet: Sheet, making: Making, method: Method, name: str, present: Lit) -> Choice:
    """Return one way with its counts: good copies, copies started, sets of inputs."""
    label = f"{name} {method.way.id}"
    chosen = present if len(making.methods) == 1 else sheet.either(f"{label} chosen")
    most = min(method.good_max, making.good_max)
    if most == 1:
        good: Expr = chosen
    else:
        good = sheet.whole(f"{label} good", 0, most)
        sheet.model.add(good >= chosen)
        sheet.model.add(good <= most * chosen)
    started = _started(sheet, method, most, good, label)
    sets = rounded_up(sheet, f"{label} sets", started, method.yields, method.started[most], chosen)
    return Choice(method, chosen, good, started, sets)


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


def _phases_rule(
    sheet: Sheet,
    making: Making,
    choice: Choice,
    name: str,
    starts: Expr,
    earliest: int,
    latest: int,
) -> None:
    """Rule `phases`: they follow each other without a gap and have the right lengths."""
    method, at = choice.method, starts
    least, most = method.started[1], method.started[min(method.good_max, making.good_max)]
    for i, phase in enumerate(method.way.phases):
        label = f"{name} {method.way.id} {i}"
        seconds = rounded_up(
            sheet, f"{label} seconds", choice.started, 60, most, choice.chosen, phase.per_copy_s
        )
        ends: Expr
        if (phase.per_copy_min == 0 and phase.per_copy_s == 0) or most == least:
            lasts: Expr = phase.length_min(least)
            ends = at + lasts
        else:
            lasts = sheet.whole(f"{label} lasts", 0, phase.length_min(most))
            ends = sheet.whole(f"{label} ends", earliest, latest + method.longest_min)
            asked = phase.lasts_min * choice.chosen + phase.per_copy_min * choice.started + seconds
            sheet.model.add(lasts == asked)
            sheet.model.add(ends == at + lasts).only_enforce_if(choice.chosen)
            sheet.model.add(ends == earliest).only_enforce_if(~choice.chosen)
        span = Span(
            label, phase, choice.chosen, choice.started, most, at, lasts, ends, earliest, latest
        )
        choice.spans.append(span)
        at = ends
        earliest += phase.length_min(least)
        latest += phase.length_min(most)


def _staged(sheet: Sheet, making: Making, choices: list[Choice], name: str) -> Expr:
    if len(choices) == 1:
        return choices[0].spans[-1].ends
    staged = sheet.whole(f"{name} staged", making.useful_from, making.staged_until)
    for choice in choices:
        sheet.model.add(staged == choice.spans[-1].ends).only_enforce_if(choice.chosen)
    return staged
