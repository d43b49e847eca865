"""A label sheet of the house is kept, changed or forgotten.

These are the house's, not a production's, so no production's record tells of them.
"""

from sqlalchemy import Connection, delete, insert, select, update

from app.storage.queries.label_sheets import LabelSheetRow
from app.storage.refusals import Conflict
from app.storage.tables.label_sheets import LABEL_SHEETS


def keep_label_sheet(connection: Connection, sheet: LabelSheetRow, *, began_from: int) -> None:
    """Keep a label sheet under its name.

    Parameters
    ----------
    began_from
        The version that the person began from, 0 where they saw none of this name.

    Raises
    ------
    Conflict
        If somebody else has changed the sheet meanwhile.
    """
    of = LABEL_SHEETS.c
    version = connection.execute(select(of.version).where(of.name == sheet.name)).scalar() or 0
    if version == 0:
        connection.execute(insert(LABEL_SHEETS), sheet._asdict() | {"version": 1})
        return
    if _is_same(connection, sheet):
        return
    if version != began_from:
        raise Conflict(
            f"“{sheet.name}” was changed while you typed. Yours is not kept yet: look at it again, "
            "or keep yours under another name.",
            field="name",
            theirs=version,
            yours=began_from,
            by="",
        )
    values = sheet._asdict() | {"version": version + 1}
    connection.execute(update(LABEL_SHEETS).where(of.name == sheet.name).values(values))


def forget_label_sheet(connection: Connection, name: str) -> None:
    """Forget a label sheet; what was printed on it stays told."""
    connection.execute(delete(LABEL_SHEETS).where(LABEL_SHEETS.c.name == name))


def _is_same(connection: Connection, sheet: LabelSheetRow) -> bool:
    """Return whether the kept one says the same: a form that was sent twice is no conflict."""
    of = LABEL_SHEETS.c
    read = [of[field] for field in LabelSheetRow._fields]
    kept = connection.execute(select(*read).where(of.name == sheet.name)).first()
    return kept is not None and LabelSheetRow(*kept) == sheet
