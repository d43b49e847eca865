"""How many a taped segment takes, from a published account of how it was done.

Source: N. V. Barr, Backstage with Julia, a kitchen memoir (read in excerpts): a tart segment of
three and a half minutes with ten pans, each filled from ingredients; and "three backups".
"""

from app.planning.audit import audit
from app.planning.solve import solve
from tests.published.short_days import Document, beat, short_day, step


def pan(name: str) -> Document:
    """Return a stage that is filled from ingredients, pan by pan."""
    return step(name, {"lasts_min": 15})


def need(stage: str, backups: int) -> list[Document]:
    """Return a need of one pan with backups."""
    return [{"stage": stage, "backups": backups}]


def test_a_tart_segment_takes_ten_pans() -> None:
    """Tests layering 1 + 1, cooking 1 + 3, finished 1 + 3: ten pans."""
    beats = [
        beat("layering", need("layered", 1), 0),
        beat("cooking", need("cooking", 3), 70),
        beat("finished", need("finished", 3), 140),
    ]
    stages = [pan("layered"), pan("cooking"), pan("finished")]
    day = short_day(stages, beats, "2027-03-04T10:00", "2027-03-04T08:00")
    plan = solve(day)
    assert {count.stage: count.made for count in plan.counts} == {
        "layered": 2, "cooking": 4, "finished": 4,
    }  # fmt: skip
    assert plan.objective.cost == 10
    assert plan.status == "optimal"
    assert audit(day, plan) == []


def test_three_backups_at_every_stage_are_four_times_the_ingredients() -> None:
    """Tests that each stage is made four times, and so filled from ingredients four times."""
    names = ("layered", "cooking", "finished", "sliced")
    made = {}
    for backups in (0, 3):
        beats = [beat(name, need(name, backups), 70 * i) for i, name in enumerate(names)]
        day = short_day(
            [pan(name) for name in names], beats, "2027-03-04T10:00", "2027-03-04T08:00"
        )
        made[backups] = {count.stage: count.made for count in solve(day).counts}
    assert made[3] == {name: 4 * count for name, count in made[0].items()}
