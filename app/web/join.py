"""Joining the kitchen: the code or the QR code lets a phone in, then it picks its person once."""

from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import Response

from app.storage.engine import reading
from app.storage.queries.crew import crew_names
from app.web.door import NAME_MOST, Door
from app.web.errors import Told, say
from app.web.forms import Form
from app.web.guard import COOKIE
from app.web.page import go_to, whole

router = APIRouter()
PASS_LASTS_S = 14 * 24 * 60 * 60
SAID = {
    "wrong": "That is not the code. The right one stands where the server was started.",
    "wait": "Too many wrong codes. Wait a few minutes, or point the camera at the QR code.",
}


@router.get("/join")
def join_page(request: Request, key: str = "", next: str = "/") -> Response:
    """Ask for the join code; who comes by the QR code has only a button to press."""
    return whole(request, "join/page.html", key=key, next=_own(next), fault="", typed="")


@router.post("/join")
def join(request: Request, form: Form) -> Response:
    """Let a phone in that knows the code or the token, and ask who holds it."""
    door: Door = request.app.state.door
    said = form.text("key", most=64) or form.text("code", most=64).replace(" ", "")
    verdict = door.knock(said, request.client.host if request.client else "")
    next = _own(form.text("next", most=500))
    if verdict == "in":
        return _passed(go_to(request, f"/join/person?next={quote(next, safe='/')}"), door.sign(""))
    status = 403 if verdict == "wrong" else 429
    typed = form.values.get("code", "")
    return whole(
        request, "join/page.html", status, key="", next=next, fault=SAID[verdict], typed=typed
    )


@router.get("/join/person")
def person_page(request: Request, next: str = "/") -> Response:
    """Ask who holds this phone."""
    refused = _not_joined(request)
    return refused or _ask_person(request, _own(next))


@router.post("/join/person")
def pick_person(request: Request, form: Form) -> Response:
    """Keep who holds this phone in its pass."""
    refused = _not_joined(request)
    if refused:
        return refused
    next = _own(form.text("next", most=500))
    person = form.text("person", most=NAME_MOST) or form.text("other", most=NAME_MOST)
    fault = _fault(form.faults, person)
    if fault:
        return _ask_person(request, next, fault, person)
    return _passed(go_to(request, next), request.app.state.door.sign(person))


def _fault(faults: dict[str, str], person: str) -> str:
    """Return what is wrong with the name of a person, or nothing."""
    if faults:
        return " ".join(faults.values())
    return "" if person.isprintable() and person else "Pick a name, or type yours."


def _ask_person(request: Request, next: str, fault: str = "", typed: str = "") -> Response:
    with reading() as conn:
        names = crew_names(conn)
    status = 422 if fault else 200
    return whole(
        request, "join/person.html", status, names=names, next=next, fault=fault, typed=typed
    )


def _not_joined(request: Request) -> Response | None:
    """Return a refusal for a phone that holds no pass; the guard lets all ask for `/join`."""
    door: Door = request.app.state.door
    if door.person(request.cookies.get(COOKIE)) is not None:
        return None
    return say(request, Told(401, "This phone has not joined the kitchen yet.", go="/join"))


def _passed(response: Response, signed: str) -> Response:
    response.set_cookie(COOKIE, signed, PASS_LASTS_S, httponly=True, samesite="lax")
    return response


def _own(address: str) -> str:
    """Return an address of this server; a foreign one leads to the first page."""
    is_own = address.startswith("/") and not address.startswith(("//", "/\\"))
    return address if is_own and address.isprintable() else "/"
