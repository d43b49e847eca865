"""The fields of a run and of the production itself."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from app.planning.day import Fact, Run
from app.planning.ids import id_from
from app.planning.minutes import Clock, NoSuchTime
from app.planning.refusals.times import timezones
from app.storage.parts import Values
from app.storage.queries.sheets import Sheet
from app.web import words
from app.web.fields import Field, Made, chosen, ticked
from app.web.fields.demonstrations import KINDS
from app.web.fields.taking import called
from app.web.lengths import Length
from app.web.moments import Moment, Part
from app.web.typed import Chance, Choice, Names, NotUnderstood, Text, Whole, quoted

LONGEST_NAME, HOUR_MIN = 120, 60
FROM_FIRST_BEAT = ("pickup",)


@dataclass(frozen=True)
class MomentField(Field):
    """A date, an hour or both; `beside` is the column whose day it is of, else its own."""

    part: Part = "both"
    beside: str = ""

    @property
    def depends(self) -> bool:
        """Return True: an hour is of the day of its row."""
        return True

    def reads(self, sheet: Sheet, row: Values) -> Moment:
        """Return the reader for a row."""
        column = self.beside or self.columns[0]
        zone, prep_from = sheet.production["timezone"], sheet.production["prep_from"]
        known = row.get(column) or prep_from
        return Moment(zone, known, self.part, bool(self.beside), prep_from)


@dataclass(frozen=True)
class BeatList:
    """The beats of a run: *all*, *tie, reveal*, or *from tie*; ids by what people call them."""

    beats: Mapping[str, str]

    def understand(self, text: str) -> list[str] | None:
        """Return the ids of the beats; None for all that its kind of run has."""
        plain = text.strip()
        if plain.lower() in ("", "all"):
            return None
        if found := re.fullmatch(r"from\s+(.+?)(?:\s+on)?", plain, re.IGNORECASE):
            ids = list(self.beats)
            return ids[ids.index(str(Choice(self.beats).understand(found[1]))) :]
        named = Names(Choice(self.beats)).understand(plain)
        return sorted(named, key=list(self.beats).index)

    def say(self, value: list[str] | None) -> str:
        """Return the names of the beats."""
        return "all" if value is None else Names(Choice(self.beats)).say(value)


@dataclass(frozen=True)
class BeatsField(Field):
    """The field of a run's beats: those of its demonstration."""

    @property
    def depends(self) -> bool:
        """Return True: which there are depends on the demonstration."""
        return True

    def reads(self, sheet: Sheet, row: Values) -> BeatList:
        """Return the reader for a row."""
        return BeatList(beats_of(sheet, row))


@dataclass(frozen=True)
class People:
    """Who may taste, and what they avoid: *Ines avoids milk, egg; Ben*."""

    def understand(self, text: str) -> list[dict[str, Any]]:
        """Return each with a name and a list of what they avoid."""
        found: list[dict[str, Any]] = []
        for said in re.split(r"[;\n]", text):
            name, _, avoids = re.sub(r"\s+avoids?\b[:\s]*", "\0", said.strip()).partition("\0")
            if not name.strip() and not avoids:
                continue
            if not name.strip() or len(name) > LONGEST_NAME:
                raise NotUnderstood(f"Such as Ines avoids milk, egg; Ben, not {quoted(said)}.")
            found.append({"name": name.strip(), "avoids": Names().understand(avoids)})
        return found

    def say(self, value: list[dict[str, Any]]) -> str:
        """Return them as they are typed."""
        return "; ".join(
            each["name"] + (f" avoids {', '.join(each['avoids'])}" if each["avoids"] else "")
            for each in value
        )


@dataclass(frozen=True)
class Zone:
    """A time zone in which every time of a production exists."""

    times: tuple[str, ...] = ()

    def understand(self, text: str) -> str:
        """Return the name of the zone."""
        known = {each.lower(): each for each in timezones()}
        found = known.get(text.strip().lower().replace(" ", "_"))
        if found is None:
            raise NotUnderstood(f"A time zone such as Europe/Lisbon, not {quoted(text)}.")
        clock = Clock(found)
        for each in self.times:
            try:
                clock.minute(each)
            except NoSuchTime as why:
                raise NotUnderstood(
                    f"There, the clocks change at {words.when(each)}. Move what is then first."
                ) from why
        return found

    def say(self, value: str) -> str:
        """Return the name."""
        return value


@dataclass(frozen=True)
class ZoneField(Field):
    """The field of the time zone: it must have every time that the production names."""

    @property
    def depends(self) -> bool:
        """Return True: it depends on all that has a time."""
        return True

    def reads(self, sheet: Sheet, row: Values) -> Zone:
        """Return the reader for a production."""
        times = [row["prep_from"], *(each["starts"] for each in sheet.all("runs"))]
        times += [each["staged"] for each in sheet.all("stock")]
        for table in ("shifts", "closures"):
            times += [each[name] for each in sheet.all(table) for name in ("starts", "ends")]
        return Zone(tuple(times))


def beats_of(sheet: Sheet, row: Values) -> dict[str, str]:
    """Return the beats of a run's demonstration, by id, as they air."""
    homes = [
        each for each in sheet.all("demonstrations") if each["key"] == row.get("demonstration")
    ]
    beats = sheet.below("demonstrations", homes[0]["id"], "beats") if homes else ()
    return {
        each["key"]: called(each) for each in sorted(beats, key=lambda each: int(each["starts_s"]))
    }


def demonstrations(sheet: Sheet, row: Values) -> dict[str, str]:
    """Return the demonstrations by id."""
    return {each["key"]: called(each) for each in sheet.all("demonstrations")}


def _run(sheet: Sheet, below: Values, name: str) -> Fact:
    """Return a run like the last one, an hour later; the first one when the prep starts."""
    known = list(demonstrations(sheet, {}))
    if not known:
        raise NotUnderstood("There is nothing to show yet. Begin a demonstration first.")
    clock = Clock(sheet.production["timezone"])
    last = max(sheet.all("runs"), key=lambda each: clock.minute(each["starts"]), default=None)
    is_class = sheet.production["kind"] == "class"
    kind = last["kind"] if last else "sitting" if is_class else "take"
    shown = last["demonstration"] if last and last["demonstration"] in known else known[0]
    starts = sheet.production["prep_from"]
    if last:
        starts = clock.text(clock.minute(last["starts"]) + HOUR_MIN)
    ident = id_from(name or f"{shown[:36]}-{kind}", otherwise="run")
    facts = {"id": ident, "name": name or None, "demonstration": shown, "kind": kind}
    facts |= {"starts": starts, "starts_at_first_beat": kind in FROM_FIRST_BEAT}
    return Run.model_validate(facts)


def _first_beat(row: Values, values: Values) -> Values:
    """Return whether a run of another kind starts at its first beat: as usual, if it did so far."""
    was, now = (each.get("kind", row["kind"]) in FROM_FIRST_BEAT for each in (row, values))
    usual = was != now and row["starts_at_first_beat"] == was
    return {"starts_at_first_beat": now} if usual else {}


MADE: dict[str, Made] = {"runs": Made("run", _run)}
FIELDS: dict[str, dict[str, Field]] = {
    "runs": {
        "name": Field("name", Text(120, none=True), "mid"),
        "demonstration": Field(
            "demonstration", Choice({}), "mid", "choice", choices=demonstrations
        ),
        "kind": Field("kind", Choice(KINDS), kind="choice", redraws=True, along=_first_beat),
        "date": MomentField("date", Text(), "mid", columns=("starts",), part="date"),
        "hour": MomentField("starts at", Text(), "tiny", columns=("starts",), part="hour"),
        "starts_at_first_beat": ticked("starts at its first beat"),
        "beats": BeatsField("beats", Text(), "wide"),
        "stations": Field("benches", Whole(1), "tiny"),
        "ready_margin_min": Field("copies ready before", Length(none=True)),
        "dry": ticked("dry: no food"),
        "people": Field("may taste", People(), "wide", "long"),
    },
    "productions": {
        "title": Field("title", Text(120, least=1), "wide"),
        "kind": chosen("kind", {"broadcast": "broadcast", "class": "class"}),
        "timezone": ZoneField("time zone", Text(), "mid"),
        "prep_from": MomentField("prep starts", Text(), "mid", columns=("prep_from",)),
        "ready_margin_min": Field("copies ready before", Length()),
        "return_min": Field("back in the kitchen after", Length()),
        "step_slack_min": Field("ready before a batch", Length()),
        "confidence": Field("losses covered", Chance(least=0.01)),
        "reuse": ticked("what a beat leaves may be used again"),
        "prefer": chosen("first", {"hands": "less work by hand", "fresh": "fresher copies"}, "mid"),
        "spread": Field("lengths vary by", Chance()),
    },
}
