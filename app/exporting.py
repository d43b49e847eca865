"""The command `stagelarder export`: a production, a plan or a part of it in another form."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.arguments import DONE, FAILED, REFUSED, Ended, Parser
from app.documents import loaded
from app.files import check_writable, write

if TYPE_CHECKING:
    from app.planning.day import Day
    from app.planning.plan import Plan

WHAT = ("production", "demonstration", "plan", "count", "pulls", "runs")


def add_export(command: Parser) -> None:
    """Add what the command is given."""
    command.add_argument(
        "day", type=Path, metavar="DAY", help="the day (.json, .zip, or its own .xlsx or .csv)"
    )
    command.add_argument("plan", type=Path, metavar="PLAN", nargs="?", help="the plan of it")
    command.add_argument("--what", choices=WHAT, default="production", help="else production")
    command.add_argument("--demonstration", metavar="ID", help="which one, by its id")
    command.add_argument("-o", "--output", type=Path, required=True, metavar="FILE")


def export(given: Any) -> int:
    """Write what is asked for in the form that the name of the file says; return the status."""
    from app.exchange.incoming import load_any_day
    from app.exchange.outgoing import OF_A_PLAN, day_of_one, outgoing
    from app.planning.reading import Refused

    day, _ = loaded(lambda data: load_any_day(data, given.day.name), given.day)
    plan = _plan(given, day) if given.what in OF_A_PLAN else None
    if given.what == "demonstration":
        if given.demonstration not in {each.id for each in day.demonstrations}:
            known = ", ".join(each.id for each in day.demonstrations)
            raise Ended(FAILED, f"--demonstration: say which one: {known}.")
        day = day_of_one(day, given.demonstration)
    check_writable(given.output)
    form = given.output.suffix.lower().removeprefix(".")
    try:
        written = outgoing(given.what, form, day, plan, datetime.now(UTC))
    except Refused as refused:
        raise Ended(FAILED, str(refused)) from refused
    write(given.output, written)
    print(f"{given.output}: {given.what}, {len(written)} bytes")
    return DONE


def _plan(given: Any, day: "Day") -> "Plan":
    from app.exchange.dayfile import load_plan
    from app.planning.audit import audit
    from app.planning.canonical import fingerprint

    if given.plan is None:
        raise Ended(FAILED, f"For the {given.what}, name a plan behind the day.")
    plan = loaded(load_plan, given.plan)
    if plan.day is not None and plan.day != fingerprint(day):
        raise Ended(REFUSED, f"day: {given.plan} is the plan of another day than {given.day}.")
    breaches = audit(day, plan)
    if breaches:
        raise Ended(FAILED, "This plan breaks rules; see stagelarder audit.", *map(str, breaches))
    return plan
