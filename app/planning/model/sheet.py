"""The sheet that all rules write on: the solver's model, with every variable under its name.

Names are the same in every model of one day, so that an answer of one model can be held or
hinted in another. Each begins with the demonstration that it speaks of, and a slash: by that an
answer is taken apart again (`families.owner`). What is decided are the shape of the plan (which
batches, by which way, of how many copies, and what goes where), the minutes, and who does it in
what; all else follows.
"""

from collections.abc import Iterable, Mapping
from copy import copy

from ortools.sat.python import cp_model

from app.planning.hours import Spans

Expr = cp_model.LinearExpr | int
Lit = cp_model.IntVar


class Sheet:
    """A CP-SAT model, its variables by name, and the decisions that are held."""

    def __init__(self, held: Mapping[str, int] | None = None) -> None:
        self.model = cp_model.CpModel()
        self.variables: dict[str, cp_model.IntVar] = {}
        self.shape: set[str] = set()
        self.held = held or {}
        self.absent: list[str] = []
        self.minutes: list[cp_model.IntVar] = []

    def twin(self) -> "Sheet":
        """Return the same sheet with a model of its own; the variables are those of both."""
        other = copy(self)
        other.model = self.model.clone()
        return other

    def whole(self, name: str, least: int, most: int) -> cp_model.IntVar:
        """Return a new whole-number variable that follows from what is decided."""
        variable = self.model.new_int_var(least, max(least, most), name)
        self.variables[name] = variable
        return variable

    def either(self, name: str) -> cp_model.IntVar:
        """Return a new yes-or-no variable that follows from what is decided."""
        return self.whole(name, 0, 1)

    def count(self, name: str, least: int, most: int) -> cp_model.IntVar:
        """Return a new number that shapes the plan, or the constant that is held."""
        self.shape.add(name)
        held = self._held(name, least, most)
        return self.whole(name, least, most) if held is None else held

    def choice(self, name: str) -> cp_model.IntVar:
        """Return a new yes or no that shapes the plan, or the constant that is held."""
        return self.count(name, 0, 1)

    def minute(self, name: str, spans: Spans) -> cp_model.IntVar:
        """Return a new minute within some spans, or the constant that is held."""
        held = self._held(name)
        if held is not None:
            return held
        variable = self.model.new_int_var_from_domain(_domain(spans), name)
        self.variables[name] = variable
        self.minutes.append(variable)
        return variable

    def hands(self, name: str, most: int) -> cp_model.IntVar:
        """Return a new number of hands or items that do it, or the constant that is held."""
        held = self._held(name, 0, most)
        return self.whole(name, 0, most) if held is None else held

    def within(self, minute: Expr, spans: Spans, where: Lit) -> None:
        """Let a minute lie within some spans where a literal is true."""
        expr = self.model.add_linear_expression_in_domain(minute, _domain(spans))
        expr.only_enforce_if(where)

    def _held(
        self, name: str, least: int | None = None, most: int | None = None
    ) -> cp_model.IntVar | None:
        """Return the constant that is held; None if none is, or none that can be: then no plan is.

        What is held is of another model, where there may have been more room.
        """
        if name not in self.held:
            return None
        if least is not None and most is not None and not least <= self.held[name] <= most:
            self.model.add_bool_or([])
            return None
        self.variables[name] = self.model.new_constant(self.held[name])
        return self.variables[name]

    def is_held(self, name: str) -> bool:
        """Tell whether the value under a name is held."""
        return name in self.held

    def is_absent(self, name: str) -> bool:
        """Tell whether a part of the shape is held to be absent: nothing need be said of it."""
        if self.is_idle(name):
            self.shape.add(name)
            return True
        return False

    def never(self, name: str) -> None:
        """Note that a part of the shape cannot be there."""
        self.shape.add(name)
        self.absent.append(name)

    def is_idle(self, name: str) -> bool:
        """Tell whether hands or an item are held not to do it: nothing need be said of it."""
        if self.held.get(name) != 0:
            return False
        self.absent.append(name)
        return True

    def prefer_late(self) -> None:
        """Let a search that follows what is preferred try the latest minutes first."""
        self.model.add_decision_strategy(
            self.minutes, cp_model.CHOOSE_HIGHEST_MAX, cp_model.SELECT_MAX_VALUE
        )

    def hint(self, values: Mapping[str, int]) -> None:
        """Hint the values of an earlier answer."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        known = [
            (variable.index, values[name])
            for name, variable in self.variables.items()
            if name in values and name not in self.held
        ]
        if known:  # to the engine a hint of nothing is one, too
            hint = self.model.proto.solution_hint
            hint.vars.extend([index for index, _ in known])
            hint.values.extend([value for _, value in known])

    def read(self, solver: cp_model.CpSolver | cp_model.CpSolverSolutionCallback) -> dict[str, int]:
        """Return every variable's value."""
        found = list(solver.response_proto.solution)
        values = {name: found[variable.index] for name, variable in self.variables.items()}
        return values | dict.fromkeys(self.absent, 0)


def _domain(spans: Spans) -> cp_model.Domain:
    return cp_model.Domain.from_intervals([list(span) for span in spans])


def total(parts: Iterable[Expr]) -> Expr:
    """Return the sum of expressions; 0 of none."""
    summed = list(parts)
    if all(isinstance(part, int) for part in summed):
        return sum(part for part in summed if isinstance(part, int))
    return cp_model.LinearExpr.sum(summed)
