"""What stays of a published plan and what is planned anew, as one draft under lasting names.

What has begun, and every batch that stays, keeps its id; copies keep theirs as far as they go to
the same takers; what is new bears numbers that nothing bears.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence

from app.planning.draft import Draft, Item, Made
from app.planning.given import names_in, numbers_in
from app.planning.kept import Kept
from app.planning.likeness import Likeness
from app.planning.minutes import Clock
from app.planning.naming import input_order, tag_anew
from app.planning.needs import StageKey, Use
from app.planning.plan import Copy, Plan
from app.planning.scope import Scope

Name = str | tuple[str, str]


class Joiner:
    """Joins what is planned anew to what stays, to one draft of the whole day.

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
    given
        The highest numbers of names that plans before the published one gave.
    """

    def __init__(
        self,
        scope: Scope,
        plan: Plan,
        kept: Kept,
        anew: Draft,
        free: Collection[str],
        given: Mapping[str, int],
    ) -> None:
        self.scope, self.plan, self.kept, self.anew = scope, plan, kept, anew
        self.free = free
        self.clock = Clock(scope.day.timezone)
        self.copies = {copy.id: copy for copy in plan.copies}
        self.batches = {batch.id: batch for batch in plan.batches}
        self.place_in = _places(batch.consumes for batch in plan.batches)
        self.place_out = _places(batch.copies for batch in plan.batches)
        tags = (item.tag for item in kept.items.values() if item.tag)
        known = (*names_in(plan), *kept.made, *kept.items, *tags, *kept.state.named)
        self.numbers = numbers_in(known)
        for stem, number in given.items():
            self.numbers[stem] = max(number, self.numbers.get(stem, 0))
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
        tag_anew(self.scope, draft, self.numbers)
        return draft

    def _item(self, item: Item) -> Item:
        return self.stands_for.get(id(item), item)

    def _name_batches(self) -> None:
        """Give each new batch the id of the published one that it is, else a new one."""
        gone = (batch for batch in self.plan.batches if batch.id not in self.kept.made)
        same = Likeness(self.clock, self.plan, gone).same(self.anew)
        for made in self.anew.made:
            made.id = same[id(made)].id if id(made) in same else self._next("b")

    def _next(self, stem: str) -> str:
        """Return a name that nothing bears, and nothing has borne."""
        self.numbers[stem] = self.numbers.get(stem, 0) + 1
        return f"{stem}{self.numbers[stem]}"

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
        self._name_from_other_batches(nameless)
        self._number(item for item in nameless if not item.id)

    def _name_from_other_batches(self, nameless: Iterable[Item]) -> None:
        """Let copies keep their names that go where they were to go, from another batch."""
        named = {item.id for item in self.anew.items}
        left: defaultdict[StageKey, list[Copy]] = defaultdict(list)
        for copy in self.plan.copies:
            if copy.made_by.batch is not None and copy.id not in named | self.kept.items.keys():
                left[copy.demonstration, copy.stage].append(copy)
        come: defaultdict[StageKey, list[Item]] = defaultdict(list)
        for item in nameless:
            if item.batch is not None:
                come[item.stage].append(item)
        for stage, items in come.items():
            for item, same in _paired(items, left[stage], least=1):
                if same is not None:
                    item.id, item.tag = same.id, same.tag

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
        for item in sorted(items, key=lambda item: (item.staged, item.stage)):
            item.id = self._next(f"{item.stage[0]}/{item.stage[1]}/")
            if item.found is not None and item.left is not None:
                item.left = self.kept.left_of[(*item.left.at, item.stage)]

    def _put_in_order(self, made: Made) -> None:
        """Put inputs and copies in the published order: by it tags go from one to the other."""
        far, order = len(self.copies), input_order(made)
        made.inputs.sort(
            key=lambda item: (*order(item)[:1], self.place_in.get(item.id, far), order(item))
        )
        made.copies.sort(key=lambda item: self.place_out.get(item.id, far))

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


def _places(lists: Iterable[Sequence[str]]) -> dict[str, int]:
    """Return at which place of its list each copy stands."""
    return {copy: index for copies in lists for index, copy in enumerate(copies)}


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


def _paired(items: list[Item], known: list[Copy], least: int = 0) -> list[tuple[Item, Copy | None]]:
    """Pair items with published copies that have so many takers alike, the likest first."""
    left = list(known)
    pairs: dict[int, Copy] = {}
    rated = [
        (-_likeness(item, copy), i, k)
        for i, item in enumerate(items)
        for k, copy in enumerate(known)
        if _likeness(item, copy) >= least
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
