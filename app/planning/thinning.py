"""Lots that need not be counted, because another lot of the same stage does all that they do.

In a kitchen without limits one early lot mostly serves every later run as well; what is left are
the lots that differ: those that can take what a beat left, or whose copies would not keep.
"""

from collections.abc import Iterator
from copy import copy
from dataclasses import replace

from app.planning.calls import Most
from app.planning.model.backups import can_back
from app.planning.model.build import Model
from app.planning.model.flows import Flow, Source
from app.planning.model.lots import Lot
from app.planning.model.touched import stages_that_matter
from app.planning.needs import StageKey, Use
from app.planning.scope import Scope

Deed = tuple[str, str, *tuple[str | int | None, ...]]


def each_serving_all(scope: Scope) -> Scope:
    """Return the same day where each call of a stage may make all that all of them ask for."""
    wide = copy(scope)
    wide.makings = {}
    for key, making in scope.makings.items():
        copies = sum(call.any.copies for call in making.calls.values())
        all_of_it = Most(copies, copies, copies, copies)
        calls = {run: replace(call, any=all_of_it) for run, call in making.calls.items()}
        wide.makings[key] = replace(making, calls=calls)
    return wide


def thin(scope: Scope, model: Model) -> None:
    """Make nothing in lots that are not needed.

    Parameters
    ----------
    scope
        A day of which each call may make all that is asked for (`each_serving_all`).
    model
        A model of it in lots. What it costs at least stays what it was.
    """
    deeds = _deeds(scope, model)
    needed = dict.fromkeys(deeds, True)
    while idle := _idle(model, deeds):
        for name in idle:
            needed[name] = False
            del deeds[name]
        for mine in deeds.values():
            mine -= {deed for deed in mine if deed[1] in idle}
    for lot in _lots(model):
        if not needed[lot.name]:
            model.sheet.model.add(lot.good == 0)


def _idle(model: Model, deeds: dict[str, set[Deed]]) -> set[str]:
    """Return lots of which another lot that stays does all."""
    idle: set[str] = set()
    for some in model.batches.values():
        names = [each.name for each in some if each.name in deeds]
        for name in names:
            others = (other for other in names if other != name and other not in idle)
            if any(deeds[other] >= deeds[name] for other in others):
                idle.add(name)
    return idle


def _lots(model: Model) -> Iterator[Lot]:
    for some in model.batches.values():
        yield from (each for each in some if isinstance(each, Lot))


def _deeds(scope: Scope, model: Model) -> dict[str, set[Deed]]:
    """Return for each lot what it can do: take from, go to, back, wait for, by which ways.

    The second of a deed is the lot at its other end, if there is one.
    """
    deeds: dict[str, set[Deed]] = {lot.name: set() for lot in _lots(model)}
    shy = stages_that_matter(scope)
    for flow in model.flows.all:
        if _is_open(flow, shy):
            after = None if flow.after is None else flow.after.index
            if flow.source.batch is not None:
                index = None if flow.use is None else flow.use.index
                to = "" if flow.batch is None else flow.batch.name
                deeds[flow.source.name].add(("gives", to, index, after))
            if flow.batch is not None:
                deeds[flow.batch.name].add(("takes", flow.source.name, after))
    backed = [use for use in scope.needs.uses if use.backups]
    for use in backed:
        for source in model.flows.sources.get(use.stage, []):
            if isinstance(source.batch, Lot) and can_back(scope, source, use):
                deeds[source.batch.name].add(("backs", "", use.index))
    for lot in _lots(model):
        deeds[lot.name] |= set(_alone(model, lot, backed))
    return deeds


def _alone(model: Model, lot: Lot, backed: list[Use]) -> Iterator[Deed]:
    """Yield what a lot does by itself: its ways, what it can still wait to take."""
    for choice in lot.choices:
        yield ("way", "", choice.method.way.id)
    for size in lot.sizes:
        stages = {stage for stage, _ in size.method.takes}
        for use in backed:
            if use.stage in stages and size.last_start > use.start:
                yield ("waits", "", size.method.way.id, size.sets, use.index)


def _is_open(flow: Flow, shy: set[StageKey]) -> bool:
    """Tell whether copies may go there, as far as it matters what has been on camera."""
    if isinstance(flow.batch, Lot):
        is_strict = flow.batch.making.key in shy and not flow.batch.shown
        return not (is_strict and (flow.after is not None or _is_shown(flow.source)))
    return not (flow.use is not None and flow.use.untouched and _is_shown(flow.source))


def _is_shown(source: Source) -> bool:
    if isinstance(source.batch, Lot):
        return source.batch.shown
    return source.left is not None or (source.found is not None and source.found.shown)
