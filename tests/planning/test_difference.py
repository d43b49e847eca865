"""What changes, told in words."""

from app.planning.day import Day
from app.planning.difference import changes, run_changes, weight_of
from app.planning.minutes import Clock
from app.planning.plan import Batch, Lack, Plan


def _with(plan: Plan, batch: Batch) -> Plan:
    kept = tuple(batch if each.id == batch.id else each for each in plan.batches)
    return plan.model_copy(update={"batches": kept})


def _batch(plan: Plan, batch: str) -> Batch:
    return next(each for each in plan.batches if each.id == batch)


def _shifted(batch: Batch, starts: str, ends: str) -> Batch:
    phase = batch.phases[0].model_copy(update={"starts": starts, "ends": ends})
    return batch.model_copy(update={"phases": (phase, *batch.phases[1:])})


def _words(day: Day, old: Plan, new: Plan) -> list[str]:
    return [change.words for change in changes(day, old, new)]


def test_the_same_plan_changes_nothing(knots_day: Day, knots_plan: Plan) -> None:
    """Also when ids are given anew."""
    renamed = tuple(
        each.model_copy(update={"id": f"x{each.id}"}) for each in reversed(knots_plan.batches)
    )
    again = knots_plan.model_copy(update={"batches": renamed})
    assert changes(knots_day, knots_plan, again) == ()


def test_a_batch_that_starts_later_moves(knots_day: Day, knots_plan: Plan) -> None:
    """The second mixing of the day goes from 12:01 to 12:20."""
    moved = _shifted(_batch(knots_plan, "b3"), "2027-03-04T12:20", "2027-03-04T12:32")
    assert _words(knots_day, knots_plan, _with(knots_plan, moved)) == [
        "Cardamom knots: mixed, batch 2 moves from 12:01 to 12:20"
    ]


def test_a_move_to_another_day_names_the_days(knots_day: Day, knots_plan: Plan) -> None:
    """Hours alone would mislead."""
    moved = _shifted(_batch(knots_plan, "b1"), "2027-03-03T16:00", "2027-03-03T16:19")
    assert _words(knots_day, knots_plan, _with(knots_plan, moved)) == [
        "Cardamom knots: scaled, batch 1 moves from Thu 11:30 to Wed 16:00"
    ]


def test_batches_come_go_and_grow(knots_day: Day, knots_plan: Plan) -> None:
    """Read both ways, one plan's loss is the other's gain."""
    baked = _batch(knots_plan, "b8")
    smaller = _with(knots_plan, baked.model_copy(update={"copies": baked.copies[:12]}))
    fewer = knots_plan.model_copy(update={"batches": knots_plan.batches[:-1]})
    assert _words(knots_day, smaller, knots_plan) == [
        "Cardamom knots: baked, batch 1 makes 18 copies instead of 12"
    ]
    assert _words(knots_day, knots_plan, fewer) == [
        "Cardamom knots: rested (room), batch 3 at Thu 14:23 is gone"
    ]
    assert _words(knots_day, fewer, knots_plan) == [
        "Cardamom knots: rested (room), batch 3 is new: 1 copy at Thu 14:23"
    ]


def test_another_cook_is_told(knots_day: Day, knots_plan: Plan) -> None:
    """Who does it is no change of times, but the one who does it wants to know."""
    batch = _batch(knots_plan, "b1")
    phase = batch.phases[0].model_copy(update={"crew": ("ben",)})
    other = _with(knots_plan, batch.model_copy(update={"phases": (phase,)}))
    assert _words(knots_day, knots_plan, other) == [
        "Cardamom knots: scaled, batch 1: ben instead of cook-1"
    ]


def test_what_lacks_comes_first(knots_day: Day, knots_plan: Plan) -> None:
    """A plan that lacks copies says so before it says anything else."""
    lack = Lack(run="knots-take-1", beat="tie", stage="rested", kind="copies", count=1)
    short = knots_plan.model_copy(update={"unmet": (lack,)})
    assert _words(knots_day, knots_plan, short) == ["1 copy short, before 0"]


def test_runs_that_moved_came_or_went(knots_day: Day) -> None:
    """The rundown's own changes."""
    first, second = knots_day.runs
    later = first.model_copy(update={"starts": "2027-03-04T14:20"})
    extra = second.model_copy(update={"id": "knots-take-3", "starts": "2027-03-04T17:00"})
    after = knots_day.model_copy(update={"runs": (later, extra)})
    assert [each.words for each in run_changes(knots_day, after)] == [
        "Cardamom knots, knots-take-1 moves from 14:00 to 14:20",
        "Cardamom knots, knots-take-3 is new, at 17:00",
        "Cardamom knots, knots-take-2 is gone",
    ]


def test_a_run_that_is_cut_short_says_where_it_ends(knots_day: Day) -> None:
    """It was dropped after its first two beats."""
    first, second = knots_day.runs
    short = first.model_copy(update={"beats": ("mix", "tie")})
    after = knots_day.model_copy(update={"runs": (short, second)})
    assert [each.words for each in run_changes(knots_day, after)] == [
        "Cardamom knots, knots-take-1 ends with tie"
    ]


def test_batches_that_move_come_or_go_weigh_and_the_soon_ones_double(
    knots_day: Day, knots_plan: Plan
) -> None:
    """Who does it, how many copies and where they stand weigh nothing."""
    clock = Clock(knots_day.timezone)
    moved = _shifted(_batch(knots_plan, "b3"), "2027-03-04T12:20", "2027-03-04T12:32")
    fewer = knots_plan.model_copy(update={"batches": knots_plan.batches[:-1]})
    baked = _batch(knots_plan, "b8")
    phase = baked.phases[0].model_copy(update={"crew": ("ben",)})
    copies = {"copies": baked.copies[:12], "phases": (phase, *baked.phases[1:])}
    smaller = _with(knots_plan, baked.model_copy(update=copies))
    for new, at, weight in (
        (_with(knots_plan, moved), "10:00", 1),
        (_with(knots_plan, moved), "10:01", 2),
        (_with(knots_plan, moved), "12:10", 2),
        (fewer, "11:00", 1),
        (fewer, "12:23", 2),
        (smaller, "13:00", 0),
        (knots_plan, "11:00", 0),
    ):
        now = clock.minute(f"2027-03-04T{at}")
        assert weight_of(changes(knots_day, knots_plan, new, now=now)) == weight
        assert weight_of(changes(knots_day, new, knots_plan, now=now)) == weight
    assert weight_of(changes(knots_day, knots_plan, fewer)) == 1


def test_what_has_begun_has_not_changed(knots_day: Day, knots_plan: Plan) -> None:
    """Its real times are no change, even if another batch of the stage takes its old ones."""
    late = _shifted(_batch(knots_plan, "b3"), "2027-03-04T12:20", "2027-03-04T12:32")
    mended = _with(knots_plan, late)
    assert changes(knots_day, knots_plan, mended, begun=["b3"]) == ()
    taken = _shifted(_batch(knots_plan, "b5"), "2027-03-04T12:01", "2027-03-04T12:13")
    assert [
        each.words for each in changes(knots_day, knots_plan, _with(mended, taken), begun=["b3"])
    ] == ["Cardamom knots: mixed, batch 2 moves from 12:41 to 12:01"]


def test_two_batches_that_exchange_sizes_are_told_as_one_change(
    knots_day: Day, knots_plan: Plan
) -> None:
    """The first makes two for the second, which makes one for the first."""
    rested = [each for each in knots_plan.batches if each.stage == "rested"]
    large = rested[0].model_copy(update={"copies": ("x1", "x2", "x3")})
    small = rested[1].model_copy(update={"copies": ("x4",)})
    old = _with(_with(knots_plan, large), small)
    smaller = large.model_copy(update={"copies": ("x1",)})
    larger = small.model_copy(update={"copies": ("x4", "x2", "x3")})
    said = changes(knots_day, old, _with(_with(old, smaller), larger))
    words = "exchange how much they make: 1 copy at Thu 12:13, 3 at Thu 12:53"
    assert [each.words for each in said] == [
        f"Cardamom knots: rested (room), batches 1 and 2 {words}"
    ]
    assert said[0].batches == (rested[0].id, rested[1].id)


def test_a_batch_of_a_mended_plan_is_told_by_its_id(knots_day: Day, knots_plan: Plan) -> None:
    """The first mixing goes behind the second: it alone has moved."""
    late = _shifted(_batch(knots_plan, "b2"), "2027-03-04T12:21", "2027-03-04T12:33")
    now = Clock(knots_day.timezone).minute("2027-03-04T08:00")
    said = changes(knots_day, knots_plan, _with(knots_plan, late), now=now)
    assert [(each.kind, each.batch, each.how) for each in said] == [
        ("moved", "b2", "moves from 11:49 to 12:21")
    ]
