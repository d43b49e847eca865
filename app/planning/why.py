"""The sum behind each number, in words that a cook can check on fingers."""

from app.planning.draft import Draft, Item, Made
from app.planning.needs import StageKey, Use
from app.planning.plan import Count
from app.planning.scope import Scope
from app.planning.spares import chance_of


def counts_of(scope: Scope, draft: Draft) -> list[Count]:
    """Return for each stage its copies by origin and by role, with the sum in words."""
    by_stage: dict[StageKey, list[Item]] = {key: [] for key in scope.makings}
    batches: dict[StageKey, list[Made]] = {}
    for item in draft.items:
        by_stage[item.stage].append(item)
    for made in draft.made:
        batches.setdefault(made.stage, []).append(made)
    return [
        _count(scope, key, items, batches.get(key, [])) for key, items in by_stage.items() if items
    ]


def role_of(item: Item) -> str:
    """Return what a copy is for: camera, feeds, backup or spare."""
    if item.takers:
        return "camera" if isinstance(item.takers[0], Use) else "feeds"
    return "spare" if item.spare else "backup"


def _count(scope: Scope, key: StageKey, items: list[Item], batches: list[Made]) -> Count:
    roles = [role_of(item) for item in items]
    return Count(
        demonstration=key[0],
        stage=key[1],
        made=sum(item.batch is not None for item in items),
        stock=sum(item.stock is not None for item in items),
        carried_in=sum(item.left is not None for item in items),
        on_camera=roles.count("camera"),
        feeds=roles.count("feeds"),
        backups=roles.count("backup"),
        spares=roles.count("spare"),
        why=_why(scope, items, batches),
    )


def _why(scope: Scope, items: list[Item], batches: list[Made]) -> str:
    parts = [*_on_camera(scope, items), *_onward(scope, items), *_backing(items)]
    parts += _spare_words(batches)
    total = f"{' + '.join(parts)} = {len(items)}" if parts else "nothing"
    return f"{total}; {_origins(items)}{_again(items)}."


def _on_camera(scope: Scope, items: list[Item]) -> list[str]:
    firsts: dict[str, int] = {}
    for item in items:
        if item.takers and isinstance(item.takers[0], Use):
            firsts[item.takers[0].run] = firsts.get(item.takers[0].run, 0) + 1
    called = {run.id: run.called for run in scope.day.runs}
    return [f"{count} for {called[run]}" for run, count in firsts.items()]


def _onward(scope: Scope, items: list[Item]) -> list[str]:
    firsts: dict[StageKey, int] = {}
    for item in items:
        if item.takers and isinstance(item.takers[0], Made):
            stage = item.takers[0].stage
            firsts[stage] = firsts.get(stage, 0) + 1
    return [
        f"{count} to become {scope.makings[stage].stage.called}" for stage, count in firsts.items()
    ]


def _backing(items: list[Item]) -> list[str]:
    count = sum(role_of(item) == "backup" for item in items)
    return [f"{count} {'backup' if count == 1 else 'backups'}"] if count else []


def _spare_words(batches: list[Made]) -> list[str]:
    words = []
    for made in batches:
        spares = made.started - made.good
        if spares:
            chance = chance_of(made.started, made.good, made.method.loss)
            words.append(
                f"{spares} extra for losses (each is lost with chance {made.method.loss:g}; "
                f"of {made.started} started at least {made.good} come out well "
                f"with {chance:.1%})"
            )
    return words


def _origins(items: list[Item]) -> str:
    made = sum(item.batch is not None for item in items)
    stock = sum(item.stock is not None for item in items)
    carried = sum(item.left is not None for item in items)
    parts = [f"{made} made"] if made else []
    parts += [f"{stock} in stock"] if stock else []
    parts += [f"{carried} used again from what a beat left"] if carried else []
    return ", ".join(parts)


def _again(items: list[Item]) -> str:
    """Tell of copies that serve more than once, which nobody has to make twice."""
    twice = sum(len([each for each in item.takers if isinstance(each, Use)]) > 1 for item in items)
    both = sum(bool(item.takers) and bool(item.backs) for item in items)
    words = f"; {twice} handed back and used again" if twice else ""
    return words + (f"; {both} kept for later also back an earlier use" if both else "")
