"""The planner's answer taken apart into single copies."""

from collections.abc import Mapping

from ortools.sat.python import cp_model

from app.planning.draft import Draft, Item, Made, Work, backs_first, taken_after
from app.planning.model.batches import Maybe
from app.planning.model.build import Model, Wanted, build
from app.planning.model.flows import Flow, Source
from app.planning.needs import Use
from app.planning.scope import Method, Scope
from app.planning.supplies import Supply


def draft_of(scope: Scope, wanted: Wanted, values: dict[str, int]) -> Draft:
    """Return the draft that the values of the model's variables mean.

    What stands ready beside which use is not among them: as much as can be.
    """
    none = scope.no_batches(key[0] for key in wanted.stages)
    model = build(scope, wanted, none | values)
    model.sheet.model.minimize(model.goals.whole("unbacked"))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(model.sheet.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise AssertionError("the planner's own values do not fit its own rules")
    return draft_solved(scope, model, solver)


def draft_solved(scope: Scope, model: Model, solver: cp_model.CpSolver) -> Draft:
    """Return the draft that a model means which a solver has just solved."""
    return _Reading(scope, model, solver).draft()


class _Reading:
    """One model with every value known."""

    def __init__(self, scope: Scope, model: Model, solver: cp_model.CpSolver) -> None:
        self.scope, self.model, self.value = scope, model, solver.value
        self.made: dict[str, Made] = {}
        self.taken: dict[int, list[Item]] = {}
        self.shown: dict[str, bool] = {}
        self.zones = {shelf.zone for shelf in scope.day.kitchen.shelves}

    def draft(self) -> Draft:
        """Return the draft."""
        for maybes in self.model.batches.values():
            for maybe in maybes:
                if self.value(maybe.present):
                    self.made[maybe.name] = self._made(maybe)
        every = [each for sources in self.model.flows.sources.values() for each in sources]
        of = {source.name: self._items(source) for source in every}
        items = [item for some in of.values() for item in some]
        made = sorted(self.made.values(), key=lambda each: (each.starts, each.stage, each.name))
        backing = {use.index: self._backing(use, of) for use in self._backed_uses()}
        listed = [item for item in items if item.takers or item.backs or item.batch]
        return Draft(made, listed, self.taken, backing)

    def _made(self, maybe: Maybe) -> Made:
        choice = next(each for each in maybe.choices if self.value(each.chosen))
        work = [
            Work(
                self.value(span.starts),
                self.value(span.ends),
                self._teams(span.name) if span.phase.hands else {},
                self._chosen_items(choice.spans[0].name, i, choice.method, maybe),
            )
            for i, span in enumerate(choice.spans)
        ]
        good, started = self.value(choice.good), self.value(choice.started)
        return Made(maybe.name, maybe.making.key, choice.method, good, started, work)

    def _teams(self, span: str) -> dict[str, int]:
        held: dict[str, int] = {}
        for team in self.scope.teams:
            variable = self.model.sheet.variables.get(f"{span} by {team.name}")
            if variable is not None and self.value(variable):
                held[team.name] = self.value(variable)
        return held

    def _chosen_items(
        self, first: str, index: int, method: Method, maybe: Maybe
    ) -> list[tuple[str, int]]:
        """Return the items that a phase holds, each with its units."""
        started = self.value(next(each.started for each in maybe.choices if each.method is method))
        found = []
        for entry in method.way.phases[index].equipment:
            since = index
            while since and any(
                each.kind == entry.kind for each in method.way.phases[since - 1].equipment
            ):
                since -= 1
            span = f"{first.rsplit(' ', 1)[0]} {since}"
            found.append((self._item(span, entry.kind), entry.units(started)))
        return found

    def _item(self, span: str, kind: str) -> str:
        items = [item.id for item in self.scope.day.kitchen.equipment if item.kind == kind]
        return next(
            item
            for item in items
            if (held := self.model.sheet.variables.get(f"{span} in {item}")) is not None
            and self.value(held)
        )

    def _items(self, source: Source) -> list[Item]:
        """Return the copies of a source, each with its takers."""
        arrived: dict[int, list[Item]] = {}
        items: list[Item] = []
        flows = [flow for flow in self.model.flows.all if flow.source is source]
        for flow in sorted(flows, key=self._when):
            for _ in range(self.value(flow.amount)):
                if flow.after is None:
                    item = self._new(source)
                    items.append(item)
                else:
                    item = arrived[flow.after.index].pop(0)
                self._take(item, flow, arrived)
        if source.batch is None:
            return items + [self._new(source) for _ in range(self.value(source.idle))]
        made = self.made.get(source.name)
        if made is None:
            return []
        items += [self._new(source) for _ in range(made.started - len(items))]
        for item in items[made.good :]:
            item.spare = True
        made.copies = items
        return items

    def _when(self, flow: Flow) -> tuple[int, int, str]:
        """Return the order in which flows of one source are followed."""
        if flow.use is not None:
            return flow.use.start_s, flow.use.index, ""
        assert flow.batch is not None
        return self.value(flow.batch.starts) * 60, 0, flow.batch.name

    def _new(self, source: Source) -> Item:
        staged = self.value(source.staged)
        batch = self.made[source.name] if source.batch is not None else None
        stock = source.found.origin.stock if source.found else None
        return Item(source.stage, staged, batch, source.left, stock, source.found)

    def _take(self, item: Item, flow: Flow, arrived: dict[int, list[Item]]) -> None:
        if flow.use is not None:
            item.takers.append(flow.use)
            self.taken.setdefault(flow.use.index, []).append(item)
            arrived.setdefault(flow.use.index, []).append(item)
        elif flow.batch is not None:
            batch = self.made[flow.batch.name]
            item.takers.append(batch)
            batch.inputs.append(item)

    def _backed_uses(self) -> list[Use]:
        shown = self.model.batches
        return [use for use in self.scope.needs.uses if use.backups and use.stage in shown]

    def _backing(self, use: Use, of: Mapping[str, list[Item]]) -> list[Item]:
        """Return the copies that stand ready beside a use: up to its backups.

        First as many of each source as the model says, those first that leave last; then the idle.
        """
        chosen: list[Item] = []
        others: list[Item] = []
        for source, items in of.items():
            ready = [item for item in items if item.stage == use.stage and self._ready(item, use)]
            ready.sort(key=backs_first)
            for is_kept, what in ((False, "idle"), (True, "later")):
                some = [item for item in ready if bool(item.takers) == is_kept]
                told = self.model.sheet.variables.get(f"{source} backs {use.index} {what}", 0)
                chosen += some[: self.value(told)]
                others += [item for item in some[self.value(told) :] if not self._is_away(item)]
        others.sort(key=lambda item: (bool(item.takers), bool(item.backs), item.staged))
        chosen += others[: use.backups - len(chosen)]
        for item in chosen:
            item.backs.append(use)
        return chosen

    def _is_away(self, item: Item) -> bool:
        """Tell whether a copy had better stay on set: in the kitchen it would want a place."""
        return item.stays_on_set and self.scope.makings[item.stage].stage.zone in self.zones

    def _ready(self, item: Item, use: Use) -> bool:
        if item.spare or item.back > use.due or use.start - item.staged > use.oldest_min:
            return False
        if item.left is not None and (use.untouched or not self.scope.day.policy.reuse):
            return False
        if item.found is not None and not _can_back(item.found, use):
            return False
        if use.untouched and item.batch is not None and self._touched(item.batch):
            return False
        return not item.takers or taken_after(item, use)

    def _touched(self, made: Made) -> bool:
        """Tell whether anything that a batch was made from has been in front of camera."""
        if made.name not in self.shown:
            self.shown[made.name] = any(
                item.left is not None
                or (item.found is not None and item.found.shown)
                or any(isinstance(taker, Use) for taker in item.takers)
                or (item.batch is not None and self._touched(item.batch))
                for item in made.inputs
            )
        return self.shown[made.name]


def _can_back(found: Supply, use: Use) -> bool:
    """Tell whether a supply can stand ready beside a use, as far as its history tells."""
    if found.served or (use.untouched and found.shown):
        return False
    return found.held_for in (None, use.at)
