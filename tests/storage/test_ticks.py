"""What is no tick is refused with the field and the value."""

import pytest

from app.planning.canonical import document
from app.storage.ticks import TickRefused, tick_of

GOOD = {"at": "2027-03-04T11:49", "once": "a", "by": "cook-1", "event": "started", "batch": "b1"}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"event": "placed"}, "event is"),
        ({"event": None}, "event is"),
        ({"batch": ""}, 'batch is ""'),
        ({"batch": 7}, "batch is 7"),
        ({"batch": "x" * 200}, "batch is"),
        ({"at": "11:49"}, 'at is "11:49"'),
        ({"at": "2027-02-31T11:49"}, "at is"),
        ({"at": "2027-03-04T11:49:30"}, "at is"),
        ({"once": None}, "once is null"),
        ({"by": ""}, 'by is ""'),
        ({"colour": "red"}, "colour is"),
        ({"event": "undone", "undoes": True}, "undoes is true"),
        ({"event": "undone", "undoes": -1}, "undoes is -1"),
    ],
)
def test_what_is_no_tick_is_told(change: dict[str, object], words: str) -> None:
    """Tests each field with a value that it cannot have."""
    document = GOOD | change
    if document["event"] == "undone":
        del document["batch"]
    with pytest.raises(TickRefused) as told:
        tick_of(document)
    assert words in told.value.words


@pytest.mark.parametrize("document", [None, [], "started", 7, {}, {"event": ["started"]}])
def test_what_is_no_object_is_told(document: object) -> None:
    """Tests what a stranger may send."""
    with pytest.raises(TickRefused, match="no tick"):
        tick_of(document)


def test_a_tick_comes_back_as_it_was_sent() -> None:
    """Tests the form of the log, without a number and without the plan."""
    assert document(tick_of(GOOD | {"plan": 3})) == GOOD
