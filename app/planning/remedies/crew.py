"""More people, and people who can do more."""

from collections.abc import Iterator

from app.planning.blockers.clash import Clash
from app.planning.day import Cook, Day
from app.planning.ids import id_from
from app.planning.phrases import listed
from app.planning.remedies.offer import DayFile, Offer, single
from app.planning.remedies.patch import added


def more_crew(file: DayFile, clash: Clash) -> Iterator[Offer]:
    """Yield that one more works beside somebody in a clash, or that somebody learns."""
    parts: dict[str, set[str]] = {}
    for fact in clash.facts:
        if fact.kind == "crew":
            parts.setdefault(fact.ids[0], set()).add(fact.part)
    wanted = sorted(skills_asked(file.day))
    seen = set()
    for cook in file.day.kitchen.crew:
        if cook.id in parts and cook.shifts not in seen:
            seen.add(cook.shifts)
            yield _one_more(file, cook, wanted)
    for cook in file.day.kitchen.crew:
        lacking = [skill for skill in wanted if skill not in cook.skills]
        if "skills" in parts.get(cook.id, ()) and lacking:
            words = f"Let {cook.called} do {listed(lacking)} too"
            place = f"{file.crew[cook.id]}/skills"
            yield single(words, added(place, [*cook.skills, *lacking]))


def _one_more(file: DayFile, cook: Cook, skills: list[str]) -> Offer:
    new = {
        "id": id_from("one more", file.crew),
        "name": "one more cook",
        "shifts": [list(span) for span in cook.shifts],
        "skills": skills,
    }
    able = f" ({', '.join(skills)})" if skills else ""
    spans = listed(file.wording.between(span) for span in cook.shifts)
    return single(f"Have one more cook{able}, {spans}", added("/kitchen/crew/-", new))


def skills_asked(day: Day) -> set[str]:
    """Return the skills that some phase of a day asks for."""
    return {
        phase.skill
        for _, stage in day.all_stages()
        for way in stage.ways
        for phase in way.phases
        if phase.skill is not None
    }
