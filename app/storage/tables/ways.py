"""Ways: the methods that bring copies into a stage. What is null is the stage's own."""

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field

from app.storage.tables.row import Row, sized, table_of, truth, whole


class Way(Row, table=True):
    """A way of a stage; `own_inputs` says that its `from`, also an empty one, is its own."""

    __tablename__ = "ways"
    __table_args__ = (
        UniqueConstraint("stage_id", "key"),
        *sized("key", high=48),
        *whole("batch_max", "yields", low=1),
        *whole("position", "cost"),
        *truth("own_inputs"),
        CheckConstraint("loss >= 0 AND loss < 1", name="loss"),
    )
    id: int | None = Field(default=None, primary_key=True)
    stage_id: int = Field(foreign_key="stages.id", ondelete="CASCADE")
    position: int
    key: str
    name: str | None
    batch_max: int
    own_inputs: bool
    yields: int | None
    cost: float | None
    loss: float | None


WAYS = table_of(Way)
