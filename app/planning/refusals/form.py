"""The three forms of document, and what a field's name alone says about its value."""

from dataclasses import dataclass

MOST = 1_000_000
MOST_OF_A_PLAN = 10**12
LEAST_ONE = frozenset(
    {
        "count",
        "units",
        "stations",
        "yields",
        "batch_max",
        "lasts_s",
        "copies_per_slot",
        "copies_per_unit",
        "slots",
        "n",
        "undoes",
        "level",
        "slot",
    }
)
BELOW_ONE = frozenset({"loss", "confidence"})
ABOVE_ZERO = frozenset({"confidence"})
BELOW_ZERO = frozenset({"celsius"})
TIMES = frozenset({"prep_from", "staged", "starts", "ends", "staged_at", "from_", "to", "at"})


@dataclass(frozen=True, slots=True)
class Form:
    """How strictly a document is read.

    A day and an event bound their numbers and ids. A plan is only shaped: whether its figures are
    right is for the audit to say.
    """

    name: str
    most: int
    is_bounded: bool
    may_be_null: bool


DAY = Form("day/1", MOST, is_bounded=True, may_be_null=False)
PLAN = Form("plan/1", MOST_OF_A_PLAN, is_bounded=False, may_be_null=True)
EVENT = Form("event", MOST, is_bounded=True, may_be_null=False)
