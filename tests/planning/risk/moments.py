"""Small days at a moment: what was told of them by then, and the risk of the rest."""

from collections.abc import Iterable
from math import sqrt
from typing import Any

from app.planning.happened import Happened, happened
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.found import Risk
from tests.planning.drafts import Draft, at, beat, day, run, stage, way
from tests.planning.risk.odds import hour, spreading
from tests.planning.told import log as told

PLAYS, SIGMAS = 100_000, 3
CLOCK = Clock("Europe/Lisbon")
SHOWN, AGAIN = "t1/show/dough", "t2/show/dough"
BEGUN = ("started", "10:50", {"batch": "b1"})
Told = tuple[str, str, dict[str, Any]]


def one_dough(*phases: int, **of_stage: Any) -> Draft:
    """Return a draft of one batch that is due at 12:00, ten minutes after it should be staged."""
    method = {"id": "way", "batch_max": 4, "phases": [{"lasts_min": each} for each in phases]}
    needs = {"dough": {"count": 1, "ready_margin_min": 10}}
    facts = day(
        [stage("dough", method, **of_stage)],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
    )
    return Draft(facts)


def two_runs() -> Draft:
    """Return a draft of two runs that take a dough each, with one more beside."""
    needs = {"dough": {"count": 1, "backups": 1, "ready_margin_min": 10}}
    facts = day(
        [stage("dough", way(10, hands=0), keeps_min=400)],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00"), run("t2", "14:00")],
    )
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1 d2 d3", ("11:40", "11:50"))
    return draft.use(SHOWN, "d1", "d2").use(AGAIN, "d2", "d3")


def hours(*phases: int) -> list[tuple[str, str]]:
    """Return phases in a row of which the last ends at 11:50."""
    ends = 11 * 60 + 50
    starts = [ends - sum(phases[number:]) for number in range(len(phases))]
    each = zip(starts, phases, strict=True)
    return [(hour(start), hour(start + lasts)) for start, lasts in each]


def state_of(draft: Draft, now: str, events: Iterable[Told]) -> Happened:
    """Return how things stand."""
    plan = Plan.model_validate(draft.document())
    return happened(draft.day, plan, told(*events), CLOCK.minute(at(now)))


def risk_at(draft: Draft, now: str, *events: Told, spread: float = 0.2, plays: int = PLAYS) -> Risk:
    """Return the risk of what is to come of a draft that keeps every rule."""
    assert draft.broken() == set()
    state, plan = state_of(draft, now, events), Plan.model_validate(draft.document())
    return risk_of(spreading(state.day, spread), plan, plays, state=state)


def is_share(share: float, chance: float) -> bool:
    """Tell whether a share of the plays is a chance, within three standard errors."""
    return abs(share - chance) <= SIGMAS * sqrt(chance * (1 - chance) / PLAYS) + 1e-9
