"""Of the shifts in a clash, those are tried first whose longer hours come closest to the need."""

from app.planning.blockers.clash import Clash
from app.planning.blockers.facts import Fact
from app.planning.day import Day
from app.planning.reading import read_day
from app.planning.remedies.found import remedies_of
from app.planning.remedies.offer import DayFile
from app.planning.remedies.shifts import longer_shifts
from app.planning.solve import nobody, solve, still
from app.planning.watch import Watch, never
from tests.planning import drafts

SHIFTS = (
    ("2027-03-03T08:00", "2027-03-03T17:00"),
    ("2027-03-04T09:30", "2027-03-04T16:00"),
    ("2027-03-05T08:00", "2027-03-05T17:00"),
)


def _day() -> Day:
    way = {"id": "knead", "phases": [{"lasts_min": 30, "hands": 1}]}
    dough = {"id": "dough", "keeps_min": 60, "ways": [way]}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": [{"stage": "dough"}]}
    run = {"id": "take", "demonstration": "loaf", "kind": "take", "starts": "2027-03-04T09:45"}
    return Day.model_validate(
        {
            "title": "Loaves",
            "timezone": "Europe/Lisbon",
            "prep_from": SHIFTS[0][0],
            "kitchen": {"crew": [{"id": "ada", "name": "Ada", "shifts": SHIFTS}]},
            "demonstrations": [{"id": "loaf", "title": "Loaf", "stages": [dough], "beats": [beat]}],
            "runs": [run],
        }
    )


def test_the_hours_right_before_the_need_are_tried_first() -> None:
    """The morning of the take, then the evening before it; what comes after it helps nothing."""
    facts = (Fact("need", ("take", "show", "dough")), Fact("crew", ("ada",), "shifts"))
    offers = longer_shifts(DayFile(_day()), Clash(facts, anyway=False))
    assert [offer.at(15).words for offer in offers] == [
        "Let Ada begin 15 min earlier, at Thu 09:15",
        "Let Ada work 15 min longer, until Wed 17:15",
        "Let Ada begin 15 min earlier, at Wed 07:45, and the prep with it",
    ]


def _early() -> Day:
    """Return a day on which a bun and a pie each have to be begun before the only cook comes."""
    last = {"lasts_min": 20, "hands": 1}
    whole = [{"lasts_min": 1, "hands": 1, "skill": "pastry"}, {"lasts_min": 70}]
    takes = {"bun": ("09:20", [last]), "pie": ("09:40", whole)}
    shown = [
        {
            "id": name,
            "title": name.capitalize(),
            "stages": [drafts.stage("baked", {"id": "oven", "phases": phases}, keeps_min=30)],
            "beats": [drafts.beat("show", 0, 60, {"baked": 1}, {})],
        }
        for name, (_, phases) in takes.items()
    ]
    runs = [drafts.run(name, starts, name) for name, (starts, _) in takes.items()]
    shift = ("09:00", "18:00")
    kitchen = {"crew": [drafts.cook(shift=shift, skills=["pastry"])]}
    told = drafts.day([], [], runs, kitchen=kitchen)
    return read_day(told | {"demonstrations": shown})


def _held(run: str) -> Clash:
    need, shift = Fact("need", (run, "show", "baked")), Fact("crew", ("ada",), "shifts")
    return Clash((need, shift), anyway=False)


def test_longer_hours_of_one_cook_are_offered_once() -> None:
    """Ten minutes more serve the bun, more of them the pie too: that is the better offer."""
    day = _early()
    clashes, watch = [_held("bun"), _held("pie")], Watch(None, still, never, nobody)
    alone = [remedies_of(day, solve(day), [each], watch).remedies for each in clashes]
    assert [[said.words for said in each] for each in alone] == [
        ["Let ada begin 10 min earlier, at 08:50; 1 copy lacks still."],
        ["Let ada begin 41 min earlier, at 08:19."],
    ]
    (once,) = remedies_of(day, solve(day), clashes, watch).remedies
    assert once.words == "Let ada begin 41 min earlier, at 08:19."
