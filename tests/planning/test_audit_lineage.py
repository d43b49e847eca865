"""What each batch is made from, where copies come from, what they are for, and their labels."""

from collections.abc import Callable

import pytest

from tests.planning.drafts import Draft, Facts, beat, codes, day, run, stage

MADE = ("08:00", "08:10", "ada")
Change = Callable[[Facts], object]


def _buns(**of_stage: object) -> Facts:
    """Return a day that needs three buns at 10:00, made from dough."""
    facts = {"from": [{"stage": "dough"}], **of_stage}
    show = beat("show", 0, 60, {"bun": 3}, {})
    return day([stage("dough"), stage("bun", **facts)], [show], [run("t1", "10:00")])


def _rolled(facts: Facts, doughs: str, kin: dict[str, str] | None = None) -> Draft:
    draft = Draft(facts).batch("b1", "loaf/dough", doughs, MADE)
    draft.batch("b2", "loaf/bun", "n1 n2 n3", ("09:00", "09:10", "ada"), takes=doughs)
    draft.kin = {"n1": "d1", "n2": "d2", "n3": "d3"} if kin is None else kin
    return draft.use("t1/show/bun", "n1 n2 n3")


def test_a_batch_takes_one_set_for_each_copy() -> None:
    assert _rolled(_buns(), "d1 d2 d3").broken() == set()
    assert _rolled(_buns(), "d1 d2", {}).broken() == {"lineage"}
    assert _rolled(_buns(), "d1 d2 d3 d4").broken() == {"lineage"}


def test_sets_are_rounded_up() -> None:
    """Tests that three buns at two a set take two doughs."""
    facts = _buns(yields=2)
    assert _rolled(facts, "d1 d2", {}).broken() == set()
    assert _rolled(facts, "d1", {}).broken() == {"lineage"}
    assert _rolled(facts, "d1 d2 d3", {}).broken() == {"lineage"}


def test_a_set_takes_as_many_as_it_says() -> None:
    facts = _buns(**{"from": [{"stage": "dough", "count": 2}]})
    assert _rolled(facts, "d1 d2 d3 d4 d5 d6", {}).broken() == set()
    assert _rolled(facts, "d1 d2 d3", {}).broken() == {"lineage"}


def test_a_way_may_take_and_yield_otherwise_than_its_stage() -> None:
    facts = _buns()
    way = facts["demonstrations"][0]["stages"][1]["ways"][0]
    way["yields"] = 3
    assert _rolled(facts, "d1", {}).broken() == set()
    way["from"] = []
    assert _rolled(facts, "d1", {}).broken() == {"lineage"}


def _filled(shells: str, fillings: str) -> Draft:
    filled = stage("filled", **{"from": [{"stage": "shell"}, {"stage": "filling"}]})
    show = beat("show", 0, 60, {"filled": 1}, {})
    facts = day([stage("shell"), stage("filling"), filled], [show], [run("t1", "10:00")])
    draft = Draft(facts).batch("b1", "loaf/shell", shells, MADE)
    draft.batch("b2", "loaf/filling", fillings, ("08:10", "08:20", "ada"))
    takes = f"{shells} {fillings}"
    draft.batch("b3", "loaf/filled", "f1", ("09:00", "09:10", "ada"), takes=takes)
    return draft.use("t1/show/filled", "f1")


def test_each_of_several_inputs_is_there() -> None:
    draft = _filled("s1", "g1")
    assert draft.broken() == set()
    assert _filled("s1 s2", "g1").broken() == {"lineage"}
    assert _filled("s1", "g1 g2").broken() == {"lineage"}


def test_a_tag_is_kept_from_the_first_of_several_inputs_or_from_an_only_one() -> None:
    """Tests that both readings of "its first `from` alone" pass, and no third."""
    for kin in ({}, {"f1": "s1"}):
        draft = _filled("s1", "g1")
        draft.kin = kin
        assert draft.broken() == set()
    draft = _filled("s1", "g1")
    draft.kin = {"f1": "g1"}
    assert draft.broken() == {"lineage"}


def test_an_input_comes_from_another_demonstration() -> None:
    """Tests that the copy made from it gets a number of its own."""
    facts = _buns(**{"from": [{"stage": "paste", "demonstration": "nut"}]})
    paste = {"id": "nut", "title": "Nut", "code": "N", "stages": [stage("paste")]}
    facts["demonstrations"].append(paste)
    draft = Draft(facts).batch("b1", "nut/paste", "p1 p2 p3", MADE)
    draft.batch("b2", "loaf/bun", "n1 n2 n3", ("09:00", "09:10", "ada"), takes="p1 p2 p3")
    draft.use("t1/show/bun", "n1 n2 n3")
    assert draft.broken() == set()
    draft.copies["p1"]["demonstration"] = "loaf"
    assert draft.broken() == {"lineage", "goals"}


def _taken_from(draft: Draft, change: Change) -> set[str]:
    plan = draft.document()
    change(plan)
    return codes(draft.day, plan) - {"goals"}


COPY: list[tuple[str, Change]] = [
    ("of another batch", lambda p: p["copies"][3].update(made_by={"batch": "b1"})),
    ("of a batch that is not there", lambda p: p["copies"][3].update(made_by={"batch": "b9"})),
    ("of nothing", lambda p: p["copies"][3].update(made_by={})),
    ("of two", lambda p: p["copies"][3].update(made_by={"batch": "b2", "stock": "x"})),
    ("of stock that is not there", lambda p: p["copies"][3].update(made_by={"stock": "x"})),
    ("of a beat that is not there", lambda p: p["copies"][3].update(made_by={"use": ["t", "b"]})),
    ("staged a minute early", lambda p: p["copies"][3].update(staged_at="2027-03-04T09:09")),
    ("staged at no time", lambda p: p["copies"][3].update(staged_at="noon")),
    ("taken by nobody", lambda p: p["copies"][3].update(taken_by=[])),
    ("taken by a stranger", lambda p: p["copies"][3]["taken_by"].append({"batch": "b9"})),
    ("taken by the same twice", lambda p: p["copies"][3].update(taken_by=_show() * 2)),
    ("of another role", lambda p: p["copies"][3].update(role="feeds")),
    ("doubled", lambda p: p["copies"].append(p["copies"][3])),
    ("with a tag out of turn", lambda p: p["copies"][3].update(tag="L-9")),
    ("with a strange tag", lambda p: p["copies"][3].update(tag="bun 1")),
    ("with a tag of another code", lambda p: p["copies"][3].update(tag="X-1")),
    ("with another's tag", lambda p: p["copies"][3].update(tag="L-2")),
    ("listed twice by its batch", lambda p: p["batches"][1]["copies"].append("n1")),
    ("whose batch is doubled", lambda p: p["batches"].append(p["batches"][0] | {"copies": []})),
]


def _show() -> list[Facts]:
    return [{"use": ["t1", "show"]}]


@pytest.mark.parametrize("change", [pytest.param(change, id=name) for name, change in COPY])
def test_a_copy_that_tells_a_wrong_story(change: Change) -> None:
    assert "lineage" in _taken_from(_rolled(_buns(), "d1 d2 d3"), change)


@pytest.mark.parametrize("what", ["demonstration", "stage", "way"])
def test_a_batch_that_the_day_does_not_know(what: str) -> None:
    plan_of = _rolled(_buns(), "d1 d2 d3")
    assert "lineage" in _taken_from(plan_of, lambda p: p["batches"][1].update({what: "none"}))


def test_a_batch_of_copies_that_nobody_lists() -> None:
    assert "lineage" in _taken_from(
        _rolled(_buns(), "d1 d2 d3"), lambda p: p["batches"][0]["copies"].append("d9")
    )
    assert "lineage" in _taken_from(
        _rolled(_buns(), "d1 d2 d3"), lambda p: p["batches"][1]["consumes"].append("d9")
    )


def test_a_batch_starts_when_its_inputs_are_staged() -> None:
    draft = _rolled(_buns(), "d1 d2 d3")
    draft.batches[0]["phases"][0].update(starts="2027-03-04T08:51", ends="2027-03-04T09:01")
    for copy in ("d1", "d2", "d3"):
        draft.copies[copy]["staged_at"] = "2027-03-04T09:01"
    assert draft.broken() == {"lineage", "late", "crew"}


def test_a_copy_is_for_something() -> None:
    """Tests that a copy started off camera for nothing is told, whatever it says of itself."""
    facts = _buns()
    facts["demonstrations"][0]["beats"][0]["needs"][0]["count"] = 2
    draft = _rolled(facts, "d1 d2 d3")
    draft.uses[0]["copies"] = ["n1", "n2"]
    for role in ("camera", "backup", "feeds"):
        changed = _taken_from(draft, lambda p, role=role: p["copies"][5].update(role=role))  # type: ignore[misc]
        assert changed == {"lineage", "spares"}


def _carrying(left: int = 1) -> Facts:
    mix = beat("mix", 0, 60, {"dough": 1}, {"bun": left})
    show = beat("show", 0, 60, {"bun": 1}, {})
    bun = stage("bun", **{"from": [{"stage": "dough"}]})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", "12:00", beats=["show"])]
    return day([stage("dough"), bun], [mix, show], runs)


def _carried(facts: Facts, staged: str = "10:01") -> Draft:
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/mix/dough", "d1")
    draft.left("n1", "loaf/bun", "t1/mix", staged).kin["n1"] = "d1"
    return draft.use("t2/show/bun", "n1")


def test_a_beat_leaves_what_the_day_says() -> None:
    assert _carried(_carrying()).broken() == set()
    assert _carried(_carrying(), "10:00").broken() == {"lineage"}
    draft = _carried(_carrying()).left("n2", "loaf/bun", "t1/mix", "10:01")
    assert draft.use("t2/show/bun").broken() >= {"lineage"}


def test_what_a_beat_left_is_listed_only_if_something_wants_it() -> None:
    draft = _carried(_carrying(left=2)).left("n2", "loaf/bun", "t1/mix", "10:01")
    draft.kin = {}
    assert draft.broken() == {"lineage"}


def test_a_beat_that_lacks_a_copy_leaves_nothing_new() -> None:
    facts = _carrying()
    facts["demonstrations"][0]["beats"][0]["needs"][0]["count"] = 2
    draft = _carried(facts).lack("t1/mix/dough", "copies", 1)
    draft.kin = {}
    assert draft.broken() == {"lineage"}


def test_what_a_beat_needs_and_leaves_is_no_new_copy() -> None:
    """Tests that of three buns left where two are needed one is new."""
    mix = beat("mix", 0, 60, {"dough": 2}, {"dough": 3})
    show = beat("show", 0, 60, {"dough": 3}, {})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", "12:00", beats=["show"])]
    facts = day([stage("dough")], [mix, show], runs)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/mix/dough", "d1 d2")
    draft.left("d3", "loaf/dough", "t1/mix", "10:01").use("t2/show/dough", "d1 d2 d3")
    assert draft.broken() == set()
    draft.left("d4", "loaf/dough", "t1/mix", "10:01").uses[1]["copies"] = ["d1", "d3", "d4"]
    assert draft.broken() == {"lineage"}


def test_stations_multiply_what_a_beat_leaves_unless_it_says_not() -> None:
    for per_station, expected in ((True, set()), (False, {"lineage"})):
        mix = beat("mix", 0, 60, {}, {"dough": {"per_station": per_station}})
        show = beat("show", 0, 60, {"dough": 2}, {})
        runs = [run("t1", "10:00", beats=["mix"], stations=2)]
        runs.append(run("t2", "12:00", beats=["show"]))
        draft = Draft(day([stage("dough")], [mix, show], runs)).use("t2/show/dough", "d1 d2")
        draft.left("d1", "loaf/dough", "t1/mix", "10:01")
        assert draft.left("d2", "loaf/dough", "t1/mix", "10:01").broken() == expected


def test_a_dry_run_leaves_nothing() -> None:
    facts = _carrying()
    facts["runs"][0]["dry"] = True
    draft = Draft(facts).left("n1", "loaf/bun", "t1/mix", "10:01").use("t2/show/bun", "n1")
    assert draft.broken() == {"lineage"}


def _stocked(count: int, listed: str, staged: str = "08:00") -> Draft:
    entry = {"id": "old", "demonstration": "loaf", "stage": "dough", "count": count}
    show = beat("show", 0, 60, {"dough": len(listed.split())}, {})
    facts = day([stage("dough")], [show], [run("t1", "10:00")])
    draft = Draft(facts | {"stock": [entry | {"staged": "2027-03-04T08:00"}]})
    for copy in listed.split():
        draft.stock(copy, "loaf/dough", "old", staged)
    return draft.use("t1/show/dough", listed)


def test_stock_is_as_the_day_says() -> None:
    assert _stocked(2, "d1 d2").broken() == set()
    assert _stocked(1, "d1 d2").broken() == {"lineage"}
    assert _stocked(2, "d1 d2", staged="08:01").broken() == {"lineage"}
    aside = _stocked(2, "d1").stock("d9", "loaf/dough", "old", "08:00")
    assert aside.broken() == {"lineage"}


def test_takers_are_told_in_order_of_time() -> None:
    show = beat("show", 0, 60, {"dough": 1}, {"dough": 1})
    facts = day([stage("dough")], [show], [run("t1", "10:00"), run("t2", "12:00")])
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    draft.use("t1/show/dough", "d1").use("t2/show/dough", "d1")
    assert _taken_from(draft, lambda p: p["copies"][0]["taken_by"].reverse()) == {"lineage"}


def test_the_ith_copy_keeps_the_tag_of_the_ith_input() -> None:
    def swap(plan: Facts) -> None:
        one, other = plan["copies"][3], plan["copies"][4]
        one["tag"], other["tag"] = other["tag"], one["tag"]

    assert _taken_from(_rolled(_buns(), "d1 d2 d3"), swap) == {"lineage"}


def test_new_numbers_follow_the_order_of_staging() -> None:
    draft = _rolled(_buns(yields=2), "d1 d2", {})

    def swap(plan: Facts) -> None:
        one, other = plan["copies"][0], plan["copies"][4]
        one["tag"], other["tag"] = other["tag"], one["tag"]

    def within(plan: Facts) -> None:
        one, other = plan["copies"][0], plan["copies"][1]
        one["tag"], other["tag"] = other["tag"], one["tag"]

    assert _taken_from(draft, within) == set()
    assert _taken_from(draft, swap) == {"lineage"}


def test_what_a_beat_makes_one_for_one_keeps_the_tag() -> None:
    draft = _carried(_carrying())
    draft.kin = {}
    assert draft.broken() == {"lineage"}
