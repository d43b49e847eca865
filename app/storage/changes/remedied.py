"""A production becomes the day that a remedy makes of it: what is there changes, more comes."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, select

from app.planning.day import Beat, Day, Demonstration, Fact, Phase, Span, Stage, Way
from app.storage.changes.applying import TYPED, apply, typed_at
from app.storage.changes.record import Change, Places, record, repeated
from app.storage.parts import Place, Values, new_numbers, row_at
from app.storage.refusals import OutOfDate, Refusal
from app.storage.tables.beats import BEATS, NEEDS
from app.storage.tables.demonstrations import DEMONSTRATIONS
from app.storage.tables.kitchens import CLOSURES, COOKS, EQUIPMENT, SHELVES, SHIFTS
from app.storage.tables.phases import PHASE_EQUIPMENT, PHASES
from app.storage.tables.productions import PRODUCTIONS
from app.storage.tables.runs import RUNS
from app.storage.tables.stages import INPUTS, STAGES
from app.storage.tables.ways import WAYS
from app.storage.translate import day_of
from app.storage.translate.days import production_row
from app.storage.translate.kitchens import settings_of
from app.storage.translate.rows import row_of

REMEDIED = "remedied"
CHANGED = (
    "The production has changed since this was offered, so nothing was changed. Work the plan out "
    "again, and see what helps now."
)
TOO_MUCH = "This can't be done by a button here. Nothing was changed; fill it in by hand."


def take_up_remedy(
    connection: Connection,
    production: int,
    before: Day,
    after: Day,
    *,
    words: str,
    by: str,
    once: str,
) -> Change:
    """Let a production become what a remedy makes of its day. It can be taken back.

    Parameters
    ----------
    before, after
        The day for which the remedy was offered, and what it makes of it.
    words
        What is changed, as the remedy says it.

    Raises
    ------
    OutOfDate
        If the production is not that day any more.
    Refusal
        If the day holds changes that no remedy makes.
    """
    if first := repeated(connection, once, REMEDIED):
        return first
    if day_of(connection, production) != before:
        raise OutOfDate(CHANGED)
    taking = _Taking(connection, production)
    taking.day(before, after)
    apply(connection, taking.was, taking.now)
    if day_of(connection, production) != after:
        raise Refusal(TOO_MUCH)
    places = taking.was, taking.now
    said = f"{by} took up a remedy: {words}"
    return record(connection, production, REMEDIED, said, *places, by=by, once=once)


class _Taking:
    """Gathers the places that become different, as they were and as they are to be."""

    def __init__(self, connection: Connection, production: int) -> None:
        self.connection, self.production = connection, production
        self.was: Places = {}
        self.now: Places = {}

    def day(self, old: Day, new: Day) -> None:
        """Gather whatever is different between two days."""
        head = Place(PRODUCTIONS.name, self.production)
        self._differs(head, row_of(old, PRODUCTIONS), row_of(new, PRODUCTIONS))
        self._differs(head, row_of(old.policy, PRODUCTIONS), row_of(new.policy, PRODUCTIONS))
        self._kitchen(old, new)
        below = {"production_id": self.production}
        self._rows(RUNS, below, old.runs, new.runs)
        shown = self._rows(DEMONSTRATIONS, below, old.demonstrations, new.demonstrations)
        for was, now in zip(old.demonstrations, new.demonstrations, strict=False):
            if was != now:
                self._demonstration(shown[now.id], was, now)

    def _kitchen(self, old: Day, new: Day) -> None:
        below = {"kitchen_id": production_row(self.connection, self.production)["kitchen_id"]}
        was, now = old.kitchen, new.kitchen
        more = {item.id: settings_of(item) for item in now.equipment}
        items = self._rows(EQUIPMENT, below, was.equipment, now.equipment, more)
        cooks = self._rows(COOKS, below, was.crew, now.crew)
        self._rows(SHELVES, below, was.shelves, now.shelves)
        closed = {item.id: item.closed for item in was.equipment}
        shifts = {cook.id: cook.shifts for cook in was.crew}
        for item in now.equipment:
            self._spans(
                CLOSURES, {"equipment_id": items[item.id]}, closed.get(item.id), item.closed
            )
        for cook in now.crew:
            self._spans(SHIFTS, {"cook_id": cooks[cook.id]}, shifts.get(cook.id), cook.shifts)

    def _demonstration(self, place: int, old: Demonstration, new: Demonstration) -> None:
        below = {"demonstration_id": place}
        beats = self._rows(BEATS, below, old.beats, new.beats)
        for beat, now in zip(old.beats, new.beats, strict=False):
            self._needs(beats[now.id], beat, now)
        stages = self._rows(STAGES, below, old.stages, new.stages)
        for stage, then in zip(old.stages, new.stages, strict=False):
            self._ways(stages[then.id], stage, then)

    def _needs(self, place: int, old: Beat, new: Beat) -> None:
        rows = {row["stage"]: row["id"] for row in self._there(NEEDS, {"beat_id": place})}
        for was, now in zip(old.needs, new.needs, strict=False):
            at = Place(NEEDS.name, rows[was.stage])
            self._differs(at, row_of(was, NEEDS), row_of(now, NEEDS))

    def _ways(self, place: int, old: Stage, new: Stage) -> None:
        known = {way.id for way in old.ways}
        own = {way.id: {"own_inputs": way.takes is not None} for way in new.ways}
        ways = self._rows(WAYS, {"stage_id": place}, old.ways, new.ways, own)
        for way in new.ways:
            if way.id not in known:
                self._way(ways[way.id], way)

    def _way(self, place: int, way: Way) -> None:
        self._come(INPUTS, way.takes or (), {"stage_id": None, "way_id": place})
        phases = self._come(PHASES, way.phases, {"way_id": place})
        for id, phase in zip(phases, way.phases, strict=True):
            self._phase(id, phase)

    def _phase(self, place: int, phase: Phase) -> None:
        self._come(PHASE_EQUIPMENT, phase.equipment, {"phase_id": place})

    def _rows(
        self,
        table: Table,
        below: Values,
        old: Sequence[Any],
        new: Sequence[Any],
        more: Mapping[str, Values] | None = None,
    ) -> dict[str, int]:
        """Gather changed and new rows of a list; return the number of each by its key."""
        ids = {row["key"]: row["id"] for row in self._there(table, below)}
        known = {each.id: each for each in old}
        for at, fact in enumerate(new):
            if fact.id in known:
                place = Place(table.name, ids[fact.id])
                self._differs(place, row_of(known[fact.id], table), row_of(fact, table))
            else:
                extra = below | (more or {}).get(fact.id, {})
                ids[fact.id] = self._come(table, [fact], extra, at)[0]
        return ids

    def _come(self, table: Table, facts: Sequence[Fact], more: Values, first: int = 0) -> list[int]:
        """Gather rows that come; return their numbers."""
        ids = list(new_numbers(self.connection, len(facts)))
        for at, (id, fact) in enumerate(zip(ids, facts, strict=True), first):
            place = str(Place(table.name, id))
            self.was[place] = None
            self.now[place] = row_of(fact, table, id=id, position=at, **more)
        return ids

    def _spans(
        self, table: Table, below: Values, old: Sequence[Span] | None, new: Sequence[Span]
    ) -> None:
        """Gather the spans of an item or of a cook, if any of them is different."""
        if tuple(old or ()) == tuple(new):
            return
        below = below | {"production_id": self.production}
        for row in self._there(table, below):
            place = str(Place(table.name, row["id"]))
            self.was[place], self.now[place] = row, None
        ids = new_numbers(self.connection, len(new))
        for at, (id, (starts, ends)) in enumerate(zip(ids, new, strict=True)):
            place = str(Place(table.name, id))
            self.was[place] = None
            self.now[place] = {"id": id, "position": at, "starts": starts, "ends": ends} | below

    def _differs(self, place: Place, old: Values, new: Values) -> None:
        """Gather the columns of a row that become different, and what was typed into them."""
        changed = {name: value for name, value in new.items() if value != old[name]}
        if not changed:
            return
        row = row_at(self.connection, place) or {}
        key = str(place)
        self.was[key] = (self.was.get(key) or {}) | {name: row[name] for name in changed}
        self.now[key] = (self.now.get(key) or {}) | changed
        texts = typed_at(self.connection, [place]).get(key, {})
        typed = {name: text for name, text in texts.items() if name in changed}
        if typed:
            self.was[TYPED + key], self.now[TYPED + key] = dict(typed), dict.fromkeys(typed)

    def _there(self, table: Table, below: Values) -> list[Values]:
        query = select(table).order_by(table.c.position)
        for name, value in below.items():
            query = query.where(table.c[name] == value)
        return [dict(row) for row in self.connection.execute(query).mappings()]
