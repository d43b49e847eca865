"""Rules `touched` and `unsafe`: what must not have been in front of camera has not."""

from app.planning.model.batches import Maybe
from app.planning.model.flows import Flows
from app.planning.model.lots import Lot
from app.planning.model.sheet import Sheet
from app.planning.needs import StageKey
from app.planning.scope import Scope


def touched_rule(
    sheet: Sheet, scope: Scope, flows: Flows, batches: dict[StageKey, list[Maybe]]
) -> None:
    """Every copy of a batch counts as made from all its inputs; shown is shown for good.

    What is safe to taste is untouched as well; its age is in `stale`.
    """
    shy = stages_that_matter(scope)
    for key in batches:
        for source in flows.sources[key]:
            if isinstance(source.batch, Lot):
                source.touched = int(source.batch.shown)
            elif source.batch is not None and key in shy:
                source.touched = sheet.either(f"{source.name} touched")
    for flow in flows.all:
        taint = 1 if flow.after is not None else flow.source.touched
        if isinstance(flow.batch, Lot):
            if taint and flow.batch.making.key in shy and not flow.batch.shown:
                sheet.model.add(flow.amount == 0)
        elif flow.batch is not None and flow.batch.making.key in shy:
            mark = next(
                each.touched
                for each in flows.sources[flow.batch.making.key]
                if each.batch is flow.batch
            )
            sheet.model.add(mark >= taint).only_enforce_if(flow.some)
        elif flow.use is not None and flow.use.untouched:
            sheet.model.add(flow.source.touched == 0).only_enforce_if(flow.some)


def stages_that_matter(scope: Scope) -> set[StageKey]:
    """Return the stages whose copies may end in a use that asks for untouched ones."""
    found = {use.stage for use in scope.needs.uses if use.untouched}
    for key in reversed(scope.inputs_first):
        if key in found:
            found |= {taken for each in scope.makings[key].methods for taken, _ in each.takes}
    return found
