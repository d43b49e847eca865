"""A day with some of its facts dropped. Nothing that was possible becomes impossible by it."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from app.planning.blockers.facts import Fact
from app.planning.blockers.open_hours import open_starts
from app.planning.calls import Calls
from app.planning.day import (
    Beat,
    Cook,
    Day,
    Demonstration,
    Equipment,
    Need,
    Policy,
    Run,
    Stage,
    Way,
)
from app.planning.hours import meet
from app.planning.needs import StageKey
from app.planning.scope import Making, Method, Scope

if TYPE_CHECKING:
    from app.planning.blockers.case import Case

EVER_KEEPS_MIN = 10**6
ENDLESS_UNITS = 10**4
ENDLESS_HANDS = 24
DAY_MIN = 1440
EARLIER_MIN = 30 * DAY_MIN
ALWAYS_MIN = 40 * DAY_MIN
QUICK, SURE = "~quick", "~sure"
OF_RUN = "~"


class Eased(Scope):
    """The scope of an eased day: a stage that keeps for ever asks for no more slack than before.

    `small` says of how many copies every batch that could be is considered.
    """

    def __init__(self, day: Day, slack_min: Mapping[StageKey, int], small: int) -> None:
        self.slack_min, self.small = slack_min, small
        super().__init__(day)

    def _call(self, members: Collection[str]) -> None:
        for key, of_stage in Calls(self, members, self.small).of.items():
            self.makings[key].calls = of_stage

    def _making(self, demonstration: Demonstration, stage: Stage) -> Making:
        making = super()._making(demonstration, stage)
        making.slack_min = min(making.slack_min, self.slack_min[making.key])
        return making

    def _method(self, demonstration: Demonstration, stage: Stage, way: Way) -> Method | None:
        """Return a way that this kitchen can run, when its equipment is open."""
        method = super()._method(demonstration, stage, way)
        if method is None or not any(item.closed for item in self.day.kitchen.equipment):
            return method
        fewest, most = method.started[1], method.started[-1]
        able = open_starts(self.clock, self.day.kitchen.equipment, way, fewest, most)
        starts = meet(method.starts, able)
        return replace(method, starts=starts) if starts else None


class Easing:
    """A day in which only some facts hold.

    Parameters
    ----------
    case
        The day, taken apart.
    kept
        The facts that hold.
    moved
        By how many minutes runs are moved.
    gone
        Needs that get no copy at all.
    """

    def __init__(
        self,
        case: "Case",
        kept: frozenset[Fact],
        moved: Mapping[str, int],
        gone: frozenset[Fact] = frozenset(),
    ) -> None:
        self.case, self.kept, self.moved, self.gone = case, kept, moved, gone
        self.shown = case.demonstrations(kept)
        self.skills = {
            phase.skill
            for _, stage in case.day.all_stages()
            for way in stage.ways
            for phase in way.phases
            if phase.skill is not None
        }

    def day(self) -> Day:
        """Return the day: of demonstrations, only those that its needs are about."""
        day = self.case.day
        runs = [run for run in day.runs if run.demonstration in self.shown]
        return day.model_copy(
            update={
                "prep_from": self._prep_from(),
                "policy": self._policy(),
                "kitchen": day.kitchen.model_copy(
                    update={
                        "equipment": tuple(self._item(item) for item in day.kitchen.equipment),
                        "crew": tuple(self._crew()),
                        "shelves": self._shelves(),
                    }
                ),
                "stock": tuple(each for each in day.stock if each.demonstration in self.shown),
                "demonstrations": tuple(
                    self._demonstration(each)
                    for each in day.demonstrations
                    if each.id in self.shown
                ),
                "runs": tuple(self._run(run) for run in runs),
            }
        )

    def _holds(self, kind: str, *ids: str, part: str = "") -> bool:
        return Fact(kind, ids, part) in self.kept  # type: ignore[arg-type]

    def _prep_from(self) -> str:
        told = self.case.day.prep_from
        if self._holds("prep_from"):
            return told
        return self.case.clock.text(self.case.clock.minute(told) - EARLIER_MIN)

    def _policy(self) -> Policy:
        policy = self.case.day.policy
        names = ("ready_margin_min", "return_min", "step_slack_min")
        update: dict[str, object] = {name: 0 for name in names if not self._holds("policy", name)}
        if not self._holds("policy", "reuse"):
            update["reuse"] = True
        return policy.model_copy(update=update)

    def _item(self, item: Equipment) -> Equipment:
        update: dict[str, object] = {}
        if not self._holds("equipment", item.id, part="units"):
            update["units"] = max(item.units, ENDLESS_UNITS)
        if not self._holds("equipment", item.id, part="closed"):
            update["closed"] = ()
        if not self._holds("equipment", item.id, part="settings"):
            update["settings"] = None
        elif item.settings is not None and not self._holds("equipment", item.id, part="change"):
            update["settings"] = item.settings.model_copy(update={"change_min": 0})
        return item.model_copy(update=update)

    def _crew(self) -> Iterator[Cook]:
        """Yield the crew as far as the facts hold. Of cooks alike, one is as many as all."""
        endless: set[tuple[object, ...]] = set()
        for cook in self.case.day.kitchen.crew:
            shifts, skills, hands = (
                self._holds("crew", cook.id, part=part) for part in ("shifts", "skills", "hands")
            )
            alike = (cook.shifts if shifts else (), cook.skills if skills else None)
            yield from self._cooks(cook, shifts, skills, hands or alike in endless)
            if not hands:
                endless.add(alike)

    def _cooks(self, cook: Cook, *held: bool) -> list[Cook]:
        """Return a cook as far as shifts, skills and hands hold; made once for each sort."""
        if (cook.id, held) not in self.case.cooks:
            self.case.cooks[cook.id, held] = list(self._eased_cooks(cook, *held))
        return self.case.cooks[cook.id, held]

    def _eased_cooks(self, cook: Cook, shifts: bool, skills: bool, hands: bool) -> Iterator[Cook]:
        update: dict[str, object] = {}
        if not shifts:
            prep = self.case.clock.minute(self.case.day.prep_from)
            always = (prep - ALWAYS_MIN, self.case.ends + ALWAYS_MIN)
            update["shifts"] = (tuple(self.case.clock.text(each) for each in always),)
        if not skills:
            update["skills"] = tuple(sorted(self.skills))
        if hands:
            yield cook.model_copy(update=update)
            return
        for i in range(ENDLESS_HANDS):
            yield cook.model_copy(update={**update, "id": f"{cook.id}~{i}"})

    def _shelves(self) -> tuple[object, ...]:
        """Return the shelves of zones in which each unit is as small as it is."""
        shelves = self.case.day.kitchen.shelves
        endless = {each.zone for each in shelves if not self._holds("shelf", each.id)}
        return tuple(each for each in shelves if each.zone not in endless)

    def _demonstration(self, demonstration: Demonstration) -> Demonstration:
        beats = [
            self._beat(run, beat)
            for run in self.case.day.runs
            if run.demonstration == demonstration.id
            for beat in self.case.day.beats_of(run)
        ]
        stages = tuple(self._stage(demonstration.id, stage) for stage in demonstration.stages)
        return demonstration.model_copy(update={"stages": stages, "beats": tuple(beats)})

    def _stage(self, demonstration: str, stage: Stage) -> Stage:
        ways: list[Way] = []
        for way in stage.ways:
            ways.append(way)
            if stage.loss_by(way) and not self._holds("policy", "confidence"):
                ways.append(way.model_copy(update={"id": f"{way.id}{SURE}", "loss": 0}))
            if not self._holds("way", demonstration, stage.id, way.id):
                ways.append(_quick(ways[-1]))
        update: dict[str, object] = {"ways": tuple(ways)}
        if not self._holds("keeps", demonstration, stage.id):
            update |= {"keeps_min": EVER_KEEPS_MIN, "safety_min": None}
        return stage.model_copy(update=update)

    def _beat(self, run: Run, beat: Beat) -> Beat:
        needs = tuple(
            self._need(run, beat, need)
            for need in beat.needs
            if _need_of(run, beat, need) in self.kept
        )
        update: dict[str, object] = {"id": own_beat(run.id, beat.id), "kinds": None, "needs": needs}
        return beat.model_copy(update=update | self._leaves(run, beat))

    def _leaves(self, run: Run, beat: Beat) -> dict[str, object]:
        """Return what is left of a beat of which some needs are gone: what others hand back."""
        gone = {need.stage for need in beat.needs if _need_of(run, beat, need) in self.gone}
        if not gone:
            return {}
        had = {need.stage for need in beat.needs} - gone
        return {"leaves": tuple(each for each in beat.leaves if each.stage in had)}

    def _need(self, run: Run, beat: Beat, need: Need) -> Need:
        update: dict[str, object] = {} if self.case.backups else {"backups": 0}
        own = need.ready_margin_min
        if own and not self._holds("need", run.id, beat.id, need.stage, part="margin"):
            update["ready_margin_min"] = 0
        return need.model_copy(update=update)

    def _run(self, run: Run) -> Run:
        clock = self.case.clock
        beats = tuple(own_beat(run.id, beat.id) for beat in self.case.day.beats_of(run))
        starts = clock.text(clock.minute(run.starts) + self.moved.get(run.id, 0))
        update: dict[str, object] = {"beats": beats, "starts": starts}
        if run.ready_margin_min and not self._holds("run", run.id, part="margin"):
            update["ready_margin_min"] = 0
        return run.model_copy(update=update)


def own_beat(run: str, beat: str) -> str:
    """Return the id of the beat that a run has for itself."""
    return f"{run}{OF_RUN}{beat}"


def _need_of(run: Run, beat: Beat, need: Need) -> Fact:
    return Fact("need", (run.id, beat.id, need.stage))


def _quick(way: Way) -> Way:
    """Return a way that does the same in a minute a phase, with the same hands and equipment."""
    little = {"lasts_min": 1, "per_copy_min": 0, "per_copy_s": 0}
    phases = tuple(phase.model_copy(update=little) for phase in way.phases)
    return way.model_copy(update={"id": f"{way.id}{QUICK}", "phases": phases})
