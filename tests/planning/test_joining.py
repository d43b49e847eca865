"""What is known of all families before any of them is placed."""

import pytest

from app.planning.descent import Answer
from app.planning.families import in_order
from app.planning.joining import Joining
from app.planning.model.build import Wanted
from app.planning.reading import read_day
from app.planning.scope import Scope
from app.planning.solve import HANDS_FIRST, nobody, still
from app.planning.watch import Watch, never
from tests.planning import drafts

SHIFT_MIN = 240


@pytest.mark.parametrize(("hands_min", "too_much"), [(240, False), (300, False), (301, True)])
def test_far_more_hands_than_there_are_are_too_much(hands_min: int, too_much: bool) -> None:
    """Tests that a little more is not: four hours of one cook, and fuller batches may take less."""
    crew = [drafts.cook(shift=("06:00", "10:00"))]
    beats = [drafts.beat("show", 0, 60, {"done": 1}, {})]
    facts = drafts.day([drafts.stage("done")], beats, [drafts.run("take", "12:00")])
    scope = Scope(read_day(facts | {"kitchen": {"crew": crew}}))
    assert scope.hands_until(scope.needs.end) == SHIFT_MIN
    watch = Watch(None, still, never, nobody)
    wanted = Wanted(tuple(scope.makings), 1)
    joining = Joining(scope, wanted, HANDS_FIRST, watch, in_order(scope), work=1.0)
    (family,) = joining.families
    parts = {member: {"hands_min": hands_min} for member in family}
    joining.alone[family] = Answer(values={"any": 1}, parts=parts)
    assert joining.asks_too_much is too_much
