"""Papers: what can be printed of the published plan, how far the drawing is, and the PDF."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.planning.plan import Plan
from app.web.errors import Told
from app.web.page import answer
from app.web.printing import PAPERS, SENSIBLE, SIZES, Print, file_name, printing_of
from app.web.seen import Seen, see

router = APIRouter(prefix="/productions/{id}/papers")


@router.get("")
def papers(request: Request, id: int) -> Response:
    """Show the papers of a production, with a link a size."""
    seen = see(id)
    return answer(
        request,
        "papers/page.html",
        "papers/_part.html",
        seen=seen,
        production=seen.production,
        papers=PAPERS,
        sizes={paper: {size: SIZES[size] for size in SENSIBLE[paper]} for paper in PAPERS},
    )


@router.get("/{paper}/drawing")
def drawing(request: Request, id: int, paper: str, size: str = "a4") -> Response:
    """Have a paper drawn and tell how far it is; the part asks again until it is there."""
    seen = see(id)
    asked = _begun(request, seen, paper, size)
    # A small paper is there at once: then nobody should have to read of progress.
    asked.done.wait(0.3)
    return answer(
        request,
        "papers/drawing.html",
        "papers/_drawing.html",
        seen=seen,
        production=seen.production,
        asked=asked,
        name=PAPERS[paper][0],
        size=SIZES[asked.size],
    )


@router.get("/{paper}.pdf")
def paper_as_pdf(
    request: Request, id: int, paper: str, size: str = "a4", printed: str = ""
) -> Response:
    """Answer with the PDF; one that was drawn before is fetched by the minute it was printed."""
    seen = see(id)
    plan = _plan(seen)
    _known(seen, paper, size)
    kept = printing_of(request).kept(id, paper, size.lower(), plan.number, printed)
    asked = kept or _begun(request, seen, paper, size)
    asked.done.wait()
    if asked.pdf is None:
        raise Told(503, asked.failed or "There is no paper.", then="Papers", go=_address(id))
    name = file_name(seen.production.title, paper, plan.number, asked.size)
    headers = {
        "Content-Disposition": f'inline; filename="{name}"',
        "Cache-Control": "private, no-cache",
    }
    return Response(asked.pdf, media_type="application/pdf", headers=headers)


def _begun(request: Request, seen: Seen, paper: str, size: str) -> Print:
    plan = _plan(seen)
    _known(seen, paper, size)
    return printing_of(request).begin(seen.id, paper, seen.planned, plan, size.lower())


def _plan(seen: Seen) -> Plan:
    if seen.plan is None:
        words = "There is no published plan yet, so there is nothing to print."
        raise Told(409, words, then="The count", go=f"/productions/{seen.id}/count")
    return seen.plan


def _known(seen: Seen, paper: str, size: str) -> None:
    if paper not in PAPERS:
        words = f"There is no paper {paper[:40]!r}; there are board, pulls and shelves."
        raise Told(404, words, then="Papers", go=_address(seen.id))
    if size.lower() not in SIZES:
        words = f"There is no sheet {size[:40]!r}; paper comes as A4, A3, Letter and Tabloid."
        raise Told(422, words, then="Papers", go=_address(seen.id))


def _address(id: int) -> str:
    return f"/productions/{id}/papers"
