"""A day taken apart into facts, each of which can be dropped by itself."""

from collections.abc import Collection, Iterator, Mapping

from app.planning.blockers.easing import Eased, Easing, own_beat
from app.planning.blockers.facts import Fact, facts_of, needs_of_run
from app.planning.calls import SMALL
from app.planning.day import Cook, Day, Demonstration, Stage
from app.planning.families import kin_in
from app.planning.minutes import Clock
from app.planning.needs import StageKey
from app.planning.scope import Scope


class Case:
    """A day taken apart: every run has beats of its own, every fact can be dropped by itself.

    A need is dropped without its beat: what the beat leaves is there all the same.

    Parameters
    ----------
    day
        The day.
    backups
        Whether needs are asked with their backups; if not, only the copies that beats take.
    """

    def __init__(self, day: Day, backups: bool) -> None:
        self.day, self.backups = day, backups
        self.clock = Clock(day.timezone)
        scope = Scope(day)
        self.slack_min = {key: making.slack_min for key, making in scope.makings.items()}
        self.ends = scope.needs.end
        self.starts: dict[tuple[str, ...], int] = {
            (use.run, use.beat, use.stage[1]): use.start for use in scope.needs.uses
        }
        self.counts: dict[tuple[str, ...], int] = {
            (use.run, use.beat, use.stage[1]): use.count for use in scope.needs.uses
        }
        self.takes = {
            (demonstration.id, stage.id): _takes(demonstration, stage)
            for demonstration, stage in day.all_stages()
        }
        self.family = kin_in(day)
        self.needs = [fact for run in day.runs for fact in needs_of_run(day, run)]
        self.shown = {run.id: run.demonstration for run in day.runs}
        self.cooks: dict[tuple[str, tuple[bool, ...]], list[Cook]] = {}
        self._kinds = {
            (demonstration.id, stage.id): frozenset(_kinds(stage))
            for demonstration, stage in day.all_stages()
        }
        self._steps = {key: self._steps_from(key) for key in self.takes}
        self._alone = {run.id: self.family[run.demonstration] for run in day.runs}

    def stage_of(self, need: Fact) -> StageKey:
        """Return the stage that a need asks for."""
        run, _, stage = need.ids
        return self.shown[run], stage

    def eased_ids(self, need: Fact) -> tuple[str, str, str]:
        """Return the run, the beat and the stage of a need as an eased day names them."""
        run, beat, stage = need.ids
        return run, own_beat(run, beat), stage

    def steps_to(self, need: Fact) -> Mapping[str, int]:
        """Return the kinds of equipment that serving a need may take: how many steps before it."""
        return self._steps[self.stage_of(need)]

    def _steps_from(self, stage: StageKey) -> dict[str, int]:
        steps, found, kinds = [stage], set[StageKey](), dict[str, int]()
        away = 0
        while steps:
            found.update(steps)
            for step in steps:
                kinds |= dict.fromkeys(self._kinds[step] - kinds.keys(), away)
            steps = sorted({taken for step in steps for taken in self.takes[step]} - found)
            away += 1
        return kinds

    def demonstrations(self, kept: Collection[Fact]) -> frozenset[str]:
        """Return the demonstrations that the kept needs are about, with what they share."""
        families = {self._alone[fact.ids[0]] for fact in kept if fact.kind == "need"}
        return next(iter(families)) if len(families) == 1 else frozenset().union(*families)

    def beside(self, needs: Collection[Fact]) -> list[Fact]:
        """Return the facts beside some needs that may matter to them, what people grasp first."""
        return facts_of(self.day, self.demonstrations(needs))

    def eased(
        self,
        kept: Collection[Fact],
        moved: Mapping[str, int] | None = None,
        small: int = SMALL,
        gone: Collection[Fact] = (),
    ) -> Eased:
        """Return the day in which only the kept facts hold.

        Parameters
        ----------
        kept
            The facts that hold. Runs keep their times.
        moved
            By how many minutes runs are moved.
        small
            Of how many copies every batch that could be is considered.
        gone
            Needs that get no copy at all: their beats leave nothing.
        """
        easing = Easing(self, frozenset(kept), moved or {}, frozenset(gone))
        return Eased(easing.day(), self.slack_min, small)


def _takes(demonstration: Demonstration, stage: Stage) -> set[StageKey]:
    """Return what a stage can be made from, by any of its ways."""
    return {
        (each.demonstration or demonstration.id, each.stage)
        for way in stage.ways
        for each in stage.takes_by(way)
    }


def _kinds(stage: Stage) -> Iterator[str]:
    for way in stage.ways:
        for phase in way.phases:
            yield from (entry.kind for entry in phase.equipment)
