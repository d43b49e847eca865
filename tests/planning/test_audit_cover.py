"""Backups that stand ready beside a use, and spares beside what a batch is to give."""

import pytest
from scipy.stats import binom

from app.planning.auditing.cover import chance
from tests.planning.drafts import Draft, Facts, beat, codes, day, run, stage, way

MADE = ("09:40", "09:50", "ada")
LATER = ("10:00", "10:10", "ada")


def _backed(backups: int = 1, leaves: Facts | None = None, **need: object) -> Facts:
    """Return a day with uses at 10:00 and 11:00 of one copy each, and backups."""
    wanted = {"count": 1, "backups": backups, **need}
    show = beat("show", 0, 60, {"dough": wanted}, leaves or {})
    return day([stage("dough")], [show], [run("t1", "10:00"), run("t2", "11:00")])


def _plan(facts: Facts, first: str, second: str) -> Draft:
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3", MADE)
    return draft.use("t1/show/dough", "d1", first).use("t2/show/dough", "d2", second)


def test_a_copy_kept_for_later_backs_and_one_copy_backs_several_uses() -> None:
    assert _plan(_backed(), "d2", "d3").broken() == set()
    assert _plan(_backed(), "d3", "d3").broken() == set()
    assert _plan(_backed(), "d2 d3", "d3").broken() == set()


def test_a_lacking_backup_is_told() -> None:
    draft = Draft(_backed()).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.use("t1/show/dough", "d1", "d2").use("t2/show/dough", "d2")
    assert draft.broken() == {"backups"}
    assert draft.lack("t2/show/dough", "backups", 1).broken() == set()
    assert draft.lack("t2/show/dough", "backups", 1).broken() == {"backups"}


def test_all_that_stand_ready_are_listed_where_fewer_do() -> None:
    """Tests that the second use's copy is no secret to the first, which wants two backups."""
    draft = Draft(_backed(2)).batch("b1", "loaf/dough", "d1 d2", MADE)
    draft.use("t1/show/dough", "d1").use("t2/show/dough", "d2")
    draft.lack("t1/show/dough", "backups", 2).lack("t2/show/dough", "backups", 2)
    assert draft.broken() == {"backups"}


def test_a_copy_backs_no_use_that_takes_it_or_comes_after() -> None:
    """Tests that a copy taken at or before the start is not there to back, handed back or not."""
    assert _plan(_backed(leaves={"dough": 1}), "d1", "d3").broken() == {"backups"}
    assert _plan(_backed(leaves={"dough": 1}), "d2", "d1").broken() >= {"backups"}


def test_a_backup_that_is_named_twice_or_is_no_copy_of_the_stage() -> None:
    assert _plan(_backed(), "d3 d3", "d3").broken() == {"backups"}
    assert _plan(_backed(), "d3 x9", "d3").broken() == {"backups"}


def test_stations_do_not_multiply_backups() -> None:
    facts = _backed()
    facts["runs"] = [run("t1", "10:00", stations=2)]
    draft = Draft(facts).batch("b1", "loaf/dough", "d1 d2 d3", MADE)
    assert draft.use("t1/show/dough", "d1 d2", "d3").broken() == set()


def test_each_use_counts_by_itself_also_one_that_lacks_copies() -> None:
    facts = _backed()
    facts["runs"] = [run("t1", "10:00")]
    draft = Draft(facts).lack("t1/show/dough", "copies", 1)
    assert draft.broken() == {"backups"}
    assert draft.lack("t1/show/dough", "backups", 1).broken() == set()


@pytest.mark.parametrize(
    ("starts", "keeps_min", "expected"),
    [
        ("09:40", 10, set()),
        ("09:41", 10, {"backups"}),
        ("09:30", 20, set()),
        ("09:30", 19, {"backups"}),
    ],
)
def test_a_backup_is_staged_by_the_margin_and_within_its_keeping_time(
    starts: str, keeps_min: int, expected: set[str]
) -> None:
    show = beat("show", 0, 60, {"dough": {"count": 1, "backups": 1}}, {})
    facts = day([stage("dough", way(0, per_copy_min=5), keeps_min=keeps_min)], [show], [])
    facts["runs"] = [run("t1", "10:00")]
    facts["kitchen"]["crew"].append(facts["kitchen"]["crew"][0] | {"id": "bea"})
    facts["demonstrations"][0]["stages"][0]["ways"][0]["phases"][0] = {"lasts_min": 10, "hands": 1}
    ends = f"09:{int(starts[3:]) + 10}"
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", ("09:40", "09:50", "ada"))
    draft.batch("b2", "loaf/dough", "d2", (starts, ends, "bea"))
    assert draft.use("t1/show/dough", "d1", "d2").broken() == expected


def _left(starts: str, reuse: bool = True) -> Draft:
    """Return a dough that a beat leaves at 10:01 to back a use of another run."""
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    show = beat("show", 0, 60, {"dough": {"count": 1, "backups": 1}}, {})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", starts, beats=["show"])]
    facts = day([stage("dough")], [mix, show], runs, policy={"reuse": reuse})
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    draft.left("d2", "loaf/dough", "t1/mix", "10:01")
    return draft.use("t2/show/dough", "d1", "d2")


def test_what_a_beat_left_backs_once_it_is_back() -> None:
    assert _left("10:16").broken() == set()
    assert _left("10:15").broken() == {"backups"}


def test_without_reuse_what_a_beat_left_backs_nothing() -> None:
    assert _left("10:16", reuse=False).broken() == {"backups"}


def test_a_backup_within_the_run_is_back_by_the_clock() -> None:
    """Tests that a hand-over on set makes no backup: it must be back, margin included."""
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    for starts_s, expected in ((960, set()), (900, {"backups"})):
        show = beat("show", starts_s, 60, {"dough": {"count": 1, "backups": 1}}, {})
        facts = day([stage("dough")], [mix, show], [run("t1", "10:00")])
        draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
        draft.left("d2", "loaf/dough", "t1/mix", "10:01")
        assert draft.use("t1/show/dough", "d1", "d2").broken() == expected


def test_stock_backs_a_use() -> None:
    stock = {"id": "old", "demonstration": "loaf", "stage": "dough", "count": 1}
    facts = _backed() | {"stock": [stock | {"staged": "2027-03-04T08:00"}]}
    facts["runs"] = [run("t1", "10:00")]
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    draft.stock("s1", "loaf/dough", "old", "08:00")
    assert draft.use("t1/show/dough", "d1", "s1").broken() == set()


def test_an_untouched_need_has_untouched_backups() -> None:
    mix = beat("mix", 0, 60, {}, {"dough": 1})
    show = beat("show", 0, 60, {"dough": {"count": 1, "backups": 1, "untouched": True}}, {})
    runs = [run("t1", "10:00", beats=["mix"]), run("t2", "12:00", beats=["show"])]
    facts = day([stage("dough")], [mix, show], runs)
    draft = Draft(facts).batch("b1", "loaf/dough", "d1", MADE)
    draft.left("d2", "loaf/dough", "t1/mix", "10:01")
    assert draft.use("t2/show/dough", "d1", "d2").broken() == {"touched"}


def _lossy(started: int, spares: int, loss: float = 0.1, most: int = 12, **policy: float) -> Draft:
    """Return a batch of `started` copies of which all but `spares` are used."""
    good = started - spares
    show = beat("show", 0, 60, {"dough": good}, {})
    dough = stage("dough", way(10, most=most), loss=loss)
    facts = day([dough], [show], [run("t1", "10:00")], policy=policy)
    copies = [f"d{n}" for n in range(started)]
    draft = Draft(facts).batch("b1", "loaf/dough", " ".join(copies), MADE)
    return draft.use("t1/show/dough", " ".join(copies[:good]))


@pytest.mark.parametrize(
    ("good", "loss", "confidence", "started"),
    [(4, 0.1, 0.95, 6), (2, 0.1, 0.99, 4), (3, 0.1, 0.99, 5), (6, 0.08, 0.95, 8)],
)
def test_a_batch_starts_the_fewest_that_are_sure_enough(
    good: int, loss: float, confidence: float, started: int
) -> None:
    """Tests one fewer and one more as well.

    Source: binomial tables (4 of 6, 2 of 4, 3 of 5); scipy.stats for the last.
    """
    assert binom.sf(good - 1, started, 1 - loss) >= confidence
    assert binom.sf(good - 1, started - 1, 1 - loss) < confidence
    for extra, expected in ((-1, {"spares"}), (0, set()), (1, {"spares"})):
        spares = started - good + extra
        draft = _lossy(good + spares, spares, loss, confidence=confidence)
        assert draft.broken() == expected


def test_a_batch_with_losses_has_one_spare_at_least() -> None:
    assert _lossy(1, 0, loss=0.04).broken() == {"spares"}
    assert _lossy(2, 1, loss=0.04).broken() == set()


def test_a_tie_counts() -> None:
    """Tests that 15 of 16 is sure enough at .9375, and four copies for one good at loss ½."""
    assert _lossy(4, 3, loss=0.5, confidence=0.9375).broken() == set()
    assert _lossy(5, 4, loss=0.5, confidence=0.9375).broken() == {"spares"}


def test_a_batch_without_losses_has_no_spares() -> None:
    assert _lossy(2, 1, loss=0).broken() == {"spares"}


def test_a_batch_is_to_give_something() -> None:
    assert "spares" in _lossy(1, 1).broken()


def test_a_way_may_lose_more_than_its_stage() -> None:
    draft = _lossy(6, 2, loss=0.0)
    stages = draft.day.demonstrations[0].stages
    lossy = stages[0].ways[0].model_copy(update={"loss": 0.1})
    other = stages[0].model_copy(update={"ways": (lossy,)})
    demonstration = draft.day.demonstrations[0].model_copy(update={"stages": (other,)})
    assert draft.broken() == {"spares"}
    draft.day = draft.day.model_copy(update={"demonstrations": (demonstration,)})
    assert draft.broken() == set()


def test_spares_count_towards_what_the_way_holds() -> None:
    assert _lossy(6, 2, most=6).broken() == set()
    assert _lossy(6, 2, most=5).broken() == {"phases"}


def test_a_spare_backs_nothing_and_is_not_taken() -> None:
    draft = _lossy(6, 2)
    plan = draft.document()
    plan["uses"][0]["backups"] = ["d5"]
    assert codes(draft.day, plan) >= {"backups", "spares"}
    plan = draft.document()
    plan["copies"][0]["role"] = "spare"
    assert codes(draft.day, plan) == {"spares", "lineage"}


@pytest.mark.parametrize(
    ("started", "loss"), [(20, 0.05), (10, 0.4), (5000, 0.01), (3, 0.999), (40, 1e-6)]
)
def test_the_chance_is_the_binomial_one(started: int, loss: float) -> None:
    """Tests the sum against scipy.stats."""
    for good in {1, started // 2 + 1, max(1, started - 3), started}:
        expected = float(binom.sf(good - 1, started, 1 - loss))
        assert chance(started, good, loss) == pytest.approx(expected, abs=1e-10)
