"""Every error as a clear sentence: what is wrong, what became of the work, what next."""

import logging
import re
from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from app.storage.engine import reading
from app.storage.queries.productions import ProductionRow, production
from app.storage.refusals import Begun, Conflict, NotThere, OutOfDate, Refusal, StoreTrouble
from app.web.page import whole

log = logging.getLogger(__name__)
KEPT = "Nothing was changed."
WORDS = {
    400: "The browser sent something that cannot be read here.",
    403: "This page takes changes only from its own screens.",
    404: "There is nothing at this address.",
    405: "This address only takes what a button of its own page sends.",
    413: "That is more than this page can take.",
    422: "The address or the form holds something that cannot be read.",
    503: "The kitchen's server is busy with something that must end first.",
}


class Told(Exception):
    """An error told to a person."""

    def __init__(
        self, status: int, what: str, *, kept: str = KEPT, then: str = "Productions", go: str = "/"
    ) -> None:
        super().__init__(what)
        self.status, self.what, self.kept, self.then, self.go = status, what, kept, then, go


def install(app: FastAPI) -> None:
    """Make every error of the app a sentence."""
    app.add_exception_handler(Told, _told)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _unreadable)
    app.add_exception_handler(Refusal, _refused)
    app.add_exception_handler(StoreTrouble, _trouble)
    app.add_exception_handler(OverflowError, _too_large)
    app.add_exception_handler(Exception, _broken)


def say(request: Request, told: Told) -> Response:
    """Answer with the error: JSON to a script, a banner to a part, a page to a visit."""
    if request.method in ("GET", "HEAD") and told.kept == KEPT:
        told.kept = ""  # Whoever only looked does not wonder.
    if "application/json" in request.headers.get("Accept", ""):
        said = {"error": told.what, "kept": told.kept}
        return JSONResponse(said, told.status, headers={"Cache-Control": "no-store"})
    is_htmx = request.headers.get("HX-Request-Type") == "partial"
    template = "errors/_banner.html" if is_htmx else "errors/page.html"
    around = {} if is_htmx else {"production": _around(request, told.status)}
    response = whole(request, template, told.status, told=told, **around)
    if is_htmx:
        response.headers.update({"HX-Retarget": "#banner", "HX-Reswap": "innerHTML show:top"})
    return response


def _around(request: Request, status: int) -> ProductionRow | None:
    """Return the production whose screens lead on from here, if the address is one of its own."""
    own = re.match(r"/productions/(\d{1,9})/", request.url.path)
    if own is None or status not in (404, 409, 422):
        return None
    try:
        with reading() as conn:
            return production(conn, int(own[1]))
    except (Refusal, StoreTrouble):
        return None


def _told(request: Request, error: Exception) -> Response:
    assert isinstance(error, Told)
    return say(request, error)


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refusal)
    is_late = isinstance(error, Begun | OutOfDate | Conflict)
    status = 404 if isinstance(error, NotThere) else 409 if is_late else 422
    return say(request, Told(status, error.words))


def _trouble(request: Request, error: Exception) -> Response:
    assert isinstance(error, StoreTrouble)
    return say(request, Told(503, error.words, kept=""))


def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    phrase = HTTPStatus(error.status_code).phrase
    said = error.detail if error.detail != phrase else WORDS.get(error.status_code, phrase)
    response = say(request, Told(error.status_code, str(said)))
    response.headers.update(error.headers or {})
    return response


def _unreadable(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    places = {str(each["loc"][-1]) for each in error.errors()}
    status = 404 if all(each["loc"][0] == "path" for each in error.errors()) else 422
    said = WORDS[404] if status == 404 else f"{WORDS[422]} See: {', '.join(sorted(places))}."
    return say(request, Told(status, said))


def _too_large(request: Request, error: Exception) -> Response:
    # A number in an address may be longer than the store can look for.
    return say(request, Told(404, WORDS[404]))


def _broken(request: Request, error: Exception) -> Response:
    log.exception("unexpected: %s %s", request.method, request.url.path, exc_info=error)
    what = "Something broke in the program; this is our mistake, not yours."
    kept = "What was saved before is still there. What you just sent may not be."
    return say(request, Told(500, what, kept=kept))
