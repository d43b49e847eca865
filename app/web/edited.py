"""What the producer changed in the rundown since the published plan, as events of the day."""

from typing import Any

from app.planning.day import Day, Run


def edited(planned: Day, stands: Day, told: Day) -> list[dict[str, Any]]:
    """Return what has to be told so that the day becomes what the production says of its runs.

    Parameters
    ----------
    planned
        The day of the published plan.
    stands
        The day as it stands in the store: where it is another one, the producer changed it.
    told
        The day as it is by all that was told.
    """
    was = {run.id: run for run in planned.runs}
    known = {run.id: run for run in told.runs}
    now = {run.id: run for run in stands.runs}
    says: list[dict[str, Any]] = []
    for run in stands.runs:
        if run != was.get(run.id) and run != known.get(run.id):
            says.append(_becomes(run, known.get(run.id)))
    says += [{"event": "dropped", "run": run} for run in was if run not in now and run in known]
    return [each for each in says if each]


def _becomes(run: Run, known: Run | None) -> dict[str, Any]:
    """Return the event that makes a run what it is; nothing where no event can."""
    if known is None:
        return {"event": "added", "run": run.model_dump(mode="json", exclude_defaults=True)}
    if known.model_copy(update={"starts": run.starts}) == run:
        return {"event": "moved", "run": run.id, "starts": run.starts}
    return {}
