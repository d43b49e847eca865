"""Somebody's own spreadsheet as demonstrations: its columns mapped, row by row.

An empty cell below a demonstration, a stage or a way means the same as above. A stage is made from
the one before it. What no column tells is put in carefully and listed.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from app.exchange.beginning import Beginning
from app.exchange.ingredient_lines import ingredient_of
from app.exchange.meanings import heads_of, unit_min
from app.exchange.separators import has_decimal_commas
from app.exchange.sheets import Cells, Sheet
from app.exchange.times_in_words import degrees_c_in
from app.exchange.told import Told
from app.planning.day import Demonstration, Ingredient, Input, Phase, PhaseEquipment, Stage, Way
from app.planning.ids import id_from
from app.planning.refusals.limits import MOST_OF

LONGEST_NAME, MOST_STAGES = 120, 200
KEEPS_MIN, LASTS_MIN = 60, 5
_BARE_HEAT = re.compile(r"\D\s((?:[5-9]|[1-4]\d)\d)$")
_HEAT = re.compile(r"[\s,]*(?:\b(?:at|on)\b\s*)?\d.*$", re.IGNORECASE)


@dataclass(frozen=True)
class Breakdown:
    """What the rows of a spreadsheet begin: a demonstration each, and what could not be read."""

    beginnings: tuple[Beginning, ...]
    unread: tuple[str, ...]


def read_breakdown(sheet: Sheet, head: int, meanings: Mapping[int, str], title: str) -> Breakdown:
    """Return the demonstrations that the rows of a sheet tell.

    Parameters
    ----------
    sheet
        The sheet.
    head
        Which row has the names of the columns; those below it are read.
    meanings
        What the columns mean, by their number: keys of `meanings.MEANINGS`.
    title
        What the demonstration is called if no column says it.
    """
    heads = heads_of(sheet, head)
    texts = (cell for row in sheet.rows[head + 1 :] for cell in row if isinstance(cell, str))
    reader = _Reader(heads, meanings, title, by_comma=has_decimal_commas(texts))
    for number, row in enumerate(sheet.rows[head + 1 :], head + 2):
        reader.read(number, row)
    return reader.breakdown()


@dataclass
class _Way:
    name: str
    phases: list[Phase] = field(default_factory=list)
    batch_max: int = 1


@dataclass
class _Stage:
    name: str
    ways: list[_Way] = field(default_factory=list)
    ingredients: list[Ingredient] = field(default_factory=list)
    tools: list[str] = field(default_factory=list)
    told: dict[str, object] = field(default_factory=dict)


@dataclass
class _Shown:
    title: str
    stages: dict[str, _Stage] = field(default_factory=dict)


class _Reader:
    """Reads the rows of one sheet."""

    def __init__(
        self, heads: Cells, meanings: Mapping[int, str], title: str, *, by_comma: bool
    ) -> None:
        self.by_comma = by_comma
        self.columns = {key: column for column, key in meanings.items() if key}
        self.units = {
            key: unit_min(heads[column] if column < len(heads) else None)
            for key, column in self.columns.items()
        }
        self.title = title
        self.shown: dict[str, _Shown] = {}
        self.last: tuple[str, str, str] = ("", "", "")
        self.unread: list[str] = []

    def read(self, number: int, row: Cells) -> None:
        """Read one row."""
        told = Told(number, row, self.columns, self.units, self.by_comma, self.unread)
        if not told.cells:
            return
        stage, way = self._places(told)
        if stage is None or way is None:
            return
        _tell_stage(stage, told)
        if batch_max := told.whole("batch_max"):
            way.batch_max = batch_max
        if told.cells.keys() & {"does", "lasts", "kind", "setting", "hands"}:
            way.phases.append(_phase(told))
        if name := told.text("ingredient", 200):
            stage.ingredients.append(_ingredient(name, told))

    def _places(self, told: Told) -> tuple[_Stage | None, _Way | None]:
        """Return the stage and the way that a row is about: those above it where it is silent."""
        home, stage, way = self.last
        if (said := told.text("demonstration", LONGEST_NAME)) not in ("", home):
            home, stage, way = said, "", ""
        if (said := told.text("stage", LONGEST_NAME)) not in ("", stage):
            stage, way = said, ""
        home, stage = home or self.title, stage or "made"
        way = told.text("way", LONGEST_NAME) or way
        self.last = (home, stage, way)
        if home not in self.shown and len(self.shown) >= MOST_OF["demonstrations"]:
            told.miss(f"{home}: a production has {MOST_OF['demonstrations']} at most")
            return None, None
        shown = self.shown.setdefault(home, _Shown(home))
        if stage not in shown.stages and len(shown.stages) >= MOST_STAGES:
            told.miss(f"{stage}: {MOST_STAGES} stages at most are read of one")
            return None, None
        found = shown.stages.setdefault(stage, _Stage(stage))
        for each in found.ways:
            if each.name == way:
                return found, each
        found.ways.append(_Way(way))
        return found, found.ways[-1]

    def breakdown(self) -> Breakdown:
        """Return what all rows told."""
        taken: set[str] = set()
        begun = []
        for shown in self.shown.values():
            begun.append(_beginning(shown, id_from(shown.title, taken, "demonstration")))
            taken.add(begun[-1].demonstration.id)
        return Breakdown(tuple(begun), tuple(self.unread))


def _tell_stage(stage: _Stage, told: Told) -> None:
    values = {
        "keeps_min": told.minutes("keeps"),
        "yields": told.whole("yields"),
        "zone": told.zone("zone"),
        "cost": told.number("cost"),
        "loss": told.share("loss"),
        "container": told.text("container") or None,
        "look": told.text("look") or None,
        "caution": told.text("caution") or None,
    }
    stage.told |= {key: value for key, value in values.items() if value is not None}
    stage.tools += told.texts("tools")


def _phase(told: Told) -> Phase:
    lasts = told.minutes("lasts")
    if lasts is None and "lasts" not in told.cells:
        told.miss(f"no time is told; {LASTS_MIN} min is a guess")
    setting, kind = told.setting("setting"), told.text("kind", 60)
    if setting is None and (heat := _heat_in(kind)) is not None:
        setting, kind = heat, _HEAT.sub("", kind)
    kind = kind or ("oven" if setting is not None else "")
    held = (PhaseEquipment(kind=kind, per_batch=1, setting=setting),) if kind else ()
    hands = told.whole("hands", least=0, most=100)
    return Phase(
        lasts_min=lasts or LASTS_MIN,
        does=told.text("does"),
        hands=1 if hands is None else hands,
        equipment=held,
    )


def _heat_in(kind: str) -> int | None:
    """Return the degrees beside an oven; without a sign what can be no number of an oven."""
    bare = _BARE_HEAT.search(kind)
    return degrees_c_in(kind) or (int(bare[1]) if bare else None)


def _ingredient(name: str, told: Told) -> Ingredient:
    """Return an ingredient; its amount may stand in a cell with the unit, or before the name."""
    beside = told.text("amount", 60)
    amount, unit = (told.number("amount"), "") if told.is_number("amount") else (None, "")
    if amount is None:
        line = ingredient_of(f"{beside} {told.text('unit', 40)} {name}")
        amount, unit = line.amount, line.unit
        name = name if beside else line.name
        if beside and amount is None:
            told.miss(f"“{beside}” is no amount")
    return Ingredient(
        name=name,
        amount=amount,
        unit=told.text("unit", 40) or unit,
        contains=tuple(told.texts("contains")),
        note=told.text("note"),
    )


def _beginning(shown: _Shown, ident: str) -> Beginning:
    missing: list[str] = []
    stages = tuple(_stages(list(shown.stages.values()), missing))
    missing.append("No copy is said to be safe to eat, and there are no beats yet.")
    demonstration = Demonstration(id=ident, title=shown.title, stages=stages)
    return Beginning(demonstration, tuple(missing))


def _stages(told: Sequence[_Stage], missing: list[str]) -> Iterator[Stage]:
    before, taken = "", set[str]()
    for stage in told:
        ident = id_from(stage.name, taken, "stage")
        if "keeps_min" not in stage.told:
            missing.append(f"{stage.name}: {KEEPS_MIN} min is a guess at how long it keeps.")
        values = {"keeps_min": KEEPS_MIN} | stage.told
        yield Stage.model_validate(
            {
                "id": ident,
                "name": stage.name if stage.name != ident else None,
                "takes": (Input(stage=before),) if before else (),
                "ways": tuple(_ways(stage, missing)),
                "ingredients": tuple(stage.ingredients),
                "tools": tuple(dict.fromkeys(stage.tools)),
                **values,
            }
        )
        before, taken = ident, taken | {ident}


def _ways(stage: _Stage, missing: list[str]) -> Iterator[Way]:
    taken: set[str] = set()
    told = [way for way in stage.ways if way.phases] or stage.ways[:1]
    for way in told:
        ident = id_from(way.name, taken, "usual")
        taken.add(ident)
        if not way.phases:
            missing.append(f"{stage.name}: {LASTS_MIN} min by one person is a guess.")
        phases = way.phases or [Phase(lasts_min=LASTS_MIN, hands=1)]
        name = way.name if way.name not in ("", ident) else None
        yield Way(id=ident, name=name, batch_max=way.batch_max, phases=tuple(phases))
