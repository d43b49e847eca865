"""A day with its photographs: the day file in a zip, and the pictures that it names beside it."""

import io
import zipfile
from collections.abc import Callable, Mapping
from pathlib import PurePosixPath

from app.exchange.dayfile import load_day
from app.exchange.sheets import MB, refusal
from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.refusals.fault import Refused

DAY, PHOTOGRAPHS = "day.json", "photographs"
MOST_PARTS, MOST_UNPACKED_MB = 2_000, 300
_SHEETS = "[Content_Types].xml"


def is_day_zip(data: bytes) -> bool:
    """Tell whether a file is a zip and no spreadsheet."""
    if not data.startswith(b"PK\x03\x04"):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _SHEETS not in packed.namelist()
    except (zipfile.BadZipFile, ValueError, OSError):
        return True


def dump_day_zip(day: bytes, photographs: Mapping[str, bytes]) -> bytes:
    """Return a day file and photographs by their names as one zip; pictures are packed as is."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as packed:
        packed.writestr(_part(DAY), day, zipfile.ZIP_DEFLATED)
        for name, data in sorted(photographs.items()):
            packed.writestr(_part(f"{PHOTOGRAPHS}/{name}"), data, zipfile.ZIP_STORED)
    return written.getvalue()


def _part(name: str) -> zipfile.ZipInfo:
    # Without a time of its own, the same day is the same bytes.
    return zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0))


def load_day_zip(
    data: bytes, read: Callable[[object], Day] = read_day
) -> tuple[Day, dict[str, bytes]]:
    """Return the day of a zip, and the files that it names as photographs and that lie in it.

    Raises
    ------
    Refused
        If it holds no day, or is not safe to unpack.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            _check(packed.infolist())
            day = load_day(packed.read(_day_part(packed.namelist())), read)
            wanted = {stage.photo for _, stage in day.all_stages() if stage.photo}
            found = {PurePosixPath(name).name: name for name in packed.namelist()}
            pictures = {name: packed.read(found[name]) for name in wanted if name in found}
    except Refused:
        raise
    except Exception as error:  # Whatever the library stumbles over in bytes from anywhere.
        words = "it is damaged, locked or no zip; make it once more"
        raise refusal("the file", words) from error
    return day, pictures


def _check(parts: list[zipfile.ZipInfo]) -> None:
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS or unpacked > MOST_UNPACKED_MB * MB:
        words = f"unpacked it would be {unpacked / MB:.0f} MB in {len(parts)} parts; it is not read"
        raise refusal("the file", words)


def _day_part(names: list[str]) -> str:
    days = [name for name in names if name.endswith(".json") and "/" not in name]
    if DAY in days or len(days) == 1:
        return DAY if DAY in days else days[0]
    raise refusal("the file", f"there is no {DAY} in it; zip the day file with its photographs")
