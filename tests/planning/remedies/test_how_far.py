"""How far beyond the first guess a change is tried before it is given up."""

from dataclasses import replace

import pytest

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.plan import Plan
from app.planning.reading import read_day
from app.planning.remedies.offer import Change, DayFile, Offer
from app.planning.remedies.trying import Trying
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning import drafts

GUESS_MIN, ENOUGH_MIN, MOST_MIN = 100, 2000, 4319
CLASH = Clash((Fact("need", ("take", "show", "baked")),), anyway=False)


class _Long(Trying):
    """Tries a day that is served by no less than ENOUGH_MIN, though GUESS_MIN looks enough."""

    def __init__(self) -> None:
        beats = [drafts.beat("show", 0, 60, {"baked": 1}, {})]
        stages = [drafts.stage("baked", drafts.way(4320), keeps_min=30)]
        day = read_day(drafts.day(stages, beats, [drafts.run("take", "12:00")]))
        super().__init__(DayFile(day), solve(day), Watch(None, still, never, nobody), 9.0)
        served = self.plan.objective.model_copy(update={"unmet": 0})
        self.served = self.plan.model_copy(update={"objective": served, "unmet": ()})
        self.tried: list[int] = []
        self.enough_min = ENOUGH_MIN

    def _resolves(self, change: Change, clash: Clash) -> bool:
        return int(change.words) >= GUESS_MIN

    def _planned(self, change: Change, clash: Clash) -> Plan | None:
        self.tried.append(int(change.words))
        return self.served if self.tried[-1] >= self.enough_min else self.plan


def _more(*, grows: bool) -> Offer:
    return Offer(lambda n: Change((), str(n)), MOST_MIN, grows=grows)


@pytest.mark.parametrize("is_small", [True, False])
def test_more_of_what_only_helps_is_tried_as_far_as_there_is_more(is_small: bool) -> None:
    """A way of three days has to be more than a day quicker; it is told no further than needed."""
    trying = _Long()
    trying.is_small = is_small
    found = trying.least(_more(grows=True), CLASH)
    assert found is not None
    assert found.plan is trying.served
    assert 0 <= int(found.change.words) - ENOUGH_MIN < (1 if is_small else 5)
    assert max(trying.tried) <= 2 * ENOUGH_MIN


def test_what_serves_a_part_is_told_without_trying_much_more() -> None:
    """On a larger day more of it costs seconds, and hardly ever serves the rest."""
    trying = _Long()
    trying.is_small = False
    (lack,) = trying.plan.unmet
    half = trying.served.model_copy(update={"unmet": (lack,)})
    trying.served, trying.enough_min = half, GUESS_MIN + 480
    also = (Fact("need", ("take", "show", "glazed")),)
    found = trying.least(_more(grows=True), replace(CLASH, also=also))
    assert found is not None
    assert max(trying.tried) == int(found.change.words) == GUESS_MIN + 480


def test_what_may_harm_too_is_given_up_where_it_was() -> None:
    """A run that starts half a day later may clash with others: the search is no longer."""
    trying = _Long()
    assert trying.least(_more(grows=False), CLASH) is None
    assert max(trying.tried) < ENOUGH_MIN
