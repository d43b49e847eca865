"""What was typed into a field, beside what was understood of it; and the last number of a row.

A text that says the same as the value is not kept. One that was not understood stands beside the
last value that was, until somebody mends it.
"""

from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of, whole


class Typing(Row, table=True):
    """The text of one field; `place` is a row, such as `stages/17`."""

    __tablename__ = "typings"
    __table_args__ = (*sized("place", "field", high=100), *sized("text", low=0))
    place: str = Field(primary_key=True)
    field: str = Field(primary_key=True)
    text: str


class Number(Row, table=True):
    """The last number given to a row that people edit: none is given twice, even after a delete."""

    __tablename__ = "numbers"
    __table_args__ = (*whole("last", high=2**53),)
    id: int | None = Field(default=None, primary_key=True)
    last: int


TYPINGS = table_of(Typing)
NUMBERS = table_of(Number)
