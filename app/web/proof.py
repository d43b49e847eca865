"""How good a plan is, in words: each goal beside the best that is possible."""

from dataclasses import dataclass

from app.planning.dates import lasting, working
from app.planning.plan import GOALS, Plan
from app.web import words

GOAL_WORDS = {
    "unmet": "Copies short",
    "unbacked": "Backups short",
    "cost": "Cost of copies",
    "hands_min": "Work by hand",
    "waiting_min": "Waiting, all copies",
    "early_min": "Started early",
    "blockers": "What stands in the way",
    "remedies": "What would help",
}
SHOWN = GOALS[:5]


@dataclass(frozen=True)
class Goal:
    """One goal: what the plan reaches, what is possible, and what that says."""

    name: str
    figure: str
    says: str
    is_proven: bool


@dataclass(frozen=True)
class Proof:
    """All goals that people ask for, and one sentence about the whole."""

    goals: tuple[Goal, ...]
    words: str
    is_proven: bool


def proof(plan: Plan) -> Proof:
    """Return what is proven of a plan and how far the rest can still be from the best."""
    goals = tuple(_goal(plan, name) for name in SHOWN)
    return Proof(goals, _verdict(plan, goals), plan.status == "optimal")


def _goal(plan: Plan, name: str) -> Goal:
    value: float = getattr(plan.objective, name)
    bound: float | None = getattr(plan.bounds, name)
    is_proven = bound is not None and value <= bound
    return Goal(GOAL_WORDS[name], figure(name, value), _says(name, value, bound), is_proven)


def figure(name: str, value: float) -> str:
    """Return the figure of a goal in words: a length for minutes, else a number."""
    if name == "hands_min":
        return working(int(value))
    return lasting(int(value)) if name.endswith("_min") else words.number(value)


def _says(name: str, value: float, bound: float | None) -> str:
    if bound is None:
        return "not proven"
    if value <= bound:
        return "none" if value == 0 and name.startswith("un") else "best possible"
    return f"at most {figure(name, value - bound)} from the best"


def _verdict(plan: Plan, goals: tuple[Goal, ...]) -> str:
    if plan.status == "impossible":
        return "Not every need can be met; this plan serves as many as can be served."
    if plan.status == "optimal":
        return "Proven: no plan does better."
    why = {
        "work": "the planner came to the end of its work",
        "clock": "the time given was over",
        "person": "somebody stopped it",
        None: "the planner ended",
    }[plan.stopped_by]
    if all(goal.is_proven for goal in goals[:3]):
        return f"Proven: no plan needs fewer copies. Beyond that, the best found before {why}."
    return f"The best plan found before {why}."
