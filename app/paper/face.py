"""What every sheet bears: title, plan number, when it was printed, and the words for times."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any
from unicodedata import category

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from app.paper.measuring import DEGREES, DEGREES_KEPT
from app.paper.of_house import NOTHING, OfHouse
from app.planning.dates import DAYS, MONTHS
from app.planning.day import Day
from app.planning.people import Meeting, meetings, undecided
from app.planning.phrases import listed as listed
from app.planning.plan import Plan

TEMPLATES = Path(__file__).parents[2] / "templates"
MOST_LACKS, MOST_PLANS = 8, 3
LONGEST_FOOT, LONGEST_TITLE = 84, 40
Planned = tuple[Day, Plan]


@dataclass(frozen=True)
class Face:
    """The head and foot of one paper; `people` says how far they are checked, on every page.

    `beside` says how many more productions it is of, `plans` the numbers of their plans, `short`
    whose are short; `is_undecided` where a tasting would serve somebody what they avoid and nobody
    has decided.
    """

    title: str
    beside: str
    paper: str
    plan: int
    plans: str
    printed: str
    lacks: tuple[str, ...]
    short: str
    people: str
    is_undecided: bool


def face(
    day: Day,
    plan: Plan,
    paper: str,
    printed_at: str,
    house: OfHouse = NOTHING,
    others: tuple[Planned, ...] = (),
) -> Face:
    """Return what every sheet of a paper bears.

    Parameters
    ----------
    paper
        The paper's name for people.
    printed_at
        Local text of the minute in which it is printed.
    house
        What the house has decided.
    others
        Further productions that the paper is of.
    """
    plans = ((day, plan), *others)
    open_still = _open_still(plans, house)
    return Face(
        title=day.title,
        beside=f", and {len(others)} more" if others else "",
        paper=paper,
        plan=plan.number,
        plans=_plans(plans),
        printed=moment(printed_at),
        lacks=tuple(_lacks(day, plan)),
        short=_short(plans),
        people=_people([each for each, _ in plans], open_still),
        is_undecided=bool(open_still),
    )


def date(text: str) -> str:
    """Return the date of a local text: *Thursday 4 March 2027*."""
    when = datetime.strptime(text[:10], "%Y-%m-%d")
    return f"{DAYS[when.weekday()]} {when.day} {MONTHS[when.month - 1]} {when.year}"


def hour(text: str, beside: str | None = None) -> str:
    """Return `hh:mm` of a local text; with the date where `beside` lies on another."""
    said = text[11:16] + (f" ({text[16:]})" if len(text) > 16 else "")
    if beside is None or text[:10] == beside[:10]:
        return said
    return f"{DAYS[datetime.strptime(text[:10], '%Y-%m-%d').weekday()][:3]} {said}"


def moment(text: str) -> str:
    """Return a local text as date and hour: *4 March 2027, 14:00*."""
    return f"{date(text).split(' ', 1)[1]}, {hour(text)}"


def stamp(text: str) -> str:
    """Return a local text as date and hour, as short as it can be told: *4 Mar 14:00*."""
    when = datetime.strptime(text[:10], "%Y-%m-%d")
    return f"{when.day} {MONTHS[when.month - 1][:3]} {hour(text)}"


def clipped(text: str, most: int) -> str:
    """Return a text, cut at a word where it is longer than `most` signs."""
    if len(text) <= most:
        return text
    kept = text[: most - 1]
    words = kept.rpartition(" ")[0]
    return f"{words if len(words) > len(kept) * 2 // 3 else kept}…"


def many(count: int, one: str, more: str | None = None) -> str:
    """Return a count with its noun: *1 copy*, *3 copies*."""
    return f"{count} {one if count == 1 else more or one + 's'}"


def length(minutes: int) -> str:
    """Return a length of time in words: *45 min*, *2 h*, *1 h 20 min*, *3 days*."""
    days, rest = divmod(minutes, 1440)
    parts = [(days, "day" if days == 1 else "days"), (rest // 60, "h"), (rest % 60, "min")]
    return " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"


def page(template: str, **values: Any) -> str:
    """Render a paper's template; every value is escaped."""
    return _environment().get_template(f"paper/{template}").render(**values)


def _plans(plans: tuple[Planned, ...]) -> str:
    """Return the numbers of plans, few enough for the foot of a page."""
    rest = len(plans) - MOST_PLANS
    numbers = [str(plan.number) for _, plan in plans[: MOST_PLANS if rest > 1 else None]]
    return listed([*numbers, *([f"{rest} more"] if rest > 1 else [])])


def _open_still(plans: tuple[Planned, ...], house: OfHouse) -> list[tuple[Day, Meeting]]:
    """Return what would be served and nobody has decided on, each production by its decisions."""
    decided = [frozenset(each.key for each in house.decided), *house.decided_beside]
    decided += [frozenset()] * (len(plans) - len(decided))
    return [
        (day, met)
        for (day, _), known in zip(plans, decided, strict=True)
        for met in undecided(meetings(day), known)
    ]


def _short(plans: tuple[Planned, ...]) -> str:
    """Return that a plan is short; of several productions, whose."""
    some = [clipped(day.title, LONGEST_TITLE) for day, plan in plans if plan.unmet]
    if not some or len(plans) == 1:
        return "This plan is short." if some else ""
    is_one = len(some) == 1
    return f"The plan{'' if is_one else 's'} of {listed(some)} {'is' if is_one else 'are'} short."


def _people(days: list[Day], open_still: list[tuple[Day, Meeting]]) -> str:
    """Return how far the people of the runs are checked, short enough for the foot of a page."""
    if open_still:
        return _not_decided(open_still, is_of_several=len(days) > 1)
    unnamed = [day for day in days if not any(run.people for run in day.runs)]
    if len(unnamed) == len(days):
        return "No run names its people: nobody is checked against allergens."
    if not unnamed:
        return "The people of the runs are checked by what the day names; ask them all the same."
    more = f" and {len(unnamed) - 1} more" if len(unnamed) > 1 else ""
    told = clipped(unnamed[0].title, LONGEST_TITLE)
    return f"No run of {told}{more} names its people: nobody there is checked; ask all the same."


def _not_decided(open_still: list[tuple[Day, Meeting]], *, is_of_several: bool) -> str:
    day, first = open_still[0]
    told = f"{first.person} avoids {first.avoids} and is served it, {day.run(first.run).called}"
    told += f", {clipped(day.title, LONGEST_TITLE)}" if is_of_several else ""
    rest = len(open_still) - 1
    more = f", and {rest} more" if rest else ""
    said = f"NOT DECIDED: {clipped(told, LONGEST_FOOT - len(more))}{more}"
    return said if said.endswith("…") else f"{said}."


def _lacks(day: Day, plan: Plan) -> Iterable[str]:
    for lack in plan.unmet[:MOST_LACKS]:
        run = day.run(lack.run)
        demonstration = day.demonstration(run.demonstration)
        stage = demonstration.stage(lack.stage).called
        beat = demonstration.beat(lack.beat).called
        kind = "short of" if lack.kind == "copies" else "no backup for"
        yield f"{demonstration.title}, {run.called}, {beat}: {kind} {lack.count} {stage}."
    if len(plan.unmet) > MOST_LACKS:
        yield f"And {len(plan.unmet) - MOST_LACKS} more, told on the Count screen."


@lru_cache(maxsize=1)
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        finalize=lambda value: _printable(value) if type(value) is str else value,
    )
    made.filters.update(many=many, listed=listed, clipped=clipped, length_words=length)
    return made


def _printable(text: str) -> str:
    """Return a text without the control characters that no page can hold, degrees kept whole."""
    told = "".join(sign for sign in text if category(sign) not in {"Cc", "Cs"} or sign in "\n\t")
    return told.replace(DEGREES, DEGREES_KEPT)
