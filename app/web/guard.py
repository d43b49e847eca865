"""Who may ask: names of this machine only, own pages only, and on a network joined phones only."""

import sys
import time
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from ipaddress import ip_address
from typing import Any
from urllib.parse import quote, urlsplit

from fastapi import FastAPI, Request
from starlette.datastructures import MutableHeaders
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.settings import Settings
from app.web.door import Door, door_key
from app.web.errors import Told, say

COOKIE = "kitchen-pass"
CSP = (
    "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; "
    "frame-ancestors 'none'; form-action 'self'"
)
HEADERS = {
    "Content-Security-Policy": CSP,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
LOOKING = {"GET", "HEAD", "OPTIONS"}
OPEN_TO_ALL = ("/join/", "/static/")


class Guard:
    """Stands before the whole app, its errors included."""

    def __init__(self, app: ASGIApp, settings: Settings, door: Door) -> None:
        self.app, self.settings, self.door = app, settings, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer what may not come in, pass on the rest, and put the headers on both."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = self.refusal(Request(scope))
        await (refusal or self.app)(scope, receive, _with_headers(send))

    def refusal(self, request: Request) -> Response | None:
        """Return why a request is refused, or None where it may pass."""
        if not self._is_known_host(request):
            words = "This server answers only to the names of this machine, such as 127.0.0.1."
            return say(request, Told(403, words))
        if request.method not in LOOKING and not _is_own_page(request):
            return say(request, Told(403, "Changes are taken only from this program's own pages."))
        if not self.settings.is_open:
            request.state.person = ""
            return None
        person = self.door.person(request.cookies.get(COOKIE))
        request.state.person = person or ""
        path = request.url.path
        if person or path == "/join" or path.startswith(OPEN_TO_ALL):
            return None
        return _to_the_door(request, "/join" if person is None else "/join/person")

    def _is_known_host(self, request: Request) -> bool:
        """Return whether a name is this machine's own: a foreign one may have been rebound."""
        if self.settings.is_open:
            return True
        host = urlsplit(f"//{request.headers.get('host', '')}").hostname or ""
        if host == "localhost":
            return True
        try:
            return ip_address(host).is_loopback
        except ValueError:
            return False


def _is_own_page(request: Request) -> bool:
    """Return whether a changing request comes from a page of this server.

    On plain HTTP a browser sends only `Origin`; a request that says neither is refused.
    """
    site, origin = request.headers.get("sec-fetch-site"), request.headers.get("origin")
    if site is not None and site != "same-origin":
        return False
    if origin is not None:
        return urlsplit(origin).netloc == request.headers.get("host") != ""
    return site is not None


def _to_the_door(request: Request, door: str) -> Response:
    """Send a visit to the join page; tell everything else that it has to join first."""
    is_visit = request.method == "GET" and "text/html" in request.headers.get("accept", "")
    if is_visit and request.headers.get("hx-request") is None:
        asked = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse(f"{door}?next={quote(asked, safe='')}", 303)
    return say(request, Told(401, "This phone has not joined the kitchen yet.", go=door))


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending


def install(app: FastAPI) -> None:
    """Put the guard before the app; on a network, tell how to join when the server starts."""
    settings: Settings = app.state.settings
    door = Door(door_key(settings.data / "door.key"), time.monotonic)
    app.state.door = door
    inner: Callable[[], ASGIApp] = app.build_middleware_stack
    # Middleware that is added in the usual way stands inside the handler of unexpected errors.
    setattr(app, "build_middleware_stack", lambda: Guard(inner(), settings, door))  # noqa: B010
    if settings.is_open:
        app.router.lifespan_context = _inviting(app.router.lifespan_context, settings, door)


def _inviting(
    inner: Callable[[Any], AbstractAsyncContextManager[Any]], settings: Settings, door: Door
) -> Callable[[Any], AbstractAsyncContextManager[Any]]:
    @asynccontextmanager
    async def lifespan(app: Any) -> AsyncIterator[Any]:
        async with inner(app) as state:
            said = door.invitation(settings.host, settings.port)
            sys.stdout.buffer.write(said.encode(errors="replace"))
            sys.stdout.flush()
            yield state

    return lifespan
