"""Where copies are put down in a minute, and what a phase leaves standing."""

from collections.abc import Iterator

from tests.brute.choices import NOTHING, Choices
from tests.brute.shelves import Standing
from tests.brute.state import NEW, State, Step, gathered


class Putting(Choices):
    """The choices of a place."""

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
