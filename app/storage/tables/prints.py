"""What was printed: which paper, of which plan, when, by whom.

`marks` holds a mark for each page (of labels: for each label), so that a later print can tell what
changed; `since` is the plan that a print of changes alone goes back to. Prints are told, not
undone, so they are not written to the record.
"""

from sqlmodel import Field

from app.storage.tables.row import Row, document, sized, table_of, whole


class Print(Row, table=True):
    """One print of a paper."""

    __tablename__ = "prints"
    __table_args__ = (
        *whole("plan", low=1),
        *whole("since", "sheets"),
        *sized("paper", "size", high=80),
        *sized("printed_by", high=200),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE", index=True)
    plan: int
    paper: str
    size: str
    since: int | None = None
    sheets: int
    marks: list[str] = Field(sa_column=document())
    printed_at: str
    printed_by: str


PRINTS = table_of(Print)
