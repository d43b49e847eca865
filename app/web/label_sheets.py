"""The label sheets that there are, and the address that their codes lead to."""

from ipaddress import ip_address
from urllib.parse import urlsplit

from fastapi import Request

from app.paper.label_sheets import OF_SIZE, SHEETS, LabelSheet
from app.settings import Settings
from app.storage.engine import reading
from app.storage.queries.label_sheets import label_sheets
from app.web.door import reachable
from app.web.errors import Told

LONGEST_ADDRESS = 120
NO_ADDRESS = "An address as a browser has it, such as http://192.168.1.20:8000."


def all_sheets() -> dict[str, tuple[LabelSheet, int]]:
    """Return every label sheet by name with its version: ours have 0, those of the house 1 on."""
    with reading() as conn:
        own = label_sheets(conn)
    found = {name: (sheet, 0) for name, sheet in SHEETS.items()}
    found |= {row.name: (LabelSheet(**row._asdict()), version) for row, version in own}
    return found


def kept_sheet(id: int, name: str, size: str) -> LabelSheet:
    """Return the label sheet of a name; without one, that of a size of paper.

    Raises
    ------
    Told
        If there is no such sheet.
    """
    if not name and size in OF_SIZE:
        return OF_SIZE[size]
    found = all_sheets().get(name)
    if found is None:
        words = f"There is no label sheet “{name[:60]}” here." if name else "Labels need a sheet."
        raise Told(404, words, then="Labels", go=f"/productions/{id}/labels")
    return found[0]


def address_of(request: Request, typed: str = "") -> str:
    """Return the address of this server as phones can open it, or the one that was typed.

    Raises
    ------
    Told
        If what was typed is no address.
    """
    if typed:
        if fault := address_fault(typed):
            raise Told(422, fault)
        return typed.rstrip("/")
    settings: Settings = request.app.state.settings
    if settings.is_open and is_this_machine(str(request.base_url)):
        return f"http://{reachable(settings.host)}:{settings.port}"
    return str(request.base_url).rstrip("/")


def address_fault(typed: str) -> str:
    """Return what is wrong with an address for the codes, or nothing."""
    try:
        parts = urlsplit(typed)
    except ValueError:
        return NO_ADDRESS
    if parts.scheme in ("http", "https") and parts.netloc and typed.isprintable():
        return "" if len(typed) <= LONGEST_ADDRESS else f"At most {LONGEST_ADDRESS} characters."
    return NO_ADDRESS


def is_this_machine(address: str) -> bool:
    """Return whether an address leads every machine to itself, so that no phone can use it."""
    host = urlsplit(address).hostname or ""
    try:
        return host == "localhost" or ip_address(host).is_loopback
    except ValueError:
        return False
