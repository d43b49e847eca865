"""The command `stagelarder replan`: a plan mended on the day, and what changes by it."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.arguments import DONE, FAILED, UNMET, Ended, Parser
from app.documents import day_and_plan, events_of
from app.files import check_writable, write
from app.food.limits import LAWS
from app.planning.phrases import listed
from app.watching import watched

if TYPE_CHECKING:
    from app.planning.day import Day
    from app.planning.events import AnyEvent, Lost, Undone
    from app.planning.plan import Batch, Plan
    from app.planning.replan import Mended
    from app.web.mending import Mender
    from app.web.offers import Offer

UNCHANGED = "Nothing changes: the plan still holds."
BY = "stagelarder"
MOST_NAMED = 6


def add_replan(command: Parser) -> None:
    """Add what the command is given beside a day and a plan."""
    command.add_argument(
        "events", type=Path, metavar="EVENTS", help="what has happened (JSON, a line an event)"
    )
    command.add_argument("--now", required=True, metavar="T", help="the local time now")
    command.add_argument("-o", "--output", type=Path, required=True, metavar="PLAN")
    command.add_argument(
        "--day",
        dest="day_output",
        type=Path,
        required=True,
        metavar="DAY",
        help="where to write the day as it now stands, which the mended plan goes with",
    )
    command.add_argument(
        "--as-planned",
        type=Path,
        metavar="TOLD",
        help="take what should have begun, and what no event speaks of, as done when it was "
        "planned; where to write the events with that",
    )
    command.add_argument(
        "--offers",
        action="store_true",
        help="tell also what else could be done: use backups, let a run start later",
    )
    command.add_argument(
        "--limits",
        choices=LAWS,
        default=LAWS[0],
        help="the law of food by which readings are judged: us (if not given), uk, home",
    )
    command.add_argument(
        "--take", metavar="OFFER", help="write the plan of one of these offers, by its name"
    )


def mend(given: Any) -> int:
    """Mend a plan, write it and its day, tell what changes; return the exit status."""
    from app.exchange.dayfile import dump_plan
    from app.exchange.eventfile import dump_events
    from app.planning.canonical import canonical
    from app.planning.lacking import shortages
    from app.web.mending import Mender, NotMended, mended_apart

    day, plan = day_and_plan(given.day, given.plan)
    events, now = events_of(given.events, day, plan, given.now)
    _check_outputs(given)
    untold = _unticked(day, plan, events, str(now))
    if given.as_planned:
        events, untold = (*events, *_as_planned(day, untold, events, str(now))), []
    spoilt = _spoilt(day, plan, events, str(now), given.limits)
    mender = Mender(day, plan, (*events, *spoilt), str(now))
    try:
        mended = mended_apart(mender, watched, politeness=0)
    except NotMended as sentence:
        raise Ended(FAILED, str(sentence)) from sentence
    offers = _offers(mender, mended) if given.offers or given.take else []
    taken = _taken(offers, given.take) if given.take else None
    if taken is not None:
        mended = _mended_by(taken, mended)
    write(given.day_output, canonical(mended.day) + b"\n")
    write(given.output, dump_plan(mended.plan))
    if given.as_planned:
        write(given.as_planned, dump_events(events))
    told = [change.words for change in mended.changes] or [UNCHANGED]
    found = _told_of_readings(spoilt, events)
    of_offers = _told_of(offers if given.offers else [], taken)
    lacks = [f"{each.kind}: {each.words}" for each in shortages(mended.day, mended.plan)]
    for words in (*_told_of_untold(untold), *found, *mended.notices, *told, *lacks, *of_offers):
        print(words)
    return UNMET if mended.plan.objective.unmet > 0 else DONE


def _check_outputs(given: Any) -> None:
    """Make sure that each file can be written, and none over another."""
    outputs = {"plan": given.output, "day": given.day_output, "events": given.as_planned}
    there = {what: path.resolve() for what, path in outputs.items() if path is not None}
    if len(set(there.values())) < len(there):
        raise Ended(FAILED, f"The {listed(there)} need a file each.")
    for path in there.values():
        check_writable(path)


def _unticked(day: "Day", plan: "Plan", events: "tuple[AnyEvent, ...]", now: str) -> "list[Batch]":
    """Return the batches that should have begun and of which no event speaks."""
    from app.planning.day_now import day_now
    from app.planning.minutes import Clock
    from app.planning.undoing import standing
    from app.planning.unticked import unticked

    stands = standing(events)
    return unticked(day_now(day, stands), plan, stands, Clock(day.timezone).minute(now))


def _as_planned(
    day: "Day", batches: "Sequence[Batch]", events: "tuple[AnyEvent, ...]", now: str
) -> "list[AnyEvent]":
    """Return the further events that say that some batches began, and ended, when planned."""
    from app.planning.event_log import KINDS
    from app.planning.minutes import Clock
    from app.planning.unticked import as_planned

    minute = Clock(day.timezone).minute(now)
    n = max((each.n or 0 for each in events), default=0)
    return [
        KINDS[each.event].model_validate(
            {"n": n + number, "at": each.at, "once": f"{each.event}-{each.batch}-as-planned"}
            | {"by": BY, "batch": each.batch}
        )
        for number, each in enumerate(as_planned(day, batches, minute), 1)
    ]


def _told_of_untold(batches: "Sequence[Batch]") -> list[str]:
    """Return the line that some batches are taken as not begun; none if there are none."""
    if not batches:
        return []
    ids = [each.id for each in batches]
    said = listed(ids) if len(ids) <= MOST_NAMED else f"{', '.join(ids[:MOST_NAMED])} and more"
    what = f"{len(ids)} {'batch' if len(ids) == 1 else 'batches'} should have started"
    taken = "it is" if len(ids) == 1 else "they are"
    return [
        f"{what}, and no event says so, so {taken} taken as not begun (see --as-planned): {said}"
    ]


def _spoilt(
    day: "Day", plan: "Plan", events: "tuple[AnyEvent, ...]", now: str, law: str
) -> "list[Lost | Undone]":
    """Return the copies for eating that readings and ticks find spoilt, as further events.

    Those that they do not find spoilt any more are not lost after all.
    """
    from app.food.limits import House, limits
    from app.planning.minutes import Clock
    from app.planning.readings import spoilt_by

    if not events:
        return []
    minute = Clock(day.timezone).minute(now)
    return spoilt_by(day, plan, events, House(limits(law)), minute)


def _told_of_readings(spoilt: "list[Lost | Undone]", events: "tuple[AnyEvent, ...]") -> list[str]:
    """Return the lines about what is lost or is not, and what the events have to say from now."""
    copies = {each.n: each.copy_id for each in events if each.event == "lost"}
    lines = [
        f"{each.copy_id} is lost: {each.why}"
        if each.event == "lost"
        else f"{copies[each.undoes or 0]} is not lost after all: no reading that stands says so."
        for each in spoilt
    ]
    return [*lines, *(f"tell as well: {each.model_dump_json()}" for each in spoilt)]


def _offers(mender: "Mender", mended: "Mended") -> "list[Offer]":
    """Return what else could be done than what a plan was mended to."""
    from app.web.mending import mends_of
    from app.web.offers import offers_of

    mends = mends_of(mender.day, mender.day, mender.plan, mender.events, mender.at, told=0)
    return list(offers_of(mends, mended.plan, BY, watched, politeness=0))


def _taken(offers: "list[Offer]", name: str) -> "Offer":
    for offer in offers:
        if offer.name == name:
            return offer
    known = ", ".join(offer.name for offer in offers) or "none"
    raise Ended(FAILED, f"There is no offer {name!r} here; there are: {known}.")


def _mended_by(offer: "Offer", mended: "Mended") -> "Mended":
    from app.planning.canonical import fingerprint

    day = offer.mends.day
    plan = offer.plan.model_copy(
        update={"number": mended.plan.number, "day": fingerprint(day)},
    )
    return replace(mended, day=day, plan=plan, changes=offer.changes)


def _told_of(offers: "list[Offer]", taken: "Offer | None") -> list[str]:
    """Return the lines about what else could be done, and what has to be told for it."""
    from app.planning.canonical import canonical

    lines = [f"offer {offer.name}: {offer.words}: {offer.told}" for offer in offers]
    if taken is not None and taken.moved is not None:
        lines.append(f"tell as well: {canonical(taken.moved).decode()}")
    return lines
