"""The fields of a demonstration: stages with their ways, beats with their needs."""

import re
from dataclasses import dataclass

from app.storage.queries.sheets import Sheet
from app.web.fields import Field, chosen, ticked
from app.web.fields.taking import Taken, TakenField, stages_here, stages_to_take
from app.web.lengths import Length
from app.web.typed import (
    Chance,
    Choice,
    Container,
    Degrees,
    Names,
    NotUnderstood,
    Number,
    Text,
    Whole,
)

ZONES = {each: each for each in ("ambient", "chill", "frozen", "hot", "proof")}
KINDS = {each: each for each in ("rehearsal", "take", "pickup", "stills", "tasting", "sitting")}
MOST_S = 86_400


@dataclass(frozen=True)
class Room:
    """The room that copies take: *12 to a slot*, or *2 slots a copy*; (copies_per_slot, slots)."""

    def understand(self, text: str) -> tuple[int | None, int | None]:
        """Return how many copies share a slot, or how many slots one takes."""
        plain = text.strip().lower()
        found = re.fullmatch(r"(\d{1,6})\s*(.*)", plain)
        if not plain or plain in ("a slot a copy", "1"):
            return None, None
        if found is None or int(found[1]) < 1:
            raise NotUnderstood(f"Such as 12 to a slot, or 2 slots, not “{text.strip()[:40]}”.")
        number = int(found[1])
        if found[2].startswith("slot"):
            return None, None if number == 1 else number
        return None if number == 1 else number, None

    def say(self, value: tuple[int | None, int | None]) -> str:
        """Return it in words; the usual slot a copy is said by its number."""
        copies, slots = value
        if slots is not None and slots > 1:
            return f"{slots} slots"
        return f"{copies} to a slot" if copies is not None and copies > 1 else "1"


@dataclass(frozen=True)
class OnlyIn:
    """The kinds of run that have a beat: *take, stills*; every kind where nothing is said."""

    def understand(self, text: str) -> list[str] | None:
        """Return the kinds; nothing where it is in all of them."""
        if text.strip().lower() == "none":
            return []
        return Names(Choice(KINDS)).understand(text) or None

    def say(self, value: list[str] | None) -> str:
        """Return the kinds with commas between."""
        return "none" if value == [] else Names(Choice(KINDS)).say(value)


@dataclass(frozen=True)
class Much:
    """How much of an ingredient: *250 g*, *1 1/2 cups*, nothing where to taste; (amount, unit)."""

    def understand(self, text: str) -> tuple[float | None, str]:
        """Return the amount and its unit, as it was typed."""
        plain = text.strip()
        if plain.lower() in ("", "to taste"):
            return None, ""
        found = re.fullmatch(r"([\d\s.,/¼½¾⅓⅔⅛⅜⅝⅞]*[\d¼½¾⅓⅔⅛⅜⅝⅞])\s*(\D.{0,39})?", plain)
        if found is None:
            raise NotUnderstood(f"Such as 250 g or 1 ½ cups, not “{plain[:40]}”.")
        return Number().understand(found[1]), (found[2] or "").strip()

    def say(self, value: tuple[float | None, str]) -> str:
        """Return *250 g*, or *to taste*."""
        amount, unit = value
        return "to taste" if amount is None else f"{Number().say(amount)} {unit}".strip()


def kinds_of_equipment(sheet: Sheet) -> list[str]:
    """Return the kinds of equipment that the kitchen has or a phase asks for."""
    both = (*sheet.all("equipment"), *sheet.all("phase_equipment"))
    return sorted({str(row["kind"]) for row in both})


def allergens(sheet: Sheet) -> list[str]:
    """Return the allergens that some ingredient contains."""
    return sorted({each for row in sheet.all("ingredients") for each in row["contains"]})


def skills(sheet: Sheet) -> list[str]:
    """Return the skills that somebody has."""
    return sorted({skill for cook in sheet.all("cooks") for skill in cook["skills"]})


NAME = Field("name", Text(120, none=True), "mid", redraws=True)
COUNT = Field("how many", Whole(1), "tiny")
LOSS = Field("lost", Chance(), "short")
STAGE = Field("stage", Choice({}), "mid", "choice", choices=stages_here, redraws=True)
FIELDS: dict[str, dict[str, Field]] = {
    "demonstrations": {
        "title": Field("title", Text(120, least=1), "wide", redraws=True),
        "code": Field("letters", Text(4, none=True), "tiny", redraws=True),
    },
    "stages": {
        "name": NAME,
        "code": Field("code", Text(4, none=True), "tiny"),
        "yields": Field("a set gives", Whole(1), "tiny"),
        "zone": chosen("waits", ZONES),
        "keeps_min": Field("keeps", Length()),
        "room": Field("takes", Room(), columns=("copies_per_slot", "slots")),
        "cost": Field("cost of a copy", Number(), "tiny"),
        "loss": LOSS,
        "tools": Field("tools", Names(), "wide"),
        "container": Field("stands in", Container(200), "mid"),
        "look": Field("look", Text(), "wide", "long"),
        "caution": Field("caution", Text(), "wide", "long"),
        "raw_animal": ticked("raw animal food"),
        "ready_to_eat": ticked("ready to eat"),
        "needs_temperature_control": ticked("needs temperature control"),
        "cook_to_c": Field("cook to", Degrees()),
        "safety_min": Field("eaten within", Length(none=True)),
    },
    "inputs": {
        "count": COUNT,
        "taken": TakenField(
            "stage",
            Taken({}),
            "mid",
            "choice",
            ("demonstration", "stage"),
            stages_to_take,
            redraws=True,
        ),
    },
    "ingredients": {
        "name": Field("ingredient", Text(200, least=1), "mid", redraws=True),
        "much": Field("how much", Much(), "short", columns=("amount", "unit")),
        "per": chosen("for", {"copy": "a copy", "set": "a set", "batch": "a batch"}),
        "contains": Field("contains", Names(), "mid", suggests=allergens),
        "note": Field("note", Text(400), "mid"),
    },
    "ways": {
        "name": NAME,
        "batch_max": Field("most at once", Whole(1), "tiny"),
        "own_inputs": ticked("takes something else", redraws=True),
        "yields": Field("a set gives", Whole(1, none=True), "tiny"),
        "cost": Field("cost of a copy", Number(none=True), "tiny"),
        "loss": Field("lost", Chance(none=True), "short"),
    },
    "phases": {
        "does": Field("what to do", Text(400), "wide", "long"),
        "lasts_min": Field("lasts", Length(blank=True)),
        "per_copy_min": Field("more for each copy", Length(blank=True)),
        "per_copy_s": Field("more for each copy, in seconds", Length(unit_s=1, blank=True)),
        "hands": Field("people", Whole(0, 100, blank=True), "tiny"),
        "skill": Field("skill", Text(80, none=True), "short", suggests=skills),
        "zone": Field("stands", Choice(ZONES, "nowhere"), "short", "choice"),
    },
    "phase_equipment": {
        "kind": Field(
            "kind", Text(80, least=1), "short", suggests=kinds_of_equipment, redraws=True
        ),
        "copies_per_unit": Field("copies to a unit", Whole(1, none=True), "tiny"),
        "per_batch": Field("units for a batch", Whole(blank=True), "tiny"),
        "setting": Field("setting", Degrees(sign=""), "tiny"),
    },
    "beats": {
        "name": NAME,
        "starts_s": Field("at", Length(0, MOST_S, 1)),
        "lasts_s": Field("lasts", Length(1, MOST_S, 1)),
        "kinds": Field("only in", OnlyIn(), "mid"),
        "tools": Field("tools on set", Names(), "wide"),
        "dressing": Field("dressing", Names(), "wide"),
        "note": Field("note", Text(), "wide", "long"),
    },
    "needs": {
        "count": COUNT,
        "stage": STAGE,
        "backups": Field("backups", Whole(blank=True), "tiny"),
        "untouched": ticked("not yet on camera"),
        "tasting": ticked("to be eaten"),
        "ready_margin_min": Field("ready before", Length(none=True)),
        "per_station": ticked("at every bench"),
    },
    "leavings": {
        "count": COUNT,
        "stage": STAGE,
        "per_station": ticked("at every bench"),
    },
}
