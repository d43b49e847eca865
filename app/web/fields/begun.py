"""How the rows of a demonstration begin, before anything is filled in."""

from app.exchange.ingredient_lines import ingredient_of
from app.planning.day import (
    Beat,
    Demonstration,
    Fact,
    Input,
    Leaving,
    Need,
    Phase,
    PhaseEquipment,
    Stage,
    Way,
)
from app.planning.ids import id_from
from app.storage.parts import Place, Values
from app.storage.queries.sheets import Sheet
from app.web.fields import Made
from app.web.fields.taking import Taken, stages_here, stages_to_take
from app.web.typed import NotUnderstood

AT_FIRST_MIN, AT_FIRST_S = 240, 60


def _first_free(sheet: Sheet, below: Values, table: str) -> str:
    """Return the last stage that a beat does not need, or leave, yet."""
    beat = sheet.row(Place("beats", below["beat_id"])) or {}
    there = {row["stage"] for row in sheet.below("beats", below["beat_id"], table)}
    known = stages_here(sheet, beat)
    free = next((key for key in reversed(list(known)) if key not in there), None)
    if free is None:
        raise NotUnderstood("No stage is left that this beat does not name already. Add one first.")
    return free


def _input(sheet: Sheet, below: Values, name: str) -> Fact:
    there = {
        (row["demonstration"], row["stage"])
        for above, column in (("stages", "stage_id"), ("ways", "way_id"))
        if below.get(column) is not None
        for row in sheet.below(above, below[column], "inputs")
    }
    known = stages_to_take(sheet, below)
    pairs = [Taken(known).understand(key) for key in known]
    free = next((pair for pair in reversed(pairs) if pair not in there and not pair[0]), None)
    free = free or next((pair for pair in pairs if pair not in there), None)
    if free is None:
        raise NotUnderstood("There is no other stage that this could be made from. Add one first.")
    return Input(demonstration=free[0], stage=free[1])


def _stage(sheet: Sheet, below: Values, name: str) -> Fact:
    above = sheet.below("demonstrations", below["demonstration_id"], "stages")
    keeps_min = above[-1]["keeps_min"] if above else AT_FIRST_MIN
    zone = above[-1]["zone"] if above else "ambient"
    return Stage(
        id=id_from(name, otherwise="stage"), name=name or None, keeps_min=keeps_min, zone=zone
    )


def _beat(sheet: Sheet, below: Values, name: str) -> Fact:
    above = sheet.below("demonstrations", below["demonstration_id"], "beats")
    starts_s = max((row["starts_s"] + row["lasts_s"] for row in above), default=0)
    ident = id_from(name, otherwise="beat")
    return Beat(id=ident, name=name or None, starts_s=starts_s, lasts_s=AT_FIRST_S)


MADE: dict[str, Made] = {
    "demonstrations": Made(
        "demonstration",
        lambda _sheet, _below, name: Demonstration(
            id=id_from(name, otherwise="demonstration"), title=name or "Untitled", stages=()
        ),
    ),
    "stages": Made("stage", _stage),
    "inputs": Made("input", _input),
    "ways": Made(
        "way",
        lambda _sheet, _below, name: Way(
            id=id_from(name, otherwise="way"), name=name or None, phases=()
        ),
    ),
    "phases": Made("step", lambda _sheet, _below, name: Phase(does=name, lasts_min=0)),
    "phase_equipment": Made(
        "piece of equipment",
        lambda _sheet, _below, name: PhaseEquipment(kind=name or "oven", per_batch=1),
    ),
    "beats": Made("beat", _beat),
    "ingredients": Made("ingredient", lambda _sheet, _below, name: ingredient_of(name or "?")),
    "needs": Made("need", lambda sheet, below, _: Need(stage=_first_free(sheet, below, "needs"))),
    "leavings": Made(
        "leaving", lambda sheet, below, _: Leaving(stage=_first_free(sheet, below, "leavings"))
    ),
}
