"""A day with its photographs in a zip."""

import io
import zipfile

import pytest

from app.exchange.dayzip import dump_day_zip, is_day_zip, load_day_zip
from app.exchange.separated import dump_separated
from app.exchange.sheets import Sheet
from app.exchange.workbook import dump_workbook
from app.planning.canonical import canonical
from app.planning.day import Day
from app.planning.reading import Refused


def _zip(**parts: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in parts.items():
            out.writestr(name.replace("__", "/").replace("_json", ".json"), data)
    return made.getvalue()


def _with_photo(day: Day, name: str) -> Day:
    shown = day.demonstrations[0]
    stages = (shown.stages[0].model_copy(update={"photo": name}), *shown.stages[1:])
    return day.model_copy(update={"demonstrations": (shown.model_copy(update={"stages": stages}),)})


def test_a_day_comes_back_with_the_photographs_that_it_names(knots_day: Day) -> None:
    """Others that lie beside them are left alone; the same day is the same bytes."""
    day = _with_photo(knots_day, "tart.jpg")
    packed = dump_day_zip(canonical(day), {"tart.jpg": b"picture", "other.jpg": b"more"})
    assert is_day_zip(packed)
    assert load_day_zip(packed) == (day, {"tart.jpg": b"picture"})
    assert dump_day_zip(canonical(day), {"other.jpg": b"more", "tart.jpg": b"picture"}) == packed


def test_a_spreadsheet_is_no_day_in_a_zip() -> None:
    """Though it is packed the same way."""
    sheet = Sheet("S", (("A",), ("x",)))
    assert not is_day_zip(dump_workbook([sheet]))
    assert not is_day_zip(dump_separated([sheet]))


def test_bombs_and_rubbish_are_refused(knots_day: Day) -> None:
    """Each with a sentence, before anything is unpacked."""
    day = canonical(knots_day)
    bomb = _zip(day_json=day, **{f"p{n}": bytes(80_000_000) for n in range(4)})
    cases = {
        bomb: "unpacked it would be 320 MB",
        _zip(**{f"p{n}": b"" for n in range(2_500)}): "2500 parts",
        _zip(readme=b"hello"): "there is no day.json in it",
        _zip(photographs__day_json=day): "there is no day.json in it",
        _zip(a_json=day, b_json=day): "there is no day.json in it",
        _zip(day_json=b"{"): "ends too soon",
        b"PK\x03\x04" + bytes(50): "damaged, locked or no zip",
        dump_day_zip(day, {})[:-30]: "damaged, locked or no zip",
    }
    for data, words in cases.items():
        with pytest.raises(Refused, match=words):
            load_day_zip(data)


def test_a_day_file_under_another_name_is_found(knots_day: Day) -> None:
    """If it is the only one."""
    assert load_day_zip(_zip(harvest_json=canonical(knots_day)))[0] == knots_day
