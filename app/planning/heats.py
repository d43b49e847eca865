"""When somebody must light an item, or bring it to another setting."""

from dataclasses import dataclass

from app.planning.day import Equipment
from app.planning.draft import Draft, Made
from app.planning.plan import Heat
from app.planning.scope import Scope


@dataclass(frozen=True)
class Held:
    """One phase of a batch in an item, at a setting."""

    starts: int
    ends: int
    setting: int
    falls: bool


def heats_of(scope: Scope, draft: Draft) -> list[Heat]:
    """Return every heat of the plan, in order of time."""
    found: list[tuple[int, Heat]] = []
    for item in scope.day.kitchen.equipment:
        if item.settings is not None and item.settings.change_min > 0:
            found += _heats_of_item(scope, item, _held(draft, item))
    return [heat for _, heat in sorted(found, key=lambda each: (each[0], each[1].equipment))]


def _held(draft: Draft, item: Equipment) -> list[Held]:
    held = []
    for made in draft.made:
        for i, work in enumerate(made.work):
            if item.id in dict(work.items) and work.starts < work.ends:
                setting = _setting(made, i, item.kind)
                before = i > 0 and item.id in dict(made.work[i - 1].items)
                falls = before and _setting(made, i - 1, item.kind) != setting
                held.append(Held(work.starts, work.ends, setting, falls))
    return sorted(held, key=lambda each: (each.starts, each.ends))


def _setting(made: Made, phase: int, kind: str) -> int:
    entries = made.method.way.phases[phase].equipment
    return next(each.setting or 0 for each in entries if each.kind == kind)


def _heats_of_item(scope: Scope, item: Equipment, held: list[Held]) -> list[tuple[int, Heat]]:
    assert item.settings is not None
    found = []
    setting: int | None = None
    used_until = 0
    for each in held:
        cold = setting is None or each.starts - used_until > item.settings.cold_after
        if cold or (setting != each.setting and not each.falls):
            lit = each.starts - item.settings.change_min
            heat = Heat(
                equipment=item.id,
                setting=each.setting,
                starts=scope.clock.text(lit),
                ends=scope.clock.text(each.starts),
            )
            found.append((lit, heat))
        setting, used_until = each.setting, max(used_until, each.ends)
    return found
