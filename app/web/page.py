"""The page, or the part of it that a targeted swap asks for."""

from pathlib import Path
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from app.web import assets, words

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
HEADERS = {"Vary": "HX-Request-Type", "Cache-Control": "private, no-cache"}


def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.globals["asset"] = assets.address
    made.filters.update(words.FILTERS)
    return made


TEMPLATE_SET = _environment()


def is_part(request: Request) -> bool:
    """Return whether a part of the page is asked for, not a visit or the back button."""
    return request.headers.get("HX-Request-Type") == "partial"


def answer(
    request: Request, page: str, part: str, status: int = 200, **values: Any
) -> HTMLResponse:
    """Render `part` for a targeted swap, the whole `page` for a visit or the back button."""
    return whole(request, part if is_part(request) else page, status, **values)


def whole(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """Render one template with the request's own address as `here`."""
    text = TEMPLATE_SET.get_template(template).render(here=request.url.path, **values)
    return HTMLResponse(text, status, headers=HEADERS)


def go_to(request: Request, address: str) -> HTMLResponse:
    """Send the browser to another page after a change, with or without script."""
    if request.headers.get("HX-Request"):
        return HTMLResponse("", headers={"HX-Redirect": address} | HEADERS)
    return HTMLResponse("", 303, headers={"Location": address})
