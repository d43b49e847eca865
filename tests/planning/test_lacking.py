"""What a plan lacks is named need by need, with the day of the week where that is in doubt."""

from app.planning.day import Day
from app.planning.lacking import Shortage, shortages
from app.planning.plan import Lack, Plan

LACK = Lack(run="knots-take-1", beat="tie", stage="rested", kind="copies", count=2)


def test_a_need_is_named_by_its_run_its_hour_and_its_beat(knots_day: Day, knots_plan: Plan) -> None:
    """On the only day of the runs the hour is enough."""
    backups = LACK.model_copy(update={"kind": "backups", "count": 1})
    short = knots_plan.model_copy(update={"unmet": (LACK, backups)})
    assert shortages(knots_day, short) == (
        Shortage("short", "Cardamom knots, knots-take-1 at 14:00, tie: 2 rested"),
        Shortage("no backup", "Cardamom knots, knots-take-1 at 14:00, tie: 1 rested"),
    )


def test_where_runs_are_on_several_days_its_day_is_named(knots_day: Day, knots_plan: Plan) -> None:
    """A series week has a take 1 every day."""
    first, second = knots_day.runs
    week = (first, second.model_copy(update={"starts": "2027-03-05T15:30"}))
    short = knots_plan.model_copy(update={"unmet": (LACK,)})
    (told,) = shortages(knots_day.model_copy(update={"runs": week}), short)
    assert told.words == "Cardamom knots, knots-take-1 at Thu 14:00, tie: 2 rested"
