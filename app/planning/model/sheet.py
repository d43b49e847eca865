"""The sheet that all rules write on: the solver's model, with every variable under its name.

Names are the same in every model of one day, so that an answer of one model can be held or
hinted in another.
"""

from collections.abc import Iterable, Mapping

from ortools.sat.python import cp_model

Expr = cp_model.LinearExpr | int
Lit = cp_model.IntVar


class Sheet:
    """A CP-SAT model, its variables by name, and the values that are held."""

    def __init__(self, held: Mapping[str, int] | None = None) -> None:
        self.model = cp_model.CpModel()
        self.variables: dict[str, cp_model.IntVar] = {}
        self.held = held or {}

    def whole(self, name: str, least: int, most: int) -> cp_model.IntVar:
        """Return a new whole-number variable, or the constant that is held under its name."""
        if name in self.held:
            variable = self.model.new_constant(self.held[name])
        else:
            variable = self.model.new_int_var(least, max(least, most), name)
        self.variables[name] = variable
        return variable

    def either(self, name: str) -> cp_model.IntVar:
        """Return a new yes-or-no variable, or the constant that is held under its name."""
        return self.whole(name, 0, 1)

    def hint(self, values: Mapping[str, int]) -> None:
        """Hint the values of an earlier answer."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for name, variable in self.variables.items():
            if name in values and name not in self.held:
                self.model.add_hint(variable, values[name])

    def read(self, solver: cp_model.CpSolver | cp_model.CpSolverSolutionCallback) -> dict[str, int]:
        """Return every variable's value."""
        return {name: solver.value(variable) for name, variable in self.variables.items()}


def total(parts: Iterable[Expr]) -> Expr:
    """Return the sum of expressions; 0 of none."""
    return cp_model.LinearExpr.sum(list(parts))
