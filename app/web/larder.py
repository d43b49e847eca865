"""The larder: what the house buys, in which packs, at which price, where it is, what is held."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from app.exchange.larderfile import LONGEST_CURRENCY, dump_larder
from app.food.densities import known_weights, same
from app.food.larder import FIELDS, PACKS, read_good
from app.food.rounding import SYSTEMS, decimal
from app.food.yields import known_yield
from app.storage.changes.goods import choose, describe_good, remove_good, undo_of_house
from app.storage.engine import reading, writing
from app.storage.queries.goods import (
    CURRENCY,
    UNITS,
    all_good_texts,
    choices,
    good_texts,
    house_history,
)
from app.storage.refusals import Conflict
from app.web.forms import Form, Typed, new_once
from app.web.page import answer
from app.web.seen import who

router = APIRouter(prefix="/larder")
PAGE, PART = "larder/page.html", "larder/_part.html"
LONGEST_NAME = 200
NOTHING = dict.fromkeys(("name", *FIELDS), "")
Texts = dict[str, str]


@dataclass(frozen=True)
class Open:
    """The form: what it shows, what it began from, what is wrong, what tables know."""

    texts: Texts
    began: Texts
    is_known: bool
    faults: Texts
    conflict: Conflict | None
    weighs: str
    yields: str

    @property
    def has_more_packs(self) -> bool:
        """Return whether a further size is said, or something is wrong with it."""
        further = [
            name for two in PACKS[1:] for name in (f"{two[0]}_amount", f"{two[0]}_unit", two[1])
        ]
        return any(self.texts[name] or name in self.faults for name in further)


@router.get("")
def larder(request: Request, name: str = "", back: str = "") -> Response:
    """Show what the house buys and holds; `name` opens one of it in the form."""
    return _show(request, name=name, back=back)


@router.post("")
def describe(request: Request, form: Form) -> Response:
    """Say what the house knows of something that it buys."""
    name, began = form.text("name", least=1, most=LONGEST_NAME), _began(form)
    _, faults = read_good(name, form.values)
    faults = form.faults | faults
    texts = {field: form.values.get(field, "") for field in FIELDS}
    if faults:
        return _show(request, 422, form=_opened(name, texts, began, faults))
    try:
        with writing() as conn:
            by, once = who(request), form.once
            change = describe_good(conn, name, texts, began_from=began, by=by, once=once)
    except Conflict as conflict:
        return _show(request, 409, form=_opened(name, texts, conflict=conflict))
    return _show(request, said=change.words, changed=name, back=form.values.get("back", ""))


@router.post("/removals")
def remove(request: Request, form: Form) -> Response:
    """Take something out of the larder; it can be taken back."""
    name = form.text("name", least=1, most=LONGEST_NAME)
    with writing() as conn:
        change = remove_good(conn, name, by=who(request), once=form.once)
    return _show(request, said=change.words)


@router.post("/choices")
def chosen(request: Request, form: Form) -> Response:
    """Choose the measures that are shown and the money that is reckoned in."""
    units = form.choice(UNITS, SYSTEMS)
    currency = form.text(CURRENCY, most=LONGEST_CURRENCY)
    if form.faults:
        return _show(request, 422, choice_faults=form.faults)
    wanted = {UNITS: units, CURRENCY: currency}
    with writing() as conn:
        change = choose(conn, wanted, by=who(request), once=form.once)
    return _show(request, said=change.words)


@router.post("/undo/{n}")
def undo(request: Request, n: int, form: Form) -> Response:
    """Take a change back."""
    with writing() as conn:
        change = undo_of_house(conn, n, by=who(request), once=form.once)
    return _show(request, said=change.words)


@router.get(".json")
def exported() -> Response:
    """Answer with the file of the larder, which the command line reads."""
    with reading() as conn:
        texts, told = all_good_texts(conn), choices(conn)
    written = dump_larder(texts, told.get(UNITS, SYSTEMS[0]), told.get(CURRENCY, ""))
    headers = {"Content-Disposition": 'attachment; filename="larder.json"'}
    return Response(written, media_type="application/json", headers=headers)


def _began(form: Typed) -> Texts | None:
    """Return the texts that the form showed first, None where it showed nothing known."""
    if form.values.get("is_known") != "yes":
        return None
    return {field: form.values.get(f"began_{field}", "") for field in FIELDS}


def _show(
    request: Request,
    status: int = 200,
    *,
    form: Open | None = None,
    name: str = "",
    **more: Any,
) -> Response:
    with reading() as conn:
        goods, told, history = all_good_texts(conn), choices(conn), house_history(conn)
    values: dict[str, Any] = {"said": "", "changed": "", "back": "", "choice_faults": {}} | more
    values["back"] = values["back"] if values["back"].startswith("/productions/") else ""
    return answer(
        request,
        PAGE,
        PART,
        status,
        goods=_by_place(goods),
        opened=form or _opened(name),
        places=sorted({each["place"] for each in goods if each["place"]}, key=same),
        systems=SYSTEMS,
        packs=PACKS,
        units=told.get(UNITS, SYSTEMS[0]),
        currency=told.get(CURRENCY, ""),
        history=history,
        once=new_once(),
        **values,
    )


def _opened(
    name: str,
    typed: Texts | None = None,
    began: Texts | None = None,
    faults: Texts | None = None,
    conflict: Conflict | None = None,
) -> Open:
    """Return the form of a good: as it is known, or as somebody typed it."""
    with reading() as conn:
        stored = good_texts(conn, name) if name else None
    if conflict is not None or began is None:
        began = stored
    return Open(
        texts=NOTHING | (stored or {}) | (typed or {}) | {"name": name},
        began=NOTHING | (began or {}),
        is_known=stored is not None,
        faults=faults or {},
        conflict=conflict,
        weighs=_weighs(name),
        yields=_yields(name),
    )


def _by_place(goods: list[Texts]) -> list[tuple[str, list[Texts]]]:
    """Return goods by the place where they are kept; those without one come last."""
    places: dict[str, list[Texts]] = {}
    for each in sorted(goods, key=lambda good: (not good["place"], same(good["place"]))):
        places.setdefault(each["place"], []).append(each)
    return list(places.items())


def _weighs(name: str) -> str:
    """Return what the table knows of an ingredient's weight, in words."""
    told = known_weights(name)
    if not told:
        return ""
    first = told[0]
    measure = f"{decimal(first.measured.number)} {first.measured.unit}".strip()
    return f"{measure} weighs {decimal(first.grams)} g ({first.source})"


def _yields(name: str) -> str:
    """Return what a table knows of an ingredient's yield, in words."""
    told = known_yield(name)
    if told is None:
        return ""
    return f"{decimal(told.percent)} % without {told.trimmed} ({told.source})"
