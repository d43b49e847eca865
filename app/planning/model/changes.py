"""The goal `changes` of a day under way: batches of the published plan that move, come or go.

As `difference.py` weighs them: among the batches of one stage and way those that start together
are the same; the rest are paired in order of time, and what starts soon counts double.
"""

from collections import Counter
from collections.abc import Iterator

from app.planning.difference import SOON_MIN, is_soon
from app.planning.model.batches import Choice, Maybe
from app.planning.model.sheet import Expr, Sheet, total
from app.planning.needs import StageKey
from app.planning.scope import Scope

Made = list[tuple[Maybe, Choice]]


def changes(
    sheet: Sheet, scope: Scope, batches: dict[StageKey, list[Maybe]]
) -> Iterator[tuple[str, Expr]]:
    """Yield what changes of each stage and way, with its demonstration."""
    if scope.published is None:
        return
    starts: dict[tuple[StageKey, str], list[int]] = {}
    for each in scope.published:
        starts.setdefault((each.stage, each.way), []).append(each.starts)
    for key, maybes in batches.items():
        for way in (method.way.id for method in scope.makings[key].methods):
            made = [
                (maybe, choice)
                for maybe in maybes
                for choice in maybe.choices
                if choice.method.way.id == way
            ]
            yield key[0], _of_way(sheet, scope, made, starts.pop((key, way), []))
    for (key, _), gone in starts.items():
        if key in batches:
            yield key[0], len(gone) + sum(is_soon(each, scope.prep_from) for each in gone)


def _of_way(sheet: Sheet, scope: Scope, made: Made, published: list[int]) -> Expr:
    now = scope.prep_from
    stays, stays_soon = _that_stay(sheet, made, published, now)
    soon = [_soon(sheet, maybe, choice, now) for maybe, choice in made]
    were_soon = sum(is_soon(each, now) for each in published)
    every = _most(sheet, made, "", len(published), total(choice.chosen for _, choice in made))
    every_soon = _most(sheet, made, " soon", were_soon, total(soon))
    return every - total(stays) + every_soon - total(stays_soon)


def _that_stay(
    sheet: Sheet, made: Made, published: list[int], now: int
) -> tuple[list[Expr], list[Expr]]:
    """Return the literals of batches that start as a published one did, in all and soon."""
    stays: dict[int, list[Expr]] = {}
    of_batch: dict[str, list[Expr]] = {}
    for start, count in sorted(Counter(published).items()):
        for maybe, choice in made:
            first = choice.spans[0]
            if not first.earliest <= start <= first.latest:
                continue
            stay = sheet.either(f"{first.name} stays at {start}")
            sheet.model.add_implication(stay, choice.chosen)
            sheet.model.add(maybe.starts == start).only_enforce_if(stay)
            stays.setdefault(start, []).append(stay)
            of_batch.setdefault(maybe.name, []).append(stay)
        if start in stays:
            sheet.model.add(total(stays[start]) <= count)
    for same in of_batch.values():
        if len(same) > 1:
            sheet.model.add(total(same) <= 1)
    soon = [stay for start, same in stays.items() if is_soon(start, now) for stay in same]
    return [stay for same in stays.values() for stay in same], soon


def _soon(sheet: Sheet, maybe: Maybe, choice: Choice, now: int) -> Expr:
    """Return whether a batch is made, by this way, and starts soon."""
    first = choice.spans[0]
    if is_soon(first.latest, now):
        return choice.chosen
    if not is_soon(first.earliest, now):
        return 0
    soon, late = sheet.either(f"{first.name} soon"), sheet.either(f"{first.name} late")
    sheet.model.add(soon + late == choice.chosen)
    sheet.model.add(maybe.starts > now + SOON_MIN).only_enforce_if(late)
    return soon


def _most(sheet: Sheet, made: Made, what: str, published: int, present: Expr) -> Expr:
    """Return the number of batches, of the published ones or of the new, whichever is more."""
    if len(made) <= published:
        return published
    most = sheet.whole(f"{made[0][1].spans[0].name} most{what}", published, len(made))
    sheet.model.add(most >= present)
    return most
