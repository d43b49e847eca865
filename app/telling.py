"""What stands in the way of a plan, and how sure it is, told on a terminal."""

import json

from app.planning.day import Day
from app.planning.plan import Plan, Remedy
from app.planning.remedies.price import dearer
from app.planning.risk.chances import risk_of
from app.planning.risk.words import Wording


def tell_advice(plan: Plan) -> None:
    """Print what stands in the way of a plan and what would help, in sentences."""
    if plan.blockers:
        print("What stands in the way:", *(each.words for each in plan.blockers), sep="\n- ")
    if plan.remedies:
        print("What would help:", *(_remedy(plan, each) for each in plan.remedies), sep="\n- ")


def _remedy(plan: Plan, remedy: Remedy) -> str:
    return f"{remedy.words} {dearer(plan, remedy)}"


def tell_risk(day: Day, plan: Plan, plays: int, seed: int, *, as_json: bool) -> None:
    """Play a day and print how sure its plan is: sentences, or JSON for a program to read."""
    risk = risk_of(day, plan, plays, seed)
    if as_json:
        print(json.dumps(risk.document(), indent=2))
    else:
        print(*Wording(day, plan, risk).lines(), sep="\n")
