"""The command `stagelarder replan`: a plan mended on the day, and what changes by it."""

from pathlib import Path
from typing import Any

from app.arguments import DONE, FAILED, UNMET, Ended, Parser
from app.documents import day_and_plan, events_of
from app.files import check_writable, write
from app.watching import watched

UNCHANGED = "Nothing changes: the plan still holds."


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


def mend(given: Any) -> int:
    """Mend a plan, write it and its day, tell what changes; return the exit status."""
    from app.exchange.dayfile import dump_plan
    from app.planning.canonical import canonical
    from app.web.mending import Mender, NotMended, mended_apart

    day, plan = day_and_plan(given.day, given.plan)
    events, now = events_of(given.events, day, plan, given.now)
    if given.output.absolute() == given.day_output.absolute():
        raise Ended(FAILED, "The plan and its day can't be written to the same file.")
    check_writable(given.output)
    check_writable(given.day_output)
    try:
        mended = mended_apart(Mender(day, plan, events, str(now)), watched, politeness=0)
    except NotMended as sentence:
        raise Ended(FAILED, str(sentence)) from sentence
    write(given.day_output, canonical(mended.day) + b"\n")
    write(given.output, dump_plan(mended.plan))
    told = [change.words for change in mended.changes] or [UNCHANGED]
    for words in (*mended.notices, *told):
        print(words)
    return UNMET if mended.plan.objective.unmet > 0 else DONE
