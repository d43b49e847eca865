"""Brute force itself: against golden days that are small enough, and against sums by hand."""

import json
from pathlib import Path
from typing import Any

import pytest

from app.planning.reading import read_day
from tests.brute import TooBig, brute
from tests.brute.facts import started

GOLDEN = Path(__file__).parent / "golden"
EXPECTED: dict[str, dict[str, Any]] = json.loads((GOLDEN / "expected.json").read_text("utf-8"))
SMALL = (
    "setting-change-fits", "setting-change-impossible", "oven-shared", "oven-not-shared-setting",
    "spring-met", "spring-missed", "raw-below-ready", "falling-oven", "copy-before-backup",
    "one-spare-at-least", "partly-met-leaves-nothing-new", "margin-need", "margin-policy",
    "pickup-from-its-beat", "pickup-from-the-top", "slack-met", "slack-missed",
    "first-beat-hands-over", "cold-again",
)  # fmt: skip
GOALS = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")


@pytest.mark.parametrize("name", SMALL)
def test_everything_tried_gives_the_proven_figures(name: str) -> None:
    """Tests golden days, whose figures were found by hand and by a reference planner."""
    best = brute(read_day(json.loads((GOLDEN / f"{name}.day.json").read_text("utf-8"))))
    assert list(best.goals) == [EXPECTED[name][goal] for goal in GOALS]


def short(needs: list[dict[str, Any]], way: dict[str, Any], **policy: Any) -> dict[str, Any]:
    """Return a day of one stage, one cook from 09:00 to 09:20, two runs at 09:10 and 09:14."""
    stage = {"id": "cut", "keeps_min": 8, "ways": [{"id": "hand", **way}]}
    beat = {"id": "show", "starts_s": 0, "lasts_s": 60, "needs": needs}
    return {
        "format": "day/1", "title": "by hand", "timezone": "UTC", "prep_from": "2027-03-04T09:00",
        "policy": {"ready_margin_min": 2, "return_min": 1, **policy},
        "kitchen": {
            "crew": [{"id": "cook", "shifts": [["2027-03-04T09:00", "2027-03-04T09:20"]]}]
        },
        "demonstrations": [{"id": "a", "title": "a", "stages": [stage], "beats": [beat]}],
        "runs": [
            {"id": "r1", "demonstration": "a", "kind": "take", "starts": "2027-03-04T09:10"},
            {"id": "r2", "demonstration": "a", "kind": "take", "starts": "2027-03-04T09:14"},
        ],
    }  # fmt: skip


ONE = {"phases": [{"lasts_min": 3, "hands": 1}]}
TWO = {"batch_max": 2, "phases": [{"lasts_min": 3, "hands": 1}]}


@pytest.mark.parametrize(
    ("needs", "way", "policy", "goals"),
    [
        # two single batches, 09:05-09:08 and 09:09-09:12: nothing waits
        ([{"stage": "cut"}], ONE, {}, [0, 0, 2, 6, 0]),
        # one batch of two out at 09:08: three minutes of hands less, the second waits 4
        ([{"stage": "cut"}], TWO, {}, [0, 0, 2, 3, 4]),
        # fresh before hands: two batches again
        ([{"stage": "cut"}], TWO, {"prefer": "fresh"}, [0, 0, 2, 6, 0]),
        # two out at 09:08: one is taken, the other stands by for both (age 6 at 09:14, keeps 8);
        # one more out at 09:12 for the second run: nothing waits
        ([{"stage": "cut", "backups": 1}], TWO, {}, [0, 0, 3, 6, 0]),
        # margin 5 asks for 09:05 and 09:09, keeps 8: batches 09:02-09:05, 09:06-09:09
        ([{"stage": "cut", "ready_margin_min": 5}], ONE, {}, [0, 0, 2, 6, 0]),
        # three at once, made singly from 09:00: four can be out by 09:12, at :03 :06 :09 :12, so
        # two of six lack; the first run's wait 5 + 2, the second's 3 + 0
        ([{"stage": "cut", "count": 3}], ONE, {}, [2, 0, 4, 12, 10]),
    ],
)
def test_everything_tried_agrees_with_sums_by_hand(
    needs: list[dict[str, Any]], way: dict[str, Any], policy: dict[str, Any], goals: list[int]
) -> None:
    """Tests small days; the comment above each row is its sum."""
    assert list(brute(read_day(short(needs, way, **policy))).goals) == goals


def test_a_day_with_too_many_plans_is_left() -> None:
    """Tests that the search gives up in words, not by running on."""
    with pytest.raises(TooBig):
        brute(read_day(short([{"stage": "cut"}], TWO)), limit=10)


def test_spares_are_counted_from_the_definition() -> None:
    """Tests rows of printed binomial tables: m = 4, p = .1 at 95 %; m = 2 and 3 at 99 %."""
    assert [started(4, 0.1, 0.95), started(2, 0.1, 0.99), started(3, 0.1, 0.99)] == [6, 4, 5]
