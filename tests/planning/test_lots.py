"""What is proven in lots holds for any number of batches, and plans have as many as they need."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from app.planning.alone import alone
from app.planning.audit import audit
from app.planning.descent import Answer
from app.planning.families import families_of, stages_of
from app.planning.model.build import Wanted
from app.planning.model.goals import cost_scale
from app.planning.proving import COUNT_GOALS, Proving
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning import drafts
from tests.planning.planned import figures
from tests.random_days import newest, tiny_day

GOALS = (*COUNT_GOALS, "waiting_min")
DEMO = Path(__file__).parents[2] / "seed_demo"


def one_mixer(copies: int) -> dict[str, Any]:
    """Return a day on which a single mixer mixes copies one after another, 12 minutes each.

    Scaled flour keeps 20 minutes: it must be scaled again and again, in far more batches than
    its copies would fill.
    """
    shift = [["2027-03-04T07:00", "2027-03-04T19:00"]]
    mixing = {"lasts_min": 12, "hands": 1, "equipment": [{"kind": "mixer", "per_batch": 1}]}
    return {
        "format": "day/1",
        "title": "One mixer",
        "kind": "broadcast",
        "timezone": "Europe/Lisbon",
        "prep_from": "2027-03-04T07:00",
        "kitchen": {
            "equipment": [{"id": "mixer", "kind": "mixer", "units": 1}],
            "crew": [{"id": "ada", "shifts": shift}, {"id": "bo", "shifts": shift}],
        },
        "demonstrations": [
            {
                "id": "dough",
                "title": "Dough",
                "stages": [
                    {
                        "id": "scaled",
                        "keeps_min": 20,
                        "ways": [
                            {
                                "id": "scale",
                                "batch_max": 12,
                                "phases": [{"lasts_min": 4, "hands": 1}],
                            }
                        ],
                    },
                    {
                        "id": "mixed",
                        "from": [{"stage": "scaled"}],
                        "keeps_min": 600,
                        "ways": [{"id": "mix", "phases": [mixing]}],
                    },
                ],
                "beats": [
                    {
                        "id": "show",
                        "starts_s": 0,
                        "lasts_s": 60,
                        "needs": [{"stage": "mixed", "count": copies}],
                    }
                ],
            }
        ],
        "runs": [
            {"id": "take", "demonstration": "dough", "kind": "take", "starts": "2027-03-04T14:00"}
        ],
    }


def test_an_input_is_made_as_often_as_the_kitchen_keeps_its_batches_apart() -> None:
    """Twelve doughs, by hand: each is scaled and mixed once, and two fit one scaling at most."""
    day = read_day(one_mixer(12))
    plan = solve(day)
    assert audit(day, plan) == []
    assert (plan.objective.unmet, plan.objective.cost) == (0, 24)
    scalings = sum(batch.stage == "scaled" for batch in plan.batches)
    assert scalings == 6
    assert plan.objective.hands_min == 12 * 12 + 6 * 4
    assert plan.bounds.unmet == 0


@pytest.mark.parametrize("seed", [*range(40), *newest(12)])
def test_lots_never_prove_more_than_the_best_plan_has(seed: int) -> None:
    """On days so small that every batch is considered, no plan has less than the lots say.

    Nor do lots forbid what may lack all its copies: they add no rule of their own.
    """
    day = read_day(tiny_day(seed))
    plan, scope = solve(day), Scope(day)
    if plan.status != "optimal":
        return
    found = dict.fromkeys(COUNT_GOALS, 0)
    whole = Wanted(tuple(scope.makings), cost_scale(scope))
    for family in families_of(scope):
        wanted = replace(whole, stages=stages_of(scope, family), bare=family, short=family)
        proving = Proving(scope, wanted, GOALS, Watch(None, still, never, nobody))
        lots = proving.lots(COUNT_GOALS, 4.0, {})
        assert not lots.infeasible
        for goal in COUNT_GOALS:
            found[goal] += lots.floors.get(goal, 0)
    told = [getattr(plan.objective, goal) for goal in COUNT_GOALS]
    told[2] = round(told[2] * whole.scale)
    assert [found[goal] for goal in COUNT_GOALS] <= told


@pytest.mark.parametrize(("considered", "floor"), [(11, 0), (12, 1)])
def test_no_floor_is_told_that_one_batch_more_could_undercut(considered: int, floor: int) -> None:
    """Twelve copies, one a batch: who considers eleven batches lacks one, which proves nothing."""
    done = drafts.stage("done", drafts.way(most=1))
    shown = drafts.beat("show", 0, 60, {"done": 12}, {})
    scope = Scope(read_day(drafts.day([done], [shown], [drafts.run("take", "12:00")])))
    scope.consider({(("loaf", "done"), "take"): considered})
    short = frozenset({"loaf"})
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), short=short, bare=short)
    proving = Proving(scope, wanted, GOALS, Watch(None, still, never, nobody))
    lacking = Answer(parts={"loaf": {"unmet": 1}}, floors={"unmet": 1})
    assert proving.true_floors(lacking, {}) == {"unmet": floor}


def test_what_was_shown_may_be_made_of_for_who_does_not_mind() -> None:
    """Of two that are cut one is tasted; the other may be cut of what a take has handed back."""
    stages = [
        drafts.stage("baked"),
        drafts.stage("cut", ready_to_eat=True, **{"from": [{"stage": "baked"}]}),
    ]
    beats = [
        drafts.beat("shows", 0, 60, {"baked": 1}, {"baked": 1}),
        drafts.beat("tastes", 120, 60, {"cut": {"tasting": True}}, {}),
        drafts.beat("serves", 240, 60, {"cut": 1}, {}),
    ]
    runs = [
        drafts.run("first", "12:00", beats=["shows"], kind="pickup"),
        drafts.run("second", "14:00", beats=["tastes", "serves"], kind="pickup"),
    ]
    assert figures(drafts.day(stages, beats, runs))[:3] == (0, 0, 4)


def test_a_few_batches_more_are_considered_before_many() -> None:
    """A plait whose morning begins late needs a few more: with many no plan is found in time."""
    facts = json.loads((DEMO / "studio.day.json").read_text("utf-8"))
    plait = next(each for each in facts["demonstrations"] if each["id"] == "plait")
    mixed = next(each for each in plait["stages"] if each["id"] == "mixed")
    next(each for each in mixed["ways"] if each["id"] == "by-hand")["batch_max"] = 1
    marit = next(each for each in facts["kitchen"]["crew"] if each["id"] == "marit")
    marit["shifts"][2][0] = "2027-05-13T09:30"
    take = next(each for each in facts["runs"] if each["id"] == "plait-take-1")
    take["starts"] = "2027-05-13T10:37"
    scope = Scope(read_day(facts))
    wanted = Wanted(stages_of(scope, {"plait"}), cost_scale(scope))
    patient = Watch(None, still, never, nobody)
    asked, answer = alone(scope, wanted, GOALS, patient, 2.0)
    assert not asked.short
    assert answer.figures["unmet"] == 0
