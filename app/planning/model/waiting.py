"""The goal `waiting_min`: how long copies wait for the uses that take them.

A batch has an anchor: the earliest due time among the uses that its copies serve. What a use waits
beyond the last minute up to the anchor at which the batch can be staged at all is known beforehand,
so the solver sees it without deciding any minute; only what is staged earlier depends on the clock.
"""

from itertools import pairwise

from app.planning.hours import EVER, last_in
from app.planning.model.flows import Flow, Flows, Source
from app.planning.model.lots import Lot
from app.planning.model.sheet import Expr, Lit, Sheet, total
from app.planning.model.unattended import Unattended


def waiting(sheet: Sheet, flows: Flows) -> list[tuple[str, Expr]]:
    """Return the minutes that copies wait for uses, each with the demonstration of the copies.

    What the same run hands over counts nothing.
    """
    by_source: dict[str, list[Flow]] = {}
    for flow in flows.all:
        if flow.use is not None and not flow.handed_over:
            by_source.setdefault(flow.source.name, []).append(flow)
    return [
        (served[0].source.stage[0], _waits_of(sheet, served[0].source, served))
        for served in by_source.values()
    ]


def _due(flow: Flow) -> int:
    assert flow.use is not None
    return flow.use.due


def _waits_of(sheet: Sheet, source: Source, served: list[Flow]) -> Expr:
    staged = source.staged
    if isinstance(source.batch, Lot):
        latest = _latest(source, served)
        return total(
            (_due(flow) - latest.get(_due(flow), _due(flow))) * flow.amount for flow in served
        )
    if isinstance(staged, int):
        return total((_due(flow) - staged) * flow.amount for flow in served)
    latest = _latest(source, served)
    if isinstance(source.batch, Unattended):
        return total(_each_by_itself(sheet, flow, latest) for flow in served)
    anchors = {due: sheet.either(f"{source.name} anchored {due}") for due in latest}
    sheet.model.add(total(anchors.values()) <= (source.batch.present if source.batch else 1))
    for due, anchor in anchors.items():
        sheet.model.add(staged <= latest[due]).only_enforce_if(anchor)
    beyond = total(_beyond_anchor(sheet, flow, anchors, latest) for flow in served)
    longest = max(flow.use.oldest_min - flow.use.margin_min for flow in served if flow.use)
    if longest <= 0:
        return beyond
    early = sheet.whole(f"{source.name} before anchor", 0, longest)
    for due, anchor in anchors.items():
        sheet.model.add(early >= latest[due] - staged).only_enforce_if(anchor)
    most = sum(_most(flow) for flow in served)
    served_in_all = total(flow.amount for flow in served)
    return beyond + _times(sheet, source.name, served_in_all, early, longest, most)


def _each_by_itself(sheet: Sheet, flow: Flow, latest: dict[int, int]) -> Expr:
    """Return the minutes that copies wait for one use of which each was staged as late as it can.

    Those that were at another use before were staged before that.
    """
    due = _due(flow)
    last = latest.get(due, due)
    fixed = (due - last) * flow.amount
    longest = flow.use.oldest_min - flow.use.margin_min - (due - last) if flow.use else 0
    if longest <= 0:
        return fixed
    early = sheet.whole(f"{flow.name} before", 0, longest)
    sheet.model.add(early >= last - flow.source.staged_until).only_enforce_if(flow.some)
    return fixed + _times(sheet, flow.name, flow.amount, early, longest, _most(flow))


def _latest(source: Source, served: list[Flow]) -> dict[int, int]:
    """Return for each due time the last minute up to it at which copies can be staged."""
    dues = sorted({_due(flow) for flow in served})
    if source.batch is None:
        return {due: due for due in dues}
    latest = {due: last_in(source.batch.staged_spans, due) for due in dues}
    return {due: minute for due, minute in latest.items() if minute > -EVER}


def _most(flow: Flow) -> int:
    assert flow.use is not None
    given = flow.source.count_max if flow.after is None else flow.after.hands_back
    return min(flow.source.count_max, given, flow.use.count)


def _beyond_anchor(
    sheet: Sheet, flow: Flow, anchors: dict[int, Lit], latest: dict[int, int]
) -> Expr:
    """Return the minutes that a flow's copies wait beyond the anchor of their batch."""
    parts: list[Expr] = []
    minutes: list[Expr] = []
    for due, anchor in anchors.items():
        if due > _due(flow):
            continue
        after = f" after {flow.after.index}" if flow.after is not None else ""
        use = flow.use.index if flow.use is not None else ""
        part = sheet.whole(f"{flow.source.name}{after} > use {use} from {due}", 0, _most(flow))
        sheet.model.add(part <= _most(flow) * anchor)
        parts.append(part)
        minutes.append((_due(flow) - latest[due]) * part)
    sheet.model.add(total(parts) == flow.amount)
    return total(minutes)


def _times(sheet: Sheet, name: str, count: Expr, early: Expr, longest: int, most: int) -> Expr:
    """Return `early` times the copies served, one copy after another."""
    waits: list[Expr] = []
    levels: list[Expr] = []
    for each in range(1, most + 1):
        taken = sheet.either(f"{name} serves {each}")
        wait = sheet.whole(f"{name} waits {each}", 0, longest)
        sheet.model.add(wait >= early).only_enforce_if(taken)
        waits.append(wait)
        levels.append(taken)
    sheet.model.add(count <= total(levels))
    for one, other in pairwise(levels):
        sheet.model.add(other <= one)
    return total(waits)
