"""Run after run is served as far as it goes, where not all can be had.

To plan a whole dish anew in a kitchen that has no room for it is much to search, and mostly in
vain. One run with one more batch of each stage is little: so nothing is made at first, and then
each run gets a batch more at a time, beside all that others have, as long as less lacks by it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from app.planning.beside import beside
from app.planning.descent import QUICK, Answer, Turns, descend
from app.planning.families import owner
from app.planning.joining import Family, Joining
from app.planning.model.build import build
from app.planning.model.goals import LACKS
from app.planning.needs import Use
from app.planning.watch import Watch

PATIENCE = 100.0
RUN_WORK = 0.1
BY_LITTLE = Turns(finding=((QUICK, 1.0), (1, 1.0)), improving=((QUICK, 1.0), (1, 1.0)))
GOALS = (LACKS, "early_min")
TO = " > "


def nothing_for(day: Joining, family: Family) -> Answer:
    """Return the answer that makes nothing for a family: there always is that one."""
    model = build(day.scope, day.asked(family), day.scope.no_batches(family))
    patient = Watch(None, day.watch.now, lambda: False, lambda _: None)
    return descend(model, ("unmet",), patient, PATIENCE)


def ration(day: Joining, families: Sequence[Family]) -> None:
    """Let some families make nothing, then serve run after run of them beside the others.

    Those that lack most come first: much of it may stand in one slot, or be made at once.
    """
    everybody = frozenset().union(*families)
    day.let_lack(everybody, everybody)
    for family in families:
        day.take(nothing_for(day, family))
    day.placed += [family for family in families if family not in day.placed]
    for family in sorted(families, key=lambda each: -day.of(each).figures[LACKS]):
        for uses in _by_run(day, family):
            _serve(day, family, uses)


def _by_run(day: Joining, family: Family) -> list[list[Use]]:
    """Return the uses of a family, run by run, those of the first run first."""
    found: dict[str, list[Use]] = {}
    for use in day.scope.needs.uses:
        if use.stage[0] in family:
            found.setdefault(use.run, []).append(use)
    return [found[run] for run in sorted(found, key=lambda run: day.scope.ranks[run])]


def _serve(day: Joining, family: Family, uses: Sequence[Use]) -> None:
    """Let a run of a family have one batch more at a time, as long as less lacks by it."""
    while _lacking(day.of(family), uses) and not day.watch.over():
        before = day.of(family)
        answer = _with_more(day, family, uses)
        if answer.values is None or answer.rank(GOALS) >= before.rank(GOALS):
            return
        day.take(answer)
        if day.wanted.shelves & day.full_zones(day.placed):
            day.take(before)
            return
        if answer.figures[LACKS] == before.figures[LACKS]:
            return


def _lacking(answer: Answer, uses: Sequence[Use]) -> bool:
    """Tell whether some uses lack copies or backups."""
    values = answer.values or {}
    return any(values[f"{use.name} lacks"] for use in uses) or any(
        values[f"{use.name} unbacked"] for use in uses if use.backups
    )


def _with_more(day: Joining, family: Family, uses: Sequence[Use]) -> Answer:
    """Return a plan in which a run may have one batch more of each stage."""
    known, wanted = day.of(family), replace(day.asked(family), strict_shelves=True)
    taken = day.taken(each for each in day.placed if each != family)
    scope = beside(day.scope, taken, family, day.wanted.slots_free)
    model = build(scope, wanted, _near(day, family, uses))
    turns = replace(BY_LITTLE, patience=RUN_WORK / 2)
    answer = descend(model, GOALS, day.watch, RUN_WORK, hint=known.values, turns=turns)
    day.work -= answer.work
    return answer


def _near(day: Joining, family: Family, uses: Sequence[Use]) -> dict[str, int]:
    """Return the values to hold where only what serves a run is planned anew, with a batch more."""
    known = day.of(family)
    values, free = known.values or {}, set(_free_batches(day, family, uses[0].run, known))
    loose = free | {f"use {use.index}" for use in uses}
    flows = {name: name.split(TO) for name in known.shaped if TO in name}
    loose |= {path[-1] for name, path in flows.items() if path[0] in free and values[name]}
    absent = day.scope.no_batches(family)
    held = {name: 0 for name in absent if name.split(" ")[0] not in free}
    for name, value in known.shaped.items():
        path, (head, *_, what) = flows.get(name), name.split(" ")
        is_flow = path is not None and path[0] not in free and path[-1] not in loose
        if is_flow or (head not in free and what in ("present", "chosen")):
            held[name] = value
    return {name: value for name, value in held.items() if owner(name) in family}


def _free_batches(day: Joining, family: Family, run: str, known: Answer) -> Iterator[str]:
    """Yield the batches that a run has, and one more of each stage."""
    values = known.values or {}
    for key, call in day.scope.calls_of(family):
        names = [f"{day.scope.makings[key].code}/{run}/{i}" for i in range(call.batches)]
        present = sum(values.get(f"{name} present", 0) for name in names)
        if call.run == run:
            yield from names[: present + 1]
