"""Rows of work as the crew's screens show them: words, times, and what was ticked."""

from dataclasses import dataclass

from app.planning.plan import Plan
from app.planning.tasks import Task, tags_in_words
from app.storage.states import BatchState
from app.web.floor import Floor
from app.web.letters import letters
from app.web.words import listed

MINUTE_MS = 60_000


@dataclass(frozen=True)
class Row:
    """One row; `part` says whether its batch starts and is staged with it."""

    task: Task
    hour: str
    until: str
    starts_ms: int
    ends_ms: int
    tags: str
    colour: int
    items: str
    people: str
    losable: tuple[str, ...]
    state: BatchState | None

    @property
    def part(self) -> str:
        """Return which ticks the row takes: `first`, `last`, both or none."""
        return " ".join(
            name for name, is_it in (("first", self.task.first), ("last", self.task.last)) if is_it
        )

    @property
    def shown(self) -> str:
        """Return how far the row is: open, begun or done. `floor.js` says the same."""
        state = self.state.state if self.state else "planned"
        if state == "staged" or (state == "started" and self.task.first and not self.task.last):
            return "done"
        return "begun" if state == "started" and self.task.last else "open"

    @property
    def said(self) -> str:
        """Return who ticked it when, in words. `floor.js` says the same."""
        state = self.state
        if state is None or state.last is None or not self.part:
            return ""
        if state.state == "staged" and self.task.last:
            lost = f", {len(state.lost)} lost" if state.lost else ""
            return f"staged {_when(state.last.at)}, {state.last.by}{lost}"
        if state.started and self.task.first:
            return f"started {_when(state.started.at)}, {state.started.by}"
        return ""


def rows(floor: Floor) -> list[Row]:
    """Return every row of work of a floor, in order."""
    colours = {name: each.colour for name, each in letters(floor.day, floor.plan).items()}
    spares = _spares(floor.plan)
    return [
        Row(
            task=task,
            hour=floor.clock.hour(task.starts),
            until=_until(floor, task),
            starts_ms=task.starts * MINUTE_MS,
            ends_ms=task.ends * MINUTE_MS,
            tags=tags_in_words(task.tags),
            colour=colours.get(task.demonstration, 0),
            items=listed(task.items) if task.kind != "heat" else "",
            people=listed(task.people),
            losable=_losable(task, spares),
            state=floor.states.of(task.batch) if task.batch else None,
        )
        for task in floor.rows
    ]


def _spares(plan: Plan) -> set[str]:
    return {copy.id for copy in plan.copies if copy.role == "spare"}


def _losable(task: Task, spares: set[str]) -> tuple[str, ...]:
    """Return the copies in the order in which losses are counted: extra ones, then the last."""
    if not task.last:
        return ()
    last_first = task.copies[::-1]
    return tuple(sorted(last_first, key=lambda copy: copy not in spares))


def _until(floor: Floor, task: Task) -> str:
    """Return when a row ends, with its weekday where that is another day."""
    return floor.clock.hour_seen_from(task.ends, floor.clock.date(task.starts))


def _when(at: str) -> str:
    return at[11:16]
