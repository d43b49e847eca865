"""Who of the people of a run would meet what they avoid: at which beat, in which copy.

Checked by what the ingredients contain and by their names, over every way and every input:
rather one too many than one too few. It says what the day says; what the day leaves out nobody has
checked.
"""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.food.allergens import is_said, meets
from app.planning.day import Beat, Day, Person, Run
from app.planning.eating import Contained, contained, named
from app.planning.phrases import listed
from app.planning.plan import Copy, Plan

ON_SET = ""
# What a copy contains, and the names of all that may have gone into it.
Inside = tuple[list[Contained], list[str]]


@dataclass(frozen=True)
class Meeting:
    """Somebody of a run meets what they avoid.

    Attributes
    ----------
    stage
        The stage that the beat needs; `ON_SET` where it is in what the beat itself measures.
    allergen, ingredients
        The ingredient's own word, or its name where that alone says it; which ingredients bring it.
    is_sure
        Whether that is for sure what they avoid, or only may be.
    is_served
        Whether somebody eats it there.
    """

    run: str
    beat: str
    demonstration: str
    stage: str
    person: str
    avoids: str
    allergen: str
    ingredients: tuple[str, ...]
    is_sure: bool
    is_served: bool

    @property
    def key(self) -> str:
        """Return what a decision on this is kept under: it changes when any of this does."""
        parts = (self.run, self.beat, self.stage, self.person, self.avoids, self.allergen)
        whole = "\n".join((*parts, *self.ingredients))
        return hashlib.sha256(whole.encode()).hexdigest()

    @property
    def said(self) -> str:
        """Return who avoids what, and what brings it: *Teo avoids nuts: almonds from marzipan*."""
        doubt = "" if self.is_sure else "perhaps "
        is_name = self.ingredients == (self.allergen,)
        brought = "" if is_name else f" from {listed(self.ingredients)}"
        return f"{self.person} avoids {self.avoids}: {doubt}{self.allergen}{brought}"


def meetings(day: Day) -> list[Meeting]:
    """Return every meeting of a day, in the order of its runs, beats and needs."""
    inside: dict[tuple[str, str], Inside] = {}
    found: list[Meeting] = []
    for run in day.runs:
        if run.dry or not any(person.avoids for person in run.people):
            continue
        for beat in day.beats_of(run):
            found += _of_beat(day, run, beat, inside)
    return found


class Table:
    """The meetings of a day, looked up by beat and by copy of a plan."""

    def __init__(self, day: Day, plan: Plan | None = None) -> None:
        self.meetings = meetings(day)
        self.day = day
        self.made = {batch.id: batch.copies for batch in plan.batches} if plan else {}
        self.copies = {copy.id: copy for copy in plan.copies} if plan else {}
        self.backs: dict[str, list[tuple[str, str]]] = {}
        for use in plan.uses if plan else ():
            for copy in use.backups:
                self.backs.setdefault(copy, []).append((use.run, use.beat))
        self._runs: dict[str, frozenset[str]] = {}

    def at(self, run: str, beat: str) -> list[Meeting]:
        """Return the meetings at one beat of a run."""
        return [each for each in self.meetings if (each.run, each.beat) == (run, beat)]

    def of_copy(self, copy: Copy) -> list[str]:
        """Return who of the people of the runs that a copy comes to must not eat it, in words.

        Also where it only goes into something else, or backs a use: for what is in itself.
        """
        runs = [self.day.run(each) for each in sorted(self._runs_of(copy))]
        inside = _inside(self.day, (copy.demonstration, copy.stage)) if runs else ([], [])
        told = [
            _said(person, avoids, each, is_sure)
            for run in runs
            for person in run.people
            for avoids in person.avoids
            for each, is_sure in _met(inside, avoids)
        ]
        return list(dict.fromkeys(told))

    def _runs_of(self, copy: Copy) -> frozenset[str]:
        """Return the runs that a copy, or something made from it, comes to."""
        if copy.id not in self._runs:
            self._runs[copy.id] = frozenset()
            found = {taker.use[0] for taker in copy.taken_by if taker.use}
            found |= {run for run, _ in self.backs.get(copy.id, ())}
            for taker in copy.taken_by:
                for made in self.made.get(taker.batch or "", ()):
                    if made in self.copies:
                        found |= self._runs_of(self.copies[made])
            self._runs[copy.id] = frozenset(found)
        return self._runs[copy.id]


def label_warnings(day: Day, plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return what the label of each copy says of people, by copy; those that touch nobody lack.

    Parameters
    ----------
    day, plan
        A plan, and the day that it was worked out for.
    """
    table = Table(day, plan)
    told = {copy.id: tuple(table.of_copy(copy)) for copy in plan.copies}
    return {copy: words for copy, words in told.items() if words}


def undecided(served: Iterable[Meeting], decided: Iterable[str]) -> list[Meeting]:
    """Return the meetings where somebody is served what they avoid and nobody has decided yet.

    Parameters
    ----------
    decided
        The keys of the meetings that somebody has decided on by name.
    """
    known = set(decided)
    return [each for each in served if each.is_served and each.key not in known]


def in_words(day: Day, meeting: Meeting) -> str:
    """Return a meeting as a sentence with its run, its beat and its stage."""
    run, dish = day.run(meeting.run), day.demonstration(meeting.demonstration)
    beat = dish.beat(meeting.beat).called
    what = dish.stage(meeting.stage).called if meeting.stage else "what is measured on set"
    return f"{run.called}, {beat}: {dish.title}, {what}. {meeting.said}."


def _of_beat(
    day: Day, run: Run, beat: Beat, inside: dict[tuple[str, str], Inside]
) -> Iterator[Meeting]:
    for need in beat.needs:
        key = (run.demonstration, need.stage)
        if key not in inside:
            inside[key] = _inside(day, key)
        is_served = need.tasting or run.kind == "tasting"
        yield from _of_people(run, beat, need.stage, inside[key], is_served=is_served)
    brought: dict[str, dict[str, None]] = {}
    for each in beat.ingredients:
        for word in each.contains:
            brought.setdefault(word, {})[each.name] = None
    words = [Contained(word, tuple(names)) for word, names in brought.items()]
    on_set = words, [each.name for each in beat.ingredients]
    is_tasted = run.kind == "tasting" or any(need.tasting for need in beat.needs)
    yield from _of_people(run, beat, ON_SET, on_set, is_served=is_tasted)


def _inside(day: Day, stage: tuple[str, str]) -> Inside:
    return contained(day, *stage), named(day, *stage)


def _met(inside: Inside, avoids: str) -> Iterator[tuple[Contained, bool]]:
    """Yield what of it somebody avoids, and whether for sure; by its name alone perhaps only."""
    told: set[str] = set()
    for each in inside[0]:
        if (is_sure := meets(each.allergen, avoids)) is not None:
            told |= set(each.ingredients)
            yield each, is_sure
    for name in inside[1]:
        if name not in told and is_said(name, avoids):
            yield Contained(name, (name,)), False


def _of_people(
    run: Run, beat: Beat, stage: str, inside: Inside, *, is_served: bool
) -> Iterator[Meeting]:
    for person in run.people:
        for avoids in person.avoids:
            for each, is_sure in _met(inside, avoids):
                yield Meeting(
                    run=run.id,
                    beat=beat.id,
                    demonstration=run.demonstration,
                    stage=stage,
                    person=person.name,
                    avoids=avoids,
                    allergen=each.allergen,
                    ingredients=each.ingredients,
                    is_sure=is_sure,
                    is_served=is_served,
                )


def _said(person: Person, avoids: str, inside: Contained, is_sure: bool) -> str:
    doubt = "" if is_sure else "perhaps "
    return f"Not for {person.name}: {doubt}{inside.allergen} (avoids {avoids})"
