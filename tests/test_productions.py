"""The generated productions of the bench: sound, repeatable, and as large as they say."""

import json
import re
from collections import Counter

import pytest

from app.planning.day import Day
from app.planning.reading import read_day, warnings_of
from tests.bench.dishes import NATURES
from tests.bench.productions import production

SIZES = (2, 6, 12, 24, 48, 96)
MOST_GONE_MIN = 20


def _uses(day: Day) -> int:
    return sum(len(beat.needs) for run in day.runs for beat in day.beats_of(run))


@pytest.mark.parametrize("size", SIZES)
def test_a_production_reads_without_fault(size: int) -> None:
    """Every way can run in its kitchen, too."""
    for seed in range(3 if size < 48 else 1):
        assert warnings_of(read_day(production(size, seed))) == []


@pytest.mark.parametrize("size", SIZES)
def test_a_production_has_the_promised_size(size: int) -> None:
    """About 18 uses a demonstration, four runs, three ovens and five of crew to a set."""
    day = read_day(production(size, 0))
    sets = len(day.kitchen.crew) / 5
    ovens = [item for item in day.kitchen.equipment if item.kind == "oven"]
    days = Counter((run.starts[:10], run.kind) for run in day.runs)
    rehearsed = [count for (_, kind), count in days.items() if kind == "rehearsal"]
    assert len(day.demonstrations) == size
    assert 17 <= _uses(day) / size <= 20
    assert Counter(run.kind for run in day.runs) == {
        "rehearsal": size,
        "take": 2 * size,
        "stills": size,
    }
    assert len(ovens) == 3 * sets
    assert max(rehearsed) <= 6 * sets


@pytest.mark.parametrize("seed", [3, 9])
def test_what_is_photographed_late_can_still_be_plated(seed: int) -> None:
    """The last cook is gone no longer than plated food keeps: large productions end late."""
    day = read_day(production(96, seed))
    ends = {end for cook in day.kitchen.crew for _, end in cook.shifts}
    last = {date: max(end for end in ends if end[:10] == date) for date in {e[:10] for e in ends}}
    for run in day.runs:
        if run.kind == "stills":
            gone_min = int(run.starts[11:13]) * 60 + int(run.starts[14:16])
            gone_min -= int(last[run.starts[:10]][11:13]) * 60
            assert gone_min <= MOST_GONE_MIN


def test_a_production_is_drawn_from_its_seed_alone() -> None:
    """The same seed gives the same bytes, another seed another day."""
    once, again, other = (json.dumps(production(6, seed)) for seed in (1, 1, 2))
    assert once == again
    assert once != other


def test_the_natures_have_five_to_eight_stages_and_use_what_is_hard() -> None:
    """Overnight ways, backups, losses, yields, skills, carried and handed-back copies, batches."""
    day = read_day(production(96, 0))
    stages = [stage for _, stage in day.all_stages()]
    ways = [way for stage in stages for way in stage.ways]
    beats = [beat for dish in day.demonstrations for beat in dish.beats]
    assert len(NATURES) == 12
    assert {5, 6, 7} <= {len(dish.stages) for dish in day.demonstrations} <= {5, 6, 7, 8}
    assert any(way.length_min(1) >= 600 for way in ways)
    assert any(way.batch_max > 1 for way in ways)
    assert any(stage.yields > 1 for stage in stages)
    assert 0.02 < sum(stage.loss > 0 for stage in stages) / len(stages) < 0.3
    assert {phase.skill for way in ways for phase in way.phases} > {"pastry", "butchery", "noodles"}
    assert any(need.backups for beat in beats for need in beat.needs)
    handed = [
        {each.stage for each in beat.needs} & {each.stage for each in beat.leaves} for beat in beats
    ]
    assert any(handed)
    assert any(beat.leaves and not back for beat, back in zip(beats, handed, strict=True))
    assert {shelf.zone for shelf in day.kitchen.shelves} == {"ambient", "chill", "frozen"}


def test_some_components_go_into_two_stages() -> None:
    """What a dish makes once and takes twice ties its stages together."""
    day = read_day(production(12, 0))
    taken = Counter(
        (dish.id, each.stage)
        for dish in day.demonstrations
        for stage in dish.stages
        for each in stage.takes
    )
    assert max(taken.values()) == 2


def test_each_demonstration_is_named_for_its_nature() -> None:
    """Ids are plain, and runs are named for what they show."""
    day = read_day(production(24, 3))
    assert len({dish.id for dish in day.demonstrations}) == 24
    assert all(re.fullmatch(r"[a-z]+-\d+", dish.id) for dish in day.demonstrations)
    assert all(run.id.startswith(run.demonstration) for run in day.runs)
