"""Times and spans: their shape, the clocks of the zone, and how they lie to each other."""

from typing import Any

import pytest

from app.planning.day import Day
from app.planning.reading import read_day
from tests.planning.refusals.faults import faults_of, only_fault_of
from tests.planning.whole_day import changed, whole_day

LIKE = 'write a local time to the minute, such as "2027-03-04T07:00"'
STARTS = "runs[1].starts"
# Source: the IANA time zone database. Lisbon goes forward at 01:00 on 28 March 2027 and back at
# 02:00 on 31 October 2027.
SKIPPED = "2027-03-28T01:30"
DOUBLE = "2027-10-31T01:30"
WRONG = [
    ("2027-03-04T14:00:00", 'has seconds; write it to the minute: "2027-03-04T14:00"'),
    ("2027-03-04T14:00:00.5Z", 'has seconds; write it to the minute: "2027-03-04T14:00Z"'),
    ("2027-03-04 14:00", f"is no time; {LIKE}"),
    ("2027-03-04", f"is no time; {LIKE}"),
    ("14:00", f"is no time; {LIKE}"),
    ("2027-3-4T14:00", f"is no time; {LIKE}"),
    ("20270304T1400", f"is no time; {LIKE}"),
    ("２０２７-03-04T14:00", f"is no time; {LIKE}"),
    ("2027-02-30T14:00", "is no date and time of the calendar; write one that is"),
    ("2027-03-04T24:00", "is no date and time of the calendar; write one that is"),
    ("0001-01-01T00:00", "is out of reach; write a year from 1973 to 2999"),
    ("9999-12-31T23:59", "is out of reach; write a year from 1973 to 2999"),
    (
        "2027-03-04T14:00+05:00",
        "has a wrong offset, as Europe/Lisbon is at +00:00 then; write",
    ),
    ("2027-03-04T14:00+99:99", "has a wrong offset, as Europe/Lisbon is at +00:00 then; write"),
]
TIMES = [
    "prep_from",
    "kitchen.equipment[0].closed[0][1]",
    "kitchen.crew[0].shifts[1][0]",
    "stock[0].staged",
    "runs[0].starts",
]


@pytest.mark.parametrize(("value", "words"), WRONG)
def test_a_time_is_local_and_to_the_minute(value: str, words: str) -> None:
    """One form of time, so that two people never read one text as two moments."""
    assert only_fault_of({STARTS: value}).startswith(f'{STARTS}: "{value}" {words}')


@pytest.mark.parametrize("value", [None, 1400, True, ["2027-03-04T14:00"]])
def test_a_time_is_a_text(value: Any) -> None:
    """A number could be seconds, minutes or a year."""
    assert only_fault_of({STARTS: value}).endswith(f"is no time; {LIKE}, in quotes")


@pytest.mark.parametrize("place", TIMES)
def test_every_time_is_looked_at(place: str) -> None:
    """Spans, stock, runs and the start of the prep alike."""
    assert faults_of({place: "soon"})[0] == f'{place}: "soon" is no time; {LIKE}'


def test_a_time_that_the_clocks_skip_is_refused() -> None:
    """No clock on the wall ever shows it."""
    assert only_fault_of({STARTS: SKIPPED, "prep_from": "2027-03-27T21:00", **_moved()}) == (
        f'{STARTS}: "{SKIPPED}" does not exist in Europe/Lisbon, where the clocks go forward then;'
        ' write "2027-03-28T02:30" or another time'
    )


def test_a_time_that_comes_twice_is_refused_without_its_offset() -> None:
    """The clocks show it an hour apart, twice."""
    changes = {STARTS: DOUBLE, "prep_from": "2027-10-30T21:00", **_moved("2027-10-31T15:00")}
    assert only_fault_of(changes) == (
        f'{STARTS}: "{DOUBLE}" comes twice in Europe/Lisbon, where the clocks go back then;'
        f' write "{DOUBLE}+01:00" for the first or "{DOUBLE}+00:00" for the second'
    )


def test_a_time_that_comes_twice_needs_an_offset_of_its_zone() -> None:
    """Any other offset tells nothing."""
    changes = {
        STARTS: f"{DOUBLE}+02:00",
        "prep_from": "2027-10-30T21:00",
        **_moved("2027-10-31T15:00"),
    }
    assert f'"{DOUBLE}+02:00" comes twice' in only_fault_of(changes)


@pytest.mark.parametrize(
    ("given", "read"),
    [
        (f"{DOUBLE}+01:00", f"{DOUBLE}+01:00"),
        (f"{DOUBLE}+00:00", f"{DOUBLE}+00:00"),
        (f"{DOUBLE}Z", f"{DOUBLE}+00:00"),
        ("2027-10-31T15:00", "2027-10-31T15:00"),
        ("2027-10-31T15:00+00:00", "2027-10-31T15:00"),
        ("2027-10-31T15:00Z", "2027-10-31T15:00"),
    ],
)
def test_an_offset_is_kept_only_where_it_tells_something(given: str, read: str) -> None:
    """Each moment has one form."""
    changes = {STARTS: given, "prep_from": "2027-10-30T21:00", **_moved("2027-10-31T15:00")}
    assert _read(changes).runs[1].starts == read


@pytest.mark.parametrize("value", ["Lisbon", "europe/lisbon", "", "../UTC", "localtime", None, 5])
def test_an_unknown_time_zone_is_refused(value: Any) -> None:
    """Without the zone, no clock time means anything."""
    fault = only_fault_of({"timezone": value})
    assert fault.startswith("timezone: ")
    assert "is no time zone; " in fault


def test_a_time_zone_that_is_nearly_right_is_offered() -> None:
    """A slip of the keys is the usual mistake."""
    assert only_fault_of({"timezone": "Europe/Lisbonn"}).endswith('did you mean "Europe/Lisbon"?')


@pytest.mark.parametrize("place", ["kitchen.equipment[0].closed[0]", "kitchen.crew[0].shifts[1]"])
@pytest.mark.parametrize("end", ["2027-03-04T14:59", "2027-03-04T15:00"])
def test_a_span_ends_after_it_starts(place: str, end: str) -> None:
    """A span of nothing is a slip, too."""
    assert only_fault_of({place: ["2027-03-04T15:00", end]}) == (
        f'{place}: ends "{end}", not after it starts "2027-03-04T15:00";'
        " write the later time second"
    )


@pytest.mark.parametrize("value", [[], ["2027-03-04T07:00"], ["2027-03-04T07:00"] * 3, "day", 5])
def test_a_span_is_two_times(value: Any) -> None:
    """From and to, nothing else."""
    fault = only_fault_of({"kitchen.crew[1].shifts": [value]})
    assert fault.startswith("kitchen.crew[1].shifts[0]: ")
    assert "write a list of two" in fault


def test_shifts_of_one_person_do_not_overlap() -> None:
    """Nobody works twice at a time; shifts that touch are one, as the whole day has them."""
    place = "kitchen.crew[0].shifts[1]"
    assert only_fault_of({f"{place}[0]": "2027-03-04T11:59"}) == (
        f'{place}: starts "2027-03-04T11:59", within another shift of "ines";'
        " make them one, or move one"
    )


def test_shifts_are_compared_in_the_order_of_time() -> None:
    """The order in which they are written says nothing."""
    shifts = [
        ["2027-03-04T12:00", "2027-03-04T19:00"],
        ["2027-03-04T07:00", "2027-03-04T12:01"],
        ["2027-03-05T07:00", "2027-03-05T12:00"],
    ]
    assert faults_of({"kitchen.crew[0].shifts": shifts})[0].startswith("kitchen.crew[0].shifts[0]")


def test_a_span_over_a_change_of_the_clocks_is_measured_by_the_clock() -> None:
    """From the first 01:30 to the second is an hour, though the wall shows none."""
    span = [f"{DOUBLE}+01:00", f"{DOUBLE}+00:00"]
    assert _read({"kitchen.equipment[0].closed": [span]})
    assert only_fault_of({"kitchen.equipment[0].closed": [span[::-1]]})


def test_an_item_is_not_cold_before_its_setting_is_changed() -> None:
    """It would be cold before it can be used again."""
    place = "kitchen.equipment[0].settings.cold_after_min"
    expected = f"{place}: 14 is less than change_min 15; write 15 or more"
    assert only_fault_of({place: 14}) == expected
    assert _read({place: 15})


def test_an_item_that_changes_slowly_needs_no_cold_after() -> None:
    """The default grows with the change."""
    day = _read({"kitchen.equipment[0].settings": {"change_min": 300}})
    settings = day.kitchen.equipment[0].settings
    assert settings is not None
    assert settings.cold_after == 300


def test_a_day_lasts_sixty_days_at_most() -> None:
    """From the start of the prep to the last run."""
    assert _read({STARTS: "2027-05-03T08:00"})
    assert only_fault_of({STARTS: "2027-05-03T08:01"}) == (
        f'{STARTS}: "2027-05-03T08:01" is more than 60 days from prep_from "2027-03-04T07:00";'
        " move one of them, or make two productions"
    )


def test_the_times_are_still_compared_where_the_zone_is_unknown() -> None:
    """One fault must not hide another."""
    faults = faults_of(
        {
            "timezone": "Lisbon",
            "kitchen.crew[1].shifts": [["2027-03-04T15:00", "2027-03-04T14:00"]],
        }
    )
    assert [fault.split(":")[0] for fault in faults] == ["timezone", "kitchen.crew[1].shifts[0]"]


def _moved(day: str = "2027-03-28T15:00") -> dict[str, str]:
    return {"runs[0].starts": day}


def _read(changes: dict[str, Any]) -> Day:
    return read_day(changed(whole_day(), changes))
