"""Whatever is changed, in any order, is taken back row by row, and made again."""

import json
import random
from typing import Any

import pytest
from sqlalchemy import select

from app.storage.engine import reading
from app.storage.parts import TABLES, Place, Values, links
from app.storage.queries.sheets import Sheet
from app.storage.tables.typings import TYPINGS
from app.web.fields import columns_of, field_of, made_of
from tests.web.editing import Editing

STEPS, AGAIN, OF_A_HEAD = 40, 0.5, 0.1
HEADS = ("productions", "kitchens")
TEXTS = (
    *("1 h 20", "90 min", "2 days", "400 °F", "half sheet", "1,5 h", "26:15", "next day 07:00"),
    *("", "🍞", "x" * 300, "3", "0", "-1", "22:00", "06:00", "Fri 7:00", "yes", "no", "chill"),
    *("oven", "pastry, sugar", "4, 4, 2", "1 in 20", "250 g", "all", "from tie", "12 to a slot"),
    *("Ada avoids milk", "Europe/Paris", "Thu 4 March", "take", "class", "2027-03-05"),
)
FIELDS = {
    "productions": ("title", "kind", "timezone", "prep_from", "reuse", "spread"),
    "kitchens": ("name",),
    "demonstrations": ("title", "code"),
    "stages": ("name", "zone", "keeps_min", "room", "cost", "loss", "look", "cook_to_c"),
    "ways": ("name", "batch_max"),
    "phases": ("does", "lasts_min", "hands", "skill", "zone"),
    "beats": ("name", "starts_s", "lasts_s"),
    "needs": ("count", "stage", "backups"),
    "runs": ("name", "date", "hour", "beats", "people", "stations", "dry"),
    "stock": ("count", "taken", "staged"),
    "equipment": ("name", "kind", "units", "change_min"),
    "cooks": ("name", "skills"),
    "shelves": ("name", "zone", "levels"),
    "shifts": ("starts", "ends"),
}


def everything() -> dict[str, list[str]]:
    """Return every row that people edit, and every text that stands beside a value."""
    with reading() as conn:
        found = {
            name: sorted(
                repr(sorted(row.items())) for row in conn.execute(select(table)).mappings()
            )
            for name, table in TABLES.items()
        }
        typed = conn.execute(select(TYPINGS.c.place, TYPINGS.c.field, TYPINGS.c.text))
        return found | {"typed": sorted(map(repr, typed))}


class Anybody:
    """Somebody who does whatever comes to mind, whether or not it makes sense."""

    def __init__(self, editing: Editing, seed: int) -> None:
        self.editing, self.dice = editing, random.Random(seed)
        self.known: list[tuple[Place, str]] = []

    def act(self) -> int:
        """Do one thing; return how it is answered."""
        act = self.dice.choice(
            (self.fill, self.fill, self.add, self.change_row, self.paste, self.shift, self.day)
        )
        return act()

    def fill(self) -> int:
        """Fill in a field."""
        place, name, text, began = self.cell()
        sent = self.editing.post("fill", place=place, field=name, text=text, began=began)
        return int(sent[0])

    def cell(self) -> tuple[str, str, str, str]:
        """Return a field, a text for it, and what it began from."""
        rows = self.editing.rows()
        again = [each for each in self.known if rows.row(each[0])]
        if again and self.dice.random() < AGAIN:
            place, name = self.dice.choice(again)
        else:
            heads = [("productions", rows.production), ("kitchens", rows.kitchen)]
            others = [
                (table, row) for table in FIELDS if table not in HEADS for row in rows.all(table)
            ]
            table, row = self.dice.choice(heads if self.dice.random() < OF_A_HEAD else others)
            place, name = Place(table, row["id"]), self.dice.choice(FIELDS[table])
            self.known.append((place, name))
        return str(place), name, self.dice.choice(TEXTS), self.began(rows, place, name)

    def began(self, rows: Sheet, place: Place, name: str) -> str:
        """Return what a form of a field begins from."""
        row, field = rows.row(place), field_of(place.table, name)
        assert row is not None
        assert field is not None, (place, name)
        values = {column: row[column] for column in columns_of(name, field)}
        return json.dumps([values, rows.typed.get(str(place), {}).get(name)])

    def row(self) -> tuple[str, Values]:
        """Return any row."""
        rows = self.editing.rows()
        listed = [(name, row) for name in TABLES if name not in HEADS for row in rows.all(name)]
        return self.dice.choice(listed)

    def add(self) -> int:
        """Add a row beside another."""
        table, row = self.row()
        while made_of(table) is None:
            table, row = self.row()
        said: dict[str, Any] = {"table": table, "below": self.below(table, row)}
        said |= {"name": self.dice.choice(TEXTS)[:120], "after": f"{table}/{row['id']}"}
        return int(self.editing.post("add", **said)[0])

    def below(self, table: str, row: Values) -> str:
        """Return what a row lies below, as a form says it."""
        above = {column.name: row[column.name] for column, _ in links(TABLES[table])}
        return json.dumps({name: id for name, id in above.items() if id is not None})

    def change_row(self) -> int:
        """Move, duplicate or delete a row."""
        table, row = self.row()
        step = self.dice.choice(("move", "duplicate", "delete"))
        said = {"place": f"{table}/{row['id']}", "by": self.dice.choice((-2, -1, 1)), "sure": "yes"}
        return int(self.editing.post(step, seen=self.editing.rows().n, **said)[0])

    def paste(self) -> int:
        """Paste a cell, and a row beyond the shelves."""
        below = json.dumps({"kitchen_id": self.editing.rows().kitchen["id"]})
        texts = {"name": self.dice.choice(TEXTS)[:120], "levels": self.dice.choice(TEXTS)}
        row = {"table": "shelves", "below": below, "texts": texts, "name": ""}
        block = {"cells": [list(self.cell())], "rows": [row]}
        return int(self.editing.post("paste", block=json.dumps(block))[0])

    def shift(self) -> int:
        """Move a run, or it and all after it."""
        runs = self.editing.rows().all("runs")
        if not runs:
            return 0
        run = self.dice.choice(runs)
        said = {"run": run["key"], "seen": run["starts"], "by": self.dice.choice((-60, 15, 1440))}
        return int(self.editing.post("shift", which=self.dice.choice(("one", "after")), **said)[0])

    def day(self) -> int:
        """Duplicate a day of runs with its shifts."""
        runs = self.editing.rows().all("runs")
        if not runs:
            return 0
        said = {"of": runs[0]["starts"][:10], "to": self.dice.choice(("Fri", "8 March"))}
        said |= {"shifts": "on", "once": f"day-{self.dice.random()}"}
        address = f"/productions/{self.editing.production}/runs/day"
        return self.editing.client.post(address, data=said).status_code


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_anything_is_taken_back_and_made_again(ada: Editing, seed: int) -> None:
    """Tests fields, rows, moves, pastes, runs and days, each state on the way, there and back."""
    anybody, states = Anybody(ada, seed), [everything()]
    for _ in range(STEPS):
        assert anybody.act() < 500
        now = everything()
        if now != states[-1]:
            states.append(now)
    assert len(states) > STEPS / 2
    for earlier in reversed(states[:-1]):
        assert ada.post("undo")[0] == 200
        assert everything() == earlier
    for later in states[1:]:
        assert ada.post("redo")[0] == 200
        assert everything() == later
