"""What one more backup at the weakest link costs and gives."""

import pytest
from scipy.stats import binom

from app.planning.plan import Plan
from app.planning.risk.chances import risk_of
from tests.planning.drafts import Draft, Facts, beat, day, run, stage, way
from tests.planning.risk.odds import agrees, played, use_of

MADE = ("10:00", "10:10", "ada")
SHOWN = "t1/show/dough"


def lossy(*stages: Facts, confidence: float = 0.5, count: int = 1) -> Facts:
    """Return a day that needs doughs at 12:00."""
    shown = [beat("show", 0, 60, {"dough": count}, {})]
    return day([*stages], shown, [run("t1", "12:00")], policy={"confidence": confidence})


def test_one_more_is_one_more_that_may_come_out_well() -> None:
    """Two were started for one at a loss of .4; for two good ones it takes three."""
    draft = Draft(lossy(stage("dough", loss=0.4))).batch("b1", "loaf/dough", "d1 d2", MADE)
    risk = played(draft.use(SHOWN, "d1"), 0)
    gain = risk.one_more_backup
    assert gain is not None
    assert gain.cost == 1
    assert agrees(use_of(risk, SHOWN), float(binom.sf(0, 2, 0.6)))
    assert gain.chance == pytest.approx(float(binom.sf(0, 3, 0.6)), abs=5 * gain.error)


def test_its_extra_for_losses_is_paid_for_and_helps() -> None:
    """At 95 % two good ones take five started, three more than one: P(≥1 of 2) is .84."""
    facts = lossy(stage("dough", loss=0.4, cost=2), confidence=0.83)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
    gain = played(draft.use(SHOWN, "d1"), 0).one_more_backup
    assert gain is not None
    started = next(n for n in range(3, 9) if binom.sf(1, n, 0.6) >= 0.83)
    assert gain.cost == 2 * (started - 2)
    assert gain.chance == pytest.approx(float(binom.sf(0, started, 0.6)), abs=5 * gain.error + 1e-4)


def test_all_that_goes_into_it_is_paid_for() -> None:
    """A dough takes two sponges of cost 3; a sponge takes a flour, and a flour makes four."""
    flour = stage("flour")
    sponge = stage("sponge", cost=3, yields=4, **{"from": [{"stage": "flour"}]})
    dough = stage("dough", loss=0.4, **{"from": [{"stage": "sponge", "count": 2}]})
    draft = Draft(lossy(flour, sponge, dough)).batch("b1", "loaf/flour", "f1", MADE)
    draft.batch("b2", "loaf/sponge", "s1 s2 s3 s4", ("10:10", "10:20", "ada"), takes="f1")
    draft.batch("b3", "loaf/dough", "d1 d2", ("10:20", "10:30", "ada"), takes="s1 s2 s3 s4")
    gain = played(draft.use(SHOWN, "d1"), 0).one_more_backup
    assert gain is not None
    assert gain.cost == 1 + 2 * 3 + 1
    assert gain.chance == pytest.approx(float(binom.sf(0, 3, 0.6)), abs=5 * gain.error)


def test_it_is_made_in_a_batch_that_has_room() -> None:
    """The later batch is full; the earlier one has room, and is not late."""
    facts = lossy(stage("dough", way(30, most=1)), count=2)
    facts["demonstrations"][0]["stages"][0]["ways"].append(way(10, most=3) | {"id": "other"})
    draft = Draft(facts)
    draft.batch("b1", "loaf/dough", "d1", ("10:00", "10:10", "ada"), way="other")
    draft.batch("b2", "loaf/dough", "d2", ("11:20", "11:50", "ada"))
    risk = played(draft.use(SHOWN, "d1 d2"), 0.3)
    gain = risk.one_more_backup
    assert gain is not None
    assert use_of(risk, SHOWN).chance < 0.95
    assert gain.chance == 1


def test_more_from_the_same_late_batch_changes_nothing() -> None:
    """What is late is late with all its copies."""
    facts = lossy(stage("dough", way(60)))
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("10:50", "11:50", "ada"))
    risk = played(draft.use(SHOWN, "d1"), 0.2)
    gain = risk.one_more_backup
    assert gain is not None
    assert gain.chance == use_of(risk, SHOWN).chance < 1


def test_what_no_batch_makes_can_be_made_no_more_of() -> None:
    """A link that hangs on what a beat left: there is no batch to make one more in."""
    slice_ = {"id": "slice", "keeps_min": 240, "ways": []}
    facts = day(
        [stage("dough", loss=0.3), slice_],
        [beat("cut", 0, 60, {"dough": 1}, {"slice": 1}), beat("serve", 90, 60, {"slice": 1}, {})],
        [run("t1", "12:00")],
        policy={"confidence": 0.6},
    )
    facts["demonstrations"][0]["beats"].reverse()
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/cut/dough", "d1")
    draft.left("s1", "loaf/slice", "t1/cut", "12:01").use("t1/serve/slice", "s1")
    risk = played(draft, 0)
    assert risk.weakest_use is not None
    assert risk.weakest_use.stage == "slice"
    assert risk.one_more_backup is None


def test_where_nothing_ever_lacks_nothing_helps() -> None:
    """There is no weakest link."""
    draft = Draft(lossy(stage("dough"))).batch("b1", "loaf/dough", "d1", MADE).use(SHOWN, "d1")
    assert draft.broken() == set()
    risk = risk_of(draft.day, Plan.model_validate(draft.document()), plays=50)
    assert (risk.weakest, risk.one_more_backup, risk.ten_minutes_more) == (None, None, None)
    assert risk.whole_day.chance == 1
