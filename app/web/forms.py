"""What a person typed: checked by hand, kept as typed, each fault beside its field."""

from secrets import token_urlsafe
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData, UploadFile

from app.web.errors import Told

# What a file may weigh is told by whoever reads it; this much is taken in to be weighed.
LIMIT_BYTES = 64_000_000
FIELDS_BYTES = 1_000_000
LONGEST_ONCE = 100


class Typed:
    """The fields of a sent form; `faults` holds a sentence for each that cannot be used."""

    def __init__(self, sent: FormData) -> None:
        self.values = {name: value for name, value in sent.items() if isinstance(value, str)}
        self.files = {name: value for name, value in sent.items() if isinstance(value, UploadFile)}
        self.faults: dict[str, str] = {}

    def has(self, name: str) -> bool:
        """Return whether a field was sent."""
        return name in self.values

    def text(self, name: str, *, least: int = 0, most: int = 200) -> str:
        """Return a text without blanks around it."""
        value = self.values.get(name, "").strip()
        if len(value) < least:
            self.faults[name] = "This must not be empty."
        elif len(value) > most:
            self.faults[name] = f"At most {most} characters; these are {len(value)}."
        return value

    def whole(self, name: str, *, least: int, most: int) -> int:
        """Return a whole number within its limits; `least` where it is none."""
        value = self.values.get(name, "").strip()
        sign, digits = (-1, value[1:]) if value[:1] in ("-", "\u2212") else (1, value)
        if digits.isascii() and digits.isdigit() and len(digits) < 10:
            number = sign * int(digits)
            if least <= number <= most:
                return number
        said = value or "nothing"
        self.faults[name] = f"A whole number from {least} to {most}, not {said[:40]}."
        return least

    def choice(self, name: str, choices: tuple[str, ...]) -> str:
        """Return one of the choices; the first where it is none of them."""
        value = self.values.get(name, "")
        if value in choices:
            return value
        self.faults[name] = f"One of: {', '.join(choices)}."
        return choices[0]

    def file(self, name: str) -> bytes | None:
        """Return the bytes of a chosen file, cut at a limit; None where none is chosen."""
        chosen = self.files.get(name)
        if chosen is None or not chosen.filename:
            self.faults[name] = "Choose a file first."
            return None
        return chosen.file.read(LIMIT_BYTES)

    @property
    def once(self) -> str:
        """Return the key that makes a repeated sending the same change."""
        key = self.values.get("once", "").strip()
        return key if 0 < len(key) <= LONGEST_ONCE else new_once()


def new_once() -> str:
    """Return a fresh once-key for a form."""
    return token_urlsafe(12)


async def _typed(request: Request) -> Typed:
    weight = request.headers.get("content-length", "0")
    if weight.isdecimal() and int(weight) > LIMIT_BYTES + FIELDS_BYTES:
        raise Told(413, f"That is more than this page can take: {int(weight) // 1_000_000} MB.")
    return Typed(await request.form(max_files=1, max_fields=50))


Form = Annotated[Typed, Depends(_typed)]
