"""What events speak of and neither the day nor the plan knows, and copies where they cannot be.

What was taken back may speak of batches and copies that a mended plan has no more.
"""

from collections.abc import Iterable, Iterator

from app.planning.day import Beat, Shelf
from app.planning.refusals.fault import Found, Path, meant, shown
from app.planning.refusals.happenings import Entry, Log

OTHERWISE = "write an id that is there"


def no_batch(log: Log) -> Iterator[Found]:
    """Find batches that the plan does not have."""
    for entry in log.standing_of("started", "staged", "expected"):
        batch = entry.sketch.value("batch")
        if batch is not None and batch not in log.batches:
            yield _nothing(entry.sketch.at("batch"), "batch", batch, "the plan", log.batches)


def no_copy(log: Log) -> Iterator[Found]:
    """Find copies that the plan does not have, or that are lost in a batch that makes others."""
    for entry in log.standing:
        for path, copy in _copies(entry):
            if copy not in log.copies:
                yield _nothing(path, "copy", copy, "the plan", log.copies)
        made = log.batches.get(entry.sketch.value("batch") or "")
        for number, copy in entry.sketch.entries("lost"):
            if made is not None and copy not in made:
                path = entry.sketch.at("lost", number)
                yield _nothing(path, "copy", copy, "this batch", made)


def _copies(entry: Entry) -> Iterator[tuple[Path, str]]:
    copy = entry.sketch.value("copy")
    if copy is not None:
        yield entry.sketch.at("copy"), copy
    for number, each in entry.sketch.entries("copies"):
        yield entry.sketch.at("copies", number), each


def no_run(log: Log) -> Iterator[Found]:
    """Find runs that neither the day nor an earlier event knows, and beats that theirs lack.

    A run that is dropped may be gone from the day already.
    """
    for entry in log.of("moved", "sent", "used"):
        run, beat = entry.sketch.value("run"), entry.sketch.value("beat")
        if run is None or run in log.dropped:
            continue
        if run not in log.demonstration_of:
            yield _nothing(entry.sketch.at("run"), "run", run, "the day", log.demonstration_of)
        elif beat is not None and beat not in (known := _beats(log, run)):
            yield _nothing(entry.sketch.at("beat"), "beat", beat, f"run {shown(run)}", known)


def no_demonstration(log: Log) -> Iterator[Found]:
    """Find runs that are added of a demonstration that the day does not have."""
    known = [each.id for each in log.day.demonstrations]
    for entry in log.of("added"):
        run = entry.sketch.part("run")
        named = run.value("demonstration") if run is not None else None
        if named is not None and named not in known:
            path = entry.sketch.at("run", "demonstration")
            yield _nothing(path, "demonstration", named, "the day", known)


def _beats(log: Log, run: str) -> dict[str, Beat]:
    """Return the beats of a run's demonstration by id."""
    demonstrations = {each.id: each for each in log.day.demonstrations}
    told = demonstrations.get(log.demonstration_of.get(run, ""))
    return {beat.id: beat for beat in told.beats} if told else {}


def no_furniture(log: Log) -> Iterator[Found]:
    """Find equipment, people and shelf units that the kitchen does not have."""
    kitchen = log.day.kitchen
    there: dict[str, list[str]] = {
        "equipment": [each.id for each in kitchen.equipment],
        "crew": [each.id for each in kitchen.crew],
        "shelf": [each.id for each in kitchen.shelves],
    }
    words = {"equipment": "item", "crew": "cook", "shelf": "shelf unit"}
    for entry in log.of("closed", "absent", "placed"):
        for key, known in there.items():
            named = entry.sketch.value(key)
            if named is not None and named not in known:
                path = entry.sketch.at(key)
                yield _nothing(path, words[key], named, "the kitchen", known)


def no_room(log: Log) -> Iterator[Found]:
    """Find places of another zone than the copy's, and levels and slots that are not there."""
    shelves = {shelf.id: shelf for shelf in log.day.kitchen.shelves}
    for entry in log.of("placed"):
        shelf = shelves.get(entry.sketch.value("shelf") or "")
        stage = log.copies.get(entry.sketch.value("copy") or "")
        if shelf is None or stage is None:
            continue
        told = log.day.stage(*stage)
        if shelf.zone != told.zone:
            words = f"{shown(shelf.id)} is {shelf.zone}, and the copy waits {told.zone}"
            mend = f"choose a shelf unit that is {told.zone}"
            yield Found(entry.sketch.at("shelf"), f"{words}; {mend}")
        else:
            yield from _off_the_shelf(entry, shelf, told.slots or 1)


def _off_the_shelf(entry: Entry, shelf: Shelf, wide: int) -> Iterator[Found]:
    level, slot = entry.sketch.value("level"), entry.sketch.value("slot")
    if level is None or slot is None:
        return
    if level > len(shelf.levels):
        words = f"{level} is no level of {shown(shelf.id)}; write 1 to {len(shelf.levels)}"
        yield Found(entry.sketch.at("level"), words)
    elif slot + wide - 1 > shelf.levels[level - 1]:
        slots = shelf.levels[level - 1]
        words = f"{slot} leaves no room on a level of {slots} for a copy {wide} wide"
        yield Found(entry.sketch.at("slot"), f"{words}; write the first of its slots")


def not_needed(log: Log) -> Iterator[Found]:
    """Find copies that a beat has no need of."""
    for entry in log.of("sent", "used"):
        run, beat = entry.sketch.value("run"), entry.sketch.value("beat")
        told = _beats(log, run or "").get(beat or "")
        if told is None:
            continue
        wanted = [(log.demonstration_of[run], need.stage) for need in told.needs]
        for path, copy in _copies(entry):
            if copy in log.copies and log.copies[copy] not in wanted:
                words = f"{shown(copy)} is no copy that beat {shown(beat)} needs"
                yield Found(path, f"{words}; name one that it needs, or leave it out")


def _nothing(path: Path, what: str, named: str, where: str, known: Iterable[str]) -> Found:
    said = f"no {what} {shown(named)} in {where}"
    return Found(path, lambda: f"{said}; {meant(named, sorted(known), OTHERWISE)}")


RULES = (no_batch, no_copy, no_run, no_demonstration, no_furniture, no_room, not_needed)
