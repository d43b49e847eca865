"""Names for what a plan holds: ids of batches and copies, tags on the physical things."""

from collections.abc import Mapping

from app.planning.codes import codes_of
from app.planning.draft import Draft, Item, Made
from app.planning.needs import BeatKey, Left, StageKey, Use
from app.planning.scope import Scope


def name_all(scope: Scope, draft: Draft) -> None:
    """Give every batch its id, every copy its id and tag, in order of time."""
    for i, made in enumerate(draft.made, 1):
        made.id = f"b{i}"
    for made in draft.made:
        made.inputs.sort(key=input_order(made))
    numbers: dict[tuple[str, str], int] = {}
    order = sorted(
        draft.items, key=lambda item: (item.staged, item.stage, _batch_number(item), item.spare)
    )
    draft.items[:] = order
    for item in order:
        numbers[item.stage] = numbers.get(item.stage, 0) + 1
        item.id = f"{item.stage[0]}/{item.stage[1]}/{numbers[item.stage]}"
    position = {id(item): at for at, item in enumerate(order)}
    for made in draft.made:
        made.copies.sort(key=lambda item: position[id(item)])
    _tag_all(scope, draft)


def _batch_number(item: Item) -> int:
    return int(item.batch.id[1:]) if item.batch else 0


def input_order(made: Made):  # type: ignore[no-untyped-def]
    """Return the key that puts the inputs of a batch in order."""
    stages = [stage for stage, _ in made.method.takes]
    return lambda item: (stages.index(item.stage), item.staged, item.id)


def _tag_all(scope: Scope, draft: Draft) -> None:
    codes = codes_of(scope.day)
    numbers, parents = dict.fromkeys(codes, 0), _Parents(scope, draft)
    for item in draft.items:
        parent = parents.of(item)
        if parent is not None and parent.tag:
            item.tag = parent.tag
        else:
            demonstration = item.stage[0]
            numbers[demonstration] += 1
            item.tag = f"{codes[demonstration]}-{numbers[demonstration]}"


def tag_anew(scope: Scope, draft: Draft, given: Mapping[str, int]) -> None:
    """Give every copy the tag that it has, or a new one; made one for one, that of its parent.

    Parameters
    ----------
    scope, draft
        The day and its draft, in the order of staging.
    given
        The highest number that each code has had, on whatever label.
    """
    codes, numbers = codes_of(scope.day), dict(given)
    seen: set[str] = set()
    parents = _Parents(scope, draft)
    for item in draft.items:
        parent = parents.of(item)
        if parent is not None and parent.tag:
            item.tag = parent.tag
            continue
        if not item.tag or item.tag in seen:
            stem = f"{codes[item.stage[0]]}-"
            numbers[stem] = numbers.get(stem, 0) + 1
            item.tag = f"{stem}{numbers[stem]}"
        seen.add(item.tag)


class _Parents:
    """Which one copy each copy of a draft was made from, one for one, if there is such a one."""

    def __init__(self, scope: Scope, draft: Draft) -> None:
        self.scope = scope
        self.used: dict[tuple[StageKey, BeatKey], dict[int, Item]] = {}
        for item in (item for copies in draft.taken.values() for item in copies):
            last = item.takers[-1]
            if isinstance(last, Use) and not last.hands_back:
                self.used.setdefault((item.stage, last.at), {})[id(item)] = item
        self.left: dict[Left, list[Item]] = {}
        for item in draft.items:
            if item.left is not None:
                self.left.setdefault(item.left, []).append(item)

    def of(self, item: Item) -> Item | None:
        """Return the parent of a copy."""
        if item.batch is not None:
            made = item.batch
            takes = made.method.takes
            single = len(takes) == 1 and takes[0][1] == 1 and made.method.yields == 1
            if single and takes[0][0][0] == item.stage[0]:
                return made.inputs[made.copies.index(item)]
            return None
        return self._shown(item, item.left) if item.left is not None else None

    def _shown(self, item: Item, left: Left) -> Item | None:
        """Return the copy that a beat turned into the item that it left."""
        stage = self.scope.makings[item.stage].stage
        if len(stage.takes) != 1 or stage.takes[0].count != 1 or stage.yields != 1:
            return None
        first = stage.takes[0]
        if first.demonstration not in (None, item.stage[0]):
            return None
        used = list(self.used.get(((item.stage[0], first.stage), left.at), {}).values())
        return used[self.left[left].index(item)] if len(used) == left.count else None
