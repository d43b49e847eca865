"""Photographs: what is kept of them, what is not, and what is refused without being opened."""

import io
import random
import struct
import tracemalloc
import zlib
from contextlib import suppress

import pytest
from PIL import Image

from app.exchange.photograph import KINDS, LONGEST_PX, cleaned
from app.planning.reading import Refused

GPS, ORIENTATION, MAKER = 0x8825, 0x0112, 0x010F
FORMATS = {"JPEG": {}, "PNG": {}, "WEBP": {"lossless": True}, "HEIF": {"quality": 90}}


def _picture(kind: str, size: tuple[int, int] = (640, 480), mode: str = "RGB") -> bytes:
    """Return a picture that is red at the left, said to be turned, with a place and a maker."""
    made = Image.new(mode, size, "white")
    made.paste("red", (0, 0, size[0] // 2, size[1]))
    told = Image.Exif()
    told[MAKER] = "Kamerabau"
    if kind != "HEIF":
        told[ORIENTATION] = 6
    told.get_ifd(GPS).update({1: "N", 2: (38.0, 43.0, 12.0), 3: "W", 4: (9.0, 8.0, 0.0)})
    written = io.BytesIO()
    made.save(written, kind, exif=told, **FORMATS[kind])
    return written.getvalue()


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_becomes_a_small_jpeg_without_a_place(kind: str) -> None:
    """Nobody learns from a stage's picture where its kitchen is, or whose phone took it."""
    data = _picture(kind, (2400, 1200))
    assert b"Kamerabau" in data
    clean = cleaned(data)
    picture = Image.open(io.BytesIO(clean))
    assert picture.format == "JPEG"
    assert max(picture.size) == LONGEST_PX
    assert dict(picture.getexif()) == {}
    assert not {"exif", "xmp", "icc_profile", "comment"} & set(picture.info)
    assert b"Kamerabau" not in clean
    assert b"Exif" not in clean


def test_a_picture_stands_upright() -> None:
    """What the phone noted about its turn is done before the note is dropped."""
    picture = Image.open(io.BytesIO(cleaned(_picture("JPEG"))))
    assert picture.size == (480, 640)
    top, bottom = picture.getpixel((240, 20)), picture.getpixel((240, 620))
    assert top[1] < 60
    assert bottom[1] > 200


def test_cleaning_twice_changes_nothing() -> None:
    """So a photograph keeps its bytes and its name through an export and an import."""
    clean = cleaned(_picture("PNG"))
    assert cleaned(clean) == clean
    with_word = clean[:2] + b"\xff\xfe\x00\x08secret" + clean[2:]
    assert b"secret" not in cleaned(with_word)


def test_clear_parts_become_white() -> None:
    """A JPEG has no clear parts; black ones would look burnt."""
    made = io.BytesIO()
    Image.new("RGBA", (40, 40), (0, 0, 0, 0)).save(made, "PNG")
    assert Image.open(io.BytesIO(cleaned(made.getvalue()))).getpixel((20, 20)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["L", "P", "CMYK", "1", "I;16"])
def test_colours_of_any_kind_are_read(mode: str) -> None:
    """Grey, few colours, printers' colours."""
    made = io.BytesIO()
    kind = "JPEG" if mode in ("L", "CMYK") else "PNG"
    Image.new(mode, (30, 20)).save(made, kind)
    assert Image.open(io.BytesIO(cleaned(made.getvalue()))).mode == "RGB"


def _chunk(kind: bytes, data: bytes) -> bytes:
    checked = kind + data
    return struct.pack(">I", len(data)) + checked + struct.pack(">I", zlib.crc32(checked))


def test_a_hundred_megapixels_are_refused_without_being_decoded() -> None:
    """A file of some kilobytes would take hundreds of megabytes to open."""
    head = struct.pack(">IIBBBBB", 10_000, 10_000, 8, 2, 0, 0, 0)
    lines = zlib.compress(bytes(10_000 * 30_001), 9)
    bomb = b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", lines)
    bomb += _chunk(b"IEND", b"")
    tracemalloc.start()
    with pytest.raises(Refused, match=r"10000 by 10000 pixels \(100 million\) are too many"):
        cleaned(bomb)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 3_000_000
    larger = struct.pack(">IIBBBBB", 20_000, 20_000, 8, 2, 0, 0, 0)
    huge = bomb.replace(_chunk(b"IHDR", head), _chunk(b"IHDR", larger))
    with pytest.raises(Refused, match="far more than 80 million pixels, so make it smaller"):
        cleaned(huge)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"GIF89a" + bytes(40),
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.4",
        b"\xff",
    ],
)
def test_what_is_no_photograph_is_refused(data: bytes) -> None:
    """With the kinds that are read."""
    with pytest.raises(Refused, match="choose a JPEG, PNG, WebP or HEIC"):
        cleaned(data)


def test_too_many_bytes_are_refused() -> None:
    """By their weight alone."""
    with pytest.raises(Refused, match="31 MB are too many"):
        cleaned(bytes(31_000_000))


def test_a_text_that_unfolds_inside_a_picture_is_refused() -> None:
    """A PNG may carry packed words; a bomb of them is no picture."""
    data = _picture("PNG", (8, 8))
    words = b"x\0\0\0\0\0" + zlib.compress(bytes(80_000_000), 9)
    bomb = data[:33] + _chunk(b"iTXt", words[:1] + b"\0\1\0\0\0" + words[6:]) + data[33:]
    with pytest.raises(Refused):
        cleaned(bomb)


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_picture_is_read_or_refused(kind: str) -> None:
    """Bytes that changed on the way never end in anything but a sentence."""
    roll = random.Random(3)
    whole = _picture(kind, (64, 48))
    for _ in range(60):
        data = bytearray(whole)
        for _ in range(roll.choice((1, 5, 30))):
            data[roll.randrange(len(data))] = roll.randrange(256)
        with suppress(Refused):
            cleaned(bytes(data[: roll.choice((len(data), roll.randrange(len(data))))]))
