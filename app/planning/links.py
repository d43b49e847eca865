"""Warnings: links of a plan that have little to spare, in words."""

import itertools

from app.planning.draft import Draft, Item
from app.planning.hours import joined
from app.planning.needs import StageKey, Use
from app.planning.plan import Heat
from app.planning.scope import Scope

CLOSE_MIN = 5


def warnings_of_plan(scope: Scope, draft: Draft, heats: list[Heat]) -> list[str]:
    """Return a sentence for each link with under five minutes to spare, gathered by stage."""
    return [
        *_keeping(scope, draft),
        *_carries(scope, draft),
        *_changes(scope, heats),
        *_unlit(scope, heats),
        *_never(scope),
    ]


def _keeping(scope: Scope, draft: Draft) -> list[str]:
    close: dict[StageKey, list[tuple[int, Item]]] = {}
    for item in draft.items:
        keeps_min = scope.makings[item.stage].stage.keeps_min
        for taker in item.takers:
            start = taker.start if isinstance(taker, Use) else taker.starts
            spare_min = keeps_min - (start - item.staged)
            if spare_min < CLOSE_MIN:
                close.setdefault(item.stage, []).append((spare_min, item))
    words = []
    for stage, links in close.items():
        tags = ", ".join(sorted({item.tag for _, item in links}, key=_by_number))
        words.append(
            f"{_called(scope, stage)}: {tags} kept to the last minutes "
            f"({min(spare for spare, _ in links)} min to spare)."
        )
    return words


def _by_number(tag: str) -> tuple[str, int]:
    letters, _, number = tag.partition("-")
    return letters, int(number or 0)


def _carries(scope: Scope, draft: Draft) -> list[str]:
    close: dict[StageKey, int] = {}
    for item in draft.items:
        back: int | None = item.left.back if item.left else None
        run = item.left.run if item.left else ""
        for taker in item.takers:
            ready = taker.due if isinstance(taker, Use) else taker.starts
            same_run = isinstance(taker, Use) and taker.run == run
            if back is not None and not same_run and ready - back < CLOSE_MIN:
                close[item.stage] = min(close.get(item.stage, CLOSE_MIN), ready - back)
            if isinstance(taker, Use):
                back, run = taker.back, taker.run
    return [
        f"{_called(scope, stage)}: what comes back from set is wanted again with "
        f"{spare} min to spare."
        for stage, spare in close.items()
    ]


def _changes(scope: Scope, heats: list[Heat]) -> list[str]:
    """Tell of items whose heat starts as soon as the last one could end."""
    words = []
    for one, other in itertools.pairwise(heats):
        if one.equipment == other.equipment and one.setting != other.setting:
            gap_min = scope.clock.minute(other.starts) - scope.clock.minute(one.ends)
            if gap_min < CLOSE_MIN:
                words.append(
                    f"{_item(scope, one.equipment)}: from {one.setting} to {other.setting} at "
                    f"{other.starts[11:]} with {max(gap_min, 0)} min to spare."
                )
    return words


def _unlit(scope: Scope, heats: list[Heat]) -> list[str]:
    shifts = joined(
        [
            (scope.clock.minute(start), scope.clock.minute(end))
            for cook in scope.day.kitchen.crew
            for start, end in cook.shifts
        ]
    )
    words = []
    for heat in heats:
        minute = scope.clock.minute(heat.starts)
        if not any(start <= minute < end for start, end in shifts):
            words.append(
                f"{_item(scope, heat.equipment)} must be lit to {heat.setting} at "
                f"{heat.starts.replace('T', ' ')}, while nobody is on shift."
            )
    return words


def _never(scope: Scope) -> list[str]:
    return [
        f"{_called(scope, key)}: this kitchen cannot run the way {way.called}."
        for key, making in scope.makings.items()
        for way in making.stage.ways
        if way.id not in {method.way.id for method in making.methods}
    ]


def _called(scope: Scope, stage: StageKey) -> str:
    demonstration = scope.day.demonstration(stage[0])
    return f"{demonstration.title}, {scope.makings[stage].stage.called}"


def _item(scope: Scope, item: str) -> str:
    return next(each.called for each in scope.day.kitchen.equipment if each.id == item)
