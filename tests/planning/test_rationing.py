"""Kitchens without room for all: run after run is served as far as it goes."""

import pytest

from app.planning import again
from app.planning.audit import audit
from app.planning.day import Day
from app.planning.families import in_order
from app.planning.joining import Joining
from app.planning.model.build import Wanted
from app.planning.model.goals import cost_scale
from app.planning.rationing import ration
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import solve
from app.planning.watch import Watch, never
from tests.bench.productions import production
from tests.bench.spoilt import no_room

GOALS = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")
HALF, THIRDS = 0.5, 2 / 3
LITTLE_WORK = 1.0


def crowded(
    shown: tuple[str, ...], runs: tuple[str, ...] = ("",), beats: tuple[str, ...] = ()
) -> Day:
    """Return some dishes, runs and beats of a production with three slots in each zone."""
    document = production(12, 1)
    no_room(document)
    document["stock"] = []
    document["demonstrations"] = [
        each for each in document["demonstrations"] if each["id"] in shown
    ]
    document["runs"] = [
        run
        for run in document["runs"]
        if run["demonstration"] in shown and run["id"].endswith(runs)
    ]
    if beats:
        for each in document["demonstrations"]:
            each["beats"] = [beat for beat in each["beats"] if beat["id"] in beats]
    return read_day(document)


def rationed(day: Day) -> Joining:
    """Return a day of which run after run was served."""
    scope = Scope(day)
    zones = frozenset(shelf.zone for shelf in day.kitchen.shelves)
    wanted = Wanted(tuple(scope.makings), cost_scale(scope), shelves=zones, strict_shelves=True)
    watch = Watch(None, lambda: 0.0, never, lambda _: None)
    joining = Joining(scope, wanted, GOALS, watch, in_order(scope), work=10.0)
    ration(joining, joining.families)
    return joining


def copies_needed(joining: Joining) -> int:
    """Return how many copies all uses take."""
    return sum(use.count for use in joining.scope.needs.uses)


def test_of_a_dish_without_room_only_some_uses_lack() -> None:
    """Tests that runs share what room there is: no dish lacks as a whole, nor does half of it."""
    joining = rationed(crowded(("frozen-2",)))
    assert joining.best.figures["unmet"] <= HALF * copies_needed(joining)


def test_what_is_served_has_its_place() -> None:
    """Tests that no step crowds a zone, whatever else stands there."""
    joining = rationed(crowded(("tart-10", "loaf-3"), ("take-1",)))
    assert joining.full_zones(joining.placed) == set()
    assert joining.best.figures["unmet"] <= THIRDS * copies_needed(joining)


def test_it_is_repeated_alike() -> None:
    """Tests that counted work alone limits it."""
    day = crowded(("frozen-2",), ("take-1",))
    assert rationed(day).best.values == rationed(day).best.values


def test_a_plan_that_lacks_one_backup_is_not_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """Tests a kitchen in which nothing need lack but one backup: that is found and proven."""
    monkeypatch.setattr(again, "AGAIN_WORK", LITTLE_WORK)
    day = crowded(("frozen-2",), ("take-1",), ("whip", "turn-out", "reveal"))
    plan = solve(day, work=LITTLE_WORK)
    assert audit(day, plan) == []
    assert (plan.objective.unmet, plan.objective.unbacked, plan.bounds.unmet) == (0, 1, 0)
