"""Room that one family cedes to another which needs fewer copies there, and stands elsewhere."""

from app.planning.descent import Answer
from app.planning.finding_room import MOST_PAIRED
from app.planning.fitting import Fitting, both
from app.planning.holds import Occupied
from app.planning.joining import Family, Joining
from app.planning.neighbours import in_the_way
from app.planning.proving import COPY_GOALS


def take_room(day: Joining, family: Family) -> None:
    """Let a family have fewer copies where another was, if that one can stand elsewhere."""
    for other in in_the_way(day, family)[:MOST_PAIRED]:
        if day.watch.over():
            return
        part, before = day.part(family), day.of(family | other)
        taken = day.taken(each for each in day.placed if each not in (family, other))
        own = _beside(day, family, taken, replace_shape=True)
        if own.values is None or own.rank(COPY_GOALS) >= part.rank(COPY_GOALS):
            continue
        its = _beside(day, other, [*taken, day.takes(family, own)])
        answer = both(own, its)
        if its.values and answer.rank(COPY_GOALS) < before.rank(COPY_GOALS):
            day.stand(answer)
            return


def _beside(
    day: Joining, family: Family, taken: list[Occupied], replace_shape: bool = False
) -> Answer:
    """Return a plan of a family beside what is taken: of its own shape, or of one that fits."""
    fitting, wanted = Fitting(day.amid(taken, family), day.watch), day.asked(family)
    known, floors = day.part(family), day.alone[family].floors
    how = fitting.reshaped if replace_shape else fitting.fitted
    answer = how(wanted, known, family, floors, at_once=True)
    day.work -= answer.work
    return answer
