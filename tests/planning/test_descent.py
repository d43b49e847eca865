"""One run of the engine."""

from typing import Any

import pytest
from ortools.sat.python import cp_model

from app.planning.day import Day
from app.planning.descent import LOCAL, SOLVED, descend, run
from app.planning.model.build import Wanted, build
from app.planning.model.goals import cost_scale
from app.planning.scope import Scope
from app.planning.watch import Teller, Watch

SEEDS = range(20)
GOALS = ("unmet", "unbacked", "cost", "hands_min")


def test_a_search_that_is_stopped_at_once_has_a_solution_or_none(knots_day: Day) -> None:
    """Its parts share what they find in turn: stopped before that, the engine has nothing to show,
    and with its presolve it would end the whole process."""
    scope = Scope(knots_day)
    wanted = Wanted(tuple(scope.makings), cost_scale(scope))
    watch = Watch(None, lambda: 0.0, lambda: False, lambda _: None)
    known = descend(build(scope, wanted), GOALS, watch, 1.0)
    shown = set()
    for seed in SEEDS:
        model = build(scope, wanted, known.shaped)
        model.sheet.hint(known.values or {})
        model.sheet.model.minimize(model.goals.whole("early_min"))
        solver, status = run(model, Teller(watch, 10**9), 0.05, LOCAL, seed)
        assert (status in SOLVED) == bool(solver.response_proto.solution)
        shown.add(status in SOLVED)
    assert False in shown


def test_a_hint_that_the_engine_trips_over_is_dropped(
    knots_day: Day, monkeypatch: pytest.MonkeyPatch
) -> None:
    """OR-Tools 9.15 raises an IndexError out of its presolve for some hints (its issue 5288)."""
    whole = cp_model.CpSolver.solve

    def tripping(self: cp_model.CpSolver, model: cp_model.CpModel, *rest: Any) -> Any:
        if len(model.proto.solution_hint.vars):
            raise IndexError("map::at")
        return whole(self, model, *rest)

    monkeypatch.setattr(cp_model.CpSolver, "solve", tripping)
    scope = Scope(knots_day)
    model = build(scope, Wanted(tuple(scope.makings), cost_scale(scope)))
    watch = Watch(None, lambda: 0.0, lambda: False, lambda _: None)
    every = dict.fromkeys(model.sheet.variables, 0)
    assert descend(model, GOALS, watch, 1.0, hint=every).values is not None
