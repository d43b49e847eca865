"""Kitchen sums: weights, doughs, yields, water and pans, each a plain form."""

from typing import NamedTuple
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.food.asking import LONGEST
from app.food.sums import CELSIUS, FAHRENHEIT, sums
from app.storage.changes.goods import choose
from app.storage.engine import reading, writing
from app.storage.queries.goods import choices, larder
from app.web.errors import Told
from app.web.forms import Form, new_once
from app.web.page import answer, go_to
from app.web.seen import who

router = APIRouter(prefix="/sums")
FRICTION = "friction of "
MOST_FRICTION = 200


class Mixer(NamedTuple):
    """A mixer of the house and what it warms a dough by."""

    name: str
    degrees: str
    scale: str

    @property
    def query(self) -> str:
        """Return the water's sum with this mixer, as it stands in an address."""
        return f"sum=water&friction={quote(self.degrees)}&scale={quote(self.scale)}"


@router.get("")
def kitchen_sums(request: Request, sum: str = "") -> Response:
    """Show every sum; that of the address is worked out of the fields beside it."""
    with reading() as conn:
        known, chosen = sums(larder(conn).weights), choices(conn)
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
        mixers=_mixers(chosen),
        once=new_once(),
    )


@router.post("/mixers")
def keep_friction(request: Request, form: Form) -> Response:
    """Keep what a mixer warms a dough by, for the next dough."""
    name = form.text("mixer", least=1, most=60)
    degrees = form.whole("degrees", least=-MOST_FRICTION, most=MOST_FRICTION)
    scale = form.choice("scale", (CELSIUS, FAHRENHEIT))
    if form.faults:
        words = " ".join(f"{field}: {fault}" for field, fault in form.faults.items())
        raise Told(422, words, then="Kitchen sums", go="/sums#friction")
    chosen = {FRICTION + name: f"{degrees} {scale}"}
    with writing() as conn:
        choose(conn, chosen, by=who(request), once=form.once)
    return go_to(request, "/sums#water")


def _mixers(chosen: dict[str, str]) -> list[Mixer]:
    return [
        Mixer(key.removeprefix(FRICTION), *value.split(" ", 1))
        for key, value in sorted(chosen.items())
        if key.startswith(FRICTION)
    ]
