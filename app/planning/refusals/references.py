"""Ids that name nothing."""

from collections.abc import Iterable, Iterator

from app.planning.refusals.fault import Found, Path, meant, shown
from app.planning.refusals.outline import Demonstration, Outline
from app.planning.refusals.sketch import Sketch

NO_MEND = "write an id that is there, or add it"


def inputs_from_nowhere(day: Outline) -> Iterator[Found]:
    """Find entries of `from` that name no stage, in stages and in ways."""
    for demonstration, stage in day.all_stages:
        for holder in (stage, *stage.parts("ways")):
            for entry in holder.parts("from"):
                yield from _no_demonstration(day, entry)
                yield from _no_stage(day, day.home(demonstration, entry), entry)


def stock_of_nothing(day: Outline) -> Iterator[Found]:
    """Find stock of no stage."""
    for entry in day.root.parts("stock"):
        yield from _no_demonstration(day, entry)
        home = day.by_id.get(entry.text("demonstration") or "")
        yield from _no_stage(day, home, entry)


def beats_of_nothing(day: Outline) -> Iterator[Found]:
    """Find needs and leavings of no stage."""
    for demonstration, beat in day.all_beats:
        for entry in (*beat.parts("needs"), *beat.parts("leaves")):
            yield from _no_stage(day, demonstration, entry)


def runs_of_nothing(day: Outline) -> Iterator[Found]:
    """Find runs of no demonstration, and beats of a run that its demonstration does not have."""
    for run in day.root.parts("runs"):
        yield from _no_demonstration(day, run)
        home = day.by_id.get(run.text("demonstration") or "")
        if home is None or home.value("beats") is None:
            continue
        known = {each.text("id") or "" for each in home.parts("beats")}
        for number, beat in run.entries("beats"):
            if beat not in known:
                yield _nothing(run.at("beats", number), f"no beat {shown(beat)} here", beat, known)


def _no_demonstration(day: Outline, entry: Sketch) -> Iterator[Found]:
    wanted = entry.text("demonstration")
    if wanted is not None and wanted not in day.ids_of_demonstrations:
        words = f"no demonstration {shown(wanted)} in this day"
        yield _nothing(entry.at("demonstration"), words, wanted, day.ids_of_demonstrations)


def _no_stage(day: Outline, home: Demonstration | None, entry: Sketch) -> Iterator[Found]:
    wanted = entry.text("stage")
    if home is None or wanted is None or wanted in day.stages_of(home):
        return
    if home.value("stages") is None:
        return
    where = f"in {shown(home.text('id'))}" if entry.given("demonstration") else "here"
    yield Found(entry.at("stage"), lambda: _no_such_stage(day, home, entry, where))


def _no_such_stage(day: Outline, home: Demonstration, entry: Sketch, where: str) -> str:
    wanted = entry.text("stage") or ""
    words = f"no stage {shown(wanted)} {where}"
    elsewhere = [each for each in day.demonstrations if wanted in day.stages_of(each)]
    if elsewhere and "from" in entry.path and not entry.given("demonstration"):
        other = shown(elsewhere[0].text("id"))
        return f'{words}, but {other} has one; add "demonstration": {other}'
    return f"{words}; {meant(wanted, sorted(day.stages_of(home)), NO_MEND)}"


def _nothing(path: Path, words: str, wanted: str, known: Iterable[str]) -> Found:
    return Found(path, lambda: f"{words}; {meant(wanted, sorted(known), NO_MEND)}")


RULES = (inputs_from_nowhere, stock_of_nothing, beats_of_nothing, runs_of_nothing)
