"""A day around a demonstration that was begun, to hear whether it could be planned."""

from app.planning.day import Cook, Day, Demonstration, Equipment, Kitchen
from app.planning.reading import faults_of_day


def faults_of(*demonstrations: Demonstration) -> list[str]:
    """Return what is wrong with demonstrations in a kitchen that has whatever they use."""
    used = {
        held.kind
        for demonstration in demonstrations
        for stage in demonstration.stages
        for way in stage.ways
        for phase in way.phases
        for held in phase.equipment
    }
    day = Day(
        title="trial",
        timezone="Europe/Lisbon",
        prep_from="2027-03-04T07:00",
        kitchen=Kitchen(
            equipment=tuple(Equipment(id=f"item-{n}", kind=kind) for n, kind in enumerate(used)),
            crew=(Cook(id="cook", shifts=(("2027-03-04T07:00", "2027-03-04T17:00"),)),),
        ),
        demonstrations=demonstrations,
    )
    return [str(found.told()) for found in faults_of_day(day)]
