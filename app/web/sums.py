"""Kitchen sums: weights, doughs, yields, water and pans, each a plain form."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.food.asking import LONGEST
from app.food.sums import sums
from app.storage.engine import reading
from app.storage.queries.goods import larder
from app.web.page import answer

router = APIRouter(prefix="/sums")


@router.get("")
def kitchen_sums(request: Request, sum: str = "") -> Response:
    """Show every sum; that of the address is worked out of the fields beside it."""
    with reading() as conn:
        known = sums(larder(conn).weights)
    asked = known.get(sum)
    texts = {each: words[: LONGEST + 1] for each, words in request.query_params.items()}
    told, faults = (None, {}) if asked is None else asked.answer(asked.first() | texts)
    return answer(
        request,
        "sums/page.html",
        "sums/_part.html",
        422 if faults else 200,
        sums=known,
        asked=sum if asked else "",
        texts=texts,
        told=told,
        faults=faults,
    )
