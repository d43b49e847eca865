"""Phases, equipment, heats, and the start of the prep."""

import pytest

from tests.planning.drafts import Draft, Facts, at, beat, cook, day, run, stage

SHOW = beat("show", 0, 60, {"bread": 1}, {})
OVEN = {"id": "deck", "kind": "oven", "units": 2}
LIT = OVEN | {"settings": {"change_min": 15, "cold_after_min": 60}}


def _phase(lasts_min: int, setting: int | None = None, hands: int = 0, **rest: object) -> Facts:
    facts: Facts = {"lasts_min": lasts_min, "hands": hands, **rest}
    if setting is not None:
        facts["equipment"] = [{"kind": "oven", "per_batch": 1, "setting": setting}]
    return facts


def _day(*phases: Facts, needed: int = 1, most: int = 4, **kitchen: object) -> Facts:
    way = {"id": "way", "batch_max": most, "phases": list(phases)}
    show = beat("show", 0, 60, {"bread": needed}, {})
    stages = [stage("bread", way, keeps_min=600)]
    facts = day(stages, [show], [run("t1", "12:00")])
    return facts | {"kitchen": {"crew": [cook()], **kitchen}}


def _bake(facts: Facts, *phases: tuple[object, ...], copies: str = "k1") -> Draft:
    draft = Draft(facts).batch("b1", "loaf/bread", copies, *phases)
    return draft.use("t1/show/bread", copies)


def test_phases_follow_each_other_without_a_gap() -> None:
    facts = _day(_phase(10), _phase(20))
    assert _bake(facts, ("10:00", "10:10"), ("10:10", "10:30")).broken() == set()
    assert _bake(facts, ("10:00", "10:10"), ("10:11", "10:31")).broken() == {"phases"}
    assert _bake(facts, ("10:00", "10:10"), ("10:09", "10:29")).broken() == {"phases"}
    assert _bake(facts, ("10:00", "10:30")).broken() == {"phases"}


@pytest.mark.parametrize(
    ("phase", "lasts"),
    [
        ({"lasts_min": 5}, 5),
        ({"per_copy_min": 4}, 12),
        ({"per_copy_s": 20}, 1),
        ({"per_copy_s": 21}, 2),
        ({"lasts_min": 5, "per_copy_min": 4, "per_copy_s": 59}, 20),
    ],
)
def test_a_phase_lasts_as_long_as_its_copies_take(phase: Facts, lasts: int) -> None:
    """Tests three copies; seconds are rounded up to the minute once for all of them."""
    facts = _day({"hands": 0, **phase}, needed=3)
    for extra, expected in ((0, set()), (1, {"phases"}), (-1, {"phases"})):
        made = "10:00", f"10:{lasts + extra:02}"
        assert _bake(facts, made, copies="k1 k2 k3").broken() == expected


def test_a_batch_holds_no_more_than_its_way() -> None:
    for most, expected in ((3, set()), (2, {"phases"})):
        facts = _day(_phase(10), needed=3, most=most)
        assert _bake(facts, ("10:00", "10:10"), copies="k1 k2 k3").broken() == expected


def test_a_batch_of_nothing_or_at_no_time() -> None:
    facts = _day(_phase(10))
    draft = _bake(facts, ("10:00", "10:10"))
    draft.batch("b2", "loaf/bread", "", ("10:00", "10:10"))
    assert "phases" in draft.broken()
    draft = _bake(facts, ("10:00", "10:10"))
    draft.batches[0]["phases"][0]["starts"] = "soon"
    assert "phases" in draft.broken()
    draft.batches[0]["phases"] = []
    assert "phases" in draft.broken()


def test_nothing_starts_before_the_prep() -> None:
    facts = _day(_phase(10))
    assert _bake(facts, ("06:00", "06:10")).broken() == set()
    assert _bake(facts, ("05:59", "06:09")).broken() == {"before"}


def test_a_phase_holds_units_of_one_item_of_the_kind() -> None:
    items = [OVEN, OVEN | {"id": "other"}, {"id": "stand", "kind": "mixer"}]
    phase = _phase(10) | {"equipment": [{"kind": "oven", "copies_per_unit": 2}]}
    facts = _day(phase, needed=3, equipment=items)
    for held, expected in (
        ({"deck": 2}, set()),
        ({"other": 2}, set()),
        ({"deck": 1}, {"equipment"}),
        ({"deck": 1, "other": 1}, {"equipment"}),
        ({"deck": 2, "other": 2}, {"equipment"}),
        ({"stand": 2}, {"equipment"}),
        ({"deck": 2, "stand": 1}, {"equipment"}),
        ({"none": 2}, {"equipment"}),
        ({}, {"equipment"}),
    ):
        made = ("10:00", "10:10", "", held)
        assert _bake(facts, made, copies="k1 k2 k3").broken() == expected


def test_phases_in_a_row_stay_on_one_item() -> None:
    items = [OVEN, OVEN | {"id": "other"}]
    rows = [(10, 0), (20, 0), (5, None), (10, 0)]
    facts = _day(*(_phase(lasts, setting) for lasts, setting in rows), equipment=items)

    def baked(*held: str) -> set[str]:
        spans = [("10:00", "10:10"), ("10:10", "10:30"), ("10:30", "10:35"), ("10:35", "10:45")]
        phases = [(*span, "", {e: 1} if e else {}) for span, e in zip(spans, held, strict=True)]
        return _bake(facts, *phases).broken()

    assert baked("deck", "deck", "", "other") == set()
    assert baked("deck", "other", "", "other") == {"equipment"}


def _two(facts: Facts, first: tuple[str, str], second: tuple[str, str], units: int = 1) -> Draft:
    """Return two batches of one copy each in the deck oven, by the ways `way` and `hot`."""
    ways = facts["demonstrations"][0]["stages"][0]["ways"]
    draft = Draft(facts).use("t1/show/bread", "k1 k2")
    held = {"deck": units}
    draft.batch("b1", "loaf/bread", "k1", (*first, "", held))
    return draft.batch("b2", "loaf/bread", "k2", (*second, "", held), way=ways[-1]["id"])


def test_units_fit_at_every_minute() -> None:
    facts = _day(_phase(30) | {"equipment": [{"kind": "oven", "per_batch": 2}]}, needed=2)
    facts["kitchen"]["equipment"] = [OVEN]
    assert _two(facts, ("10:00", "10:30"), ("10:30", "11:00"), 2).broken() == set()
    assert _two(facts, ("10:00", "10:30"), ("10:29", "10:59"), 2).broken() == {"equipment"}


def test_nothing_is_in_a_closed_item() -> None:
    closed = [[at("09:00"), at("10:00")], [at("10:30"), at("11:00")]]
    facts = _day(_phase(30, 0), equipment=[OVEN | {"closed": closed}])
    for starts, expected in (("10:00", set()), ("09:59", {"equipment"}), ("10:01", {"equipment"})):
        ends = {"10:00": "10:30", "09:59": "10:29", "10:01": "10:31"}[starts]
        assert _bake(facts, (starts, ends, "", {"deck": 1})).broken() == expected


def _two_settings(change_min: int = 15, hot: int = 240) -> Facts:
    settings = {"change_min": change_min, "cold_after_min": 60}
    facts = _day(_phase(30, 200), needed=2, equipment=[OVEN | {"settings": settings}])
    hotter = {"id": "hot", "batch_max": 4, "phases": [_phase(30, hot)]}
    facts["demonstrations"][0]["stages"][0]["ways"].append(hotter)
    return facts


def _lit(draft: Draft, *settings: tuple[int, str]) -> set[str]:
    """Return what is broken with heats of 15 min that end at these times."""
    for setting, ends in settings:
        minute = int(ends[:2]) * 60 + int(ends[3:]) - 15
        draft.heat("deck", setting, f"{minute // 60:02}:{minute % 60:02}", ends)
    return draft.broken()


def test_a_change_of_setting_takes_its_time() -> None:
    for second, expected in ((("10:45", "11:15"), set()), (("10:44", "11:14"), {"equipment"})):
        draft = _two(_two_settings(), ("10:00", "10:30"), second)
        assert _lit(draft, (200, "10:00"), (240, second[0])) == expected


def test_batches_share_an_item_at_one_setting_only() -> None:
    for hot, expected in ((200, set()), (240, {"equipment"})):
        draft = _two(_two_settings(hot=hot), ("10:00", "10:30"), ("10:10", "10:40"))
        assert _lit(draft, (200, "10:00")) == expected


def test_an_item_without_settings_takes_any() -> None:
    facts = _two_settings()
    facts["kitchen"]["equipment"] = [OVEN]
    assert _two(facts, ("10:00", "10:30"), ("10:10", "10:40")).broken() == set()


def test_the_first_use_from_cold_waits_for_the_heat() -> None:
    facts = _day(_phase(30, 200), equipment=[LIT])
    made = ("06:15", "06:45", "", {"deck": 1})
    assert _lit(_bake(facts, made), (200, "06:15")) == set()
    early = ("06:14", "06:44", "", {"deck": 1})
    assert _lit(_bake(facts, early), (200, "06:14")) == {"equipment", "before"}


def test_heats_are_told_as_they_are() -> None:
    facts = _day(_phase(30, 200), equipment=[LIT])
    made = ("10:00", "10:30", "", {"deck": 1})
    assert _lit(_bake(facts, made)) == {"equipment"}
    assert _lit(_bake(facts, made), (200, "10:00"), (200, "10:00")) == {"equipment"}
    assert _lit(_bake(facts, made), (220, "10:00")) == {"equipment"}
    assert _lit(_bake(facts, made), (200, "10:01")) == {"equipment"}
    assert _lit(_bake(facts, made), (200, "10:00"), (200, "11:00")) == {"equipment"}
    assert _bake(facts, made).heat("deck", 200, "09:50", "10:00").broken() == {"equipment"}
    assert _bake(facts, made).heat("none", 200, "09:45", "10:00").broken() == {"equipment"}


def test_an_item_is_cold_again_once_unused_for_too_long() -> None:
    """Tests `cold_after_min` 60 after a bake until 09:30."""
    facts = _two_settings(hot=200)
    draft = _two(facts, ("09:00", "09:30"), ("10:30", "11:00"))
    assert _lit(draft, (200, "09:00")) == set()
    draft = _two(facts, ("09:00", "09:30"), ("10:31", "11:01"))
    assert _lit(draft, (200, "09:00")) == {"equipment"}
    assert _lit(draft, (200, "10:31")) == set()


def test_an_item_that_changes_at_once_needs_no_heats() -> None:
    facts = _two_settings(change_min=0)
    assert _two(facts, ("06:00", "06:30"), ("06:30", "07:00")).broken() == set()
    draft = _two(facts, ("06:00", "06:30"), ("06:29", "06:59"))
    assert draft.broken() == {"equipment"}
    draft = _two(facts, ("06:00", "06:30"), ("06:30", "07:00"))
    assert draft.heat("deck", 200, "06:00", "06:00").broken() == {"equipment"}


def _falling(second: tuple[str, str] | None = None, gap: bool = False) -> Draft:
    """Return a bread that falls from 240 to 200 and, if told, another one at 200."""
    middle = [_phase(5)] if gap else []
    facts = _day(_phase(10, 240), *middle, _phase(20, 200), equipment=[LIT])
    flat = {"id": "flat", "batch_max": 4, "phases": [_phase(20, 200)]}
    facts["demonstrations"][0]["stages"][0]["ways"].append(flat)
    facts["demonstrations"][0]["beats"][0]["needs"][0]["count"] = 2 if second else 1
    held = {"deck": 1}
    rest = [("10:10", "10:15"), ("10:15", "10:35")] if gap else [("10:10", "10:30")]
    phases = [("10:00", "10:10", "", held), *((*span, "", held) for span in rest)]
    if gap:
        phases[1] = ("10:10", "10:15", "", {})
    draft = Draft(facts).batch("b1", "loaf/bread", "k1", *phases)
    if second:
        draft.batch("b2", "loaf/bread", "k2", (*second, "", held), way="flat")
    return draft.use("t1/show/bread", "k1 k2" if second else "k1").heat(
        "deck", 240, "09:45", "10:00"
    )


def test_one_batch_alone_may_fall_from_setting_to_setting() -> None:
    assert _falling().broken() == set()


def test_a_falling_oven_is_no_heat() -> None:
    assert _falling().heat("deck", 200, "09:55", "10:10").broken() == {"equipment"}


def test_no_other_batch_is_in_a_falling_oven() -> None:
    """Tests a second bread that comes in before the falling one is out, and one that waits."""
    assert _falling(("10:30", "10:50")).broken() == set()
    assert _falling(("10:29", "10:49")).broken() == {"equipment"}


def test_after_a_falling_oven_the_last_setting_counts() -> None:
    """Tests that the next batch at 200 waits for no change, though 240 was a moment ago."""
    assert _falling(("10:31", "10:51")).broken() == set()


def test_a_fall_with_the_oven_empty_between_may_be_told_as_a_heat_or_not() -> None:
    assert _falling(gap=True).broken() == set()
    told = _falling(gap=True).heat("deck", 200, "10:00", "10:15")
    assert told.broken() == set()
