"""How the rows of a demonstration begin, before anything is filled in."""

from collections.abc import Callable, Mapping

from app.exchange.ingredient_lines import ingredient_of
from app.planning.day import (
    Demonstration,
    Fact,
    Input,
    Leaving,
    Need,
    PhaseEquipment,
    Stage,
)
from app.planning.ids import id_from
from app.storage.parts import Place, Values
from app.storage.queries.sheets import Sheet
from app.web.fields import Made, columns_of
from app.web.fields.demonstrations import FIELDS, kinds_of_equipment
from app.web.fields.lines import USUAL_KINDS, beat_of, stage_of, step_of, way_of
from app.web.fields.taking import Taken, stages_here, stages_to_take
from app.web.typed import NotUnderstood

AT_FIRST_MIN, AT_FIRST_S = 240, 60
Named = Callable[[Sheet, Values, str], Fact]


def _free(sheet: Sheet, below: Values, table: str) -> list[str]:
    """Return the stages that a beat does not need, or leave, yet."""
    beat = sheet.row(Place("beats", below["beat_id"])) or {}
    there = {row["stage"] for row in sheet.below("beats", below["beat_id"], table)}
    free = [key for key in stages_here(sheet, beat) if key not in there]
    if not free:
        raise NotUnderstood("No stage is left that this beat does not name already. Add one first.")
    return free


def _need(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return the first need of a beat: the stage after the last that its like speak of."""
    free = _free(sheet, below, "needs")
    beat = sheet.row(Place("beats", below["beat_id"])) or {}
    known = list(stages_here(sheet, beat))
    told = [
        known.index(row["stage"])
        for each in sheet.below("demonstrations", beat.get("demonstration_id", 0), "beats")
        for table in ("needs", "leavings")
        for row in sheet.below("beats", each["id"], table)
        if row["stage"] in known
    ]
    is_first = not sheet.below("beats", below["beat_id"], "needs")
    following = known[max(told, default=-1) + 1 :] if is_first else []
    return Need(stage=next((key for key in following if key in free), free[-1]))


def _leaving(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return what a beat leaves: the stage after the one that it needs."""
    free = _free(sheet, below, "leavings")
    beat = sheet.row(Place("beats", below["beat_id"])) or {}
    known = list(stages_here(sheet, beat))
    needs = [row["stage"] for row in sheet.below("beats", below["beat_id"], "needs")]
    following = known[known.index(needs[-1]) + 1 :] if needs and needs[-1] in known else []
    return Leaving(stage=next((key for key in following if key in free), free[-1]))


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
    """Return a stage of a line; it keeps as the one above it, and is made from that."""
    above = sheet.below("demonstrations", below["demonstration_id"], "stages")
    like = Stage(
        id="stage",
        keeps_min=above[-1]["keeps_min"] if above else AT_FIRST_MIN,
    )
    return stage_of(name, [row["key"] for row in above], stages_here(sheet, below), like)


def _beat(sheet: Sheet, below: Values, name: str) -> Fact:
    above = sheet.below("demonstrations", below["demonstration_id"], "beats")
    starts_s = max((row["starts_s"] + row["lasts_s"] for row in above), default=0)
    return beat_of(name, stages_here(sheet, below), starts_s, AT_FIRST_S)


def _held(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return a piece of equipment of a kind that the step does not hold yet."""
    there = {row["kind"] for row in sheet.below("phases", below["phase_id"], "phase_equipment")}
    kinds = dict.fromkeys((*USUAL_KINDS, *kinds_of_equipment(sheet)))
    free = next((kind for kind in kinds if kind not in there), None)
    if not name and free is None:
        raise NotUnderstood("This step holds equipment of every kind. Name another kind first.")
    return PhaseEquipment(kind=name or str(free), per_batch=1)


def _each_its_own(noun: str, table: str, field: str, named: Named) -> Made:
    """Return how a row begins that holds in one field what none of its like does, copies too."""
    columns = columns_of(field, FIELDS[table][field])

    def again(sheet: Sheet, row: Values) -> Mapping[str, Values]:
        fact = named(sheet, row, "")
        return {field: {column: getattr(fact, column) for column in columns}}

    return Made(noun, named, again)


MADE: dict[str, Made] = {
    "demonstrations": Made(
        "demonstration",
        lambda _sheet, _below, name: Demonstration(
            id=id_from(name, otherwise="demonstration"), title=name or "Untitled", stages=()
        ),
    ),
    "stages": Made("stage", _stage),
    "inputs": _each_its_own("input", "inputs", "taken", _input),
    "ways": Made("way", lambda sheet, _below, name: way_of(name, kinds_of_equipment(sheet))),
    "phases": Made("step", lambda sheet, _below, name: step_of(name, kinds_of_equipment(sheet))),
    "phase_equipment": _each_its_own("piece of equipment", "phase_equipment", "kind", _held),
    "beats": Made("beat", _beat),
    "ingredients": Made("ingredient", lambda _sheet, _below, name: ingredient_of(name or "?")),
    "needs": _each_its_own("need", "needs", "stage", _need),
    "leavings": _each_its_own("leaving", "leavings", "stage", _leaving),
}
