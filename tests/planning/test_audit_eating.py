"""What must not have been on camera, and what is tasted."""

import pytest

from tests.planning.drafts import Draft, Facts, beat, day, run, stage

MADE = ("08:00", "08:10", "ada")


def _day(need: Facts, **of_stage: object) -> Facts:
    """Return a day where a beat shows a dough and hands it back, and another wants a bun."""
    show = beat("show", 0, 60, {"dough": 1}, {"dough": 1})
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    eat = beat("eat", 0, 60, {"bun": {"count": 1, **need}}, {})
    bun = stage("bun", **({"from": [{"stage": "dough"}], "yields": 2} | of_stage))
    runs = [run("t1", "09:00", beats=["show"]), run("t2", "12:00", beats=["eat"])]
    runs.append(run("t0", "08:30", beats=["mix"]))
    return day([stage("dough"), bun], [show, mix, eat], runs)


def _bun(facts: Facts, dough: str) -> Draft:
    """Return a bun made from d1 (shown), d2 (never shown) or d3 (left by a beat)."""
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2" if dough == "d2" else "d1", MADE)
    if dough == "d3":
        draft.left("d3", "loaf/dough", "t0/mix", "08:31")
    draft.use("t1/show/dough", "d1")
    draft.batch("b2", "loaf/bun", "n1", ("10:00", "10:10", "ada"), takes=dough)
    draft.kin["n1"] = dough
    return draft.use("t2/eat/bun", "n1")


@pytest.mark.parametrize(
    ("dough", "expected"), [("d2", set()), ("d1", {"touched"}), ("d3", {"touched"})]
)
def test_an_untouched_need_takes_nothing_made_from_what_was_on_camera(
    dough: str, expected: set[str]
) -> None:
    assert _bun(_day({"untouched": True}), dough).broken() == expected
    assert _bun(_day({}), dough).broken() == set()


def test_every_copy_of_a_batch_counts_as_made_from_all_its_inputs() -> None:
    """Tests that one shown dough in the bowl touches all four buns."""
    facts = _day({"untouched": True})
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/show/dough", "d1")
    facts["demonstrations"][0]["beats"][2]["needs"][0]["count"] = 4
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/show/dough", "d1")
    draft.batch("b2", "loaf/bun", "n1 n2 n3 n4", ("10:00", "10:10", "ada"), takes="d1 d2")
    assert draft.use("t2/eat/bun", "n1 n2 n3 n4").broken() == {"touched"}


def test_what_was_on_camera_touches_through_any_number_of_steps() -> None:
    facts = _day({"untouched": True})
    stages = facts["demonstrations"][0]["stages"]
    stages[1]["from"] = [{"stage": "ball"}]
    stages.append(stage("ball", **{"from": [{"stage": "dough"}]}))
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    draft.batch("b2", "loaf/ball", "x1", ("10:00", "10:10", "ada"), takes="d1")
    draft.batch("b3", "loaf/bun", "n1", ("10:10", "10:20", "ada"), takes="x1")
    draft.kin = {"x1": "d1", "n1": "x1"}
    assert draft.use("t2/eat/bun", "n1").broken() == {"touched"}


def test_a_copy_handed_back_has_been_on_camera() -> None:
    show = beat("show", 0, 60, {"dough": {"count": 1, "untouched": True}}, {"dough": 1})
    facts = day([stage("dough")], [show], [run("t1", "09:00"), run("t2", "12:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/show/dough", "d1")
    assert draft.use("t2/show/dough", "d1").broken() == {"touched"}


def test_stock_has_not_been_on_camera() -> None:
    entry = {"id": "old", "demonstration": "loaf", "stage": "bun", "count": 1}
    facts = _day({"untouched": True}) | {"stock": [entry | {"staged": "2027-03-04T09:00"}]}
    facts["runs"] = facts["runs"][1:2]
    draft = Draft(facts).stock("n1", "loaf/bun", "old", "09:00")
    assert draft.use("t2/eat/bun", "n1").broken() == set()


def _tasted(**of_stage: object) -> Draft:
    facts = _day({"tasting": True}, **({"ready_to_eat": True} | of_stage))
    return _bun(facts, "d2")


def test_what_is_tasted_is_ready_to_eat() -> None:
    assert _tasted().broken() == set()
    assert _tasted(ready_to_eat=False).broken() == {"unsafe"}


def test_what_is_tasted_is_eaten_while_it_is_safe() -> None:
    """Tests a bun staged 10:10 and tasted 12:00."""
    assert _tasted(safety_min=110).broken() == set()
    assert _tasted(safety_min=109).broken() == {"unsafe"}


def test_what_is_tasted_has_not_been_on_camera() -> None:
    facts = _day({"tasting": True}, ready_to_eat=True)
    assert _bun(facts, "d1").broken() == {"touched", "unsafe"}


def test_a_backup_of_a_tasting_is_safe_too() -> None:
    facts = _day({"tasting": True, "backups": 1}, ready_to_eat=True, safety_min=110, yields=1)
    facts["kitchen"]["crew"].append(facts["kitchen"]["crew"][0] | {"id": "bea"})
    facts["runs"] = facts["runs"][1:2]
    for starts, expected in (("10:00", set()), ("09:59", {"unsafe"})):
        draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
        draft.batch("b2", "loaf/bun", "n1", ("10:00", "10:10", "ada"), takes="d1")
        ends = "10:10" if starts == "10:00" else "10:09"
        draft.batch("b3", "loaf/bun", "n2", (starts, ends, "bea"), takes="d2")
        draft.kin = {"n1": "d1", "n2": "d2"}
        assert draft.use("t2/eat/bun", "n1", "n2").broken() == expected
