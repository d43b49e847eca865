"""House rules that ask for less, and fewer backups."""

from collections.abc import Iterator

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.dates import lasting
from app.planning.remedies.offer import Change, DayFile, Offer, single
from app.planning.remedies.patch import Operation, added

SPANS = {
    "ready_margin_min": "Let copies stand ready {less} before a use instead of {now}",
    "return_min": "Have what a beat leaves back after {less} instead of {now}",
    "step_slack_min": "Let a step's copies wait {less} before the next instead of {now}",
}


def milder_rules(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each house rule of a clash that it asks for less."""
    for name in (fact.ids[0] for fact in clash.facts if fact.kind == "policy"):
        if name == "reuse":
            yield single("Let what a beat leaves be used again", _rule(file, name, True))
        elif name in SPANS:
            yield _shorter(file, name)


def _shorter(file: DayFile, name: str) -> Offer:
    now: int = getattr(file.day.policy, name)

    def at(less_min: int) -> Change:
        words = SPANS[name].format(less=lasting(now - less_min), now=lasting(now))
        return Change((_rule(file, name, now - less_min),), words)

    return Offer(at, now, grows=True)


def _rule(file: DayFile, name: str, value: object) -> Operation:
    if "policy" in file.document:
        return added(f"/policy/{name}", value)
    return added("/policy", {name: value})


def fewer_backups(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each need of a clash that it has fewer backups, whenever the beat is played."""
    seen = set()
    for fact in clash.needs:
        told = _told(file, fact)
        if told not in seen:
            seen.add(told)
            yield from _fewer(file, *told)


def _told(file: DayFile, fact: Fact) -> tuple[str, str, str]:
    run, beat, stage = fact.ids
    return file.day.run(run).demonstration, beat, stage


def _fewer(file: DayFile, demonstration: str, beat: str, stage: str) -> Iterator[Offer]:
    told = file.day.demonstration(demonstration)
    need = next(each for each in told.beat(beat).needs if each.stage == stage)
    where = f"{told.stage(stage).called} at {told.beat(beat).called} of {told.title}"

    def at(fewer: int) -> Change:
        left = need.backups - fewer
        backups = "1 backup" if left == 1 else f"{left or 'no'} backups"
        place = f"{file.need(demonstration, beat, stage)}/backups"
        return Change((added(place, left),), f"Do with {backups} of {where}, not {need.backups}")

    if need.backups:
        yield Offer(at, need.backups, grows=True)
