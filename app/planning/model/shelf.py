"""Rule `shelf`: what waits in a zone fits its shelves."""

from app.planning.model.batches import Maybe
from app.planning.model.flows import Flows
from app.planning.model.sheet import Sheet
from app.planning.needs import StageKey
from app.planning.scope import Scope


def shelf_rule(
    sheet: Sheet,
    scope: Scope,
    flows: Flows,
    batches: dict[StageKey, list[Maybe]],
    zones: frozenset[str],
    strict: bool,
) -> None:
    """Keep what waits in each watched zone within its slots."""
