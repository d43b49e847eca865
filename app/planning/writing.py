"""The draft written down as `plan/1`: names, shelves, heats, sums, warnings."""

from app.planning.draft import Draft, Item, Made
from app.planning.needs import Use as Need
from app.planning.places import Stay, standing
from app.planning.plan import (
    Batch,
    Copy,
    Held,
    Lack,
    Origin,
    PlannedPhase,
    Standing,
    Taker,
    Use,
)
from app.planning.scope import Scope
from app.planning.why import role_of

Placed = dict[str, list[Standing]]
OfPhase = dict[tuple[int, int], list[Stay]]


def batches_of(scope: Scope, draft: Draft, stays: list[Stay]) -> list[Batch]:
    """Return the batches in order of their start."""
    of_phase: OfPhase = {}
    for stay in stays:
        if stay.phase is not None:
            of_phase.setdefault((id(stay.phase[0]), stay.phase[1]), []).append(stay)
    return [
        Batch(
            id=made.id,
            demonstration=made.stage[0],
            stage=made.stage[1],
            way=made.method.way.id,
            consumes=tuple(item.id for item in made.inputs),
            copies=tuple(item.id for item in made.copies),
            phases=tuple(_phase(scope, made, i, of_phase) for i in range(len(made.work))),
        )
        for made in draft.made
    ]


def _phase(scope: Scope, made: Made, index: int, of_phase: OfPhase) -> PlannedPhase:
    work = made.work[index]
    places = None
    if made.method.way.phases[index].zone is not None:
        places = tuple(
            standing(scope, stay, stay.starts, stay.ends, stay.copies)
            for stay in of_phase.get((id(made), index), ())
        )
    return PlannedPhase(
        starts=scope.clock.text(work.starts),
        ends=scope.clock.text(work.ends),
        crew=tuple(work.crew),
        equipment=tuple(Held(id=item, units=units) for item, units in work.items),
        places=places,
    )


def copies_of(scope: Scope, draft: Draft, stays: list[Stay]) -> list[Copy]:
    """Return every copy, a stage after the other, in order of staging."""
    placed: Placed = {}
    for stay in stays:
        for item, starts, ends in stay.items:
            placed.setdefault(item.id, []).append(standing(scope, stay, starts, ends, None))
    order = list(scope.makings)
    items = sorted(draft.items, key=lambda item: order.index(item.stage))
    return [_copy(scope, item, placed.get(item.id, [])) for item in items]


def _copy(scope: Scope, item: Item, places: list[Standing]) -> Copy:
    return Copy(
        id=item.id,
        tag=item.tag,
        demonstration=item.stage[0],
        stage=item.stage[1],
        staged_at=scope.clock.text(item.staged),
        made_by=_origin(item),
        role=role_of(item),
        taken_by=tuple(_taker(taker) for taker in item.takers),
        places=tuple(sorted(places, key=lambda place: scope.clock.minute(place.from_))),
    )


def _origin(item: Item) -> Origin:
    if item.batch is not None:
        return Origin(batch=item.batch.id)
    if item.left is not None:
        return Origin(use=item.left.at)
    return Origin(stock=item.stock)


def _taker(taker: Need | Made) -> Taker:
    return Taker(use=taker.at) if isinstance(taker, Need) else Taker(batch=taker.id)


def uses_of(scope: Scope, draft: Draft) -> list[Use]:
    """Return every use with the copies that serve and back it, in air order."""
    return [
        Use(
            run=use.run,
            beat=use.beat,
            stage=use.stage[1],
            copies=tuple(item.id for item in draft.taken.get(use.index, [])),
            backups=tuple(item.id for item in draft.backing.get(use.index, [])),
        )
        for use in scope.needs.uses
    ]


def lacks_of(scope: Scope, draft: Draft) -> list[Lack]:
    """Return what the needs lack, copies and backups."""
    lacks = []
    for use in scope.needs.uses:
        short = use.count - len(draft.taken.get(use.index, []))
        bare = use.backups - len(draft.backing.get(use.index, []))
        for kind, count in (("copies", short), ("backups", bare)):
            if count > 0:
                lack = Lack(run=use.run, beat=use.beat, stage=use.stage[1], kind=kind, count=count)
                lacks.append(lack)
    return lacks
