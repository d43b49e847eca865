"""How a test fills in fields and changes rows: as the script of an editor does."""

import json
import re
from html import unescape
from itertools import count
from typing import Any

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.storage.engine import reading
from app.storage.queries.sheets import Sheet, sheet
from app.storage.translate import day_of

_taps = count()


def day(editing: "Editing") -> Day:
    """Return the day as it stands."""
    with reading() as conn:
        return day_of(conn, editing.production)


class Editing:
    """One person's open editor of a production."""

    def __init__(self, client: TestClient, production: int) -> None:
        self.client, self.production = client, production

    def rows(self) -> Sheet:
        """Return the rows as they stand."""
        with reading() as conn:
            return sheet(conn, self.production)

    def id(self, table: str, key: str) -> int:
        """Return the number of the row with an id of the day."""
        (row,) = (each for each in self.rows().all(table) if each["key"] == key)
        return int(row["id"])

    def page(self, address: str) -> dict[str, str]:
        """Return what each field of a screen began from, by `place field`."""
        text = self.client.get(f"/productions/{self.production}/{address}").text
        found = re.findall(r'data-place="([^"]*)" data-field="([^"]*)" data-began="([^"]*)"', text)
        return {f"{place} {field}": unescape(began) for place, field, began in found}

    def post(self, step: str, **values: Any) -> Any:
        """Send one step; return the answer's status and what it says."""
        data = {"once": f"tap-{next(_taps)}"} | {key: str(value) for key, value in values.items()}
        address = f"/productions/{self.production}/edit/{step}"
        answer = self.client.post(address, data=data, headers={"Accept": "application/json"})
        return answer.status_code, answer.json()

    def fill(
        self, place: str, field: str, text: str, began: object, typed: str | None = None
    ) -> Any:
        """Fill in a field of one column, from a value and the text that the form showed."""
        column = {field: began} if not isinstance(began, dict) else began
        sent = json.dumps([column, typed])
        return self.post("fill", place=place, field=field, text=text, began=sent)
