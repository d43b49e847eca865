"""The dice, the standard error, the seed, and how a risk is told."""

import math

import numpy as np
import pytest
from scipy.stats import kstest

from app.planning.day import Day
from app.planning.plan import Lack, Plan
from app.planning.risk.chances import THROW, risk_of
from app.planning.risk.dice import Rolled
from app.planning.risk.found import Chance, Risk
from app.planning.risk.words import Wording, percent, with_error
from tests.planning.risk.odds import length, spreading, use_of

TIE = "knots-take-1/tie/rested"


@pytest.mark.parametrize("spread", [0.05, 0.1, 0.5])
def test_lengths_are_lognormal_of_mean_one(spread: float) -> None:
    """Source: scipy.stats.kstest against lognorm; the mean within five standard errors."""
    drawn = Rolled(3, 0, 20_000, spread).lengths(2).ravel()
    assert kstest(drawn, length(1, spread).cdf).pvalue > 1e-3
    assert abs(drawn.mean() - 1) < 5 * spread / math.sqrt(drawn.size)
    assert drawn.std() == pytest.approx(spread, rel=0.1)


def test_more_copies_leave_the_luck_of_the_first_as_it_was() -> None:
    """So one more backup is compared on the same days."""
    dice = Rolled(1, 0, 50, 0.1)
    assert np.array_equal(dice.luck(3, 9)[:4], dice.luck(3, 4))
    assert not np.array_equal(dice.luck(3, 4), dice.luck(2, 4))
    assert not np.array_equal(dice.luck(3, 4), Rolled(1, 1, 50, 0.1).luck(3, 4))


def test_the_standard_error_is_how_much_seeds_differ(knots_day: Day, knots_plan: Plan) -> None:
    """The spread of a chance over 200 seeds; of so many, it is known to 5 % (one sigma)."""
    told = [risk_of(knots_day, knots_plan, 300, seed) for seed in range(200)]
    chances = [use_of(risk, TIE).chance for risk in told]
    errors = [use_of(risk, TIE).error for risk in told]
    assert np.std(chances, ddof=1) == pytest.approx(np.mean(errors), rel=0.2)
    days = [risk.whole_day.chance for risk in told]
    assert np.std(days, ddof=1) == pytest.approx(
        np.mean([risk.whole_day.error for risk in told]), rel=0.2
    )


def test_a_seed_repeats_and_is_part_of_what_is_told(knots_day: Day, knots_plan: Plan) -> None:
    """Another seed gives other figures, near enough."""
    one = risk_of(knots_day, knots_plan, 3000, 5)
    other = risk_of(knots_day, knots_plan, 3000, 6)
    assert one == risk_of(knots_day, knots_plan, 3000, 5)
    assert (one.seed, one.plays, other.seed) == (5, 3000, 6)
    assert one.uses != other.uses
    assert use_of(one, TIE).chance == pytest.approx(use_of(other, TIE).chance, abs=0.05)


def test_plays_are_counted_to_the_last(knots_day: Day, knots_plan: Plan) -> None:
    """A number of plays that is no whole number of throws: every share is of that number."""
    plays = THROW + 7
    risk = risk_of(knots_day, knots_plan, plays)
    assert [use.chance * plays for use in risk.uses] == pytest.approx(
        [round(use.chance * plays) for use in risk.uses]
    )


def test_what_the_plan_lacks_has_no_chance_and_is_no_weakest_link(
    knots_day: Day, knots_plan: Plan
) -> None:
    """A use that the plan is short of is told as that; the weakest link is another."""
    uses = tuple(
        each.model_copy(update={"copies": each.copies[1:]}) if each.stage == "rested" else each
        for each in knots_plan.uses
    )
    lacks = tuple(
        Lack(run=run, beat="tie", stage="rested", kind="copies", count=1)
        for run in ("knots-take-1", "knots-take-2")
    )
    risk = risk_of(knots_day, knots_plan.model_copy(update={"uses": uses, "unmet": lacks}), 500)
    assert (use_of(risk, TIE).short, use_of(risk, TIE).chance) == (1, 0)
    assert risk.weakest_use is not None
    assert risk.weakest_use.stage == "baked"
    said = "\n".join(Wording(knots_day, knots_plan, risk).lines())
    assert "tie: 1 rested: the plan itself is short of 1" in said
    assert "nothing lacks all day beyond what the plan itself is short of." in said


def test_a_day_without_runs_has_nothing_to_lose(knots_day: Day) -> None:
    """No uses, no weakest link, one sentence."""
    day = knots_day.model_copy(update={"runs": ()})
    figures = dict.fromkeys(("unmet", "unbacked", "cost", "hands_min", "waiting_min"), 0)
    plan = Plan.model_validate(
        {"status": "optimal", "objective": figures | {"early_min": 0}, "bounds": {}}
    )
    risk = risk_of(day, plan, 10)
    assert (risk.uses, risk.weakest, risk.whole_day.chance) == ((), None, 1)
    assert list(Wording(day, plan, risk).lines()) == [
        "Nothing is needed that the plan serves, so nothing can go wrong."
    ]


def test_the_knots_in_words(knots_day: Day, knots_plan: Plan) -> None:
    """Each sentence of it: the whole, a use, the weakest link, what helps, the overruns."""
    risk = risk_of(knots_day, knots_plan, 2000)
    said = list(Wording(knots_day, knots_plan, risk).lines())
    assert said[0].startswith("Played 2 000 times (seed 1; every length varies by 10 %): in ")
    assert said[1] == "knots-take-1 at 14:00, mix: 1 scaled: ready 100 %"
    assert said[7].startswith("The weakest link is knots-take-1 at 14:05, reveal: 6 baked, ready ")
    assert said[8] == "What is missing most often comes from baked (deck) at 13:36."
    assert said[9].startswith(
        "One more backup there costs at most 2, if the kitchen has room for it, and changes nothing"
    )
    assert said[10].startswith("Its copies staged ten minutes sooner: that makes it ready 99.")
    assert said[11:] == [
        "Nothing dies if one of these takes 10 min longer: knots-take-1, knots-take-2."
    ]


def _baked_keep(day: Day, keeps_min: int) -> Day:
    """Return a day whose baked knots keep so long."""
    shown = day.demonstrations[0]
    stages = tuple(
        each.model_copy(update={"keeps_min": keeps_min}) if each.id == "baked" else each
        for each in shown.stages
    )
    return day.model_copy(update={"demonstrations": (shown.model_copy(update={"stages": stages}),)})


def test_what_would_do_harm_is_no_help(knots_day: Day, knots_plan: Plan) -> None:
    """Knots that are good until the second take, and no longer, are too old if made sooner."""
    day = _baked_keep(knots_day, 100)
    said = list(Wording(day, knots_plan, risk_of(day, knots_plan, 500)).lines())
    sooner = next(each for each in said if each.startswith("Its copies staged ten minutes sooner"))
    assert sooner.startswith("Its copies staged ten minutes sooner: that makes it worse, ready ")


def test_what_dies_is_told_with_its_tag(knots_day: Day, knots_plan: Plan) -> None:
    """Baked knots that keep as long as they are wanted, and no longer."""
    day = _baked_keep(knots_day, 15)
    risk = risk_of(day, knots_plan, 10)
    said = "\n".join(Wording(day, knots_plan, risk).lines())
    assert "If knots-take-1 takes 10 min longer: KN-" in said
    assert "too old for knots-take-1 at 14:05, reveal" in said
    assert "too old to back knots-take-1 at 14:05, reveal" in said
    assert "short then: " in said


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0, "0 %"),
        (1, "100 %"),
        (0.5, "50.0 %"),
        (0.99994, "99.99 %"),
        (0.999999, "99.99 %"),
        (0.00001, "0.01 %"),
    ],
)
def test_only_what_never_happens_is_none_and_what_always_does_is_all(
    share: float, said: str
) -> None:
    """Rounding makes nothing certain."""
    assert percent(share) == said


def test_an_error_is_told_as_finely_as_it_is_known() -> None:
    """Beside a share in per cent, one digit or two."""
    assert with_error(Chance(chance=0.939, error=0.0024)) == "93.9 % ± 0.2"
    assert with_error(Chance(chance=0.9998, error=0.00014)) == "99.98 % ± 0.01"
    assert with_error(Chance(chance=1, error=0)) == "100 %"


def test_the_document_reads_back(knots_day: Day, knots_plan: Plan) -> None:
    """What `--json` prints holds all of it."""
    risk = risk_of(spreading(knots_day, 0.3), knots_plan, 100)
    assert Risk.model_validate(risk.document()) == risk
    assert risk.document()["format"] == "risk/1"
