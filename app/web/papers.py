"""Papers: what can be printed of the published plan, what was printed, and the PDF."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from app.paper.drawn import Earlier
from app.planning.plan import Plan
from app.storage.engine import reading
from app.storage.queries.goods import larder, newest_house_change
from app.storage.queries.prints import print_before, prints
from app.storage.queries.productions import newest_change
from app.storage.queries.ticks import last_n
from app.web.errors import Told
from app.web.label_sheets import address_of, kept_sheet
from app.web.of_house import local, of_house
from app.web.page import answer
from app.web.printing import PAPERS, SIZES, Print, Wish, file_name, printing_of, sizes_of
from app.web.seen import Seen, see, who
from app.web.shopping import bought_beside, named

router = APIRouter(prefix="/productions/{id}/papers")
# Papers whose words depend on what the house has decided, and on what was measured.
OF_HOUSE = ("board", "pulls", "runsheet", "shelves", "breakdown", "allergens", "shopping", "labels")
OF_LARDER = ("pulls", "shopping")
OF_READINGS = ("pulls", "labels")
Wished = Annotated[Wish, Depends()]


@router.get("")
def papers(request: Request, id: int) -> Response:
    """Show the papers of a production, with a link a size, and what was printed."""
    seen = see(id)
    with reading() as conn:
        printed = prints(conn, id)
    number = seen.plan.number if seen.plan else 0
    # Of each paper in each size, the newest print that an older plan made void.
    since = {(each.paper, each.size): each.plan for each in reversed(printed) if each.plan < number}
    return answer(
        request,
        "papers/page.html",
        "papers/_part.html",
        seen=seen,
        production=seen.production,
        papers=PAPERS,
        sizes={paper: {size: SIZES[size] for size in sizes_of(paper)} for paper in PAPERS},
        since=since,
        printed=[(each, local(each.printed_at, seen), PAPERS[each.paper][0]) for each in printed],
        number=number,
        called=SIZES,
    )


@router.get("/{paper}/drawing")
def drawing(request: Request, id: int, wish: Wished, printed: str = "") -> Response:
    """Have a paper drawn and tell how far it is; the part asks again until it is there.

    It asks for the print of the minute in which it began: a long one ends in another.
    """
    seen = see(id)
    asked = _asked(request, seen, _known(seen, wish), printed)
    # A small paper is there at once: then nobody should have to read of progress.
    asked.done.wait(0.3)
    return answer(
        request,
        "papers/drawing.html",
        "papers/_drawing.html",
        seen=seen,
        production=seen.production,
        asked=asked,
        name=PAPERS[asked.wish.paper][0],
        size=asked.wish.sheet or SIZES[asked.wish.size],
    )


@router.get("/{paper}.pdf")
def paper_as_pdf(request: Request, id: int, wish: Wished, printed: str = "") -> Response:
    """Answer with the PDF; one that was drawn before is fetched by the minute it was printed."""
    seen = see(id)
    plan, known = _plan(seen), _known(seen, wish)
    asked = _asked(request, seen, known, printed)
    asked.done.wait()
    if asked.drawn is None:
        raise Told(503, asked.failed or "There is no paper.", then="Papers", go=_address(id))
    name = file_name(seen.production.title, known.paper, plan.number, known.size)
    headers = {
        "Content-Disposition": f'inline; filename="{name}"',
        "Cache-Control": "private, no-cache",
    }
    return Response(asked.drawn.pdf, media_type="application/pdf", headers=headers)


def _asked(request: Request, seen: Seen, wish: Wish, printed: str) -> Print:
    """Return the print of a minute if it is still there, else a new one."""
    kept = printing_of(request).kept(seen.id, wish, _plan(seen).number, printed)
    return kept or _begun(request, seen, wish)


def _begun(request: Request, seen: Seen, wish: Wish) -> Print:
    plan = _plan(seen)
    more = _more(request, seen, wish)
    return printing_of(request).begin(seen.id, wish, seen.planned, plan, by=who(request), more=more)


def _more(request: Request, seen: Seen, wish: Wish) -> Mapping[str, object]:
    """Return what a paper takes beside its plan: what was printed before, how labels lie."""
    more: dict[str, object] = {}
    if wish.paper in OF_HOUSE:
        more["house"] = of_house(seen, _plan(seen))
    if wish.paper in OF_LARDER:
        with reading() as conn:
            more["larder"] = larder(conn)
    if wish.paper == "shopping":
        beside = bought_beside(seen.id, wish.beside)
        more["others"] = tuple((each.planned, each.plan) for each in beside)
        more["house"] = of_house(seen, _plan(seen), beside)
    if wish.since:
        more["earlier"] = _earlier(seen, wish)
    if wish.paper == "labels":
        more["sheet"] = kept_sheet(seen.id, wish.sheet, wish.size)
        more["start"] = wish.start
        more["address"] = f"{address_of(request, wish.address)}/productions/{seen.id}"
    return more


def _earlier(seen: Seen, wish: Wish) -> Earlier:
    # Labels are the same on whichever sheet they stick.
    size = None if wish.paper == "labels" else wish.size
    with reading() as conn:
        before = print_before(conn, seen.id, wish.paper, size, wish.since + 1)
    if before is None or before.plan != wish.since or before.plan >= _plan(seen).number:
        words = f"Of this paper nothing that an older plan {wish.since} printed is known here."
        raise Told(404, words, then="Papers", go=_address(seen.id))
    return Earlier(before.plan, tuple(before.marks))


def _plan(seen: Seen) -> Plan:
    if seen.plan is None:
        words = "There is no published plan yet, so there is nothing to print."
        raise Told(409, words, then="The count", go=f"/productions/{seen.id}/count")
    return seen.plan


def _known(seen: Seen, wish: Wish) -> Wish:
    """Return a wish as papers are kept by, or say what of it there is not."""
    if wish.paper not in PAPERS:
        words = f"There is no paper {wish.paper[:40]!r}; there are {', '.join(PAPERS)}."
        raise Told(404, words, then="Papers", go=_address(seen.id))
    if wish.size.lower() not in SIZES:
        words = f"There is no sheet {wish.size[:40]!r}; paper comes as A4, A3, Letter and Tabloid."
        raise Told(422, words, then="Papers", go=_address(seen.id))
    beside = wish.beside if wish.paper in OF_LARDER else ""
    with reading() as conn:
        # What the house knows, who decided, what was measured: each counts up.
        told = newest_house_change(conn) + newest_change(conn, seen.id)
        told += last_n(conn, seen.id) if wish.paper in OF_READINGS else 0
        told += sum(newest_change(conn, each) for each in named(beside))
    return replace(wish, size=wish.size.lower(), house=told, beside=beside)


def _address(id: int) -> str:
    return f"/productions/{id}/papers"
