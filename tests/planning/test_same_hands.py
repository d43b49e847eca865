"""People stay with what they were to do, where nothing else changed."""

from types import SimpleNamespace
from typing import Any, cast

from app.planning.draft import Draft, Work
from app.planning.minutes import Clock
from app.planning.plan import Plan
from app.planning.same_hands import same_hands
from tests.planning import drafts

CREW = (drafts.cook("ada"), drafts.cook("bo"))


def _named(now: tuple[str, str], *, begun: tuple[str, ...] = ()) -> str:
    """Return who does two batches at the same time, that Ada and Bo were to do, in this order."""
    stages = [drafts.stage("dough")]
    told = drafts.Draft(drafts.day(stages, [], [], kitchen={"crew": list(CREW)}))
    told.batch("b1", "loaf/dough", "d1", ("11:00", "11:10", "ada"))
    told.batch("b2", "loaf/dough", "d2", ("11:00", "11:10", "bo"))
    clock = Clock(told.day.timezone)
    starts, ends = (clock.minute(drafts.at(each)) for each in ("11:00", "11:10"))
    way = told.day.stage("loaf", "dough").ways[0]
    works = [Work(starts, ends, {}, [], [cook]) for cook in now]
    made = [
        SimpleNamespace(id=f"b{n}", work=[work], method=SimpleNamespace(way=way))
        for n, work in enumerate(works, 1)
    ]
    plan = Plan.model_validate(told.document())
    draft = Draft(cast(Any, made), [], {}, {})
    same_hands(told.day, plan, draft, dict.fromkeys(begun, None))
    return " ".join(work.crew[0] for work in works)


def test_two_who_were_exchanged_are_exchanged_back() -> None:
    assert _named(("bo", "ada")) == "ada bo"
    assert _named(("ada", "bo")) == "ada bo"


def test_who_has_begun_goes_on() -> None:
    """Whatever the plan said."""
    assert _named(("bo", "ada"), begun=("b2",)) == "bo ada"
