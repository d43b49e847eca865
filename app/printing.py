"""The command `stagelarder print`: a paper of a plan as a PDF, whole or only what changed."""

import argparse
import math
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from app.arguments import BREACHES, DONE, FAILED, Ended, Parser, add_events, size
from app.documents import day_and_plan, loaded
from app.files import write

if TYPE_CHECKING:
    from app.paper.label_sheets import LabelSheet
    from app.planning.day import Day
    from app.planning.plan import Plan

PAPERS = ("board", "pulls", "shelves", "runsheet", "breakdown", "labels", "allergens", "shopping")
OF_LARDER = ("shopping", "pulls")
LAWS = ("us", "eu")
DEGREES = ("celsius", "fahrenheit")
LIMITS = ("us", "uk", "home")
MOST_MM, MOST_LABELS = 1000.0, 50
Sides = tuple[float, float]


def add_print(command: Parser) -> None:
    """Add what the command is given beside a day and a plan."""
    command.add_argument("--paper", required=True, choices=PAPERS)
    command.add_argument(
        "--size", default="A4", type=size, help="A4 (if not given), A3, letter or tabloid"
    )
    command.add_argument(
        "--since",
        nargs=2,
        type=Path,
        metavar=("DAY", "PLAN"),
        help="an earlier day and plan: draw only the pages (labels) that changed since",
    )
    add_events(command)
    command.add_argument(
        "--larder",
        type=Path,
        metavar="FILE",
        help="what the house buys, holds and pays (JSON, larder/1), for shopping and pulls",
    )
    command.add_argument(
        "--also",
        nargs=2,
        type=Path,
        action="append",
        default=[],
        metavar=("DAY", "PLAN"),
        help="a further day and plan to shop for at once; may be said several times",
    )
    command.add_argument("-o", "--output", type=Path, required=True, metavar="FILE.pdf")
    _add_house(command.add_argument_group("the house"))
    _add_labels(command.add_argument_group("labels"))


def _add_house(house: Any) -> None:
    house.add_argument(
        "--law", choices=LAWS, help="allergens: the US nine (if not given) or the EU fourteen"
    )
    house.add_argument(
        "--degrees", choices=DEGREES, help="what the kitchen's thermometers show; else celsius"
    )
    house.add_argument(
        "--limits",
        choices=LIMITS,
        help="whose limits the clocks of copies count by: the FDA Food Code's (if not given), the "
        "UK's, a home's",
    )


def _add_labels(labels: Any) -> None:
    labels.add_argument(
        "--address",
        metavar="URL",
        help="where the codes lead: the production on the server that phones open, "
        "such as http://192.168.1.20:8000/productions/3",
    )
    labels.add_argument(
        "--start", type=_count, default=1, metavar="N", help="the first label still on the sheet"
    )
    labels.add_argument(
        "--label-mm", type=_sides, metavar="WxH", help="a label; alone: a roll, a label a page"
    )
    labels.add_argument("--sheet-mm", type=_sides, metavar="WxH", help="the sheet")
    labels.add_argument("--grid", type=_grid, metavar="AxD", help="labels across and down")
    labels.add_argument(
        "--margin-mm", type=_sides, metavar="LxT", help="from the left and top edge; else 0x0"
    )
    labels.add_argument("--gap-mm", type=_sides, metavar="AxD", help="between labels; else 0x0")


def print_paper(given: Any, day: "Day", plan: "Plan") -> int:
    """Draw a paper, write it, and return the exit status; Ended if there is none."""
    from app.web.jobs import NotDrawn, drawn_apart

    more = _of_labels(given) if given.paper == "labels" else _of_larder(given)
    printed_at = datetime.now(ZoneInfo(day.timezone)).strftime("%Y-%m-%dT%H:%M")
    if given.law or given.degrees or given.limits:
        more["house"] = _of_house(given)
    try:
        if given.since is not None:
            more["earlier"] = _earlier(given, plan, printed_at, more)
        drawn = drawn_apart(given.paper, day, plan, printed_at, given.size, **more)
        write(given.output, drawn.pdf)
    except NotDrawn as sentence:
        raise Ended(FAILED, str(sentence)) from sentence
    if drawn.words:
        print(drawn.words)
    if given.paper == "labels" and given.address is None:
        print(f"The codes lead to {more['address']}; name your server with --address URL.")
    return DONE


def _earlier(given: Any, plan: "Plan", printed_at: str, more: dict[str, Any]) -> object:
    """Return what an earlier plan printed."""
    from app.paper.drawn import Earlier
    from app.web.jobs import drawn_apart

    day_before, before = day_and_plan(*given.since)
    if before.number >= plan.number:
        words = f"--since: plan {before.number} is not older than plan {plan.number}."
        raise Ended(FAILED, words)
    drawn = drawn_apart(given.paper, day_before, before, printed_at, given.size, **more)
    return Earlier(before.number, drawn.marks)


def _of_house(given: Any) -> object:
    """Return what a paper takes of the house: its laws, and what its thermometers show."""
    from app.food.limits import House, limits
    from app.paper.of_house import OfHouse
    from app.planning.histories import Watch

    if given.law is not None and given.paper != "allergens":
        raise Ended(FAILED, f"--law is for allergens, not for {given.paper}.")
    counts_by = limits(given.limits or LIMITS[0])
    house = House(counts_by, in_fahrenheit=given.degrees == "fahrenheit")
    return OfHouse(given.law or LAWS[0], watch=Watch(house))


def _of_larder(given: Any) -> dict[str, Any]:
    """Return what a paper takes of the larder's file, where one is given."""
    from app.exchange.larderfile import load_larder

    found: dict[str, Any] = {}
    if given.also and given.paper != "shopping":
        raise Ended(FAILED, f"--also is for shopping, not for {given.paper}.")
    if given.larder is not None and given.paper not in OF_LARDER:
        raise Ended(FAILED, f"--larder is for {' and '.join(OF_LARDER)}, not for {given.paper}.")
    if given.also:
        found["others"] = tuple(_sound(*each) for each in given.also)
    if given.larder is not None:
        found["larder"] = loaded(load_larder, given.larder)
    return found


def _sound(day_file: Path, plan_file: Path) -> "tuple[Day, Plan]":
    """Return a day and its plan; Ended with a line for each rule that the plan breaks."""
    from app.planning.audit import audit

    day, plan = day_and_plan(day_file, plan_file)
    breaches = audit(day, plan)
    if breaches:
        raise Ended(BREACHES, *map(str, breaches))
    return day, plan


def _of_labels(given: Any) -> dict[str, Any]:
    """Return what labels take beside a plan: their sheet, the first of them, the address."""
    from app.settings import BadSetting, Settings

    if given.address is None:
        try:
            settings = Settings.read()
        except BadSetting as sentence:
            raise Ended(FAILED, str(sentence)) from sentence
        address = f"http://{settings.host}:{settings.port}/productions/1"
    else:
        address = given.address
    found: dict[str, Any] = {"start": given.start, "address": address}
    sheet = _sheet(given)
    return found if sheet is None else found | {"sheet": sheet}


def _sheet(given: Any) -> "LabelSheet | None":
    """Return the sheet that the options describe; None where they describe none."""
    from app.paper.label_sheets import LabelSheet, roll

    said = (given.sheet_mm, given.grid, given.margin_mm, given.gap_mm)
    if given.label_mm is None and not any(said):
        return None
    if given.label_mm is None or (any(said) and not (given.sheet_mm and given.grid)):
        raise Ended(FAILED, "A sheet of labels needs --sheet-mm, --grid and --label-mm.")
    if not any(said):
        made = roll("roll", *given.label_mm)
    else:
        edges, gaps = given.margin_mm or (0.0, 0.0), given.gap_mm or (0.0, 0.0)
        made = LabelSheet("sheet", *given.sheet_mm, *edges, *given.grid, *given.label_mm, *gaps)
    for _, fault in made.faults():
        raise Ended(FAILED, fault)
    return made


def _sides(text: str) -> Sides:
    """Return two lengths in mm that a text says, such as 62x40."""
    try:
        one, other = (float(each) for each in text.lower().replace("×", "x").split("x"))
    except ValueError:
        one = other = math.nan
    if not (0 <= one <= MOST_MM and 0 <= other <= MOST_MM):
        raise argparse.ArgumentTypeError(f"{text!r} is not two lengths in mm, such as 62x40")
    return one, other


def _grid(text: str) -> tuple[int, int]:
    """Return two counts that a text says, such as 2x5."""
    across, down = _sides(text)
    if not all(each.is_integer() and 1 <= each <= MOST_LABELS for each in (across, down)):
        raise argparse.ArgumentTypeError(f"{text!r} is not two counts from 1 to {MOST_LABELS}")
    return int(across), int(down)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 1 <= int(text[:9]) <= MOST_LABELS**2):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of a label, from 1 on")
    return int(text)
