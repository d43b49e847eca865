"""Which stages may be named where: by an input, a need, a leaving."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.storage.parts import Place, Values
from app.storage.queries.sheets import Sheet
from app.web.fields import Field
from app.web.typed import Choice


@dataclass(frozen=True)
class Taken:
    """The stage that an input takes: (demonstration, stage), by one key of `Choice`."""

    choices: Mapping[str, str]

    def understand(self, text: str) -> tuple[str | None, str]:
        """Return the demonstration (None for its own) and the stage."""
        home, _, stage = str(Choice(self.choices).understand(text)).rpartition("/")
        return home or None, stage

    def say(self, value: tuple[str | None, str]) -> str:
        """Return the stage's name."""
        return Choice(self.choices).say(f"{value[0] or ''}/{value[1]}")


@dataclass(frozen=True)
class TakenField(Field):
    """The field of an input's stage."""

    def reads(self, sheet: Sheet, row: Values) -> Taken:
        """Return the reader for a row."""
        return Taken({} if self.choices is None else self.choices(sheet, row))


def home_of(sheet: Sheet, row: Values) -> Values:
    """Return the row of the demonstration that a row lies in."""
    above = (
        ("phase_id", "phases"),
        ("way_id", "ways"),
        ("stage_id", "stages"),
        ("beat_id", "beats"),
        ("demonstration_id", "demonstrations"),
    )
    for column, table in above:
        if row.get(column) is not None:
            found = sheet.row(Place(table, row[column]))
            return row if found is None else home_of(sheet, found)
    return row


def stages_here(sheet: Sheet, row: Values) -> dict[str, str]:
    """Return the stages of the demonstration that a row lies in, by id."""
    home = home_of(sheet, row)
    return {
        each["key"]: called(each)
        for each in sheet.below("demonstrations", home.get("id", 0), "stages")
    }


def stages_to_take(sheet: Sheet, row: Values) -> dict[str, str]:
    """Return the stages that an input may take: no circle, those of other demonstrations last."""
    home = home_of(sheet, row)
    stage = row.get("stage_id")
    if stage is None and row.get("way_id") is not None:
        stage = (sheet.row(Place("ways", row["way_id"])) or {}).get("stage_id")
    made = made_from(sheet, stage)
    found: dict[str, str] = {}
    for each in sorted(sheet.all("demonstrations"), key=lambda each: each["id"] != home["id"]):
        is_own = each["id"] == home["id"]
        for other in sheet.below("demonstrations", each["id"], "stages"):
            if other["id"] not in made:
                key = f"{'' if is_own else each['key']}/{other['key']}"
                found[key] = called(other) if is_own else f"{called(other)} ({each['title']})"
    return found


def made_from(sheet: Sheet, stage: int | None) -> set[int]:
    """Return the numbers of the stages that are made from a stage, itself included."""
    homes = {each["id"]: each for each in sheet.all("demonstrations")}
    known = {
        (homes[each["demonstration_id"]]["key"], each["key"]): each["id"]
        for each in sheet.all("stages")
    }
    of_way = {way["id"]: way["stage_id"] for way in sheet.all("ways")}
    takers: dict[int, set[int]] = {}
    for entry in sheet.all("inputs"):
        owner = entry["stage_id"] if entry["way_id"] is None else of_way[entry["way_id"]]
        home = entry["demonstration"] or home_of(sheet, entry)["key"]
        taken = known.get((home, entry["stage"]))
        if taken is not None:
            takers.setdefault(taken, set()).add(owner)
    found: set[int] = set() if stage is None else {stage}
    ahead = list(found)
    while ahead:
        new = takers.get(ahead.pop(), set()) - found
        found |= new
        ahead += new
    return found


def called(row: Values) -> str:
    """Return what people call a row."""
    return str(row.get("title") or row["name"] or row["key"])
