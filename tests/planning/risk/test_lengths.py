"""How surely copies are there in time, against closed forms of lengths and their sums."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, cook, day, run, stage, way
from tests.planning.risk.odds import (
    agrees,
    chain_within,
    hour,
    length,
    played,
    sum_within,
    use_of,
)

NOON = 12 * 60
SHOWN = "t1/show/dough"


def unattended(lasts_min: int, **rest: object) -> Facts:
    """Return a way of one phase that nobody minds."""
    return way(lasts_min, hands=0, **rest)


def one_use(*stages: Facts, margin_min: int = 10, **rest: object) -> Facts:
    """Return a day that needs one dough at 12:00."""
    needs = {"dough": {"count": 1, "ready_margin_min": margin_min}}
    return day([*stages], [beat("show", 0, 60, needs, {})], [run("t1", "12:00")], **rest)


@pytest.mark.parametrize(("spread", "margin_min"), [(0.1, 10), (0.1, 0), (0.3, 20), (1.5, 15)])
def test_one_length_is_over_as_often_as_its_lognormal_says(spread: float, margin_min: int) -> None:
    """An hour that ends a margin before the use; the margin is what it may take longer."""
    begins, ends = hour(NOON - margin_min - 60), hour(NOON - margin_min)
    draft = Draft(one_use(stage("dough", unattended(60)), margin_min=margin_min))
    draft.batch("b1", "loaf/dough", "d1", (begins, ends)).use(SHOWN, "d1")
    use = use_of(played(draft, spread), SHOWN)
    assert agrees(use, float(length(60, spread).cdf(60 + margin_min)))
    assert use.late == pytest.approx(1 - use.chance)
    assert use.blame in ("b1", None)


@pytest.mark.parametrize("spread", [0.1, 0.4])
def test_phases_of_a_batch_take_the_sum_of_their_lengths(spread: float) -> None:
    """Twenty, thirty and forty minutes without a gap, and ten to spare."""
    phases = [{"lasts_min": each} for each in (20, 30, 40)]
    three = {"id": "way", "phases": phases}
    draft = Draft(one_use(stage("dough", three)))
    draft.batch(
        "b1", "loaf/dough", "d1", ("10:20", "10:40"), ("10:40", "11:10"), ("11:10", "11:50")
    ).use(SHOWN, "d1")
    chance = sum_within((20, 30, 40), 100, spread)
    assert agrees(use_of(played(draft, spread), SHOWN), chance)


@pytest.mark.parametrize("gap_min", [30, 36])
def test_a_batch_waits_for_its_inputs_and_never_starts_before_its_time(gap_min: int) -> None:
    """The first takes half an hour; the second is planned at once, or six minutes after."""
    flour = stage("flour", unattended(30))
    dough = stage("dough", unattended(40), **{"from": [{"stage": "flour"}]})
    draft = Draft(one_use(flour, dough))
    draft.kin["d1"] = "f1"
    first = NOON - 50 - gap_min
    draft.batch("b1", "loaf/flour", "f1", (hour(first), hour(first + 30)))
    draft.batch("b2", "loaf/dough", "d1", ("11:10", "11:50"), takes="f1").use(SHOWN, "d1")
    assert agrees(
        use_of(played(draft, 0.2), SHOWN), chain_within(30, gap_min, 40, gap_min + 50, 0.2)
    )


def test_a_cook_comes_late_from_the_task_before() -> None:
    """Two batches that share nothing but the one who does them."""
    side = {"id": "side", "keeps_min": 240, "ways": [way(30)]}
    facts = one_use(stage("dough", way(40)), side)
    facts["demonstrations"][0]["beats"][0]["needs"].append({"stage": "side"})
    draft = Draft(facts)
    draft.batch("b1", "loaf/side", "s1", ("10:40", "11:10", "ada"))
    draft.batch("b2", "loaf/dough", "d1", ("11:10", "11:50", "ada"))
    draft.use(SHOWN, "d1").use("t1/show/side", "s1")
    assert agrees(use_of(played(draft, 0.2), SHOWN), chain_within(30, 30, 40, 80, 0.2))


@pytest.mark.parametrize(("units", "is_alone"), [(1, False), (2, True)])
def test_an_oven_that_is_taken_is_waited_for(units: int, is_alone: bool) -> None:
    """The second batch waits for the level of the first, and with two levels for none."""
    oven = {"id": "oven-1", "kind": "oven", "units": units}
    baking: Facts = {"hands": 0, "equipment": [{"kind": "oven", "per_batch": 1}]}
    side = {"id": "side", "keeps_min": 240, "ways": [way(30, **baking)]}
    facts = one_use(
        stage("dough", way(40, **baking)), side, kitchen={"crew": [cook()], "equipment": [oven]}
    )
    facts["demonstrations"][0]["beats"][0]["needs"].append({"stage": "side"})
    draft = Draft(facts)
    draft.batch("b1", "loaf/side", "s1", ("10:40", "11:10", "", {"oven-1": 1}))
    draft.batch("b2", "loaf/dough", "d1", ("11:10", "11:50", "", {"oven-1": 1}))
    draft.use(SHOWN, "d1").use("t1/show/side", "s1")
    chance = float(length(40, 0.2).cdf(50)) if is_alone else chain_within(30, 30, 40, 80, 0.2)
    assert agrees(use_of(played(draft, 0.2), SHOWN), chance)


def test_an_oven_changes_its_setting_before_the_next_bake() -> None:
    """The change is planned with five minutes to spare."""
    oven = {"id": "oven-1", "kind": "oven", "settings": {"change_min": 15}}

    def bake(lasts_min: int, setting: int) -> Facts:
        used = [{"kind": "oven", "per_batch": 1, "setting": setting}]
        return way(lasts_min, hands=0, equipment=used)

    side = {"id": "side", "keeps_min": 240, "ways": [bake(30, 160)]}
    facts = one_use(
        stage("dough", bake(40, 220)), side, kitchen={"crew": [cook()], "equipment": [oven]}
    )
    facts["demonstrations"][0]["beats"][0]["needs"].append({"stage": "side"})
    draft = Draft(facts)
    draft.batch("b1", "loaf/side", "s1", ("10:20", "10:50", "", {"oven-1": 1}))
    draft.batch("b2", "loaf/dough", "d1", ("11:10", "11:50", "", {"oven-1": 1}))
    draft.heat("oven-1", 160, "10:05", "10:20").heat("oven-1", 220, "10:55", "11:10")
    draft.use(SHOWN, "d1").use("t1/show/side", "s1")
    # The second may start 15 min after the first is out, planned 50 min after its start.
    late = chain_within(30, 35, 40, 85, 0.2)
    assert agrees(use_of(played(draft, 0.2), SHOWN), late)


def test_a_late_bake_waits_until_its_oven_is_open_again() -> None:
    """It is shut from a minute after the bake should be out until half an hour before the use."""
    oven = {
        "id": "oven-1", "kind": "oven",
        "closed": [["2027-03-04T10:41", "2027-03-04T11:30"]],
    }  # fmt: skip
    flour = stage("flour", unattended(30))
    baked = way(20, hands=0, equipment=[{"kind": "oven", "per_batch": 1}])
    dough = stage("dough", baked, **{"from": [{"stage": "flour"}]})
    facts = one_use(flour, dough, margin_min=30,
                    kitchen={"crew": [cook()], "equipment": [oven]})  # fmt: skip
    draft = Draft(facts)
    draft.kin["d1"] = "f1"
    draft.batch("b1", "loaf/flour", "f1", ("09:50", "10:20"))
    draft.batch("b2", "loaf/dough", "d1", ("10:20", "10:40", "", {"oven-1": 1}), takes="f1")
    draft.use(SHOWN, "d1")
    # Begun before it shuts, a bake goes on; else it begins when the use is half an hour away.
    begun, after = float(length(30, 0.5).cdf(51)), float(length(20, 0.5).cdf(30))
    assert agrees(use_of(played(draft, 0.5), SHOWN), begun + (1 - begun) * after)


def test_ten_minutes_more_move_the_bound_by_ten_minutes() -> None:
    """Only the one weakest link is told of."""
    draft = Draft(one_use(stage("dough", unattended(60))))
    draft.batch("b1", "loaf/dough", "d1", ("10:50", "11:50")).use(SHOWN, "d1")
    risk = played(draft, 0.2)
    assert risk.weakest_use is not None
    assert risk.weakest_use.key == ("t1", "show", "dough")
    gain = risk.ten_minutes_more
    assert gain is not None
    assert gain.cost is None
    assert gain.chance == pytest.approx(float(length(60, 0.2).cdf(80)), abs=5 * gain.error)


def test_what_is_staged_early_grows_too_old() -> None:
    """A copy keeps an hour, and is planned to be fifty minutes old: quick work makes it stale."""
    draft = Draft(one_use(stage("dough", unattended(60), keeps_min=60), margin_min=50))
    draft.batch("b1", "loaf/dough", "d1", ("10:10", "11:10")).use(SHOWN, "d1")
    use = use_of(played(draft, 0.2), SHOWN)
    both = length(60, 0.2)
    assert agrees(use, float(both.cdf(110) - both.cdf(50)))
    assert use.old == pytest.approx(float(both.cdf(50)), abs=0.01)
    assert use.late == pytest.approx(float(both.sf(110)), abs=0.01)


def two_phases(*, hands: int = 0, settings: tuple[int, int] | None = None) -> Facts:
    """Return a way of half an hour and then forty minutes in the oven, or of the oven alone."""
    baked: Facts = {"kind": "oven", "per_batch": 1}
    first: Facts = {"lasts_min": 30}
    if settings is not None:
        first["equipment"] = [baked | {"setting": settings[0]}]
        baked = baked | {"setting": settings[1]}
    return {
        "id": "way",
        "phases": [first, {"lasts_min": 40, "hands": hands, "equipment": [baked]}],
    }


def in_the_oven(facts: Facts, crew: str = "", first: Facts | None = None) -> Draft:
    """Return a plan of the two phases that end ten minutes before the use."""
    draft = Draft(facts)
    return draft.batch(
        "b1",
        "loaf/dough",
        "d1",
        ("10:40", "11:10", "", first),
        ("11:10", "11:50", crew, {"oven-1": 1}),
    ).use(SHOWN, "d1")


def test_a_quick_phase_brings_the_next_one_forward() -> None:
    """Nothing is waited for: the sum of both."""
    facts = one_use(
        stage("dough", two_phases()), kitchen={"equipment": [{"id": "oven-1", "kind": "oven"}]}
    )
    assert agrees(use_of(played(in_the_oven(facts), 0.2), SHOWN), sum_within((30, 40), 80, 0.2))


def test_but_not_before_the_oven_is_hot() -> None:
    """It is lit for the planned minute."""
    oven = {"id": "oven-1", "kind": "oven", "settings": {"change_min": 15}}
    way_in = two_phases()
    way_in["phases"][1]["equipment"][0]["setting"] = 220
    facts = one_use(stage("dough", way_in), kitchen={"equipment": [oven]})
    draft = in_the_oven(facts).heat("oven-1", 220, "10:55", "11:10")
    assert agrees(use_of(played(draft, 0.6), SHOWN), chain_within(30, 30, 40, 80, 0.6))


def test_nor_before_the_cook_comes() -> None:
    """The shift begins with a piece that ends when the oven is to be filled: both are one."""
    kitchen = {
        "equipment": [{"id": "oven-1", "kind": "oven"}],
        "crew": [{"id": "ada", "shifts": [["2027-03-04T11:06", "2027-03-04T11:08"],
                                          ["2027-03-04T11:08", "2027-03-04T18:00"]]}],
    }  # fmt: skip
    draft = in_the_oven(one_use(stage("dough", two_phases(hands=1)), kitchen=kitchen), "ada")
    assert agrees(use_of(played(draft, 0.6), SHOWN), chain_within(30, 26, 40, 80, 0.6))


def test_nor_into_the_hours_that_the_oven_is_shut() -> None:
    """It opens again three minutes before the planned minute."""
    oven = {"id": "oven-1", "kind": "oven", "closed": [["2027-03-04T10:00", "2027-03-04T11:07"]]}
    facts = one_use(stage("dough", two_phases()), kitchen={"equipment": [oven]})
    draft = in_the_oven(facts)
    assert agrees(use_of(played(draft, 0.6), SHOWN), chain_within(30, 27, 40, 80, 0.6))


def test_a_falling_oven_needs_no_time_between() -> None:
    """One batch alone takes it from one setting to the next: the sum of both phases."""
    oven = {"id": "oven-1", "kind": "oven", "settings": {"change_min": 15}}
    facts = one_use(stage("dough", two_phases(settings=(240, 200))), kitchen={"equipment": [oven]})
    draft = in_the_oven(facts, first={"oven-1": 1}).heat("oven-1", 240, "10:25", "10:40")
    assert agrees(use_of(played(draft, 0.2), SHOWN), sum_within((30, 40), 80, 0.2))
