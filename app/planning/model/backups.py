"""Rule `backups`: beside what a beat takes, so many more stand ready in the kitchen."""

from app.planning.model.flows import Flow, Flows, Source
from app.planning.model.lots import Lot
from app.planning.model.serving import called_before, staged_window
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.needs import Use
from app.planning.scope import Scope


def backups_rule(sheet: Sheet, scope: Scope, flows: Flows, bare: frozenset[str]) -> None:
    """Each use has its backups; in a demonstration that may be bare it may lack some.

    An idle copy of a batch backs some use.
    """
    going: dict[str, list[Flow]] = {}
    for flow in flows.all:
        if flow.after is None:
            going.setdefault(flow.source.name, []).append(flow)
    idle_backs: dict[str, list[Expr]] = {}
    for use in scope.needs.uses:
        if use.backups == 0 or use.stage not in flows.sources:
            continue
        standing: list[Expr] = []
        for source in flows.sources[use.stage]:
            if can_back(scope, source, use):
                idle, later = _ready(sheet, use, source, going.get(source.name, []))
                standing += [idle, later]
                idle_backs.setdefault(source.name, []).append(idle)
        lack: Expr = 0
        if use.stage[0] in bare:
            lack = sheet.whole(f"{use.name} unbacked", 0, use.backups)
        flows.unbacked[use.index] = lack
        sheet.model.add(total(standing) + lack == use.backups)
    for sources in flows.sources.values():
        for source in sources:
            sheet.model.add(source.idle <= total(idle_backs.get(source.name, [])))


def can_back(scope: Scope, source: Source, use: Use) -> bool:
    """Tell whether copies of a source may stand ready beside a use, as far as its times say."""
    found = source.found
    if found is not None and (found.served or (use.untouched and found.shown)):
        return False
    if found is not None and found.held_for not in (None, use.at):
        return False
    if source.left is not None:
        fresh = use.start - source.left.staged <= use.oldest_min
        reuse = scope.day.policy.reuse
        back = source.left.back if found is None else found.ready
        return reuse and fresh and not use.untouched and back <= use.due
    if found is not None:
        return use.start - found.staged <= use.oldest_min and found.ready <= use.due
    if isinstance(source.batch, Lot) and use.untouched and source.touched:
        return False
    first, last = staged_window(source)
    in_turn = called_before(scope, source, use.run)
    return in_turn and first <= use.due and last >= use.start - use.oldest_min


def _ready(sheet: Sheet, use: Use, source: Source, going: list[Flow]) -> tuple[Expr, Expr]:
    """Return how many idle copies, and copies kept for later, of a source back a use."""
    name = f"{source.name} backs {use.index}"
    most = min(use.backups, source.count_max)
    ready = sheet.either(f"{name} ready")
    if source.batch is not None and not isinstance(source.batch, Lot):
        sheet.model.add(source.staged <= use.due).only_enforce_if(ready)
        first = use.start - use.oldest_min
        sheet.model.add(source.staged_until >= first).only_enforce_if(ready)
        if use.untouched:
            sheet.model.add(source.touched == 0).only_enforce_if(ready)
    idle = sheet.whole(f"{name} idle", 0, most)
    later = sheet.whole(f"{name} later", 0, most)
    sheet.model.add(idle + later <= most * ready)
    sheet.model.add(idle <= source.idle)
    sheet.model.add(later <= total(_kept_for_later(sheet, use, flow, name) for flow in going))
    return idle, later


def _kept_for_later(sheet: Sheet, use: Use, flow: Flow, name: str) -> Expr:
    """Return the copies of a flow that nothing takes at or before the start of the use."""
    if flow.use is not None:
        return flow.amount if flow.use.start > use.start else 0
    if flow.batch is None:
        return 0
    if isinstance(flow.batch, Lot):
        kept = sheet.whole(f"{name} until {flow.batch.name}", 0, flow.source.count_max)
        sheet.model.add(kept <= flow.amount)
        sheet.model.add(kept <= flow.batch.takes_after(flow.source.stage, use.start))
        return kept
    most = min(use.backups, flow.source.count_max)
    kept = sheet.whole(f"{name} until {flow.batch.name}", 0, most)
    after = sheet.either(f"{name} still waits for {flow.batch.name}")
    sheet.model.add(kept <= flow.amount)
    sheet.model.add(kept <= use.backups * after)
    sheet.model.add(flow.batch.starts_until >= use.start + 1).only_enforce_if(after)
    return kept
