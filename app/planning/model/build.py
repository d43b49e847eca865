"""The whole model of some demonstrations of a day: all families of rules, one after another."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from app.planning.model.backups import backups_rule
from app.planning.model.batches import Maybe, maybes
from app.planning.model.crew import crew_rule
from app.planning.model.equipment import equipment_rule
from app.planning.model.flows import Flows
from app.planning.model.goals import Goals, goals_of
from app.planning.model.loose import loose_rule
from app.planning.model.lots import lots_of
from app.planning.model.serving import (
    double_rule,
    lay_flows,
    lineage_rule,
    sources_of,
    unserved_rule,
)
from app.planning.model.sheet import Sheet
from app.planning.model.shelf import shelf_rule
from app.planning.model.timing import late_rule, stale_rule
from app.planning.model.touched import stages_that_matter, touched_rule
from app.planning.model.unattended import asks_no_hands, unattended_of
from app.planning.needs import StageKey
from app.planning.scope import Scope

Kitchen = Literal["exact", "loose", "endless"]


@dataclass(frozen=True)
class Wanted:
    """What a model is to hold: which stages, who may lack, which zones to watch and how many of
    their slots to leave free, whether crew and equipment count (without them, what is proven still
    holds), whether batches come in lots (what is proven then holds for any number of batches), and
    of which stages there may be as many batches that ask for no hands as anybody likes."""

    stages: tuple[StageKey, ...]
    scale: int
    short: frozenset[str] = frozenset()
    bare: frozenset[str] = frozenset()
    shelves: frozenset[str] = frozenset()
    strict_shelves: bool = False
    slots_free: int = 0
    kitchen: Kitchen = "exact"
    times: bool = True
    lots: bool = False
    unattended: frozenset[StageKey] = frozenset()


@dataclass(frozen=True)
class Model:
    """A built model: its sheet, its batches and flows, its goals."""

    sheet: Sheet
    batches: dict[StageKey, list[Maybe]]
    flows: Flows
    goals: Goals

    def twin(self) -> "Model":
        """Return the same model once more, to be solved on its own."""
        return replace(self, sheet=self.sheet.twin())


def build(scope: Scope, wanted: Wanted, held: Mapping[str, int] | None = None) -> Model:
    """Return the model of the wanted stages, with the values of `held` fixed.

    The batches are single ones, lots, or unattended. A lot decides no minutes, and each copy of an
    unattended batch has its own: rules that speak of the minutes of a batch leave these two out.
    """
    sheet = Sheet(held)
    batches = _batches(sheet, scope, wanted)
    flows = sources_of(sheet, scope, batches)
    lay_flows(sheet, scope, flows, batches)
    double_rule(sheet, scope, flows)
    lineage_rule(sheet, flows, batches)
    unserved_rule(sheet, scope, flows, wanted.short)
    late_rule(sheet, scope, flows)
    stale_rule(sheet, scope, flows)
    touched_rule(sheet, scope, flows, batches)
    backups_rule(sheet, scope, flows, wanted.bare)
    if wanted.kitchen == "exact":
        crew_rule(sheet, scope, batches)
        equipment_rule(sheet, scope, batches)
    if wanted.kitchen == "loose":
        loose_rule(sheet, scope, batches)
    shelf_rule(sheet, scope, flows, batches, wanted.shelves, wanted.strict_shelves)
    goals = goals_of(sheet, scope, flows, batches, wanted.scale, wanted.times)
    return Model(sheet, batches, flows, goals)


def _batches(sheet: Sheet, scope: Scope, wanted: Wanted) -> dict[StageKey, list[Maybe]]:
    """Return the batches that may be; unattended ones are told apart by what they are made from."""
    in_order = scope.published is None
    if wanted.lots:
        shy = stages_that_matter(scope)
        return {key: list(lots_of(sheet, scope.makings[key], key in shy)) for key in wanted.stages}
    if not wanted.unattended:
        return {key: maybes(sheet, scope.makings[key], in_order) for key in wanted.stages}
    found: dict[StageKey, list[Maybe]] = {}
    for key in (each for each in scope.inputs_first if each in wanted.stages):
        making, free = scope.makings[key], key in wanted.unattended
        attended = tuple(each for each in making.methods if not (free and asks_no_hands(each)))
        found[key] = maybes(sheet, replace(making, methods=attended), in_order)
        if free:
            found[key] += unattended_of(sheet, scope, making, found)
    return found
