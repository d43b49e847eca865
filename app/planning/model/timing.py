"""Rules `late` and `stale`: margin, slack and keeping time, at each taker."""

from app.planning.model.flows import Flow, Flows
from app.planning.model.sheet import Sheet
from app.planning.model.unattended import Unattended
from app.planning.scope import Scope


def late_rule(sheet: Sheet, scope: Scope, flows: Flows) -> None:
    """A copy is staged, and back, in time for whatever takes it."""
    for flow in flows.in_time:
        source = flow.source
        if flow.batch is not None:
            if not binds(flow):
                continue
            ready = source.back if flow.after is None else flow.after.back
            slack_min = scope.makings[source.stage].slack_min
            sheet.model.add(ready + slack_min <= flow.batch.starts).only_enforce_if(flow.some)
        elif flow.use is not None and flow.after is None and source.left is None:
            sheet.model.add(source.staged <= flow.use.due).only_enforce_if(flow.some)


def stale_rule(sheet: Sheet, scope: Scope, flows: Flows) -> None:
    """A copy is taken within its keeping time, and eaten within the safe one."""
    for flow in flows.in_time:
        _fresh_enough(sheet, scope, flow)


def _fresh_enough(sheet: Sheet, scope: Scope, flow: Flow) -> None:
    staged = flow.source.staged_until
    if flow.batch is not None:
        if not binds(flow):
            return
        keeps_min = scope.makings[flow.source.stage].stage.keeps_min
        sheet.model.add(flow.batch.starts_until <= staged + keeps_min).only_enforce_if(flow.some)
    elif flow.use is not None:
        first = flow.use.start - flow.use.oldest_min
        sheet.model.add(staged >= first).only_enforce_if(flow.some)


def binds(flow: Flow) -> bool:
    """Tell whether the minutes of the batch that takes it are bound by a flow."""
    return not isinstance(flow.batch, Unattended) or flow.batch.is_bound_by(flow.source.stage)
