"""Rules `unserved`, `double`, `lineage`: every copy goes one way, every need is filled."""

from app.planning.hours import EVER, last_in
from app.planning.model.batches import Maybe
from app.planning.model.flows import Flow, Flows, Source, lay, sources_at
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.model.unattended import Unattended
from app.planning.needs import BeatKey, StageKey, Use
from app.planning.scope import Scope


def sources_of(sheet: Sheet, scope: Scope, batches: dict[StageKey, list[Maybe]]) -> Flows:
    """Return the sources of copies: supplies, what beats leave, and batches that may be."""
    flows = Flows({key: sources_at(scope, key, maybes) for key, maybes in batches.items()})
    for sources in flows.sources.values():
        for source in sources:
            source.idle = sheet.count(f"{source.name} idle", 0, source.count_max)
    return flows


def lay_flows(
    sheet: Sheet, scope: Scope, flows: Flows, batches: dict[StageKey, list[Maybe]]
) -> None:
    """Lay a flow wherever a copy of a source could go, by what is known before planning."""
    uses: dict[StageKey, list[Use]] = {key: [] for key in batches}
    for use in scope.needs.uses:
        if use.stage in uses:
            uses[use.stage].append(use)
    for key, sources in flows.sources.items():
        takers = [maybe for consumer in scope.consumers[key] for maybe in batches.get(consumer, [])]
        givers = [use for use in uses[key] if use.hands_back]
        for source in sources:
            _lay_from(sheet, scope, flows, source, uses[key], takers, givers)


def _lay_from(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    source: Source,
    uses: list[Use],
    takers: list[Maybe],
    givers: list[Use],
) -> None:
    reuse = scope.day.policy.reuse
    until = {giver.index: _served_until(giver, givers, reuse) for giver in givers}
    for use in uses:
        if _can_serve(scope, source, use, reuse):
            most = min(source.count_max, use.count)
            lay(sheet, flows, source, use, most)
        for giver in givers:
            if can_follow(giver, use, reuse) and _can_serve_later(
                scope, source, use, giver, until[giver.index]
            ):
                most = min(source.count_max, use.count, giver.hands_back)
                lay(sheet, flows, source, use, most, after=giver)
    for maybe in takers:
        if (source.left is None or reuse) and _can_feed(scope, source, maybe):
            lay(sheet, flows, source, maybe, source.count_max)
        for giver in givers if reuse else []:
            can_feed = _can_feed(scope, source, maybe, giver, until[giver.index])
            if can_feed and _can_reach(scope, source, giver):
                most = min(source.count_max, giver.hands_back)
                lay(sheet, flows, source, maybe, most, after=giver)


def can_follow(giver: Use, use: Use, reuse: bool) -> bool:
    """Tell whether a copy that one use hands back can be at the other in time."""
    if giver.index == use.index or use.untouched:
        return False
    if giver.run == use.run:
        return giver.end_s <= use.start_s
    return reuse and giver.back <= use.due


def _can_serve(scope: Scope, source: Source, use: Use, reuse: bool) -> bool:
    """Tell whether a source can serve a use first, as far as its times are known."""
    left, found = source.left, source.found
    if left is not None:
        if use.untouched or use.start - left.staged > use.oldest_min:
            return False
        if left.run == use.run:
            return left.end_s <= use.start_s
        return reuse and (found.ready_for(use.at) if found else left.back) <= use.due
    if found is not None and use.untouched and found.shown:
        return False
    ready = staged_window(source)[0] if found is None else found.ready_for(use.at)
    fresh = _last_staged(source, use.due) >= use.start - use.oldest_min
    return called_before(scope, source, use.run) and ready <= use.due and fresh


def _can_serve_later(scope: Scope, source: Source, use: Use, giver: Use, served_until: int) -> bool:
    in_turn = called_before(scope, source, use.run)
    fresh = _last_staged(source, served_until) >= use.start - use.oldest_min
    return in_turn and fresh and _can_reach(scope, source, giver)


def _can_reach(scope: Scope, source: Source, giver: Use) -> bool:
    """Tell whether copies of a source can be at a use that hands them back."""
    first, last = staged_window(source)
    if source.left is not None and source.left.run == giver.run:
        first = giver.start
    in_turn = called_before(scope, source, giver.run)
    return in_turn and first <= giver.start and last >= giver.start - giver.oldest_min


def _can_feed(
    scope: Scope,
    source: Source,
    maybe: Maybe,
    giver: Use | None = None,
    served_until: int = EVER,
) -> bool:
    """Tell whether copies of a source can go into a batch, after a use where one is given."""
    if isinstance(maybe, Unattended):
        if not maybe.can_take(source, giver):
            return False
    elif not called_before(scope, source, maybe.call.run):
        return False
    ready = staged_window(source)[0] if source.batch is not None else source.back
    if giver is not None:
        ready = giver.back
    last = _last_staged(source, served_until)
    making = scope.makings[source.stage]
    earliest, latest = maybe.window
    return ready + making.slack_min <= latest and last + making.stage.keeps_min >= earliest


def called_before(scope: Scope, source: Source, run: str) -> bool:
    """Tell whether what a source gives may go to a run: a batch's own run comes first."""
    return source.batch is None or source.batch.call.rank <= scope.ranks[run]


def _served_until(giver: Use, givers: list[Use], reuse: bool) -> int:
    """Return by when copies are staged that a use hands back: some were at other uses before."""
    before = [each.due for each in givers if can_follow(each, giver, reuse)]
    return max([giver.due, *before])


def _last_staged(source: Source, until: int) -> int:
    """Return the last minute up to another at which copies of a source can be staged."""
    last = staged_window(source)[1]
    if source.batch is None:
        return last
    return last_in(source.batch.staged_spans, min(last, until))


def staged_window(source: Source) -> tuple[int, int]:
    """Return the first and last minute at which copies of a source are staged."""
    if source.batch is None:
        assert isinstance(source.staged, int)
        return source.staged, source.staged
    call, making = source.batch.call, source.batch.making
    return max(call.useful_from, making.staged_from), call.staged_until


def unserved_rule(sheet: Sheet, scope: Scope, flows: Flows, short: frozenset[str]) -> None:
    """Each need has its copies; in a demonstration that may be short it may lack some.

    A beat that lacks any leaves nothing new.
    """
    taken = by_use(flows)
    lacking: dict[BeatKey, list[Use]] = {}
    for use in scope.needs.uses:
        if use.stage not in flows.sources:
            continue
        lack: Expr = 0
        if use.stage[0] in short:
            lack = sheet.count(f"{use.name} lacks", 0, use.count)
        flows.lacks[use.index] = lack
        served = total(flow.amount for flow in taken.get(use.index, []))
        sheet.model.add(served + lack == use.count)
        lacking.setdefault(use.at, []).append(use)
    for sources in flows.sources.values():
        for source in sources:
            if source.left is not None and source.found is None and source.stage[0] in short:
                _leaves_if_met(sheet, flows, source, lacking.get(source.left.at, []))


def _leaves_if_met(sheet: Sheet, flows: Flows, source: Source, uses: list[Use]) -> None:
    met = sheet.either(f"{source.name} met")
    for use in uses:
        sheet.model.add(flows.lacks[use.index] == 0).only_enforce_if(met)
    going = [flow.amount for flow in flows.all if flow.source is source and flow.after is None]
    sheet.model.add(total([*going, source.idle]) <= source.count_max * met)


def by_use(flows: Flows) -> dict[int, list[Flow]]:
    """Return the flows into each use, by its index."""
    found: dict[int, list[Flow]] = {}
    for flow in flows.all:
        if flow.use is not None:
            found.setdefault(flow.use.index, []).append(flow)
    return found


def double_rule(sheet: Sheet, scope: Scope, flows: Flows) -> None:
    """A copy serves one taker at a time: what goes on from a source or a use has come there."""
    fresh: dict[str, list[Flow]] = {}
    onward: dict[tuple[str, int], list[Flow]] = {}
    arrived: dict[tuple[str, int], list[Flow]] = {}
    for flow in flows.all:
        if flow.after is None:
            fresh.setdefault(flow.source.name, []).append(flow)
        else:
            onward.setdefault((flow.source.name, flow.after.index), []).append(flow)
        if flow.use is not None:
            arrived.setdefault((flow.source.name, flow.use.index), []).append(flow)
    for sources in flows.sources.values():
        for source in sources:
            going = total([*(flow.amount for flow in fresh.get(source.name, [])), source.idle])
            if source.batch is not None:
                sheet.model.add(going == source.batch.good)
            else:
                sheet.model.add(going <= source.count_max)
    for key, leaving in onward.items():
        came = total(flow.amount for flow in arrived.get(key, []))
        sheet.model.add(total(flow.amount for flow in leaving) <= came)
    _hands_back_no_more(sheet, scope, onward)


def _hands_back_no_more(
    sheet: Sheet, scope: Scope, onward: dict[tuple[str, int], list[Flow]]
) -> None:
    for use in scope.needs.uses:
        if 0 < use.hands_back < use.count:
            given = [
                flow.amount
                for (_, index), leaving in onward.items()
                if index == use.index
                for flow in leaving
            ]
            sheet.model.add(total(given) <= use.hands_back)


def lineage_rule(sheet: Sheet, flows: Flows, batches: dict[StageKey, list[Maybe]]) -> None:
    """A batch takes exactly its sets of each input."""
    into: dict[tuple[str, StageKey], list[Flow]] = {}
    for flow in flows.all:
        if flow.batch is not None:
            into.setdefault((flow.batch.name, flow.source.stage), []).append(flow)
    for maybes in batches.values():
        for maybe in maybes:
            stages = {stage for each in maybe.making.methods for stage, _ in each.takes}
            for stage in sorted(stages):
                came = total(flow.amount for flow in into.get((maybe.name, stage), []))
                sheet.model.add(came == maybe.takes(stage))
