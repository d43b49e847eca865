"""Ways that can never run, phases that contradict themselves, copies that fit nowhere."""

from typing import Any

import pytest

from app.planning.reading import read_day, warnings_of
from tests.planning.refusals.faults import faults_of, only_fault_of
from tests.planning.whole_day import GONE, changed, whole_day

BUNS = "demonstrations[0]"
MIXED, SHAPED, BAKED = (f"{BUNS}.stages[{number}]" for number in range(3))
STIR = f"{MIXED}.ways[0].phases[0]"
BAKE = f"{BAKED}.ways[0].phases[0]"
MEND = "add to the kitchen, or write another way"

NEVER = [
    (
        {f"{STIR}.hands": 3},
        MIXED,
        'no way of "mixed" can ever run here: "spoon" takes the hands of 3 and the crew is 2',
    ),
    (
        {f"{STIR}.skill": "sugar"},
        MIXED,
        'no way of "mixed" can ever run here: "spoon" needs the skill "sugar", which nobody has',
    ),
    (
        {f"{STIR}.equipment[0].kind": "mixer"},
        MIXED,
        'no way of "mixed" can ever run here: "spoon" needs equipment of the kind "mixer",'
        " and there is none",
    ),
    (
        {f"{BAKE}.equipment[0].per_batch": 3},
        BAKED,
        'no way of "baked" can ever run here: "deck" takes 4 units of one "oven",'
        " and the largest has 3",
    ),
]
PHASES = [
    (
        {"demonstrations[1].stages[0].ways[0].phases": []},
        "demonstrations[1].stages[0].ways[0].phases",
        "an empty list gives no work; write one phase at least",
    ),
    (
        {"demonstrations[1].stages[0].ways[0].phases[0].lasts_min": 0},
        "demonstrations[1].stages[0].ways[0].phases[0]",
        "0 minutes in all; write lasts_min, per_copy_min or per_copy_s above 0",
    ),
    (
        {f"{STIR}.hands": 0},
        f"{STIR}.skill",
        '"pastry" is asked of nobody; write hands of 1 or more, or leave it out',
    ),
    (
        {f"{STIR}.hands": GONE},
        f"{STIR}.skill",
        '"pastry" is asked of nobody; write hands of 1 or more, or leave it out',
    ),
    (
        {f"{BAKE}.equipment[0].setting": GONE},
        f"{BAKE}.equipment[0].setting",
        'is missing, as "oven-1" of the kind "oven" has settings; add a whole number,'
        ' such as "setting": 1',
    ),
]


@pytest.mark.parametrize(("changes", "stage", "words"), NEVER)
def test_a_stage_that_no_way_can_reach_is_refused(
    changes: dict[str, Any], stage: str, words: str
) -> None:
    """The kitchen lacks something that every way of it takes."""
    assert only_fault_of(changes) == f"{stage}.ways: {words}; {MEND}"


def test_each_way_that_can_never_run_says_why() -> None:
    """The mend may lie at any of them."""
    changes = {
        f"{SHAPED}.ways[0].phases[0].hands": 5,
        f"{SHAPED}.ways[1].phases[0].equipment": [{"kind": "press"}],
    }
    assert only_fault_of(changes) == (
        f'{SHAPED}.ways: no way of "shaped" can ever run here:'
        ' "hand" takes the hands of 5 and the crew is 2;'
        f' "press" needs equipment of the kind "press", and there is none; {MEND}'
    )


def test_an_empty_kitchen_has_no_hands() -> None:
    """Who is not there cannot stir."""
    changes = {"kitchen": GONE, f"{BAKED}.ways[0].phases[0].equipment": GONE}
    fault = only_fault_of(changes | {f"{STIR}.equipment": GONE})
    assert '"spoon" takes the hands of 2 and the crew is nobody' in fault


def test_a_way_that_can_never_run_is_a_warning_where_another_is_left() -> None:
    """The plan goes by the other one, and says so."""
    day = read_day(changed(whole_day(), {f"{SHAPED}.ways[0].phases[0].hands": 5}))
    assert warnings_of(day) == [
        'buns/shaped: the way "By hand" takes the hands of 5 and the crew is 2, so it is left out.'
    ]
    assert warnings_of(read_day(whole_day())) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"batch_max": 1, "loss": 0.5}, "batch_max of 1, too few for one copy and its spares"),
        ({"batch_max": 3, "loss": 0.5}, "batch_max of 3, too few for one copy and its spares"),
        ({"batch_max": 4, "loss": 0.5}, None),
        ({"batch_max": 1, "loss": 0}, None),
    ],
)
def test_a_way_without_room_for_its_spares_is_a_warning(
    changes: dict[str, Any], words: str | None
) -> None:
    """At half lost and nine in ten sure, one good copy takes four: 1 - 0.5⁴ = 0.9375."""
    ways = {f"{SHAPED}.ways[0].{key}": value for key, value in changes.items()}
    warnings = warnings_of(read_day(changed(whole_day(), ways)))
    assert len(warnings) == (words is not None)
    assert all(str(words) in warning for warning in warnings)


def test_a_way_through_a_zone_that_is_too_narrow_is_a_warning() -> None:
    """Two slots side by side are nowhere in the frozen zone."""
    changes = {
        "kitchen.shelves[2]": {"id": "freezer", "zone": "frozen", "levels": [1, 1]},
        f"{BAKED}.ways[0].phases[0].zone": "frozen",
    }
    assert warnings_of(read_day(changed(whole_day(), changes))) == [
        'buns/baked: the way "deck" takes 2 slots in a row, and the widest frozen level has less,'
        " so it is left out."
    ]


def test_a_fault_in_the_kitchen_is_no_lack_of_equipment() -> None:
    """What a fault hides may be there: one mistake is told once."""
    for place in ("kitchen", "kitchen.equipment", "kitchen.equipment[0]", "kitchen.crew"):
        assert only_fault_of({place: 5}).startswith(f"{place}: 5 is no ")
    assert only_fault_of({"kitchen.equipment[1].kind": 5}).startswith("kitchen.equipment[1].kind")
    assert only_fault_of({"kitchen.crew[0].skills[0]": 5}).startswith("kitchen.crew[0].skills[0]")
    assert only_fault_of({"kitchen.equipment[0].units": 0}).startswith("kitchen.equipment[0].units")


@pytest.mark.parametrize(("changes", "place", "words"), PHASES)
def test_a_phase_that_contradicts_itself_is_refused(
    changes: dict[str, Any], place: str, words: str
) -> None:
    """No work, no time, a skill of nobody, an oven without a setting."""
    assert only_fault_of(changes) == f"{place}: {words}"


def test_any_of_three_lengths_is_enough() -> None:
    """A phase may last by the copy alone."""
    for key in ("lasts_min", "per_copy_min", "per_copy_s"):
        phase = {"demonstrations[1].stages[0].ways[0].phases[0]": {key: 1}}
        assert read_day(changed(whole_day(), phase))


def test_a_setting_is_ignored_where_no_item_of_the_kind_has_settings() -> None:
    """A use may name one, and need not."""
    assert read_day(changed(whole_day(), {f"{STIR}.equipment[0].setting": 2}))


def test_one_item_with_settings_asks_every_use_of_its_kind() -> None:
    """The planner may choose that item."""
    plain = {"id": "oven-2", "kind": "oven"}
    changes = {"kitchen.equipment[2]": plain, f"{BAKE}.equipment[0].setting": GONE}
    assert '"oven-1" of the kind "oven" has settings' in only_fault_of(changes)


def test_a_copy_takes_slots_or_shares_one() -> None:
    """Both at once say two different things."""
    assert only_fault_of({f"{BAKED}.copies_per_slot": 1}) == (
        f"{BAKED}.slots: 2 stands beside copies_per_slot 1; keep one of the two"
    )


def test_a_copy_fits_on_some_level_of_its_zone() -> None:
    """Its slots lie side by side on one level."""
    assert read_day(changed(whole_day(), {f"{BAKED}.slots": 6}))
    assert only_fault_of({f"{BAKED}.slots": 7}) == (
        f"{BAKED}.slots: 7 in a row are wanted and the widest ambient level has 6;"
        " write that many at most, or widen a level"
    )


def test_a_zone_without_shelves_holds_everything() -> None:
    """What the kitchen does not list is not placed."""
    assert read_day(changed(whole_day(), {"demonstrations[1].stages[0].slots": 40}))


def test_a_zone_whose_shelves_have_no_slots_holds_nothing() -> None:
    """A copy takes one slot at least."""
    fault = only_fault_of({"kitchen.shelves[1].levels": [0]})
    assert fault.startswith(
        f"{SHAPED}.slots: 1 in a row are wanted and the widest chill level has 0"
    )


def test_a_stage_that_something_takes_comes_from_somewhere() -> None:
    """A way, stock or a beat that leaves it; without, nothing can ever be served."""
    changes = {"demonstrations[1].stages[0].ways": GONE}
    assert only_fault_of(changes) == (
        'demonstrations[1].stages[0].ways: "set" is taken by "buns/baked/deck" and has no way,'
        " no stock and no beat that leaves it; add one of these"
    )
    needed = {f"{MIXED}.ways": [], f"{SHAPED}.from": [], f"{SHAPED}.ways[0].from": []}
    assert '"mixed" is taken by "buns/shape" and' in only_fault_of(needed)


@pytest.mark.parametrize(
    "source",
    [
        {
            "stock[1]": {
                "id": "jar",
                "demonstration": "jam",
                "stage": "set",
                "count": 2,
                "staged": "2027-03-03T07:00",
            }
        },
        {
            "demonstrations[1].beats": [
                {"id": "jar", "starts_s": 0, "lasts_s": 9, "leaves": [{"stage": "set"}]}
            ]
        },
        {f"{BAKED}.from[1]": GONE},
        {f"{BAKED}.ways[0].from": [{"stage": "shaped"}]},
    ],
)
def test_a_stage_without_ways_may_come_from_elsewhere_or_not_be_taken(
    source: dict[str, Any],
) -> None:
    """Stock, a beat that leaves it, or nothing that takes it, by any way."""
    assert read_day(changed(whole_day(), {"demonstrations[1].stages[0].ways": GONE, **source}))


def test_a_fault_in_the_stock_is_no_lack_of_stock() -> None:
    """What a fault hides may be there: one mistake is told once."""
    changes = {"demonstrations[1].stages[0].ways": GONE, "stock": 5}
    assert only_fault_of(changes).startswith("stock: 5 is no list")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {f"{BAKED}.ready_to_eat": GONE},
            '"baked" is eaten here and is not ready_to_eat; write false here or true there',
        ),
        (
            {f"{BAKED}.safety_min": GONE},
            '"baked" is eaten here, needs_temperature_control and gives no safety_min;'
            " add it there",
        ),
    ],
)
def test_what_is_eaten_on_set_is_fit_to_be_eaten(changes: dict[str, Any], words: str) -> None:
    """Nobody eats what the day does not say is safe."""
    assert only_fault_of(changes) == f"{BUNS}.beats[1].needs[0].tasting: {words}"


def test_what_is_not_eaten_may_be_anything() -> None:
    """A need without tasting asks for no food facts."""
    changes = {
        f"{BUNS}.beats[1].needs[0].tasting": False,
        f"{BAKED}.ready_to_eat": False,
        f"{BAKED}.safety_min": GONE,
    }
    assert read_day(changed(whole_day(), changes))


def test_both_lacks_of_a_tasting_are_told() -> None:
    """All faults at once."""
    assert len(faults_of({f"{BAKED}.ready_to_eat": GONE, f"{BAKED}.safety_min": GONE})) == 2
