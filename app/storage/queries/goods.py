"""What the house buys and holds, and what changed of it."""

from typing import NamedTuple

from sqlalchemy import Connection, func, select

from app.food.densities import same
from app.food.larder import FIELDS, Good, Larder, read_good
from app.food.rounding import SYSTEMS
from app.storage.tables.goods import CHOICES, GOODS, HOUSE_CHANGES

UNITS, CURRENCY = "units", "currency"
PAGE = 20
_TEXTS = [GOODS.c[name] for name in ("name", *FIELDS)]


class HouseChangeRow(NamedTuple):
    """One change of the house; `place` names a thing or a choice that it changed."""

    n: int
    at: str
    by: str
    words: str
    undoes: int | None


def good_texts(connection: Connection, name: str) -> dict[str, str] | None:
    """Return what is said of a good, by field and with its name; None if it is not known."""
    row = connection.execute(select(*_TEXTS).where(GOODS.c.key == same(name))).mappings().first()
    return None if row is None else {field: str(text) for field, text in row.items()}


def all_good_texts(connection: Connection) -> list[dict[str, str]]:
    """Return what is said of every good, by name."""
    rows = connection.execute(select(*_TEXTS).order_by(GOODS.c.key)).mappings()
    return [{field: str(text) for field, text in row.items()} for row in rows]


def larder(connection: Connection) -> Larder:
    """Return all that the house knows of what it buys."""
    told = choices(connection)
    goods: list[Good] = [read_good(texts["name"], texts)[0] for texts in all_good_texts(connection)]
    units = told.get(UNITS, "")
    system = next((each for each in SYSTEMS if each == units), SYSTEMS[0])
    return Larder(tuple(goods), system, told.get(CURRENCY, ""))


def choices(connection: Connection) -> dict[str, str]:
    """Return what the house has chosen once for all productions."""
    rows = connection.execute(select(CHOICES.c.key, CHOICES.c.value))
    return {str(row.key): str(row.value) for row in rows}


def newest_house_change(connection: Connection) -> int:
    """Return the number of the last change of the house, 0 before the first."""
    return connection.execute(select(func.max(HOUSE_CHANGES.c.n))).scalar() or 0


def house_history(connection: Connection, most: int = PAGE) -> list[HouseChangeRow]:
    """Return the changes of the house, the newest first."""
    of = HOUSE_CHANGES.c
    query = select(of.n, of.at, of.by, of.words, of.undoes).order_by(of.n.desc()).limit(most)
    return [HouseChangeRow(*row) for row in connection.execute(query)]
