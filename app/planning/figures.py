"""The six goals of a draft, counted from its copies."""

from fractions import Fraction

from app.planning.draft import Draft, Item, Made
from app.planning.model.goals import cost_scale
from app.planning.needs import Use
from app.planning.scope import Scope


def figures_of(scope: Scope, draft: Draft) -> dict[str, int]:
    """Return the goals of a draft; `cost` in parts as `cost_scale` says."""
    scale = cost_scale(scope)
    return {
        "unmet": sum(use.count - len(draft.taken.get(use.index, [])) for use in scope.needs.uses),
        "unbacked": sum(
            use.backups - len(draft.backing.get(use.index, [])) for use in scope.needs.uses
        ),
        "cost": sum(
            int(Fraction(str(made.method.cost)) * scale) * made.started for made in draft.made
        ),
        "hands_min": sum(_hands_min(made) for made in draft.made),
        "waiting_min": sum(_waited_min(scope, item) for item in draft.items),
        "early_min": sum(scope.needs.end - made.starts for made in draft.made),
    }


def _hands_min(made: Made) -> int:
    """Return the crew minutes that a batch takes by its way, however long it really took."""
    return sum(phase.hands * phase.length_min(made.started) for phase in made.method.way.phases)


def _waited_min(scope: Scope, item: Item) -> int:
    """Return the minutes that a copy waits for its uses, beyond what the same run hands over."""
    waited, run = 0, item.left.run if item.left else None
    for taker in item.takers:
        if isinstance(taker, Use):
            if taker.run != run:
                waited += taker.due - item.staged
            run = taker.run
    return waited
