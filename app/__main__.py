"""The command line: `stagelarder plan`, `audit`, `replan`, `risk`, `print`, `serve` and the rest.

Rooms are imported where they are used: a planning process begins by reading this file again, and
`--help` should not wait for a solver.
"""

import gc
import io
import json
import logging
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.arguments import (
    BREACHES,
    DONE,
    FAILED,
    STATUS,
    UNMET,
    Ended,
    Parser,
    add_events,
    plays,
    seconds,
    seed,
)
from app.documents import day_and_plan, events_of, loaded
from app.exporting import add_export, export
from app.files import Unusable, check_writable, write
from app.printing import add_print, print_paper
from app.reckoning import add_sum, work_out
from app.replanning import add_replan, mend
from app.watching import watched

if TYPE_CHECKING:
    from app.planning.day import Day
    from app.planning.events import AnyEvent
    from app.planning.plan import Plan


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit status."""
    # What a command has to say is a sentence; only a server keeps a log.
    logging.getLogger("app").addHandler(logging.NullHandler())
    # A file may have a name that this terminal can't show.
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        given = _parser().parse_args(arguments)
        status: int = given.command(given)
        sys.stdout.flush()
    except Ended as end:
        return _end(end.status, *end.lines)
    except Unusable as sentence:
        return _end(FAILED, str(sentence))
    except KeyboardInterrupt:
        return _end(FAILED, "Stopped. Nothing was written.")
    except OSError as error:
        return _end(FAILED, f"The output could not be written: {error.strerror or error}.")
    return status


def _end(status: int, *lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    # What Python would still write at the very end must not change the status.
    with suppress(OSError, ValueError):
        sys.stdout.close()
    return status


def _parser() -> Parser:
    parser = Parser(
        prog="stagelarder",
        description="Works out how many copies of each stage a cooking demonstration needs, "
        "when each batch starts, by whom, in what, and where every copy waits.",
        epilog="A first try: `stagelarder example class > class.json`, then "
        "`stagelarder plan class.json -o plan.json`, then "
        "`stagelarder print class.json plan.json --paper board -o board.pdf`. " + STATUS,
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND", parser_class=Parser)
    _add_plan(commands)
    _add_audit(commands)
    _add_replan(commands)
    _add_risk(commands)
    _add_print(commands)
    _add_serve(commands)
    _add_backup(commands)
    add_export(_command(commands, "export", export, "write a day or its plan in another form"))
    add_sum(_command(commands, "sum", work_out, "work out a kitchen sum: weights, doughs, pans"))
    example = _command(commands, "example", _example, "show an example day, to start from")
    example.add_argument("name", choices=("studio", "class"))
    schema = _command(commands, "schema", _schema, "show the JSON Schema, for your editor")
    schema.add_argument("name", choices=("day", "plan"))
    return parser


def _command(commands: Any, name: str, run: Callable[[Any], int], words: str) -> Parser:
    added: Parser = commands.add_parser(name, help=words, description=f"Command to {words}.")
    added.set_defaults(command=run)
    return added


def _add_day(command: Parser) -> None:
    command.add_argument("day", type=Path, metavar="DAY", help="the day file (JSON, day/1)")


def _add_day_and_plan(command: Parser) -> None:
    _add_day(command)
    command.add_argument("plan", type=Path, metavar="PLAN", help="the plan file (JSON, plan/1)")


def _add_plan(commands: Any) -> None:
    command = _command(commands, "plan", _plan, "work out the plan of a day")
    _add_day(command)
    command.add_argument("-o", "--output", type=Path, required=True, metavar="PLAN")
    command.add_argument(
        "--seconds",
        type=seconds,
        metavar="N",
        help="plan for at most so long, by the clock; if something lacks, a quarter longer",
    )
    command.epilog = "Ctrl-C stops early and keeps the best plan found so far. " + STATUS


def _add_audit(commands: Any) -> None:
    command = _command(commands, "audit", _audit, "check a plan against its day, rule by rule")
    _add_day_and_plan(command)
    add_events(command)
    command.add_argument(
        "--why", metavar="BATCH", help="tell also why this batch is when it is, how far it is free"
    )
    command.epilog = (
        "With events, the day is as it stands after them, and what has begun is taken as it "
        "happened. " + STATUS
    )


def _add_replan(commands: Any) -> None:
    command = _command(commands, "replan", mend, "mend a plan after what has happened on the day")
    _add_day_and_plan(command)
    add_replan(command)
    command.epilog = (
        "What has begun stays as it is; of the rest, as little changes as will do. Each change is "
        "told on a line. " + STATUS
    )


def _add_risk(commands: Any) -> None:
    command = _command(commands, "risk", _risk, "play the day and tell how sure its plan is")
    _add_day_and_plan(command)
    add_events(command)
    command.add_argument("--plays", type=plays, default=10_000, metavar="N", help="else 10000")
    command.add_argument("--seed", type=seed, default=1, metavar="N", help="else 1")
    command.add_argument("--json", action="store_true", help="tell it as JSON, risk/1")
    command.epilog = (
        "With events, or a time, only what is to come is played: what is staged is there, what is "
        "under way is not over yet. The plan is the one that people work from, as it was published "
        "or as it was mended since. " + STATUS
    )


def _add_print(commands: Any) -> None:
    command = _command(commands, "print", _print, "draw a paper of a plan as a PDF")
    _add_day_and_plan(command)
    add_print(command)
    command.epilog = STATUS


def _add_serve(commands: Any) -> None:
    command = _command(commands, "serve", _serve, "serve the screens to browsers")
    command.add_argument(
        "--host",
        metavar="ADDRESS",
        help="this machine's address on the kitchen's network, to let phones in "
        "(if not given: 127.0.0.1, this machine alone)",
    )
    command.add_argument("--port", metavar="N", help="if not given: 8000")


def _add_backup(commands: Any) -> None:
    command = _command(commands, "backup", _backup, "copy the whole store while it is served")
    command.add_argument("-o", "--output", type=Path, required=True, metavar="FILE")
    command.epilog = (
        "The store is the one in the folder that STAGELARDER_DATA names (if not given: var). To go "
        "back to a copy, name it stagelarder.sqlite in a folder of its own and start with that."
    )


def _plan(given: Any) -> int:
    from app.exchange.dayfile import dump_plan, load_day
    from app.telling import tell_advice
    from app.web.jobs import PlanJob

    day = loaded(load_day, given.day)
    check_writable(given.output)
    job = PlanJob(day, given.seconds, politeness=0)
    plan = watched(job)
    if plan is None:
        raise Ended(FAILED, job.failed or "There is no plan.")
    write(given.output, dump_plan(plan))
    goals = ", ".join(f"{name} {value}" for name, value in plan.objective)
    print(f"{given.output}: {plan.status}; {goals}")
    tell_advice(plan)
    return UNMET if plan.objective.unmet > 0 else DONE


def _audit(given: Any) -> int:
    day, plan = day_and_plan(given.day, given.plan)
    if _is_broken(day, plan, *events_of(given.events, day, plan, given.now)):
        return BREACHES
    print(f"{given.plan} keeps every rule.")
    if given.why is not None:
        from app.telling import tell_why

        tell_why(day, plan, given.why)
    return DONE


def _risk(given: Any) -> int:
    from app.telling import tell_risk, was_sound

    day, plan = day_and_plan(given.day, given.plan)
    events, now = events_of(given.events, day, plan, given.now)
    if not was_sound(day, plan, events) and _is_broken(day, plan, events, now):
        return BREACHES
    tell_risk(day, plan, events, now, given)
    return DONE


def _is_broken(
    day: "Day", plan: "Plan", events: "tuple[AnyEvent, ...]" = (), now: str | None = None
) -> bool:
    from app.planning.audit import audit

    breaches = audit(day, plan, events, now)
    for breach in breaches:
        print(breach)
    return bool(breaches)


def _print(given: Any) -> int:
    day, plan = day_and_plan(given.day, given.plan)
    check_writable(given.output)
    told = events_of(given.events, day, plan, given.now)
    return BREACHES if _is_broken(day, plan, *told) else print_paper(given, day, plan)


def _serve(given: Any) -> int:
    # What comes in now stays: looking for rubbish in it takes a tenth of the start.
    gc.disable()
    from app.serving import NotServed, serve
    from app.settings import BadSetting, Settings

    logging.basicConfig(level=logging.WARNING)
    try:
        serve(Settings.read(host=given.host, port=given.port), say=_say)
    except (BadSetting, NotServed) as sentence:
        raise Ended(FAILED, str(sentence)) from sentence
    return DONE


def _backup(given: Any) -> int:
    from app.settings import BadSetting, Settings
    from app.storage.backup import back_up
    from app.storage.refusals import StoreTrouble

    check_writable(given.output)
    try:
        copy = back_up(Settings.read().store, given.output)
    except (BadSetting, StoreTrouble) as sentence:
        raise Ended(FAILED, str(sentence)) from sentence
    print(f"{copy}: the whole store, checked; {copy.stat().st_size / 1e6:.1f} MB")
    return DONE


def _say(line: str) -> None:
    print(line, flush=True)


def _example(given: Any) -> int:
    from seed_demo import example

    sys.stdout.buffer.write(example(given.name))
    return DONE


def _schema(given: Any) -> int:
    from app.planning.reading import day_schema, plan_schema

    written = {"day": day_schema, "plan": plan_schema}[given.name]()
    print(json.dumps(written, indent=2, ensure_ascii=False))
    return DONE


if __name__ == "__main__":
    sys.exit(main())
