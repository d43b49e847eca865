"""Facts and clashes in the producer's words."""

from collections.abc import Callable, Collection, Iterable
from datetime import date
from math import ceil

from app.planning.blockers.clash import Clash
from app.planning.blockers.excess import Excess
from app.planning.blockers.facts import IN_THE_KITCHEN, Fact
from app.planning.blockers.horizon import Days, days_of
from app.planning.dates import HOUR_MIN, lasting
from app.planning.day import Day, Equipment, Span, Way
from app.planning.difference import WEEKDAYS
from app.planning.minutes import Clock
from app.planning.phrases import listed
from app.planning.plan import Blocker, Fault
from app.planning.tasks import setting_in_words

TOGETHER = "These cannot hold together"
ANY_KITCHEN = "No kitchen can do this, however many hands and ovens it has"
MORE_TIME = "No kitchen can do this: it needs more time than there is"
ANY_TIME = "This cannot be done at any time, in any kitchen"
# How what is said of one cook is said of several.
OF_ALL = {
    " works ": " work ",
    " has ": " have ",
    " does one thing at a time": " each do one thing at a time",
}
MORE_MAY, NOT_FOUND = "More may stand in the way", "What stands in the way was not found"


class Wording:
    """Puts facts of a day into words; times bear their day of the week where there are several.

    Parameters
    ----------
    day
        The day.
    backups
        Whether needs are told with their backups.
    in_fahrenheit
        Whether the house reads degrees Fahrenheit.
    """

    def __init__(self, day: Day, backups: bool, in_fahrenheit: bool = False) -> None:
        self.day, self.backups, self.in_fahrenheit = day, backups, in_fahrenheit
        told = [day.prep_from, *(run.starts for run in day.runs)]
        self.has_days = len({text[:10] for text in told}) > 1
        self._by_kind: dict[str, Callable[[Fact], str]] = {
            "run": self._run,
            "need": self._need,
            "keeps": self._keeps,
            "way": self._way,
            "equipment": self._equipment,
            "shelf": self._shelf,
            "prep_from": lambda _: f"prep starts at {self.at(day.prep_from)}",
            "policy": self._policy,
        }

    def blocker(self, clash: Clash) -> Blocker:
        """Return a clash in words; shifts are told of the days that it is about."""
        days = days_of(self.day, clash)
        facts = tuple(
            Fault(kind=fact.kind, ids=fact.ids, words=self.fact(fact, days)) for fact in clash.facts
        )
        said = "; ".join(together(facts))
        return Blocker(facts=facts, words=f"{_headline(clash)}{_also(clash)}: {said}.")

    def excess(self, excess: Excess) -> str:
        """Return in words of what there is too little for all that is needed but what is told."""
        at = self.at(Clock(self.day.timezone).text(excess.minute))
        if excess.zone is None:
            asked_h, there_h = excess.asked // HOUR_MIN, ceil(excess.there / HOUR_MIN)
            return (
                f"All else that is needed until {at} takes {asked_h} h of hands at least; "
                f"the crew is there for {there_h} h until then."
            )
        return (
            f"All else that is needed takes {slots_in_words(excess.asked)} in {excess.zone} "
            f"at {at} at least; there {'is' if excess.there == 1 else 'are'} {excess.there}."
        )

    def fact(self, fact: Fact, days: Days | None = None) -> str:
        """Return a fact in words; a shift of some days alone, where these are told."""
        if fact.kind == "crew":
            return self._crew(fact, days)
        return self._by_kind[fact.kind](fact)

    def at(self, text: str) -> str:
        """Return a local time as *14:05*, or *Thu 14:05* where there are several days."""
        if not self.has_days:
            return _hour(text)
        return f"{WEEKDAYS[date.fromisoformat(text[:10]).weekday()]} {_hour(text)}"

    def between(self, span: Span) -> str:
        """Return a span as *07:00 to 15:50*, or *Thu 07:00 to 15:50*: a day is told once."""
        start, end = span
        is_one_day = start[:10] == end[:10]
        return f"{self.at(start)} to {_hour(end) if is_one_day else self.at(end)}"

    def stage(self, demonstration: str, stage: str) -> str:
        """Return a stage as *Cardamom knots, baked*."""
        told = self.day.demonstration(demonstration)
        return f"{told.title}, {told.stage(stage).called}"

    def _run(self, fact: Fact) -> str:
        run = self.day.run(fact.ids[0])
        if fact.part == "margin":
            return (
                f"copies for {run.called} stand ready {lasting(run.ready_margin_min or 0)} before"
            )
        title = self.day.demonstration(run.demonstration).title
        return f"{title}, {run.called} starts at {self.at(run.starts)}"

    def _need(self, fact: Fact) -> str:
        run = self.day.run(fact.ids[0])
        demonstration = self.day.demonstration(run.demonstration)
        beat, stage = demonstration.beat(fact.ids[1]), demonstration.stage(fact.ids[2])
        need = next(each for each in beat.needs if each.stage == stage.id)
        if fact.part == "margin":
            return f"its {stage.called} stand ready {lasting(need.ready_margin_min or 0)} before"
        count = need.count * (run.stations if need.per_station else 1)
        beside = ""
        if self.backups and need.backups:
            beside = f" and {need.backups} {'backup' if need.backups == 1 else 'backups'}"
        fresh = ", not yet on camera" if need.untouched or need.tasting else ""
        return f"{beat.called} of {run.called} needs {count} {stage.called}{beside}{fresh}"

    def _keeps(self, fact: Fact) -> str:
        stage = self.day.stage(*fact.ids)
        eaten = ""
        if stage.safety_min is not None and stage.safety_min < stage.keeps_min:
            eaten = f", {lasting(stage.safety_min)} where it is eaten"
        return f"{self.stage(*fact.ids)} keeps {lasting(stage.keeps_min)}{eaten}"

    def _way(self, fact: Fact) -> str:
        demonstration, stage, way = fact.ids
        told = next(each for each in self.day.stage(demonstration, stage).ways if each.id == way)
        heats = {
            f"{entry.kind} at {setting_in_words(entry.setting, self.in_fahrenheit)}"
            for phase in told.phases
            for entry in phase.equipment
            if entry.setting is not None
        }
        hot = f", {listed(sorted(heats))}" if heats else ""
        return f"{self.stage(demonstration, stage)} ({told.called}) takes {_length(told)}{hot}"

    def _equipment(self, fact: Fact) -> str:
        item = next(each for each in self.day.kitchen.equipment if each.id == fact.ids[0])
        if fact.part == "units":
            return f"{item.called} has {item.units} {'unit' if item.units == 1 else 'units'}"
        if fact.part == "closed":
            spans = listed(self.between(span) for span in item.closed)
            return f"{item.called} is closed {spans}"
        if fact.part == "settings":
            return f"{item.called} has one setting at a time"
        return f"bringing {item.called} to another setting takes {lasting(_change_min(item))}"

    def _crew(self, fact: Fact, days: Days | None) -> str:
        cook = next(each for each in self.day.kitchen.crew if each.id == fact.ids[0])
        if fact.part == "hands":
            return f"{cook.called} does one thing at a time"
        if fact.part == "skills":
            return f"{cook.called} has {_skills(cook.skills)}"
        shifts = [span for span in cook.shifts if days is None or days.are_about(span)]
        if not shifts:
            return f"{cook.called} has no shift then"
        return f"{cook.called} works {listed(self.between(span) for span in shifts)}"

    def _shelf(self, fact: Fact) -> str:
        shelf = next(each for each in self.day.kitchen.shelves if each.id == fact.ids[0])
        return f"{shelf.called} ({shelf.zone}) has {slots_in_words(sum(shelf.levels))}"

    def _policy(self, fact: Fact) -> str:
        policy = self.day.policy
        margin, slack = lasting(policy.ready_margin_min), lasting(policy.step_slack_min)
        return {
            "ready_margin_min": f"copies stand ready {margin} before a use",
            "return_min": f"what a beat leaves is back after {lasting(policy.return_min)}",
            "step_slack_min": f"a step's copies wait {slack} before the next",
            "confidence": f"losses are made up for with {policy.confidence:.0%} confidence",
            "reuse": "what a beat leaves is not used again",
        }[fact.ids[0]]


def slots_in_words(count: int) -> str:
    """Return a number of slots: *1 slot*, *3 slots*."""
    return f"{count} {'slot' if count == 1 else 'slots'}"


def together(facts: Iterable[Fault]) -> list[str]:
    """Return facts in words, in one phrase what is the same of several cooks."""
    said: dict[tuple[str, str], list[str]] = {}
    for fact in facts:
        verb = next((each for each in OF_ALL if fact.kind == "crew" and each in fact.words), "")
        who, rest = fact.words.split(verb, 1) if verb else ("", fact.words)
        said.setdefault((verb, rest), []).append(who)
    return [
        f"{listed(who) if verb else ''}{OF_ALL[verb] if verb and len(who) > 1 else verb}{rest}"
        for (verb, rest), who in said.items()
    ]


def more_may(
    needs: int, has_some: bool, too_much: Iterable[str] = (), things: Collection[str] = ()
) -> str:
    """Return the warning that of some needs it was not found why they cannot be met.

    Parameters
    ----------
    needs
        How many they are.
    has_some
        Whether of others it was found.
    too_much
        What there is too little of for all of them, in sentences.
    things
        What of the kitchen it is known of that nothing lacks if there is more.
    """
    said = "a need is" if needs == 1 else f"{needs} needs are"
    begin = MORE_MAY if has_some else NOT_FOUND
    known = f"{begin}: the search ended before it was known why {said} not met in full."
    about = f"It is all about {listed(things)}: with more, as what would help tells, nothing lacks."
    return " ".join((known, *too_much, *([about] if things else [])))


def of_more(warnings: Iterable[str]) -> str | None:
    """Return the warning that more may stand in the way than is told; None if there is none."""
    return next((each for each in warnings if each.startswith((MORE_MAY, NOT_FOUND))), None)


def _hour(text: str) -> str:
    """Return the hour of a local time, with its offset where it is double."""
    return text[11:16] + (f" ({text[16:]})" if len(text) > 16 else "")


def _headline(clash: Clash) -> str:
    kinds = {fact.kind for fact in clash.facts}
    if not clash.anyway:
        return TOGETHER
    if "prep_from" in kinds:
        return MORE_TIME
    return ANY_KITCHEN if "run" in kinds else ANY_TIME


def _also(clash: Clash) -> str:
    """Return the words about other needs that cannot be met for the same reason, or for the same
    of the kitchen.
    """
    said = ""
    if clash.also:
        needs = "another need" if len(clash.also) == 1 else f"{len(clash.also)} other needs"
        said = f", and {needs} cannot be met for the same reason"
    if clash.akin:
        more = "one more need" if len(clash.akin) == 1 else f"{len(clash.akin)} more needs"
        said += f", and {more} cannot be met with the same {_kitchen(clash)}"
    if clash.hanging:
        count = len(clash.hanging)
        more = "one need" if count == 1 else f"{count} needs"
        leave = "that beat leaves" if len(clash.every) == count + 1 else "those beats leave"
        said += f", and {more} more would have what {leave}"
    return said


def _kitchen(clash: Clash) -> str:
    """Return what a clash is about in the kitchen: *crew and equipment*, *shelf*."""
    kinds = [fact.kind for fact in clash.kitchen]
    shelves = "shelf" if kinds.count("shelf") == 1 else "shelves"
    told = {"crew": "crew", "equipment": "equipment", "shelf": shelves}
    return listed(told[kind] for kind in IN_THE_KITCHEN if kind in kinds)


def _length(way: Way) -> str:
    fixed_min = sum(phase.lasts_min for phase in way.phases)
    copy_min = sum(phase.per_copy_min for phase in way.phases)
    copy_s = sum(phase.per_copy_s for phase in way.phases)
    said = [lasting(fixed_min)] if fixed_min else []
    said += [f"{lasting(copy_min)} a copy"] if copy_min else []
    said += [f"{copy_s} s a copy"] if copy_s else []
    return listed(said)


def _change_min(item: Equipment) -> int:
    return item.settings.change_min if item.settings else 0


def _skills(skills: tuple[str, ...]) -> str:
    return f"no skill but {listed(skills)}" if skills else "no special skill"
