"""What stays of a published plan and what is planned anew, as one draft under lasting names.

What has begun, and every batch that stays, keeps its id; copies keep theirs as far as they go to
the same takers; what is new bears numbers that nothing bears.
"""

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence

from app.planning.draft import Draft, Item, Made
from app.planning.kept import Kept
from app.planning.minutes import Clock
from app.planning.naming import input_order, tag_anew
from app.planning.needs import StageKey, Use
from app.planning.plan import Batch, Copy, Plan
from app.planning.scope import Scope

Name = str | tuple[str, str]
NUMBER = re.compile(r"(\d+)$")


def whole_draft(scope: Scope, plan: Plan, kept: Kept, anew: Draft, free: Collection[str]) -> Draft:
    """Return one draft of the whole day.

    Parameters
    ----------
    scope
        The whole day as it now stands.
    plan
        The published plan.
    kept
        What stays of it, or of what was planned anew since.
    anew, free
        What is planned anew, and for which demonstrations.
    """
    return _Joiner(scope, plan, kept, anew, free).joined()


class _Joiner:
    """Joins what is planned anew to what stays."""

    def __init__(
        self, scope: Scope, plan: Plan, kept: Kept, anew: Draft, free: Collection[str]
    ) -> None:
        self.scope, self.plan, self.kept, self.anew = scope, plan, kept, anew
        self.free = free
        self.clock = Clock(scope.day.timezone)
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        self.place = {
            copy: index
            for batch in plan.batches
            for index, copy in enumerate((*batch.consumes, *batch.copies))
        }
        self.used = {*self.copies, *kept.items, *kept.state.named}
        self.stands_for: dict[int, Item] = {}

    def joined(self) -> Draft:
        """Return the whole draft."""
        uses = {(*use.at, use.stage): use for use in self.scope.needs.uses}
        self._name_batches()
        for item in self.anew.items:
            item.takers = [
                uses[(*taker.at, taker.stage)] if isinstance(taker, Use) else taker
                for taker in item.takers
            ]
            item.backs = [uses[(*use.at, use.stage)] for use in item.backs]
        self._name_copies()
        draft = self.kept.draft()
        draft.made += self.anew.made
        draft.made.sort(key=lambda made: (made.starts, made.stage, made.id))
        draft.items += [item for item in self.anew.items if id(item) not in self.stands_for]
        for made in self.anew.made:
            made.inputs = [self._item(item) for item in made.inputs]
            self._put_in_order(made)
        self._serve(draft, self.anew)
        _settle_spares(draft, self.kept)
        draft.items.sort(key=lambda item: item.staged)
        tags = [copy.tag for copy in self.plan.copies] + [item.tag for item in draft.items]
        tag_anew(self.scope, draft, [tag for tag in tags if tag])
        return draft

    def _item(self, item: Item) -> Item:
        return self.stands_for.get(id(item), item)

    def _name_batches(self) -> None:
        """Give each new batch the id of the published one that it is, else a new one."""
        alike: defaultdict[tuple[StageKey, str, str], list[Batch]] = defaultdict(list)
        for batch in self.plan.batches:
            if batch.id not in self.kept.made:
                stage = (batch.demonstration, batch.stage)
                alike[stage, batch.way, batch.starts].append(batch)
        number = _last_number((*self.batches, *self.kept.made))
        for made in self.anew.made:
            there = alike[made.stage, made.method.way.id, self.clock.text(made.starts)]
            if there:
                same = min(there, key=lambda batch: abs(len(batch.copies) - made.started))
                there.remove(same)
                made.id = same.id
            else:
                number += 1
                made.id = f"b{number}"

    def _name_copies(self) -> None:
        """Give each copy the id of the published one that it is, else a new one."""
        groups: defaultdict[tuple[object, ...], list[Item]] = defaultdict(list)
        for item in self.anew.items:
            if item.found is not None:
                groups["found", item.found].append(item)
            elif item.batch is not None:
                groups["made", item.batch.id].append(item)
            elif item.left is not None:
                groups["left", item.left.at, item.stage].append(item)
        nameless: list[Item] = []
        for items in groups.values():
            known = self._known(items[0])
            for item, copy in _paired(items, known):
                if copy is None:
                    nameless.append(item)
                elif copy.id in self.kept.items:
                    self._take_over(self.kept.items[copy.id], item)
                else:
                    item.id, item.tag = copy.id, copy.tag
        self._number(nameless)

    def _known(self, item: Item) -> list[Copy]:
        """Return the published copies that come from where an item comes from."""
        if item.found is not None:
            return [self.copies[copy] for copy in item.found.copies]
        if item.batch is not None:
            batch = self.batches.get(item.batch.id)
            return [self.copies[copy] for copy in batch.copies] if batch else []
        return [
            copy
            for copy in self.plan.copies
            if item.left is not None
            and copy.made_by.use == item.left.at
            and (copy.demonstration, copy.stage) == item.stage
            and copy.id not in self.kept.items
        ]

    def _take_over(self, kept: Item, item: Item) -> None:
        """Let a copy that is there already do what is planned anew for it."""
        kept.takers += item.takers
        kept.backs += item.backs
        self.stands_for[id(item)] = kept

    def _number(self, items: Iterable[Item]) -> None:
        last: dict[StageKey, int] = {}
        for item in sorted(items, key=lambda item: (item.staged, item.stage)):
            name = f"{item.stage[0]}/{item.stage[1]}/"
            if item.stage not in last:
                last[item.stage] = _last_number(copy for copy in self.used if copy.startswith(name))
            last[item.stage] += 1
            item.id = f"{name}{last[item.stage]}"
            if item.found is not None and item.left is not None:
                item.left = self.kept.left_of[(*item.left.at, item.stage)]

    def _put_in_order(self, made: Made) -> None:
        far = len(self.place)
        order = input_order(made)
        made.inputs.sort(
            key=lambda item: (*order(item)[:1], self.place.get(item.id, far), order(item))
        )
        made.copies.sort(key=lambda item: self.place.get(item.id, far))

    def _serve(self, draft: Draft, anew: Draft) -> None:
        to_come = [use for use in self.scope.needs.uses if use.at not in self.kept.state.aired]
        numbers = {(*use.at, use.stage): use.index for use in to_come}
        for index, use in enumerate(self._uses_anew()):
            at = numbers[(*use.at, use.stage)]
            draft.taken[at] = [self._item(item) for item in anew.taken.get(index, [])]
            draft.backing[at] = [self._item(item) for item in anew.backing.get(index, [])]

    def _uses_anew(self) -> Sequence[Use]:
        aired = self.kept.state.aired
        return [
            use
            for use in self.scope.needs.uses
            if use.at not in aired and use.stage[0] in self.free
        ]


def _settle_spares(draft: Draft, kept: Kept) -> None:
    """What is there and serves nothing is a spare, if a batch made it or somebody spoke of it."""
    for item in kept.items.values():
        item.spare = not item.takers and not item.backs
    draft.items[:] = [
        item
        for item in draft.items
        if not item.spare or item.batch is not None or item.id in kept.state.named
    ]
    for made in kept.made.values():
        made.good = sum(not item.spare for item in made.copies)


def _paired(items: list[Item], known: list[Copy]) -> list[tuple[Item, Copy | None]]:
    """Pair items with published copies, those that go to the same takers first."""
    left = list(known)
    pairs: dict[int, Copy] = {}
    rated = [
        (-_likeness(item, copy), i, k)
        for i, item in enumerate(items)
        for k, copy in enumerate(known)
    ]
    for _, i, k in sorted(rated):
        if i not in pairs and known[k] in left:
            pairs[i] = known[k]
            left.remove(known[k])
    return [(item, pairs.get(i)) for i, item in enumerate(items)]


def _likeness(item: Item, copy: Copy) -> int:
    """Return how many takers an item has that the published copy has."""
    takers: set[Name] = {each.at if isinstance(each, Use) else each.id for each in item.takers}
    told: set[Name | None] = {each.use or each.batch for each in copy.taken_by}
    return len(takers & told)


def _last_number(names: Iterable[str]) -> int:
    """Return the highest number that ends any of some names."""
    return max((int(found[1]) for name in names if (found := NUMBER.search(name))), default=0)
