"""Batches that nobody attends to, as many as anybody likes: each copy starts when it likes.

A batch that asks for no hands costs nothing, so that a plan may have as many of these as it likes,
if only to be fresher by some minutes. Here all copies that such a way makes of what one source
gives are one batch that may be, of any size; each of its copies starts at a minute of its own. It
asks for no items and no slots, so that rules are left out and none is added: what is proven holds
for any number of such batches. An answer is no plan.

Of all that a copy is made from one stage binds its minutes, the one that keeps the shortest.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from app.planning.calls import Call, Most
from app.planning.hours import Spans, joined, meet
from app.planning.model.batches import Choice, Maybe
from app.planning.model.flows import Source, sources_at
from app.planning.model.sheet import Expr, Sheet
from app.planning.model.touched import stages_that_matter
from app.planning.needs import StageKey, Use
from app.planning.scope import Making, Method, Scope


@dataclass(frozen=True)
class Origin:
    """From where copies come into an unattended batch: a source, and after which use of it."""

    stage: StageKey
    source: Source
    after: Use | None = None

    @property
    def name(self) -> str:
        """Return its name in the model."""
        return f"{self.source.name}{f' after {self.after.index}' if self.after else ''}"

    def gives(self, source: Source, after: Use | None) -> bool:
        """Tell whether copies of its stage come from it."""
        is_it = source.name == self.source.name and after is self.after
        return source.stage != self.stage or is_it


@dataclass
class Unattended(Maybe):
    """Copies that nobody attends to: `starts` and `staged` are the first minutes at which one of
    them is begun and staged, `starts_until` and `staged_until` the last ones."""

    starts_until: Expr = 0
    staged_until: Expr = 0
    window: tuple[int, int] = (0, 0)
    origin: Origin | None = None

    def can_take(self, source: Source, after: Use | None) -> bool:
        """Tell whether copies of a source may go into it."""
        return self.origin is None or self.origin.gives(source, after)

    def is_bound_by(self, stage: StageKey) -> bool:
        """Tell whether its minutes are those of what it takes of a stage."""
        return self.origin is not None and self.origin.stage == stage


def asks_no_hands(method: Method) -> bool:
    """Tell whether nobody attends to the batches of a way."""
    return not any(phase.hands for phase in method.way.phases)


def unattended_of(
    sheet: Sheet,
    scope: Scope,
    making: Making,
    batches: Mapping[StageKey, list[Maybe]],
) -> Iterator[Unattended]:
    """Yield what may be made of a stage without anybody attending.

    Where it matters what has been on camera, what is made from that is told apart.

    Parameters
    ----------
    batches
        Those that may be of what the stage is made from.
    """
    call, is_shy = _any_call(making), making.key in stages_that_matter(scope)
    for method in making.methods:
        if asks_no_hands(method):
            window = _window(method, call)
            for origin in _origins(scope, method, batches) if window else ():
                mixed = is_shy and (origin is None or len(method.takes) > 1)
                for shown in (False, True) if mixed else (False,):
                    yield _of_way(sheet, making, call, method, window, origin, shown)


def _any_call(making: Making) -> Call:
    """Return one call that holds all calls of a stage."""
    calls = sorted(making.calls.values(), key=lambda each: each.rank)
    call = Call(calls[0].run, calls[0].rank) if calls else Call("", 0)
    good = sum(each.any.good for each in calls)
    call.any = call.considered = Most(good=good, batches=good)
    for each in calls:
        call.widen(each.staged_until, each.useful_from)
    return call


def _window(method: Method, call: Call) -> Spans:
    latest = call.staged_until - method.shortest_min
    return meet(method.starts, ((call.useful_from - method.longest_min, latest),))


def _origins(
    scope: Scope, method: Method, batches: Mapping[StageKey, list[Maybe]]
) -> Iterator[Origin | None]:
    """Yield where copies may come from; None where nothing binds their minutes."""
    single = [taken for taken, count in method.takes if count == 1]
    if not single:
        yield None
        return
    stage = min(single, key=lambda key: scope.makings[key].stage.keeps_min)
    givers = [use for use in scope.needs.uses if use.stage == stage and use.hands_back]
    for source in sources_at(scope, stage, batches[stage]):
        yield Origin(stage, source)
        for giver in givers if scope.day.policy.reuse else ():
            yield Origin(stage, source, giver)


def _of_way(
    sheet: Sheet,
    making: Making,
    call: Call,
    method: Method,
    window: Spans,
    origin: Origin | None,
    shown: bool,
) -> Unattended:
    name = f"{making.code}/unattended {method.way.id}{' shown' if shown else ''}"
    most = call.any.good * method.started[1]
    if origin is not None:
        name = f"{name} of {origin.name}"
        most = min(most, origin.source.count_max * method.yields)
    choice = _choice(sheet, method, name, most, call.any.good)
    first, last = (sheet.minute(f"{name} {which}", window) for which in ("first", "last"))
    sheet.model.add(first <= last)
    shortest_min, longest_min = method.shortest_min, method.longest_min
    return Unattended(
        name=name,
        making=making,
        call=call,
        present=choice.chosen,
        starts=first,
        staged=first + shortest_min,
        staged_spans=joined((start + shortest_min, end + longest_min) for start, end in window),
        choices=[choice],
        starts_until=last,
        staged_until=last + longest_min,
        window=(window[0][0], window[-1][1]),
        origin=origin,
    )


def _choice(sheet: Sheet, method: Method, name: str, most: int, good_max: int) -> Choice:
    """Return a way with its counts; spares and inputs that are left over may be as in any batch.

    Parameters
    ----------
    most, good_max
        The most copies that are started of it, and the most that could be of use.
    """
    good_max = min(most, good_max)
    present = sheet.choice(f"{name} present")
    good = sheet.count(f"{name} good", 0, good_max)
    started: Expr = good
    if method.loss:
        started = sheet.whole(f"{name} started", 0, most)
        sheet.model.add(started >= good)
    sets = started
    if method.yields > 1:
        sets = sheet.whole(f"{name} sets", 0, most)
        sheet.model.add(method.yields * sets >= started)
        sheet.model.add(sets <= started)
    sheet.model.add(started <= most * present)
    return Choice(method, present, good, good_max, started, sets)
