"""Plans: published ones, never changed after. The newest number is the one that holds.

`document` is the whole plan and `day_document` the day that it was made from; batches and
copies hold the same facts once more as rows, for screens that list them. A plan that was mended on
the day knows the plan that all began with (`root`) and the last event that it takes in (`told`).
"""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, one_of, sized, table_of, whole


class Plan(Row, table=True):
    """One published plan of a production."""

    __tablename__ = "plans"
    __table_args__ = (
        UniqueConstraint("production_id", "number"),
        *whole("number", "root", low=1),
        *whole("told", high=2**53),
        one_of("status", "optimal", "feasible", "impossible"),
        *sized("day_fingerprint", low=64, high=64),
    )
    id: int | None = Field(default=None, primary_key=True)
    production_id: int = Field(foreign_key="productions.id", ondelete="CASCADE")
    number: int
    status: str
    day_fingerprint: str
    day_document: str
    document: str
    published_at: str
    published_by: str
    root: int | None = None
    told: int | None = None


PLANS = table_of(Plan)
