"""What dies if a run takes ten minutes longer, worked out by hand."""

from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from app.planning.risk.found import Overrun
from tests.planning.drafts import Draft, Facts, beat, cook, day, run, stage
from tests.planning.risk.odds import hour

MADE = ("11:30", "11:40", "ada")


def followed(draft: Draft) -> dict[str, Overrun]:
    """Return what follows of each run's taking longer."""
    assert draft.broken() == set()
    risk = risk_of(draft.day, Plan.model_validate(draft.document()), plays=1)
    return {each.run: each for each in risk.overruns}


def fell(overrun: Overrun) -> set[tuple[str, str, str]]:
    """Return the copies that fell, why, and for what."""
    return {
        (each.copy_id, each.why, "/".join(each.use or ()) or str(each.batch))
        for each in overrun.falls
    }


def two_beats(keeps_min: int, second: str) -> Facts:
    """Return a day that shows flour and then a dough half an hour later, and again in run two."""
    shown = [beat("open", 0, 60, {"flour": 1}, {}), beat("show", 1800, 60, {"dough": 1}, {})]
    stages = [stage("flour", keeps_min=600), stage("dough", keeps_min=keeps_min)]
    return day(stages, shown, [run("t1", "12:00"), run("t2", second)])


def served(facts: Facts, doughs: tuple[str, str]) -> Draft:
    """Return a plan with a flour and a dough for each run; the doughs are staged at these times."""
    draft = Draft(facts).batch("b1", "loaf/flour", "f1 f2", ("09:00", "09:10", "ada"))
    for number, staged in enumerate(doughs, start=1):
        begun = hour(int(staged[:2]) * 60 + int(staged[3:]) - 10)
        draft.batch(f"b{number + 1}", "loaf/dough", f"d{number}", (begun, staged, "ada"))
        draft.use(f"t{number}/open/flour", f"f{number}")
        draft.use(f"t{number}/show/dough", f"d{number}")
    return draft


def test_a_copy_at_the_end_of_its_keeping_dies() -> None:
    """It keeps an hour and is shown at the age of fifty-five minutes; the second run is far off."""
    follows = followed(served(two_beats(60, "15:00"), ("11:35", "14:35")))
    assert fell(follows["t1"]) == {("d1", "old", "t1/show/dough")}
    assert follows["t1"].short == (("t1", "show", "dough"),)
    assert follows["t1"].minutes == 10
    assert fell(follows["t2"]) == {("d2", "old", "t2/show/dough")}


def test_what_keeps_ten_minutes_longer_does_not_die() -> None:
    """To the minute: sixty-five minutes are enough."""
    follows = followed(served(two_beats(65, "15:00"), ("11:35", "14:35")))
    assert not any(each.falls or each.short for each in follows.values())


def test_the_run_after_slips_only_as_far_as_the_stage_is_taken() -> None:
    """Run one ends at 12:31 and ten minutes later: after 12:41 nothing slips, before it does."""
    for second, shown, is_late in (("12:41", "12:21", False), ("12:40", "12:20", True)):
        facts = two_beats(50, second)
        follows = followed(served(facts, ("12:00", shown)))
        late = {("d2", "old", "t2/show/dough")} if is_late else set()
        assert fell(follows["t1"]) == late


def test_a_run_that_slipped_holds_up_the_one_after() -> None:
    """Each follows at once: what keeps until the third is too old for it ten minutes later."""
    shown = [beat("show", 0, 60, {"dough": 1}, {})]
    facts = day([stage("dough", keeps_min=21)], shown, [])
    facts["runs"] = [run("t1", "12:00"), run("t2", "12:01"), run("t3", "12:03")]
    draft = Draft(facts)
    for number, staged in enumerate(("11:46", "11:48", "11:50"), start=1):
        begun = hour(11 * 60 + int(staged[3:]) - 10)
        crew = ("ada", "ben", "cem")[number - 1]
        draft.batch(f"b{number}", "loaf/dough", f"d{number}", (begun, staged, crew))
        draft.use(f"t{number}/show/dough", f"d{number}")
    facts["kitchen"] = {"crew": [cook(each) for each in ("ada", "ben", "cem")]}
    draft.day = draft.day.model_validate(facts)
    follows = followed(draft)
    # The third starts nine minutes late, when the stage is free: at 12:12.
    assert fell(follows["t1"]) == {
        ("d2", "old", "t2/show/dough"),
        ("d3", "old", "t3/show/dough"),
    }
    assert fell(follows["t2"]) == {("d3", "old", "t3/show/dough")}


def test_the_first_beat_is_on_time() -> None:
    """The flour is as old as it may be when the run begins."""
    facts = two_beats(200, "12:10")
    facts["demonstrations"][0]["stages"][0]["keeps_min"] = 170
    facts["runs"].pop()
    draft = Draft(facts).batch("b1", "loaf/flour", "f1", ("09:00", "09:10", "ada"))
    draft.batch("b2", "loaf/dough", "d1", MADE)
    follows = followed(draft.use("t1/open/flour", "f1").use("t1/show/dough", "d1"))
    assert follows["t1"].falls == ()


def test_a_run_that_goes_on_meanwhile_is_left_alone() -> None:
    """It has begun before the other should be over, on a stage of its own."""
    follows = followed(served(two_beats(50, "12:10"), ("12:00", "11:50")))
    assert follows["t1"].falls == ()
    assert fell(follows["t2"]) == {("d2", "old", "t2/show/dough")}


def test_what_comes_back_late_makes_others_late() -> None:
    """The dough is cut after the take, baked at once, and wanted at an hour that was just met."""
    bread = stage("bread", **{"from": [{"stage": "dough"}]})
    facts = day(
        [stage("dough"), bread],
        [
            beat("roll", 0, 60, {"dough": 1}, {"dough": 1}),
            beat("serve", 900, 60, {"bread": {"count": 1, "ready_margin_min": 0}}, {}),
        ],
        [
            run("t1", "12:00", beats=["roll"]),
            run("t2", "12:15", beats=["serve"], starts_at_first_beat=True),
        ],
        policy={"return_min": 4},
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE).use("t1/roll/dough", "d1")
    draft.batch("b2", "loaf/bread", "r1", ("12:05", "12:15", "ada"), takes="d1")
    draft.kin["r1"] = "d1"
    follows = followed(draft.use("t2/serve/bread", "r1"))
    assert fell(follows["t1"]) == {("r1", "late", "t2/serve/bread")}
    assert follows["t1"].short == (("t2", "serve", "bread"),)


def test_a_backup_that_dies_is_told_as_one_and_steps_in_no_more() -> None:
    """Both are as old, and nothing else is there."""
    facts = two_beats(60, "13:00")
    facts["demonstrations"][0]["beats"][1]["needs"][0]["backups"] = 1
    draft = Draft(facts).batch("b1", "loaf/flour", "f1 f2", ("09:00", "09:10", "ada"))
    draft.batch("b2", "loaf/dough", "d1 d2", ("11:25", "11:35", "ada"))
    draft.batch("b3", "loaf/dough", "d3 d4", ("13:00", "13:10", "ada"))
    draft.use("t1/open/flour", "f1").use("t2/open/flour", "f2")
    draft.use("t1/show/dough", "d1", "d2").use("t2/show/dough", "d3", "d4")
    follows = followed(draft)
    assert fell(follows["t1"]) == {("d1", "old", "t1/show/dough"), ("d2", "old", "t1/show/dough")}
    assert {each.copy_id for each in follows["t1"].falls if each.is_backup} == {"d2"}
    assert follows["t1"].short == (("t1", "show", "dough"),)
    assert follows["t2"].short == ()


def test_a_backup_that_is_young_enough_saves_the_use() -> None:
    """The copy dies, and the use lacks nothing."""
    facts = two_beats(60, "15:00")
    facts["runs"] = facts["runs"][:1]
    facts["demonstrations"][0]["beats"][1]["needs"][0]["backups"] = 1
    draft = Draft(facts).batch("b1", "loaf/flour", "f1", ("09:00", "09:10", "ada"))
    draft.batch("b2", "loaf/dough", "d1", ("11:25", "11:35", "ada"))
    draft.batch("b3", "loaf/dough", "d2", ("11:40", "11:50", "ada"))
    follows = followed(draft.use("t1/open/flour", "f1").use("t1/show/dough", "d1", "d2"))
    assert fell(follows["t1"]) == {("d1", "old", "t1/show/dough")}
    assert follows["t1"].short == ()


def test_a_dry_run_that_takes_longer_holds_up_the_next() -> None:
    """It takes no food, but the stage."""
    facts = two_beats(60, "12:32")
    facts["runs"][0] |= {"dry": True}
    draft = Draft(facts).batch("b1", "loaf/flour", "f1", ("09:00", "09:10", "ada"))
    draft.batch("b2", "loaf/dough", "d1", ("11:55", "12:05", "ada"))
    follows = followed(draft.use("t2/open/flour", "f1").use("t2/show/dough", "d1"))
    assert fell(follows["t1"]) == {("d1", "old", "t2/show/dough")}
