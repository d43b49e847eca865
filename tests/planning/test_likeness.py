"""Labels hold when a plan is mended: what is the same keeps its name, what is new has a new one."""

from app.planning.day import Day
from app.planning.given import names_in, numbers_in
from app.planning.likeness import Likeness
from app.planning.mending import mend
from app.planning.minutes import Clock
from app.planning.plan import Batch, Plan
from app.planning.replan import Mended, replan
from tests.planning.drafts import at
from tests.planning.told import log

EXTRA = {"id": "extra", "demonstration": "knots", "kind": "take", "starts": at("19:00")}
MOVED = ("moved", "10:00", {"run": "knots-take-1", "starts": "13:00"})


def labels(plan: Plan) -> dict[str, tuple[str, str]]:
    """Return the stage and the tag of each copy that a batch makes."""
    return {copy.id: (copy.stage, copy.tag) for copy in plan.copies if copy.made_by.batch}


def moved(batch: Batch, later_min: int, clock: Clock) -> Batch:
    """Return a batch that starts so many minutes later."""
    phases = [
        each.model_copy(
            update={
                "starts": clock.text(clock.minute(each.starts) + later_min),
                "ends": clock.text(clock.minute(each.ends) + later_min),
            }
        )
        for each in batch.phases
    ]
    return batch.model_copy(update={"phases": tuple(phases)})


def mended(day: Day, plan: Plan, *told: tuple[str, str, dict[str, object]]) -> Mended:
    """Return a plan mended at ten."""
    return replan(day, plan, log(*told), at("10:00"), mend)


def test_batches_that_move_keep_their_labels(knots_day: Day, knots_plan: Plan) -> None:
    """Take one is an hour sooner: its batches start sooner, and are what they were."""
    after = mended(knots_day, knots_plan, MOVED)
    assert any(change.kind == "moved" for change in after.changes)
    assert {change.kind for change in after.changes} <= {"moved", "run", "staffed"}
    assert {each.id for each in after.plan.batches} == {each.id for each in knots_plan.batches}
    assert labels(after.plan) == labels(knots_plan)


def test_what_a_new_run_leaves_alone_keeps_its_labels(knots_day: Day, knots_plan: Plan) -> None:
    """Copies go to the same takers under the same tags; only what is new bears new ones."""
    after = mended(knots_day, knots_plan, ("added", "10:00", {"run": EXTRA}))
    new = labels(after.plan)
    assert {copy: new.get(copy) for copy in labels(knots_plan)} == labels(knots_plan)
    tags = {copy.tag for copy in knots_plan.copies}
    assert {tag for copy, (_, tag) in new.items() if copy not in labels(knots_plan)} - tags


def test_names_that_an_earlier_plan_gave_are_not_given_again(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A run comes and is dropped again: labels of it may lie about when another run comes."""
    first = mended(knots_day, knots_plan, ("added", "10:00", {"run": EXTRA}))
    new = set(names_in(first.plan)) - set(names_in(knots_plan))
    told = log(("added", "10:00", {"run": EXTRA | {"id": "other"}}))

    def search(state, plan):  # type: ignore[no-untyped-def]
        return mend(state, plan, given=numbers_in(names_in(first.plan)))

    forgetful = mended(knots_day, knots_plan, ("added", "10:00", {"run": EXTRA | {"id": "other"}}))
    careful = replan(knots_day, knots_plan, told, at("10:00"), search)
    assert new & set(names_in(forgetful.plan))
    assert not new & set(names_in(careful.plan))


def test_numbers_are_read_from_the_end_of_a_name() -> None:
    """Ids of demonstrations may end in digits as well."""
    names = ["b9", "b12", "tart-10/baked/3", "tart-10/baked/11", "TA-7", "nothing"]
    assert numbers_in(names) == {"b": 12, "tart-10/baked/": 11, "TA-": 7}


def test_the_likest_of_several_batches_is_the_same(knots_day: Day, knots_plan: Plan) -> None:
    """Both rested batches come an hour later: each is the one that served the same takes."""
    from app.planning.draft import Draft
    from app.planning.happened import happened
    from app.planning.kept import Kept
    from app.planning.needs import needs_of

    clock = Clock(knots_day.timezone)
    later = knots_plan.model_copy(
        update={"batches": tuple(moved(each, 60, clock) for each in knots_plan.batches)}
    )
    state = happened(knots_day, knots_plan, [], clock.minute(at("08:00")))
    kept = Kept(state, later, needs_of(knots_day), ["knots"])
    draft = Draft(list(reversed(list(kept.made.values()))), [], {}, {})
    same = Likeness(clock, knots_plan, knots_plan.batches).same(draft)
    assert {made.id: same[id(made)].id for made in draft.made} == {
        each.id: each.id for each in knots_plan.batches
    }
