"""More people, and people who can do more."""

from collections.abc import Iterable, Iterator

from app.planning.blockers.clash import Clash
from app.planning.day import Day, Span
from app.planning.ids import ids_from
from app.planning.phrases import listed
from app.planning.remedies.offer import Change, DayFile, Offer, having, just, single
from app.planning.remedies.patch import added


def more_crew(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield that one more works beside somebody in a clash, or that somebody learns."""
    parts: dict[str, set[str]] = {}
    for fact in clash.facts:
        if fact.kind == "crew":
            parts.setdefault(fact.ids[0], set()).add(fact.part)
    wanted = sorted(_skills_asked(file.day))
    seen = set()
    for cook in file.day.kitchen.crew:
        if cook.id in parts and cook.shifts not in seen:
            seen.add(cook.shifts)
            yield just(having(more_cooks(file, 1, cook.shifts)))
    for cook in file.day.kitchen.crew:
        lacking = [skill for skill in wanted if skill not in cook.skills]
        if "skills" in parts.get(cook.id, ()) and lacking:
            words = f"Let {cook.called} do {listed(lacking)} too"
            place = f"{file.crew[cook.id]}/skills"
            yield single(words, added(place, [*cook.skills, *lacking]))


def more_cooks(file: DayFile, count: int, shifts: Iterable[Span]) -> Change:
    """Return the change that so many more cooks come, who can do all that is asked for."""
    hours, skills = list(shifts), sorted(_skills_asked(file.day))
    told = "one more cook" if count == 1 else f"{count} more cooks"
    able = f" ({', '.join(skills)})" if skills else ""
    spans = listed(file.wording.between(span) for span in hours)
    new = {"name": "one more cook", "shifts": [list(span) for span in hours], "skills": skills}
    ids = ids_from("one more", file.crew, count)
    operations = (added("/kitchen/crew/-", {"id": its_id, **new}) for its_id in ids)
    return Change(tuple(operations), f"{told}{able}, {spans}")


def _skills_asked(day: Day) -> set[str]:
    """Return the skills that some phase of a day asks for."""
    return {
        phase.skill
        for _, stage in day.all_stages()
        for way in stage.ways
        for phase in way.phases
        if phase.skill is not None
    }
