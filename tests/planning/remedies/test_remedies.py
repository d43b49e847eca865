"""Remedies are changes of the day that work: each is applied here and the day solved again."""

import json
from copy import deepcopy
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from app.planning.advice import advised, planned
from app.planning.audit import audit
from app.planning.blockers.words import more_may, of_more
from app.planning.canonical import document
from app.planning.day import Day
from app.planning.plan import Plan, Remedy
from app.planning.reading import read_day
from app.planning.remedies.patch import patched
from app.planning.remedies.price import dearer
from app.planning.solve import nobody, solve, still
from app.planning.watch import Progress, Watch

Document = dict[str, Any]
GOLDEN = Path(__file__).parents[2] / "golden"
IMPOSSIBLE = (
    "setting-change-impossible",
    "oven-not-shared-setting",
    "spring-missed",
    "copy-before-backup",
    "partly-met-leaves-nothing-new",
    "margin-policy",
    "pickup-from-the-top",
    "slack-missed",
)


def _golden(name: str) -> Document:
    found: Document = json.loads((GOLDEN / f"{name}.day.json").read_text("utf-8"))
    return found


def _advised(day: Document) -> tuple[Day, Plan]:
    read = read_day(deepcopy(day))
    return read, planned(read)


def _after(day: Day, remedy: Remedy) -> Day:
    return read_day(patched(document(day), remedy.change))


def _lacks(plan: Plan) -> tuple[int, int]:
    return plan.objective.unmet, plan.objective.unbacked


def _words(plan: Plan) -> list[str]:
    return [remedy.words for remedy in plan.remedies]


def test_remedies_are_told_as_they_are_found() -> None:
    """The plan first, then what stands in its way, then each remedy before the next is tried."""
    told: list[Progress] = []
    plan = planned(read_day(_golden("setting-change-impossible")), tell=told.append)
    found = [each.found for each in told if each.found is not None]
    first, blocked, *remedies = found
    assert first == plan.model_copy(update={"blockers": (), "remedies": ()})
    assert blocked == plan.model_copy(update={"remedies": ()})
    lists = [[each.words for each in so_far] for so_far in remedies if isinstance(so_far, tuple)]
    assert [len(so_far) for so_far in lists] == [*range(1, len(plan.remedies) + 1)]
    assert len(lists) == len(remedies) > 1
    assert all(later[: len(so_far)] == so_far for so_far, later in pairwise(lists))
    assert sorted(lists[-1]) == sorted(_words(plan))


def test_a_search_that_ends_early_says_that_more_may_stand_in_the_way() -> None:
    """With no work at all nothing is found, which is no proof that nothing is there."""
    day = read_day(_golden("setting-change-impossible"))
    plan = solve(day)
    is_over = Watch(None, still, lambda: True, nobody)
    told = advised(day, plan, is_over)
    assert (told.blockers, told.remedies) == ((), ())
    lacking = len(plan.unmet)
    assert told.warnings[-1] == more_may(lacking, False)
    assert of_more(told.warnings) is not None
    assert of_more(planned(day).warnings) is None


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_every_remedy_works_and_costs_what_it_says(name: str) -> None:
    """Tests each change with the planner and the audit; the cheapest comes first."""
    day, plan = _advised(_golden(name))
    assert audit(day, plan) == []
    assert plan.remedies
    for remedy in plan.remedies:
        changed = _after(day, remedy)
        again = solve(changed)
        assert audit(changed, again) == []
        assert _lacks(again) < _lacks(plan), remedy.words
        assert (again.objective.cost, again.objective.hands_min) == (
            remedy.cost,
            remedy.hands_min,
        ), remedy.words
    prices = [(remedy.cost, remedy.hands_min) for remedy in plan.remedies]
    assert prices == sorted(prices)


def test_a_run_is_moved_no_later_than_it_must_be() -> None:
    """470 min are there and 471 wanted: a minute does."""
    _, plan = _advised(_golden("spring-missed"))
    assert "Start t1 at Sun 06:01, 1 min later." in _words(plan)
    assert "Start the prep 1 min earlier, at Sat 20:59." in _words(plan)


def test_a_run_waits_for_the_oven_of_another() -> None:
    """The bread bakes once the tart is out at 11:14 and the oven is at its setting, 11:29."""
    _, plan = _advised(_golden("setting-change-impossible"))
    assert "Start t1 at 11:25, 1 min later." in _words(plan)
    assert "Have one more oven like oven-1." in _words(plan)


def test_a_shift_is_made_no_longer_than_it_must_be() -> None:
    """The copy is staged 15:55 at the latest and 15:55 at the earliest; the shift ends 15:50."""
    _, plan = _advised(_golden("pickup-from-the-top"))
    assert _words(plan)[:1] == ["Let cook-1 work 5 min longer, until 15:55."]


def test_one_unit_more_is_offered_where_units_lack() -> None:
    """An oven of two cannot take two loads at once and a backup."""
    day, plan = _advised(_golden("copy-before-backup"))
    remedy = next(each for each in plan.remedies if "3 units" in each.words)
    assert remedy.words == "Have 3 units in oven-1 instead of 2."
    assert _after(day, remedy).kitchen.equipment[0].units == 3


def test_fewer_backups_are_offered_only_where_backups_lack() -> None:
    """A missing backup never stands in the way of a copy."""
    _, plan = _advised(_golden("copy-before-backup"))
    assert _words(plan)[0] == "Do with no backups of baked at show of bun, not 1."
    for name in IMPOSSIBLE:
        if name != "copy-before-backup":
            _, plan = _advised(_golden(name))
            assert not any("backup" in words for words in _words(plan))


def test_one_more_of_the_crew_is_offered_where_hands_lack() -> None:
    """Two doughs of 20 min in half an hour want two cooks."""
    day, plan = _advised(_golden("partly-met-leaves-nothing-new"))
    remedy = next(each for each in plan.remedies if "one more cook" in each.words)
    assert len(_after(day, remedy).kitchen.crew) == 2
    assert "Let cook-1 begin 20 min earlier, at 09:10, and the prep with it." in _words(plan)


def test_a_house_rule_gives_way_as_far_as_it_must() -> None:
    """What keeps 4 min cannot stand ready 10 min before."""
    day, plan = _advised(_golden("margin-policy"))
    (remedy,) = plan.remedies
    assert remedy.words == "Let copies stand ready 4 min before a use instead of 10 min."
    assert _after(day, remedy).policy.ready_margin_min == 4


def _shaped(policy: Document, ways: list[Document], starts: tuple[str, str]) -> Document:
    """Return a day with one stage of given ways, shown in a first run and needed in a second."""
    beats = [
        {"id": "shape", "starts_s": 0, "lasts_s": 60, "leaves": [{"stage": "loaf"}]},
        {"id": "bake", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "loaf"}]},
    ]
    stage = {"id": "loaf", "keeps_min": 120, "ways": ways}
    return {
        "format": "day/1",
        "title": "Loaves",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-04T09:00",
        "policy": policy,
        "kitchen": {"crew": [{"id": "ada", "shifts": [["2027-03-04T09:00", "2027-03-04T18:00"]]}]},
        "demonstrations": [{"id": "loaf", "title": "Loaf", "stages": [stage], "beats": beats}],
        "runs": [
            {"id": run, "demonstration": "loaf", "kind": "take", "beats": [beat], "starts": hour}
            for run, beat, hour in (("one", "shape", starts[0]), ("two", "bake", starts[1]))
        ],
    }


SLOW = {"id": "slow", "phases": [{"lasts_min": 90}, {"lasts_min": 30, "hands": 1}]}


def test_a_copy_may_be_carried_where_the_house_forbids_it() -> None:
    """What the first run leaves would do for the second; there is no time for another."""
    starts = ("2027-03-04T09:30", "2027-03-04T10:30")
    day, plan = _advised(_shaped({"reuse": False}, [SLOW], starts))
    remedy = next(each for each in plan.remedies if "used again" in each.words)
    assert remedy.words == "Let what a beat leaves be used again."
    assert remedy.cost == 0
    assert _after(day, remedy).policy.reuse is True


@pytest.mark.parametrize(("kind", "its_id"), [("steamer", "steamer"), ("Combi oven", "combi-oven")])
def test_a_way_that_the_kitchen_cannot_run_yet_is_offered_with_what_it_wants(
    kind: str, its_id: str
) -> None:
    """By steam it is done in time; there is no steamer, whatever the house calls it."""
    quick = {"id": "steam", "phases": [{"lasts_min": 20, "equipment": [{"kind": kind,
             "per_batch": 2}]}]}  # fmt: skip
    starts = ("2027-03-04T12:00", "2027-03-04T10:30")
    day, plan = _advised(_shaped({}, [SLOW, quick], starts))
    remedy = next(each for each in plan.remedies if "steam" in each.words)
    assert remedy.words == f"Make Loaf, loaf (steam): have a {kind} of 2 units."
    (steamer,) = _after(day, remedy).kitchen.equipment
    assert (steamer.id, steamer.kind, steamer.units) == (its_id, kind, 2)


MIXED = {"id": "mixed", "phases": [{"lasts_min": 30, "hands": 1}, {"lasts_min": 90}]}


def test_a_step_is_moved_to_the_day_before_with_the_shift_that_it_takes() -> None:
    """It keeps for a day; Ada comes in the day before, for as long as the work takes."""
    starts = ("2027-03-04T12:00", "2027-03-04T10:30")
    told = _shaped({}, [MIXED], starts)
    told["demonstrations"][0]["stages"][0]["keeps_min"] = 1500
    day, plan = _advised(told)
    remedy = next(each for each in plan.remedies if "day before" in each.words)
    assert remedy.words == "Make Loaf, loaf the day before: ada works 17:30 to 18:00 too."
    before, usual = _after(day, remedy).kitchen.crew[0].shifts
    assert before == ("2027-03-03T17:30", "2027-03-03T18:00")
    assert usual == day.kitchen.crew[0].shifts[0]


def test_steps_of_one_dish_that_are_moved_together_are_named_together() -> None:
    """Its title once, however many they are."""
    told = _shaped({}, [MIXED], ("2027-03-04T12:00", "2027-03-04T09:45"))
    loaf = told["demonstrations"][0]["stages"][0] | {"keeps_min": 1500}
    dough = loaf | {"id": "dough", "name": "first dough"}
    told["demonstrations"][0]["stages"] = [dough, loaf | {"from": [{"stage": "dough"}]}]
    _, plan = _advised(told)
    remedy = next(each for each in plan.remedies if "day before" in each.words)
    assert remedy.words.startswith("Make Loaf, first dough and loaf the day before: ada works ")


def test_nothing_is_moved_to_the_day_before_if_the_same_morning_does() -> None:
    """The dough rises by itself: it is begun at 08:20, and nobody comes in the day before."""
    starts = ("2027-03-04T12:00", "2027-03-04T10:30")
    _, plan = _advised(_shaped({}, [SLOW], starts))
    assert "Start the prep 40 min earlier, at 08:20." in _words(plan)
    assert not any("day before" in words for words in _words(plan))


def test_a_quicker_way_is_offered_with_how_much_quicker_it_has_to_be() -> None:
    """120 min are wanted from 09:00, staged by 10:20: forty too many."""
    starts = ("2027-03-04T12:00", "2027-03-04T10:30")
    day, plan = _advised(_shaped({}, [SLOW], starts))
    remedy = next(each for each in plan.remedies if "Find a quicker way" in each.words)
    assert "than slow: 40 min less, its longest part 50 min in place of 1 h 30" in remedy.words
    assert len(_after(day, remedy).demonstrations[0].stages[0].ways) == 2


def test_what_a_remedy_costs_is_told_beside_the_plan(knots_plan: Plan) -> None:
    """In copies and minutes by hand, and how much more or less that is."""
    told = Remedy(change=(), words="", cost=50.5, hands_min=knots_plan.objective.hands_min)
    assert dearer(knots_plan, told) == "Copies cost 50.5 (2.5 more), 1 h 23 by hand as now."
    told = Remedy(change=(), words="", cost=48, hands_min=80)
    assert dearer(knots_plan, told) == "Copies cost 48 as now, 1 h 20 by hand (3 min less)."
    told = Remedy(change=(), words="", cost=48, hands_min=2451)
    assert dearer(knots_plan, told) == "Copies cost 48 as now, 40 h 51 by hand (39 h 28 more)."


def test_a_day_that_can_be_served_is_planned_as_ever(knots_day: Day) -> None:
    """Where nothing lacks there is nothing to tell, and nothing is looked for."""
    plan = planned(knots_day)
    assert plan == solve(knots_day)
    assert (plan.blockers, plan.remedies) == ((), ())


def test_a_stop_keeps_the_plan_and_what_is_known() -> None:
    """Somebody stops once the blockers are looked for: the plan is there all the same."""
    day = read_day(_golden("slack-missed"))
    told: list[str] = []
    plan = planned(
        day, stop=lambda: "blockers" in told, tell=lambda progress: told.append(progress.goal)
    )
    assert plan.status == "impossible"
    assert plan.remedies == ()
    assert audit(day, plan) == []


def test_the_same_day_gives_the_same_advice_again() -> None:
    """The search is limited by counted work: every byte repeats."""
    day = read_day(_golden("partly-met-leaves-nothing-new"))
    assert planned(day).document() == planned(day).document()
