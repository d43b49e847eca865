"""How sure a plan is, told on a terminal."""

import json

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.words import Wording


def tell_risk(day: Day, plan: Plan, plays: int, seed: int, *, as_json: bool) -> None:
    """Play a day and print how sure its plan is: sentences, or JSON for a program to read."""
    risk = risk_of(day, plan, plays, seed)
    if as_json:
        print(json.dumps(risk.document(), indent=2))
    else:
        print(*Wording(day, plan, risk).lines(), sep="\n")
