"""What happens on camera in a minute: what beats take, hand back and leave."""

from tests.brute.choices import NOTHING, Choices
from tests.brute.facts import Moment
from tests.brute.state import AWAY, NOWHERE, Copy, State, Step, add, gathered, pick


class Beats(Choices):
    """The choices of what a beat has, hands back and leaves."""

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
                note = f"{self.use(uses[0])} on set {self.words(taken)}; " if taken else ""
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
