"""Longer shifts, prep that starts earlier, steps that are moved to the day before."""

from collections.abc import Iterator
from functools import partial

from app.planning.blockers.clash import Clash
from app.planning.dates import lasting
from app.planning.day import Cook, Span
from app.planning.phrases import listed
from app.planning.plan import Plan
from app.planning.remedies.offer import Change, DayFile, Offer, one_of
from app.planning.remedies.patch import Operation, added, replaced

LONGER_MIN = 480
DAY_MIN = 1440
# A run may take so long: what is needed late in it comes after its start.
RUN_MIN = 120


def longer_shifts(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield for each shift in a clash that it ends later, or begins earlier: hours that come before
    what is needed, those first that come closest.
    """
    held = {fact.ids[0] for fact in clash.facts if fact.kind == "crew" and fact.part == "shifts"}
    wanted = max(file.clock.minute(file.day.run(need.ids[0]).starts) for need in clash.needs)
    offers: list[tuple[int, Offer]] = []
    for cook in _unlike(file):
        if cook.id in held:
            for i, (start, end) in enumerate(cook.shifts):
                offers.append((wanted - file.clock.minute(end), _ends_later(file, cook, i)))
                offers.append((wanted - file.clock.minute(start), _begins_earlier(file, cook, i)))
    before = [each for each in offers if each[0] > -RUN_MIN]
    yield from (offer for _, offer in sorted(before, key=lambda each: each[0]))


def _ends_later(file: DayFile, cook: Cook, index: int) -> Offer:
    start, end = cook.shifts[index]

    def at(minutes: int) -> Change:
        later = file.later(end, minutes)
        words = f"Let {cook.called} work {lasting(minutes)} longer, until {file.wording.at(later)}"
        return Change((_shift(file, cook, index, start, later),), words)

    return Offer(at, LONGER_MIN, grows=True)


def _begins_earlier(file: DayFile, cook: Cook, index: int) -> Offer:
    start, end = cook.shifts[index]

    def at(minutes: int) -> Change:
        earlier = file.later(start, -minutes)
        words = f"Let {cook.called} begin {lasting(minutes)} earlier, at {file.wording.at(earlier)}"
        change = [_shift(file, cook, index, earlier, end)]
        if file.clock.minute(earlier) < file.clock.minute(file.day.prep_from):
            change.append(replaced("/prep_from", earlier))
            words += ", and the prep with it"
        return Change(tuple(change), words)

    return Offer(at, LONGER_MIN, grows=True)


def _shift(file: DayFile, cook: Cook, index: int, start: str, end: str) -> Operation:
    return replaced(f"{file.crew[cook.id]}/shifts/{index}", [start, end])


def earlier_prep(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield that the prep starts earlier, shifts being as they are; else, with one of the crew."""
    begins = file.day.prep_from
    if not any(fact.kind == "prep_from" for fact in clash.facts):
        return

    def at(minutes: int) -> Change:
        earlier = file.later(begins, -minutes)
        words = f"Start the prep {lasting(minutes)} earlier, at {file.wording.at(earlier)}"
        return Change((replaced("/prep_from", earlier),), words)

    with_crew = [
        _begins_earlier(file, cook, i)
        for cook in _unlike(file)
        for i, (start, _) in enumerate(cook.shifts)
        if start == begins
    ]
    yield one_of([Offer(at, LONGER_MIN, grows=True), *with_crew])


def day_before(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield that steps are done the day before: nobody being there, else by one of the crew."""
    kinds = {fact.kind for fact in clash.facts if fact.part in ("", "shifts", "hands")}
    if not kinds & {"prep_from", "crew"}:
        return
    yield one_of([_before(file), *(_before_by(file, cook) for cook in _unlike(file))])


def _unlike(file: DayFile) -> Iterator[Cook]:
    """Yield one of each sort of cook."""
    seen = set()
    for cook in file.day.kitchen.crew:
        if cook.shifts and (cook.shifts, cook.skills) not in seen:
            seen.add((cook.shifts, cook.skills))
            yield cook


def _before(file: DayFile) -> Offer:
    earlier = file.later(file.day.prep_from, -DAY_MIN)
    words = f"the prep starts a day earlier, at {file.wording.at(earlier)}"
    change = Change((replaced("/prep_from", earlier),), words)
    return Offer(lambda _: change, worded=partial(_made_before, file))


def _made_before(file: DayFile, change: Change, plan: Plan) -> Change | None:
    """Return a change with the steps that are begun the day before, if any are."""
    steps = file.begun_before(plan)
    if not steps:
        return None
    return Change(change.operations, f"Make {listed(steps)} the day before: {change.words}")


def _before_by(file: DayFile, cook: Cook) -> Offer:
    """Return the offer that a cook works the day before too: at first as on the first day."""
    first = min(cook.shifts, key=lambda span: file.clock.minute(span[0]))
    whole = (file.later(first[0], -DAY_MIN), file.later(first[1], -DAY_MIN))

    def working(span: Span) -> Change:
        words = f"{cook.called} works {file.wording.between(span)} too"
        prep_from = min((file.day.prep_from, whole[0]), key=file.clock.minute)
        shift = added(f"{file.crew[cook.id]}/shifts/0", list(span))
        return Change((replaced("/prep_from", prep_from), shift), words)

    def tightened(plan: Plan) -> Change | None:
        span = _span_of_work(file, plan, cook, whole)
        return None if span is None or span == whole else working(span)

    return Offer(lambda _: working(whole), worded=partial(_made_before, file), tightened=tightened)


def _span_of_work(file: DayFile, plan: Plan, cook: Cook, within: Span) -> Span | None:
    """Return from when to when a cook works in a plan within a shift."""
    start, end = (file.clock.minute(text) for text in within)
    worked = [
        (file.clock.minute(phase.starts), file.clock.minute(phase.ends))
        for batch in plan.batches
        for phase in batch.phases
        if cook.id in phase.crew
    ]
    there = [span for span in worked if start <= span[0] and span[1] <= end]
    if not there:
        return None
    first, last = min(span[0] for span in there), max(span[1] for span in there)
    return file.clock.text(first), file.clock.text(last)
