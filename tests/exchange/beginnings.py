"""A day around a demonstration that was begun, to hear whether it could be planned."""

from app.planning.day import Cook, Day, Demonstration, Equipment, Kitchen
from app.planning.reading import faults_of_day


def faults_of(*demonstrations: Demonstration) -> list[str]:
    """Return what is wrong with demonstrations in a kitchen that has whatever they use."""
    phases = [
        phase
        for demonstration in demonstrations
        for stage in demonstration.stages
        for way in stage.ways
        for phase in way.phases
    ]
    used = {held.kind for phase in phases for held in phase.equipment}
    most_hands = max((phase.hands for phase in phases), default=1)
    shift = ("2027-03-04T07:00", "2027-03-04T17:00")
    day = Day(
        title="trial",
        timezone="Europe/Lisbon",
        prep_from="2027-03-04T07:00",
        kitchen=Kitchen(
            equipment=tuple(Equipment(id=f"item-{n}", kind=kind) for n, kind in enumerate(used)),
            crew=tuple(Cook(id=f"cook-{n}", shifts=(shift,)) for n in range(max(1, most_hands))),
        ),
        demonstrations=demonstrations,
    )
    return [str(found.told()) for found in faults_of_day(day)]
