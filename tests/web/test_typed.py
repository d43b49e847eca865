"""What people type is understood, said in one form again, or told in a sentence."""

import contextlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.web.fields.demonstrations import Much, Room
from app.web.fields.taking import Taken
from app.web.lengths import Length
from app.web.typed import (
    Chance,
    Choice,
    Container,
    Degrees,
    Names,
    NotUnderstood,
    Number,
    Reader,
    Text,
    Truth,
    Whole,
)

SECONDS = Length(unit_s=1)


@pytest.mark.parametrize(
    ("reader", "text", "value"),
    [
        (Length(), "1 h 20", 80),
        (Length(), "90 min", 90),
        (Length(), "90", 90),
        (Length(), "2 days", 2880),
        (Length(), "1:20", 80),
        (Length(), "1h20", 80),
        (Length(), "1½ h", 90),
        (Length(), "1,5 hours", 90),
        (Length(), "half an hour", 30),
        (Length(), "1 day and 3 h", 1620),
        (Length(), "an hour and a half", 90),
        (Length(), "two and a half hours", 150),
        (Length(), "three quarters of an hour", 45),
        (Length(none=True), " ", None),
        (SECONDS, "2:30", 150),
        (SECONDS, "2 min 30", 150),
        (SECONDS, "45", 45),
        (Whole(), "12 copies", 12),
        (Whole(), "1 000", 1000),
        (Number(), "1 1/2", 1.5),
        (Number(), "2,25", 2.25),
        (Chance(), "1 in 20", 0.05),
        (Chance(), "7 %", 0.07),
        (Chance(), "7 per cent", 0.07),
        (Chance(), "", 0.0),
        (Chance(none=True), "none", 0.0),
        (Degrees(), "400 °F", 204),
        (Degrees(), "200", 200),
        (Degrees(), "400 Fahrenheit", 204),
        (Degrees(), "200 ℃", 200),
        (Degrees(), "-18 °C", -18),
        (Names(), "whisk; bowl, whisk", ["whisk", "bowl"]),
        (Names(Whole(1)), "4, 4, 3", [4, 4, 3]),
        (Truth(), "x", True),
        (Choice({"a": "Rested"}), "rested", "a"),
        (Much(), "250 g", (250, "g")),
        (Much(), "1 1/2 cups", (1.5, "cups")),
        (Much(), "½ half sheet", (0.5, "half sheet")),
        (Much(), "to taste", (None, "")),
        (Room(), "12 to a slot", (12, None)),
        (Room(), "2 slots", (None, 2)),
        (Room(), "1", (None, None)),
        (Taken({"/a": "Rested", "g/b": "Whisked (Glaze)"}), "Whisked (Glaze)", ("g", "b")),
    ],
)
def test_what_cooks_write_is_understood(reader: Reader, text: str, value: Any) -> None:
    """Tests the usual ways to write each kind, and that what is said of it is understood again."""
    assert reader.understand(text) == value
    assert reader.understand(reader.say(value)) == value


@pytest.mark.parametrize(
    ("reader", "text"),
    [
        (Length(), "a while"),
        (Length(), ""),
        (Length(), "1 h 2o"),
        (Length(), "20 min 1 h"),
        (Length(), "0.3 min"),
        (Length(most=60), "2 h"),
        (Length(), "1/0 h"),
        (Length(), "1,000 min"),
        (Whole(1), "0"),
        (Whole(), "-3"),
        (Whole(), "1.5"),
        (Whole(), "9" * 40),
        (Number(), "lots"),
        (Number(), "1,250"),
        (Chance(), "2 in 1"),
        (Chance(), "1 in 0"),
        (Degrees(), "hot"),
        (Degrees(), "9999"),
        (Text(3), "four"),
        (Text(least=1), " "),
        (Truth(), "perhaps"),
        (Choice({"a": "Rested"}), "Risen"),
        (Much(), "some"),
        (Room(), "some"),
        (Room(), "0 to a slot"),
    ],
)
def test_what_is_not_understood_is_told_in_a_sentence(reader: Reader, text: str) -> None:
    """Tests that the sentence says what is wanted."""
    with pytest.raises(NotUnderstood, match=r"\w.*\.$"):
        reader.understand(text)


@given(st.integers(0, 1_000_000))
def test_every_length_is_understood_as_it_is_said(minutes: int) -> None:
    """Tests that what a screen shows can be sent back unchanged."""
    assert Length().understand(Length().say(minutes)) == minutes
    assert SECONDS.understand(SECONDS.say(minutes)) == minutes


@given(st.text(max_size=30))
def test_no_text_breaks_a_reader(text: str) -> None:
    """Tests that whatever is typed is understood or told, and nothing else."""
    readers: tuple[Reader, ...] = (Length(), Whole(), Number(), Chance(), Degrees(), Room())
    for reader in readers:
        with contextlib.suppress(NotUnderstood):
            reader.say(reader.understand(text))


def test_a_pan_of_a_known_size_is_told() -> None:
    """Tests the half sheet pan of the table of pans."""
    for pan in ("half sheet", "Half-sheet pan"):
        assert Container().beside(pan) == "457 × 330 mm"
    assert Container().beside("the blue bowl") == ""


def test_a_comma_that_may_be_that_of_thousands_is_asked_about() -> None:
    """Tests that a thousand is never silently taken for one, nor one for a thousand."""
    for reader, text in ((Length(), "1,250 min"), (Number(), "1,250"), (Much(), "1,250 g")):
        with pytest.raises(NotUnderstood, match=r"“1,250” may be 1250 or 1\.25; write which\."):
            reader.understand(text)
