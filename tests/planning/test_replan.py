"""What is around the search for a mended plan: the state it gets, the changes it makes."""

from app.planning.audit import audit
from app.planning.canonical import fingerprint
from app.planning.day import Day
from app.planning.happened import Happened
from app.planning.plan import Plan
from app.planning.replan import Search, replan
from tests.planning.drafts import at
from tests.planning.told import log


def _later(batch: str, starts: str, ends: str) -> Search:
    """Return a search that moves one batch."""

    def search(state: Happened, plan: Plan) -> Plan:
        batches = []
        for each in plan.batches:
            if each.id == batch:
                times = {"starts": at(starts), "ends": at(ends)}
                phases = (each.phases[0].model_copy(update=times), *each.phases[1:])
                each = each.model_copy(update={"phases": phases})
            batches.append(each)
        return plan.model_copy(update={"batches": tuple(batches)})

    return search


def _as_it_is(state: Happened, plan: Plan) -> Plan:
    return plan


def test_a_day_that_goes_as_planned_needs_no_change(knots_day: Day, knots_plan: Plan) -> None:
    """The next number, the same plan; the audit takes it with all that happened."""
    told = [("started", "11:30", {"batch": "b1"}), ("staged", "11:49", {"batch": "b1"})]
    mended = replan(knots_day, knots_plan, log(*told), at("11:49"), _as_it_is)
    assert (mended.day, mended.changes, mended.weight) == (knots_day, (), 0)
    assert mended.plan.number == knots_plan.number + 1
    assert mended.plan.day == fingerprint(knots_day)
    assert audit(mended.day, mended.plan, log(*told)) == []


def test_what_changes_is_told_in_words_and_weighed(knots_day: Day, knots_plan: Plan) -> None:
    """First the rundown, then the batches; what is soon counts double, what has begun nothing."""
    told = [
        ("started", "11:40", {"batch": "b1"}),
        ("moved", "11:45", {"run": "knots-take-2", "starts": "15:40"}),
        ("dropped", "11:46", {"run": "knots-take-9"}),
    ]
    mended = replan(knots_day, knots_plan, log(*told), at("11:50"), _later("b3", "12:20", "12:32"))
    assert [change.words for change in mended.changes] == [
        "Cardamom knots, knots-take-2 moves from 15:30 to 15:40",
        "Cardamom knots: mixed, batch 2 moves from 12:01 to 12:20",
    ]
    assert mended.weight == 2
    assert mended.day.run("knots-take-2").starts == at("15:40")
    assert mended.notices == ("There is no run “knots-take-9” to drop.",)


def test_the_search_is_told_what_has_begun(knots_day: Day, knots_plan: Plan) -> None:
    """And what time it is."""
    seen: list[Happened] = []

    def search(state: Happened, plan: Plan) -> Plan:
        seen.append(state)
        return plan

    events = log(("started", "11:40", {"batch": "b1"}))
    replan(knots_day, knots_plan, events, at("11:45"), search)
    assert [list(state.begun) for state in seen] == [["b1"]]
