"""The rule of thumb, reckoned by hand."""

from app.planning.day import Day
from app.planning.rule_of_thumb import rule_of_thumb


def _day(stages: list[dict[str, object]], needs: list[dict[str, object]], **more: object) -> Day:
    run = {"id": "take-1", "demonstration": "d", "kind": "take", "starts": "2027-03-04T12:00"}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": needs}
    shown = {"id": "d", "title": "D", "stages": stages, "beats": [beat]}
    return Day.model_validate(
        {
            "title": "T",
            "timezone": "Europe/Lisbon",
            "prep_from": "2027-03-04T08:00",
            "demonstrations": [shown],
            "runs": [run | more],
        }
    )


def _stage(id: str, *takes: tuple[str, int], **more: object) -> dict[str, object]:
    ways = [{"id": "way", "batch_max": 9, "phases": [{"lasts_min": 5, "hands": 1}]}]
    inputs = [{"stage": stage, "count": count} for stage, count in takes]
    return {"id": id, "keeps_min": 60, "ways": ways, "from": inputs} | more


def test_every_need_counts_twice_and_is_filled_from_ingredients(knots_day: Day) -> None:
    """Two takes of the knots by hand.

    scaled: 2 × 1 for mix each; tied as on camera: nothing; rested 2 × 1, from mixed, from scaled;
    baked 2 × 6, from 12 tied a take, 12 to a rested. Over both takes: baked 24, tied 24,
    rested 4 + 2 = 6, mixed 6, scaled 4 + 6 = 10; each costs 1.
    """
    thumb = rule_of_thumb(knots_day)
    assert {stage: count for (_, stage), count in thumb.made.items()} == {
        "scaled": 10,
        "mixed": 6,
        "rested": 6,
        "tied": 24,
        "baked": 24,
    }
    assert thumb.cost == 70
    assert thumb.unmakable == ()


def test_stations_multiply_and_backups_do_not() -> None:
    """Three benches of two copies, doubled: twelve; the backup is what doubling stands for."""
    need = {"stage": "a", "count": 2, "backups": 5}
    assert rule_of_thumb(_day([_stage("a")], [need], stations=3)).made == {("d", "a"): 12}


def test_inputs_are_rounded_up_once_over_all_needs() -> None:
    """2 × 3 copies at 4 to a set take two sets of two: four inputs."""
    stages = [_stage("a"), _stage("b", ("a", 2), yields=4)]
    assert rule_of_thumb(_day(stages, [{"stage": "b", "count": 3}])).made == {
        ("d", "a"): 4,
        ("d", "b"): 6,
    }


def test_the_cheaper_way_counts_with_its_inputs() -> None:
    """Bought at 3 beats made at 1 from an input that costs 4."""
    phases = [{"lasts_min": 5}]
    ways = [
        {"id": "made", "phases": phases},
        {"id": "bought", "phases": phases, "from": [], "cost": 3},
    ]
    stages = [_stage("a", cost=4), _stage("b", ("a", 1), ways=ways)]
    thumb = rule_of_thumb(_day(stages, [{"stage": "b"}]))
    assert (thumb.made, thumb.cost) == ({("d", "b"): 2}, 6)


def test_a_stage_without_ways_is_told_not_counted() -> None:
    """What only a beat or the stock gives cannot be doubled."""
    thumb = rule_of_thumb(_day([_stage("a", ways=[])], [{"stage": "a"}]))
    assert (thumb.made, thumb.cost, thumb.unmakable) == ({}, 0, (("d", "a"),))


def test_a_dry_run_needs_nothing() -> None:
    """A run played without food costs nothing by any rule."""
    assert rule_of_thumb(_day([_stage("a")], [{"stage": "a"}], dry=True)).cost == 0
