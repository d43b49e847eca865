"""What lies in `static/`: addresses that change with the content, and kept by the browser."""

from functools import cache
from hashlib import sha256
from pathlib import Path

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response
from starlette.staticfiles import StaticFiles

STATIC = Path(__file__).resolve().parents[2] / "static"
A_YEAR_S = 31_536_000
A_DAY_S = 86_400
router = APIRouter()
_files = StaticFiles(directory=STATIC)


@cache
def address(name: str) -> str:
    """Return the address of a file of `static/`, with a mark of its content."""
    mark = sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    return f"/static/{name}?v={mark}"


@router.get("/static/{name:path}", include_in_schema=False)
async def static(request: Request, name: str) -> Response:
    """Hand out a file of `static/`; for ever where the address bears its content's mark."""
    response = await _files.get_response(_files.get_path({"path": f"/{name}"}), request.scope)
    response.headers["Cache-Control"] = f"public, {_kept(request, name)}"
    return response


def _kept(request: Request, name: str) -> str:
    if "v" in request.query_params:
        return f"max-age={A_YEAR_S}, immutable"
    return f"max-age={A_DAY_S}" if name.endswith(".woff2") else "no-cache"
