"""Labels: which sheet, from which label on, how it will look, and the sheets that the house has."""

from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from app.paper.label_fitting import NoRoom, crowded, fitted, has_room
from app.paper.label_sheets import A4, LabelSheet
from app.paper.label_texts import Label, labels
from app.paper.labels import places
from app.planning.plan import Plan
from app.storage.changes.label_sheets import forget_label_sheet, keep_label_sheet
from app.storage.engine import reading, writing
from app.storage.queries.label_sheets import LabelSheetRow
from app.storage.queries.prints import print_before
from app.storage.refusals import Conflict
from app.web.errors import Told
from app.web.forms import Form, Typed
from app.web.label_sheets import address_fault, address_of, all_sheets, is_this_machine
from app.web.of_house import of_house
from app.web.page import answer, go_to
from app.web.printing import Wish
from app.web.seen import Seen, see

router = APIRouter(prefix="/productions/{id}/labels")
# What a person types of a sheet, in the order of the form, with the words beside each field.
SIDES_MM = {
    "sheet_wide_mm": "Sheet, across",
    "sheet_high_mm": "Sheet, down",
    "left_mm": "Left edge to the first label",
    "top_mm": "Top edge to the first label",
    "label_wide_mm": "Label, across",
    "label_high_mm": "Label, down",
    "gap_across_mm": "Gap across",
    "gap_down_mm": "Gap down",
}
NUMBERS = {"across": "Labels across", "down": "Labels down"}


@dataclass(frozen=True)
class Asked:
    """What the screen shows: a sheet, the first label that is still there, the address."""

    sheet: str = A4.name
    start: int = 1
    address: str = ""


@dataclass(frozen=True)
class Spot:
    """A label of the first sheet in the preview; `tags` is empty where none will be printed."""

    x: float
    y: float
    number: int
    tags: str
    stage: str
    is_used_up: bool


@router.get("")
def labels_page(request: Request, id: int, asked: Annotated[Asked, Depends()]) -> Response:
    """Show how the labels of the published plan will lie on a sheet."""
    return _page(request, see(id), asked)


@router.post("/sheets")
def keep_sheet(request: Request, id: int, form: Form) -> Response:
    """Keep a label sheet of the house under its name."""
    seen = see(id)
    name = form.text("name", least=1, most=60)
    began_from = form.whole("version", least=0, most=1_000_000)
    row = _typed_sheet(form, name)
    faults = dict(LabelSheet(**row._asdict()).faults()) if not form.faults else {}
    form.faults |= faults
    if not form.faults:
        try:
            with writing() as conn:
                keep_label_sheet(conn, row, began_from=began_from)
        except Conflict as conflict:
            form.faults["name"] = conflict.words
    if form.faults:
        status = 422
        return _page(request, seen, Asked(form.values.get("was", A4.name)), form, status)
    return go_to(request, f"/productions/{id}/labels?{urlencode({'sheet': name})}")


@router.post("/sheets/forgotten")
def forget_sheet(request: Request, id: int, form: Form) -> Response:
    """Forget a label sheet of the house."""
    with writing() as conn:
        forget_label_sheet(conn, form.text("name", most=60))
    return go_to(request, f"/productions/{id}/labels")


def _page(
    request: Request, seen: Seen, asked: Asked, form: Typed | None = None, status: int = 200
) -> Response:
    if seen.plan is None:
        words = "There is no published plan yet, so there are no labels."
        raise Told(409, words, then="The count", go=f"/productions/{seen.id}/count")
    sheets = all_sheets()
    sheet, version = sheets.get(asked.sheet, (A4, 0))
    return answer(
        request,
        "labels/page.html",
        "labels/_part.html",
        status,
        seen=seen,
        production=seen.production,
        sheets=sheets,
        sheet=sheet,
        version=version,
        typed=form.values if form else {},
        faults=form.faults if form else {},
        fields={"name": "Name"} | NUMBERS | SIDES_MM,
        sides=SIDES_MM,
        numbers=NUMBERS,
        **_addressed(request, asked),
        **_laid(seen, seen.plan, sheet, asked),
    )


def _addressed(request: Request, asked: Asked) -> dict[str, Any]:
    """Return where the codes lead, and what is wrong with that."""
    fault = address_fault(asked.address) if asked.address else ""
    address = asked.address if fault else address_of(request, asked.address)
    return {
        "address": address,
        "address_fault": fault,
        "is_this_machine": is_this_machine(address),
    }


def _laid(seen: Seen, plan: Plan, sheet: LabelSheet, asked: Asked) -> dict[str, Any]:
    """Return how the labels of a plan lie on a sheet, and what of them changed."""
    start = min(max(1, asked.start), sheet.labels)
    house = of_house(seen, plan)
    every = labels(seen.planned, plan, house, lambda label: has_room(label, sheet))
    with reading() as conn:
        before = print_before(conn, seen.id, "labels", None, plan.number)
    address = "" if address_fault(asked.address) else asked.address
    return {
        "start": start,
        "count": len(every),
        "pages": list(places(len(every) + 1, sheet, start))[-1][0] + 1,
        "spots": _spots(every, sheet, start),
        "wish": Wish("labels", "a4", sheet=sheet.name, start=start, address=address),
        "since": before,
        "crowded": _crowded(every, sheet),
        "changed": _changed(every, before.marks if before else []),
    }


def _crowded(every: list[Label], sheet: LabelSheet) -> str:
    """Return what has too little room on the labels of a sheet, in words."""
    try:
        return crowded([fitted(each, sheet) for each in every])
    except NoRoom as sentence:
        return str(sentence)


def _changed(every: list[Label], known: list[str]) -> int:
    """Return how many labels say something that no label printed before says."""
    return sum(each.mark not in set(known) for each in every) if known else len(every)


def _spots(every: list[Label], sheet: LabelSheet, start: int) -> list[Spot]:
    """Return the labels of the first sheet; the one after the last tells what was printed."""
    found = []
    for position in range(sheet.labels):
        x, y = sheet.corner_mm(position)
        number = position + 1 - (start - 1)
        label = every[number - 1] if 0 < number <= len(every) else None
        found.append(
            Spot(
                x=x,
                y=y,
                number=position + 1,
                tags=label.tags if label else "",
                stage=label.stage if label else "",
                is_used_up=number < 1,
            )
        )
    return found


def _typed_sheet(form: Typed, name: str) -> LabelSheetRow:
    """Return what was typed of a sheet; each fault stands in the form."""
    return LabelSheetRow(
        name=name,
        sheet_wide_mm=_millimetres(form, "sheet_wide_mm"),
        sheet_high_mm=_millimetres(form, "sheet_high_mm"),
        left_mm=_millimetres(form, "left_mm"),
        top_mm=_millimetres(form, "top_mm"),
        across=form.whole("across", least=1, most=50),
        down=form.whole("down", least=1, most=50),
        label_wide_mm=_millimetres(form, "label_wide_mm"),
        label_high_mm=_millimetres(form, "label_high_mm"),
        gap_across_mm=_millimetres(form, "gap_across_mm"),
        gap_down_mm=_millimetres(form, "gap_down_mm"),
    )


def _millimetres(form: Typed, field: str) -> float:
    """Return a length that was typed, with a point or a comma; 0 where it is none."""
    said = form.values.get(field, "").strip()
    digits = said.replace(",", ".", 1)
    if digits.replace(".", "", 1).isdigit() and digits.isascii() and len(digits) < 10:
        value = float(digits)
        if value <= 1000:
            return value
    form.faults[field] = f"Millimetres from 0 to 1000, such as 62.5, not {said[:20] or 'nothing'}."
    return 0.0
