"""A whole day to rows and back, without loss: `day_of(store_day(day)) == day`."""

from sqlalchemy import Connection, select

from app.planning.day import Day, Policy, Run, Stock
from app.storage.clock import now
from app.storage.refusals import NotThere
from app.storage.tables.productions import PRODUCTIONS
from app.storage.tables.runs import RUNS
from app.storage.tables.stock import STOCK
from app.storage.translate.demonstrations import demonstrations_of, store_demonstrations
from app.storage.translate.kitchens import kitchen_of, store_kitchen, store_spans
from app.storage.translate.rows import Values, fields_of, insert_rows, row_of, rows_below, rows_of


def store_day(connection: Connection, day: Day, kitchen_id: int | None = None) -> int:
    """Store a day as a new production and return its id.

    Without `kitchen_id` the day's kitchen becomes a new one; with it, that kitchen is used, and
    only the day's shifts and closed spans are stored for it.
    """
    if kitchen_id is None:
        kitchen_id = store_kitchen(connection, day.kitchen, day.title)
    row = row_of(day, PRODUCTIONS, kitchen_id=kitchen_id, made_at=now(), removed_at=None)
    production = insert_rows(connection, PRODUCTIONS, [row | row_of(day.policy, PRODUCTIONS)])[0]
    store_spans(connection, day.kitchen, kitchen_id, production)
    store_demonstrations(connection, day.demonstrations, production)
    insert_rows(connection, RUNS, rows_of(day.runs, RUNS, production_id=production))
    insert_rows(connection, STOCK, rows_of(day.stock, STOCK, production_id=production))
    return production


def day_of(connection: Connection, production: int) -> Day:
    """Return the day of a production, as it stands in the store now.

    Raises
    ------
    NotThere
        If there is no such production, or it was removed.
    """
    row = production_row(connection, production)
    runs = rows_below(connection, production, RUNS.c.production_id)[production]
    stock = rows_below(connection, production, STOCK.c.production_id)[production]
    return Day(
        **fields_of(row, Day),
        policy=Policy(**fields_of(row, Policy)),
        kitchen=kitchen_of(connection, row["kitchen_id"], production),
        stock=tuple(Stock(**fields_of(each, Stock)) for each in stock),
        demonstrations=demonstrations_of(connection, production),
        runs=tuple(Run(**fields_of(each, Run)) for each in runs),
    )


def production_row(connection: Connection, production: int) -> Values:
    """Return the row of a production; NotThere if there is none or it was removed."""
    query = select(PRODUCTIONS).where(PRODUCTIONS.c.id == production)
    row = connection.execute(query).mappings().first()
    if row is None:
        raise NotThere("There is no such production here. The list of productions shows all.")
    if row["removed_at"] is not None:
        raise NotThere(f"“{row['title']}” was removed. Its removal can be undone in the history.")
    return dict(row)
