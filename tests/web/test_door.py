"""The door to the kitchen's network: codes, tokens, passes and the limit on tries."""

import io
from pathlib import Path

import segno

from app.web.door import KEY_BYTES, TRIES_ALL, TRIES_EACH, Door, door_key


class Now:
    """A clock that stands still until it is told otherwise."""

    def __init__(self) -> None:
        self.s = 0.0

    def __call__(self) -> float:
        """Return the seconds on this clock."""
        return self.s


def a_door(now: Now | None = None) -> Door:
    """Return a door with a key of zeros."""
    return Door(bytes(KEY_BYTES), now or Now())


def wrong(door: Door) -> str:
    """Return a code that is not the door's."""
    return "000000" if door.code != "000000" else "000001"


def test_the_code_has_six_digits_and_the_token_128_bits() -> None:
    door = a_door()
    assert (len(door.code), door.code.isdigit()) == (6, True)
    assert len(door.token) >= 128 / 6


def test_code_and_token_let_in() -> None:
    door = a_door()
    assert door.knock(door.code, "10.0.0.2") == door.knock(door.token, "10.0.0.2") == "in"


def test_five_wrong_codes_make_an_address_wait() -> None:
    """The right code is not heard either while its address waits; a minute later it is."""
    now = Now()
    door = a_door(now)
    for _ in range(TRIES_EACH):
        assert door.knock(wrong(door), "10.0.0.2") == "wrong"
    assert door.knock(door.code, "10.0.0.2") == "wait"
    assert door.knock(door.code, "10.0.0.3") == "in"
    now.s += 61
    assert door.knock(door.code, "10.0.0.2") == "in"


def test_many_addresses_together_make_every_code_wait() -> None:
    now = Now()
    door = a_door(now)
    for number in range(TRIES_ALL):
        assert door.knock(wrong(door), f"10.0.1.{number}") == "wrong"
    assert door.knock(door.code, "10.0.2.1") == "wait"
    now.s += 601
    assert door.knock(door.code, "10.0.2.1") == "in"


def test_the_qr_code_still_lets_in_while_codes_must_wait() -> None:
    door = a_door()
    for _ in range(TRIES_EACH):
        door.knock(wrong(door), "10.0.0.2")
    assert door.knock(door.token, "10.0.0.2") == "in"


def test_a_code_of_other_letters_is_only_wrong() -> None:
    assert a_door().knock("сто", "10.0.0.2") == "wrong"


def test_a_pass_bears_its_person() -> None:
    door = a_door()
    assert door.person(door.sign("Zoë")) == "Zoë"
    assert door.person(door.sign("")) == ""


def test_a_pass_of_another_door_or_a_changed_one_is_none() -> None:
    door = a_door()
    other = Door(b"x" * KEY_BYTES, Now()).sign("Ada")
    head, _, mark = door.sign("Ada").rpartition(".")
    for shown in (None, "", "..", "é", other, f"{head}x.{mark}", head):
        assert door.person(shown) is None


def test_the_key_is_kept_for_this_user_only(tmp_path: Path) -> None:
    """A phone that has joined stays joined when the server starts again."""
    first = door_key(tmp_path / "door.key")
    assert door_key(tmp_path / "door.key") == first
    assert (tmp_path / "door.key").stat().st_mode & 0o077 == 0


def test_the_invitation_shows_address_code_and_picture() -> None:
    door = a_door()
    said = door.invitation("192.0.2.7", 8103)
    assert "http://192.0.2.7:8103" in said
    assert door.code in said
    drawn = io.StringIO()
    qr_code = segno.make(f"http://192.0.2.7:8103/join?key={door.token}", error="m")
    qr_code.terminal(drawn, compact=True)
    assert drawn.getvalue() in said
