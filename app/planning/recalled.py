"""The published plan as values of the model for the rest of the day.

A search that begins from these values, and holds most of them, is far smaller than a free one.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping

from app.planning.happened import Happened
from app.planning.minutes import Clock
from app.planning.model.build import Model
from app.planning.model.flows import Flow
from app.planning.needs import StageKey
from app.planning.plan import Batch, Copy, Plan
from app.planning.scope import Scope


class Recalled:
    """What the published plan says of what is planned anew.

    Parameters
    ----------
    scope
        The rest of the day of some demonstrations.
    state, plan
        The state now, of the published plan.

    `values` are by the names of the model, as far as it has room for them.
    """

    def __init__(self, scope: Scope, state: Happened, plan: Plan) -> None:
        self.scope, self.state, self.plan = scope, state, plan
        self.clock = Clock(scope.day.timezone)
        self.uses = {(*use.at, use.stage): use for use in scope.needs.uses}
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {
            batch.id: batch
            for batch in sorted(plan.batches, key=lambda each: self.clock.minute(each.starts))
            if batch.id not in state.begun and (batch.demonstration, batch.stage) in scope.makings
        }
        self.backed: dict[str, set[str]] = defaultdict(set)
        for told in plan.uses:
            for copy in told.backups:
                if (told.run, told.beat, self._stage(copy)) in self.uses:
                    self.backed[copy].add(told.run)
        self.good: dict[str, list[str]] = {}
        self.inputs: dict[str, list[str]] = {}
        self.serves: dict[str, set[str]] = {}
        for batch in reversed(self.batches.values()):
            self._look_at(batch)
        self.values: Counter[str] = Counter()
        self.name_of: dict[str, str] = {}
        self._name_batches()
        self._follow_copies()

    def _stage(self, copy: str) -> StageKey:
        return self.copies[copy].demonstration, self.copies[copy].stage

    def _look_at(self, batch: Batch) -> None:
        """Note which copies of a batch are still of use, for which runs, and what they take."""
        served = {copy: self._runs(self.copies[copy]) for copy in batch.copies}
        good = [copy for copy, runs in served.items() if runs]
        self.good[batch.id] = good
        self.serves[batch.id] = {run for runs in served.values() for run in runs}
        key = batch.demonstration, batch.stage
        method = next(
            (each for each in self.scope.makings[key].methods if each.way.id == batch.way), None
        )
        if not good or method is None or len(good) > method.good_max:
            self.inputs[batch.id] = []
            return
        sets = method.sets(method.started[len(good)])
        self.inputs[batch.id] = [
            copy
            for stage, count in method.takes
            for copy in [each for each in batch.consumes if self._stage(each) == stage][
                : sets * count
            ]
        ]

    def _runs(self, copy: Copy) -> set[str]:
        """Return the runs that a copy still is to serve."""
        runs = set(self.backed[copy.id])
        for taker in copy.taken_by:
            if taker.use is not None and (*taker.use, self._stage(copy.id)) in self.uses:
                runs.add(taker.use[0])
            elif taker.batch in self.batches and copy.id in self.inputs[taker.batch]:
                runs |= self.serves[taker.batch]
        return runs

    def _name_batches(self) -> None:
        numbers: Counter[tuple[StageKey, str]] = Counter()
        for batch in self.batches.values():
            if not self.good[batch.id]:
                continue
            key = batch.demonstration, batch.stage
            making, ranks = self.scope.makings[key], self.scope.ranks
            run = min(self.serves[batch.id], key=lambda each: ranks[each])
            call, number = making.calls.get(run), numbers[key, run]
            ways = {method.way.id: method for method in making.methods}
            good = len(self.good[batch.id])
            if (
                call is None
                or number >= call.batches
                or batch.way not in ways
                or good > min(call.considered.good, ways[batch.way].good_max)
            ):
                continue
            numbers[key, run] += 1
            name = f"{making.code}/{run}/{number}"
            label = f"{name} {batch.way}"
            self.name_of[batch.id] = name
            self.values |= {f"{name} present": 1, f"{label} chosen": 1, f"{label} good": good}
            self.values[f"{name} starts"] = self.clock.minute(batch.starts)

    def _follow_copies(self) -> None:
        """Count the copies that go from each source to each taker, one after another."""
        found = {
            copy: f"{each.stage[0]}/{each.stage[1]} found {number}"
            for number, each in enumerate(self.scope.supplies)
            for copy in each.copies
        }
        left = {
            (left.at, left.stage): f"{left.stage[0]}/{left.stage[1]} left {number}"
            for number, left in enumerate(self.scope.needs.left)
        }
        for copy in self.plan.copies:
            origin = copy.made_by
            source = found.get(copy.id)
            if source is None and origin.use is not None:
                source = left.get((origin.use, self._stage(copy.id)))
            if source is None and origin.batch is not None:
                source = self.name_of.get(origin.batch)
            if source is not None:
                self._follow(copy, source)

    def _follow(self, copy: Copy, source: str) -> None:
        after = ""
        for taker in copy.taken_by:
            use = self.uses.get((*taker.use, self._stage(copy.id))) if taker.use else None
            if use is not None:
                to = f"use {use.index}"
            elif taker.batch in self.name_of and copy.id in self.inputs[taker.batch]:
                to = self.name_of[taker.batch]
            else:
                continue
            self.values[f"{source} > {after}{to}"] += 1
            after = f"{to} > "

    def exactly(self, model: Model) -> dict[str, int]:
        """Return the values to hold so that all is made, and goes, as it was published.

        Parameters
        ----------
        model
            The free model.
        """
        names = [flow.name for flow in model.flows.all]
        for maybe in (each for maybes in model.batches.values() for each in maybes):
            labels = [f"{maybe.name} {choice.method.way.id}" for choice in maybe.choices]
            names += [f"{maybe.name} present", *(f"{label} chosen" for label in labels)]
            names += [f"{label} good" for label in labels]
        return {name: self.values[name] for name in names}

    def salvaged(self, model: Model) -> dict[str, int]:
        """Return the values to hold so that nothing is made but what was published, or less of it.

        What is there already may go to any use.

        Parameters
        ----------
        model
            The free model.
        """
        idle = {
            flow.name
            for flow in model.flows.all
            if not self.values[flow.name] and (flow.source.found is None or flow.use is None)
        }
        for maybe in (each for maybes in model.batches.values() for each in maybes):
            names = [f"{maybe.name} {choice.method.way.id} chosen" for choice in maybe.choices]
            idle |= {name for name in (f"{maybe.name} present", *names) if not self.values[name]}
        return dict.fromkeys(idle, 0)


def nothing_of(model: Model) -> dict[str, int]:
    """Return the values to hold so that nothing is made and nothing goes anywhere."""
    every = [maybe for maybes in model.batches.values() for maybe in maybes]
    names = [flow.name for flow in model.flows.all]
    return dict.fromkeys((*names, *(f"{maybe.name} present" for maybe in every)), 0)


def near(model: Model, values: Mapping[str, int], run: str) -> dict[str, int]:
    """Return the values to hold where only what serves one run is planned anew.

    Parameters
    ----------
    model
        The free model.
    values
        An answer of it.
    run
        The run that lacks something.
    """
    every = [maybe for maybes in model.batches.values() for maybe in maybes]
    free = {maybe.name for maybe in every if maybe.call.run == run}
    loose = {_to(flow) for flow in model.flows.all if _is_loose(flow, free, run, values)}
    held = {flow.name for flow in model.flows.all if _to(flow) not in loose}
    for maybe in (each for each in every if each.name not in free):
        held.add(f"{maybe.name} present")
        held |= {f"{maybe.name} {choice.method.way.id} chosen" for choice in maybe.choices}
    return {name: values.get(name, 0) for name in held}


def _is_loose(flow: Flow, free: set[str], run: str, values: Mapping[str, int]) -> bool:
    """Tell whether what takes a flow is planned anew, or has of what is."""
    if flow.use is not None and flow.use.run == run:
        return True
    if flow.batch is not None and flow.batch.name in free:
        return True
    return flow.source.name in free and values.get(flow.name, 0) > 0


def _to(flow: Flow) -> str:
    if flow.use is not None:
        return f"use {flow.use.index}"
    return flow.batch.name if flow.batch is not None else ""
