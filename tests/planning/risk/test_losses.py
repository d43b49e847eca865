"""How surely enough copies come out well, against the binomial distribution.

Source: scipy.stats.binom; m = 4 good copies at a loss of .1 take 6 started at 95 % (binomial
tables, as in tests/published/test_spares.py).
"""

import pytest
from scipy.stats import binom

from app.planning.plan import Plan
from app.planning.risk.words import Wording
from tests.planning.drafts import Draft, Facts, beat, day, run, stage, way
from tests.planning.risk.odds import agrees, length, played, use_of

SHOWN = "t1/show/dough"
MADE = ("10:00", "10:10", "ada")
POLICY = {"confidence": 0.95}


def lossy(count: int = 1, backups: int = 0, loss: float = 0.1, **rest: object) -> Facts:
    """Return a day that needs doughs at 12:00, each lost with a chance."""
    needs = {"dough": {"count": count, "backups": backups}}
    return day(
        [stage("dough", loss=loss)],
        [beat("show", 0, 60, needs, {})],
        [run("t1", "12:00")],
        policy=POLICY,
        **rest,
    )


def at_least(good: int, started: int, loss: float) -> float:
    """Return the chance that so many come out well."""
    return float(binom.sf(good - 1, started, 1 - loss))


def test_the_extra_for_losses_is_as_sure_as_the_tables_say() -> None:
    """Six started for four."""
    draft = Draft(lossy(4)).batch("b1", "loaf/dough", "d1 d2 d3 d4 d5 d6", MADE)
    use = use_of(played(draft.use(SHOWN, "d1 d2 d3 d4"), 0), SHOWN)
    assert agrees(use, at_least(4, 6, 0.1))
    assert (use.late, use.old) == (0, 0)
    assert use.lost == pytest.approx(1 - use.chance)


def test_backups_step_in() -> None:
    """One is needed; two backups and two more made for losses can be lost with it, but one."""
    facts = lossy(1, backups=2, loss=0.4)
    facts["policy"] = {"confidence": 0.5}
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3 d4 d5", MADE)
    use = use_of(played(draft.use(SHOWN, "d1", "d2 d3"), 0), SHOWN)
    assert agrees(use, at_least(1, 5, 0.4))


def test_what_one_batch_has_to_spare_stands_in_for_another() -> None:
    """Two batches insured each for itself are surer together: two of four."""
    draft = Draft(lossy(2, loss=0.2)).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.batch("b2", "loaf/dough", "d3 d4", ("10:10", "10:20", "ada"))
    use = use_of(played(draft.use(SHOWN, "d1 d3"), 0), SHOWN)
    assert agrees(use, at_least(2, 4, 0.2))


def test_losses_before_are_losses_after() -> None:
    """Of each tin come up to two slices: three slices take two tins, and four are made of two."""
    tin = stage("tin", loss=0.2)
    dough = stage("dough", yields=2, **{"from": [{"stage": "tin"}]})
    facts = lossy(3)
    facts["demonstrations"][0]["stages"] = [tin, dough]
    facts["policy"] = {"confidence": 0.85}
    draft = Draft(facts).batch("b1", "loaf/tin", "c1 c2 c3", MADE)
    draft.batch("b2", "loaf/dough", "d1 d2 d3", ("10:20", "10:30", "ada"), takes="c1 c2")
    use = use_of(played(draft.use(SHOWN, "d1 d2 d3"), 0), SHOWN)
    assert agrees(use, at_least(2, 3, 0.2))
    assert use.lost == pytest.approx(1 - use.chance)
    assert use.blame == "b2"


def test_what_is_too_old_for_the_step_after_is_named() -> None:
    """A tin done sooner than planned is too old when its dough begins to the minute it keeps.

    So it is however many steps come after; what is lost in the making has nothing to be named.
    """
    facts = lossy(1, loss=0)
    loaf = [
        stage("tin", keeps_min=20),
        stage("lined", keeps_min=300, yields=2, **{"from": [{"stage": "tin"}]}),
        stage("dough", yields=2, **{"from": [{"stage": "lined"}]}),
    ]
    facts["demonstrations"][0]["stages"] = loaf
    draft = Draft(facts).batch("b1", "loaf/tin", "c1", MADE)
    draft.batch("b2", "loaf/lined", "l1", ("10:30", "10:40", "ada"), takes="c1")
    draft.batch("b3", "loaf/dough", "d1", ("11:00", "11:10", "ada"), takes="l1")
    draft.use(SHOWN, "d1")
    risk = played(draft, 0.1)
    use = use_of(risk, SHOWN)
    soon = float(length(10, 0.1).cdf(10))
    assert agrees(use, 1 - soon)
    assert use.unmade is not None
    assert (use.blame, use.unmade.batch, use.unmade.copy_id) == ("b3", "b2", "c1")
    assert use.unmade.share == pytest.approx(use.lost)
    told = Wording(draft.day, Plan.model_validate(draft.document()), risk)
    assert told.why(use).endswith(", mostly: tin too old for lined at 10:30")
    lost = played(Draft(lossy()).batch("b1", "loaf/dough", "d1 d2", MADE).use(SHOWN, "d1"), 0.1)
    assert use_of(lost, SHOWN).unmade is None


def test_the_soonest_use_gets_what_is_there() -> None:
    """Of two good copies wanted and one found, the first take has it; backups serve before."""
    facts = lossy(1, loss=0.5)
    facts["runs"].append(run("t2", "13:00"))
    facts["policy"] = {"confidence": 0.3}
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3", MADE)
    risk = played(draft.use(SHOWN, "d1").use("t2/show/dough", "d2"), 0)
    assert agrees(use_of(risk, SHOWN), at_least(1, 3, 0.5))
    assert agrees(use_of(risk, "t2/show/dough"), at_least(2, 3, 0.5))
    assert risk.whole_day.chance == use_of(risk, "t2/show/dough").chance


def test_a_beat_that_lacks_a_copy_leaves_nothing_new() -> None:
    """What is cut in take 1 is served in take 2, as often as there was something to cut."""
    slice_ = {"id": "slice", "keeps_min": 240, "ways": []}
    facts = day(
        [stage("dough", loss=0.3), slice_],
        [beat("cut", 0, 60, {"dough": 1}, {"slice": 1}), beat("serve", 90, 60, {"slice": 1}, {})],
        [run("t1", "12:00")],
        policy={"confidence": 0.6},
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/cut/dough", "d1")
    draft.left("s1", "loaf/slice", "t1/cut", "12:01").use("t1/serve/slice", "s1")
    risk = played(draft, 0)
    assert agrees(use_of(risk, "t1/serve/slice"), at_least(1, 2, 0.3))
    assert use_of(risk, "t1/serve/slice").blame is None


def test_a_stand_in_is_used_again_in_the_place_of_what_it_stands_in_for() -> None:
    """The dough of take 1 is handed back and shown in take 2; of two, one has to be good."""
    facts = lossy(1, loss=0.3)
    facts["demonstrations"][0]["beats"] = [beat("show", 0, 60, {"dough": 1}, {"dough": 1})]
    facts["runs"].append(run("t2", "13:00"))
    facts["policy"] = {"confidence": 0.6}
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
    risk = played(draft.use(SHOWN, "d1").use("t2/show/dough", "d1"), 0)
    assert agrees(use_of(risk, SHOWN), at_least(1, 2, 0.3))
    assert use_of(risk, "t2/show/dough").chance == use_of(risk, SHOWN).chance


def test_what_has_been_on_camera_stands_in_for_nothing_untouched() -> None:
    """The spare of a batch made from a dough that was shown is no help to the second use."""
    flat = stage("flat", loss=0.4, **{"from": [{"stage": "dough"}]})
    facts = day(
        [stage("dough"), flat],
        [
            beat("roll", 0, 60, {"dough": 2}, {"dough": 2}),
            beat("touch", 3600, 60, {"flat": 1}, {}),
            beat("hero", 7200, 60, {"flat": {"count": 1, "untouched": True}}, {}),
        ],
        [run("t1", "12:00")],
        policy={"confidence": 0.6},
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.batch("b2", "loaf/dough", "d3 d4", ("10:10", "10:20", "ada"))
    draft.use("t1/roll/dough", "d1 d2")
    draft.batch("b3", "loaf/flat", "f1 f2", ("12:10", "12:20", "ada"), takes="d1 d2")
    draft.batch("b4", "loaf/flat", "f3 f4", ("12:20", "12:30", "ada"), takes="d3 d4")
    draft.kin |= {"f1": "d1", "f2": "d2", "f3": "d3", "f4": "d4"}
    risk = played(draft.use("t1/touch/flat", "f1").use("t1/hero/flat", "f3"), 0)
    # The touched use has its own spare, and that of the other batch where both came out well.
    own, both = at_least(1, 2, 0.4), at_least(2, 2, 0.4)
    assert agrees(use_of(risk, "t1/touch/flat"), own + (1 - own) * both)
    assert agrees(use_of(risk, "t1/hero/flat"), own)


def test_what_was_lent_to_a_take_is_missing_untouched() -> None:
    """What comes late has been on camera: it can't take the place of the hero that stood in."""
    flat = stage("flat", way(60), keeps_min=600, **{"from": [{"stage": "dough"}]})
    facts = day(
        [stage("dough"), flat],
        [
            beat("roll", 0, 60, {"dough": 1}, {"dough": 1}),
            beat("touch", 7200, 60, {"flat": {"count": 1, "backups": 1}}, {}),
            beat("hero", 10800, 60, {"flat": {"count": 1, "untouched": True}}, {}),
        ],
        [run("t1", "12:00")],
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2", MADE).use("t1/roll/dough", "d1")
    draft.batch("b2", "loaf/flat", "f2", ("10:30", "11:30", "ada"), takes="d2")
    draft.batch("b3", "loaf/flat", "f1", ("12:50", "13:50", "ada"), takes="d1")
    draft.kin |= {"f1": "d1", "f2": "d2"}
    risk = played(draft.use("t1/touch/flat", "f1", "f2").use("t1/hero/flat", "f2"), 0.3)
    assert use_of(risk, "t1/touch/flat").chance == 1
    assert agrees(use_of(risk, "t1/hero/flat"), float(length(60, 0.3).cdf(70)))


def test_what_is_tasted_has_to_be_young_enough_to_be_safe() -> None:
    """It keeps four hours, may be eaten for an hour and a half, and is made in about an hour."""
    tasted = {"dough": {"count": 1, "tasting": True}}
    facts = day(
        [stage("dough", way(60), ready_to_eat=True, safety_min=90)],
        [beat("taste", 0, 60, tasted, {})],
        [run("t1", "12:00")],
    )
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:30", "10:30", "ada"))
    use = use_of(played(draft.use("t1/taste/dough", "d1"), 0.2), "t1/taste/dough")
    assert agrees(use, float(length(60, 0.2).sf(60)))
    assert use.old == pytest.approx(1 - use.chance, abs=1e-3)
