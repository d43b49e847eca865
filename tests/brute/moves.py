"""What may happen in a minute: arrivals, sendings, batches, beats, backups, putting down."""

from collections.abc import Iterator
from functools import lru_cache

from tests.brute.facts import Facts, Moment, Option
from tests.brute.kitchen import Crew, Items, Kitchen
from tests.brute.shelves import Shelves, Standing
from tests.brute.state import (
    AWAY,
    COMING,
    NEW,
    NOWHERE,
    Copy,
    Due,
    Goals,
    Pool,
    Sent,
    State,
    Step,
    add,
    counts,
    gathered,
    pick,
)
from tests.brute.windows import Windows

NOTHING: Goals = (0, 0, 0, 0, 0)


class Moves:
    """Every choice that a minute of a day leaves open."""

    def __init__(self, facts: Facts, kitchen: Kitchen, windows: Windows, scale: int) -> None:
        self.facts, self.kitchen, self.windows, self.scale = facts, kitchen, windows, scale
        self.shelves = Shelves(facts)
        policy = facts.day.policy
        self.reuse, self.back_min = policy.reuse, policy.return_min
        self.fresh = policy.prefer == "fresh"
        self.bound: Goals | None = None
        self.ways = lru_cache(maxsize=200_000)(self._ways)
        self.costs = [
            self.goals(cost=int(option.cost * scale), hands=option.hands_min)
            for option in facts.options
        ]

    def goals(self, unmet: int = 0, unbacked: int = 0, cost: int = 0, hands: int = 0,
              waiting: int = 0) -> Goals:  # fmt: skip
        """Return goals in the order of the day's policy."""
        last = (waiting, hands) if self.fresh else (hands, waiting)
        return (unmet, unbacked, cost, *last)

    def origin(self, state: State, stage: int, *others: int) -> int:
        """Return a number that nothing else about has; 0 where copies never share a slot."""
        if (self.facts.stages[stage].copies_per_slot or 1) == 1 or not self.facts.zones:
            return 0
        taken = state.origins() | set(others)
        return next(n for n in range(1, len(taken) + 2) if n not in taken)

    def arrive(self, state: State, minute: int) -> Step:
        """What is staged comes to stand; what is back, and stock, stands or is left aside."""
        pool, choices = [], []
        for copy, count in state.pool:
            if copy[9] == COMING and copy[1] == minute:
                pool.append(((*copy[:9], NEW), count))
            elif copy[9] == AWAY and max(copy[2], self.facts.prep) == minute:
                choices.append((copy, count))
            else:
                pool.append((copy, count))
        for stand in counts([count for _, count in choices]):
            more = [((*copy[:9], NEW), n) for (copy, _), n in zip(choices, stand, strict=True)]
            less = [(copy, c - n) for (copy, c), n in zip(choices, stand, strict=True)]
            yield NOTHING, state.but(pool=gathered([*pool, *more, *less])), ""

    def send(self, state: State, uses: list[int]) -> Step:
        """Copies leave the kitchen for a use that is due."""
        if not uses:
            yield NOTHING, state, ""
            return
        want = self.facts.wants[uses[0]]

        def fits(copy: Copy) -> bool:
            return (
                copy[0] == want.stage
                and max(copy[1], copy[2]) <= want.due
                and want.start - copy[1] <= want.oldest
                and copy[9] != AWAY
                and not (want.untouched and copy[3])
                and (copy[6] < 0 or (self.reuse and copy[6] != want.run))
            )

        for count in range(want.count + 1):
            for taken, kept in pick(state.pool, fits, count):
                waits = self.goals(waiting=sum((want.due - copy[1]) * n for copy, n in taken))
                note = f"{self._use(uses[0])} takes {self.words(taken)}; " if taken else ""
                for held in self._held(uses[0], taken):
                    after = state.but(pool=gathered(kept), sent=gathered((*state.sent, *held)))
                    for more, last, told in self.send(after, uses[1:]):
                        yield add(waits, more), last, note + told

    def _use(self, use: int) -> str:
        want = self.facts.wants[use]
        return f"{self.facts.moments[want.beat].label}:{self.facts.stages[want.stage].id}"

    def _held(self, use: int, taken: Pool) -> Iterator[Sent]:
        """Yield each choice of how long a copy on its way still stands as a backup."""
        if not taken:
            yield ()
            return
        want = self.facts.wants[use]
        (copy, count), rest = taken[0], taken[1:]
        held = {0}
        if self.facts.placed[copy[0]] and not copy[4]:
            held |= {
                other.start
                for other in self.facts.wants
                if other.stage == copy[0] and other.backups and want.due < other.start < want.start
            }
        ends = sorted(held)
        for each in counts([count] * len(ends), count):
            mine = tuple(
                ((use, copy if until else (*copy[:9], NOWHERE), until), n)
                for until, n in zip(ends, each, strict=True)
                if n
            )
            for others in self._held(use, rest):
                yield (*mine, *others)

    def begin(self, state: State, minute: int, options: list[int], so_far: Goals) -> Step:
        """Any batches start, also several alike."""
        yield NOTHING, state, ""
        for place, number in enumerate(options):
            option, costs = self.facts.options[number], self.costs[number]
            total = add(so_far, costs)
            if self.bound is not None and total > self.bound:
                continue
            owed = sum(n for copy, n in state.pool if copy[0] == option.stage and copy[5])
            if owed + option.good > self.windows.cap(option.stage, minute):
                continue
            for after, words in self._started(state, minute, option):
                for more, last, told in self.begin(after, minute, options[place:], total):
                    yield add(costs, more), last, f"{words}; {told}"

    def _ways(
        self, crew: Crew, items: Items, minute: int, option: Option
    ) -> list[tuple[Crew, Items]]:
        """Return each way to staff and house a batch, once."""
        staffed = {self.kitchen.later(each, items, minute)[0] for each in
                   self.kitchen.staffed(crew, option, minute)}  # fmt: skip
        if not staffed:
            return []
        housed = {self.kitchen.later(crew, each, minute)[1] for each in
                  self.kitchen.housed(items, option, minute)}  # fmt: skip
        return [(people, things) for people in sorted(staffed) for things in sorted(housed)]

    def _started(self, state: State, minute: int, option: Option) -> Iterator[tuple[State, str]]:
        fed = list(self._fed(state.pool, minute, option.inputs))
        ways = self.ways(state.crew, state.items, minute, option) if fed else []
        if not ways:
            return
        for taken, kept in fed:
            pool, due = self._made(state, minute, option, taken, kept)
            words = (
                f"{self.facts.clock.hour(minute)} {self.facts.names[option.stage]} by {option.way}"
                f" x{option.started} good {option.good} from {self.words(taken)}"
            )
            for crew, items in ways:
                yield State(pool, state.sent, state.fixed, due, crew, items), words

    def _fed(
        self, pool: Pool, minute: int, inputs: tuple[tuple[int, int], ...]
    ) -> Iterator[tuple[Pool, Pool]]:
        if not inputs:
            yield (), pool
            return
        stage, count = inputs[0]
        keeps, slack = self.facts.stages[stage].keeps_min, self.facts.slack[stage]

        def fits(copy: Copy) -> bool:
            return (
                copy[0] == stage
                and max(copy[1], copy[2]) + slack <= minute
                and minute - copy[1] <= keeps
                and copy[9] != AWAY
                and (self.reuse or copy[6] < 0)
            )

        for taken, kept in pick(pool, fits, count):
            for others, last in self._fed(kept, minute, inputs[1:]):
                yield (*taken, *others), last

    def _made(
        self, state: State, minute: int, option: Option, taken: Pool, kept: Pool
    ) -> tuple[Pool, Due]:
        stage, staged = option.stage, minute + option.length
        touched = any(copy[3] for copy, _ in taken)
        origin = self.origin(state, stage)
        place = COMING if self.facts.placed[stage] else NOWHERE
        copy = (stage, staged, staged, touched, False, True, -1, 0, origin, place)
        due, begun = list(state.due), minute
        for phase, long in zip(option.phases, option.lengths, strict=True):
            if phase.zone in self.facts.zones:
                due.append((begun, begun + long, stage, origin, option.started, phase.zone or ""))
            begun += long
        spares = option.started - option.good
        if spares and self.facts.placed[stage]:
            until = min(staged + self.facts.stages[stage].keeps_min, self.facts.end)
            zone = self.facts.stages[stage].zone
            due.append((staged, until, stage, origin, spares, zone))
        return gathered((*kept, (copy, option.good))), tuple(sorted(due))

    def air(self, state: State, moments: list[int]) -> Step:
        """Beats of the minute, in the order of their seconds."""
        if not moments:
            yield NOTHING, state, ""
            return
        moment = self.facts.moments[moments[0]]
        for goals, after, note in self._beat(state, moment, list(moment.wanted), True):
            for more, last, told in self.air(after, moments[1:]):
                yield add(goals, more), last, note + told

    def _beat(self, state: State, moment: Moment, uses: list[int], full: bool) -> Step:
        if not uses:
            yield NOTHING, self._leave(state, moment) if full else state, ""
            return
        want = self.facts.wants[uses[0]]
        mine = tuple((each[1], n) for each, n in state.sent if each[0] == uses[0])
        others = tuple(each for each in state.sent if each[0][0] != uses[0])
        had = sum(n for _, n in mine)

        def fits(copy: Copy) -> bool:
            return (
                copy[0] == want.stage
                and copy[6] == moment.run
                and copy[7] <= moment.start_s
                and want.start - copy[1] <= want.oldest
                and not (want.untouched and copy[3])
            )

        for count in range(want.count - had + 1):
            lacks = self.goals(unmet=want.count - had - count)
            for taken, kept in pick(state.pool, fits, count):
                note = f"{self._use(uses[0])} on set {self.words(taken)}; " if taken else ""
                all_had = gathered((*mine, *taken))
                back = min(want.hands_back, had + count)
                for given, _ in pick(all_had, lambda _: True, back):
                    pool = gathered((*kept, *[(self._given(c, moment), n) for c, n in given]))
                    after = state.but(pool=pool, sent=others)
                    whole = full and had + count == want.count
                    for more, last, told in self._beat(after, moment, uses[1:], whole):
                        yield add(lacks, more), last, note + told

    def _given(self, copy: Copy, moment: Moment) -> Copy:
        """Return a copy as it comes back from a beat: the same, seen by the camera."""
        place = AWAY if self.facts.placed[copy[0]] else NOWHERE
        back = -(-moment.end_s // 60) + self.back_min
        return (*copy[:2], back, True, True, False, moment.run, moment.end_s, copy[8], place)

    def _leave(self, state: State, moment: Moment) -> State:
        staged = -(-moment.end_s // 60)
        pool, used = list(state.pool), []
        for stage, count in moment.new:
            place = AWAY if self.facts.placed[stage] else NOWHERE
            origin = self.origin(state, stage, *used)
            used.append(origin)
            back = staged + self.back_min
            copy = (
                stage,
                staged,
                back,
                True,
                False,
                False,
                moment.run,
                moment.end_s,
                origin,
                place,
            )
            pool.append((copy, count))
        return state.but(pool=gathered(pool))

    def back(self, state: State, minute: int, uses: list[int]) -> Step:
        """Copies that stand ready beside a use back it; what has backed may be put away."""
        goals, pool, sent = NOTHING, list(state.pool), list(state.sent)
        seen: set[Copy] = set()
        for use in uses:
            want = self.facts.wants[use]
            stand = 0
            for i, (copy, n) in enumerate(pool):
                if self._ready(copy, use) and copy[9] != AWAY:
                    pool[i] = ((*copy[:5], False, *copy[6:]), n)
                    seen.add(pool[i][0])
                    stand += n
            for (taker, copy, until), n in sent:
                later = self.facts.wants[taker]
                stands = until >= minute or later.due == minute or not self.facts.placed[copy[0]]
                if later.start > minute and stands and self._ready(copy, use):
                    stand += n
            goals = add(goals, self.goals(unbacked=max(0, want.backups - stand)))
        merged = gathered(pool)
        free = [(c, n) for c, n in merged if c in seen and c[9] not in (NOWHERE, AWAY)]
        rest = [each for each in merged if each not in free]
        for kept in counts([n for _, n in free]):
            stay = [(copy, n) for (copy, _), n in zip(free, kept, strict=True)]
            gone = [((*c[:9], AWAY), m - n) for (c, m), n in zip(free, kept, strict=True)]
            yield goals, state.but(pool=gathered([*rest, *stay, *gone])), ""

    def _ready(self, copy: Copy, use: int) -> bool:
        want = self.facts.wants[use]
        return (
            copy[0] == want.stage
            and not copy[4]
            and max(copy[1], copy[2]) <= want.due
            and want.start - copy[1] <= want.oldest
            and not (want.untouched and copy[3])
            and (self.reuse or copy[6] < 0)
        )

    def put(self, state: State, minute: int) -> Step:
        """What came to stand this minute is put on a shelf, and what a phase leaves standing."""
        for after in self._put_phases(state, minute):
            for last in self._put_copies(after):
                yield NOTHING, last, ""

    def _standing(self, state: State, minute: int) -> list[Standing]:
        there: list[Standing] = [(e[3], e[1], e[2]) for e in state.fixed if e[0] > minute]
        for copy, n in state.pool:
            if len(copy[9]) == 3:
                there += [(copy[9], copy[0], copy[8])] * n
        for (_, copy, until), n in state.sent:
            if until > minute and len(copy[9]) == 3:
                there += [(copy[9], copy[0], copy[8])] * n
        return there

    def _put_phases(self, state: State, minute: int) -> Iterator[State]:
        self.minute = minute
        due = [each for each in state.due if each[0] == minute]
        if not due:
            yield state
            return
        _, until, stage, origin, count, zone = due[0]
        rest = tuple(each for each in state.due if each is not due[0])
        after = state.but(due=rest)
        states = [after]
        for _ in range(count if until > minute else 0):
            states = list(
                dict.fromkeys(
                    each.but(fixed=tuple(sorted((*each.fixed, (until, stage, origin, loc)))))
                    for each in states
                    for loc in self.shelves.places(
                        stage, zone, origin, self._standing(each, minute)
                    )
                )
            )
        for each in states:
            yield from self._put_phases(each, minute)

    def _put_copies(self, state: State) -> Iterator[State]:
        states = [state]
        while True:
            after: dict[State, None] = {}
            for each in states:
                after.update(dict.fromkeys(self._put_one(each)))
            if list(after) == states:
                yield from states
                return
            states = list(after)

    def _put_one(self, state: State) -> Iterator[State]:
        for copy, n in state.pool:
            if copy[9] == NEW:
                zone = self.facts.stages[copy[0]].zone
                rest = [each for each in state.pool if each[0] != copy]
                for loc in self.shelves.places(
                    copy[0], zone, copy[8], self._standing(state, self.minute)
                ):
                    put = [((*copy[:9], loc), 1), (copy, n - 1)]
                    yield state.but(pool=gathered([*rest, *put]))
                return
        for key, n in state.sent:
            use, copy, until = key
            if copy[9] == NEW:
                zone = self.facts.stages[copy[0]].zone
                rest = [each for each in state.sent if each[0] != key]
                for loc in self.shelves.places(
                    copy[0], zone, copy[8], self._standing(state, self.minute)
                ):
                    put = [((use, (*copy[:9], loc), until), 1), (key, n - 1)]
                    yield state.but(sent=gathered([*rest, *put]))
                return
        yield state

    def words(self, taken: Pool) -> str:
        """Return copies in words, for the telling of a difference."""
        return ", ".join(
            f"{n} {self.facts.names[copy[0]]} of {self.facts.clock.hour(copy[1])}"
            for copy, n in taken
        )
