"""The clocks of food over the copies of a plan: stages, zones, readings, and what is found late."""

import json
from typing import Any

import pytest

from app.food.held import Reading
from app.food.limits import House, limits
from app.planning.day import Day
from app.planning.eating import Eating, Eatings
from app.planning.histories import Watch
from app.planning.minutes import Clock
from app.planning.plan import Copy, Plan
from app.planning.spoilt import Spoiling, Spoilt, lost_because

# A custard: cooked for half an hour, poured and chilled for an hour, eaten at 16:00.
CUSTARD: dict[str, Any] = {
    "format": "day/1",
    "title": "Custards",
    "timezone": "Europe/Lisbon",
    "prep_from": "2027-03-04T08:00",
    "kitchen": {"shelves": [{"id": "fridge", "zone": "chill", "levels": [8]}]},
    "demonstrations": [
        {
            "id": "custard",
            "title": "Custard",
            "stages": [
                {
                    "id": "set",
                    "zone": "chill",
                    "keeps_min": 1440,
                    "ready_to_eat": True,
                    "needs_temperature_control": True,
                    "safety_min": 2880,
                    "ways": [
                        {
                            "id": "hob",
                            "batch_max": 4,
                            "phases": [
                                {"lasts_min": 30, "equipment": [{"kind": "hob", "per_batch": 1}]},
                                {"lasts_min": 10, "hands": 1},
                                {"lasts_min": 60, "zone": "chill"},
                            ],
                        }
                    ],
                }
            ],
            "beats": [
                {
                    "id": "taste",
                    "starts_s": 0,
                    "lasts_s": 60,
                    "needs": [{"stage": "set", "count": 1, "backups": 1, "tasting": True}],
                }
            ],
        }
    ],
    "runs": [
        {
            "id": "tasting",
            "demonstration": "custard",
            "kind": "tasting",
            "starts": "2027-03-04T16:00",
        }
    ],
}
PHASES = [("09:00", "09:30"), ("09:30", "09:40"), ("09:40", "10:40")]


def at(hour: str) -> str:
    """Return a local time of that day."""
    return f"2027-03-04T{hour}"


def minute(hour: str) -> int:
    """Return the minute of a time of that day."""
    return Clock("Europe/Lisbon").minute(at(hour))


def day_with(**facts: Any) -> Day:
    """Return the day with other facts for its stage."""
    document = json.loads(json.dumps(CUSTARD))
    document["demonstrations"][0]["stages"][0].update(facts)
    return Day.model_validate(document)


def plan_with(phases: list[tuple[str, str]] = PHASES, copies: int = 3) -> Plan:
    """Return a plan of some copies: one is eaten, one backs it, the others are over."""
    ids = [f"custard/set/{n}" for n in range(1, copies + 1)]
    roles = ["camera", "backup", *["spare"] * copies]
    place = {"shelf": "fridge", "level": 1, "from": at(phases[-1][1]), "to": at("16:00")}
    none = dict.fromkeys(("unmet", "unbacked", "cost", "hands_min", "waiting_min", "early_min"), 0)
    return Plan.model_validate(
        {
            "status": "optimal",
            "objective": none,
            "bounds": none,
            "batches": [
                {
                    "id": "b1",
                    "demonstration": "custard",
                    "stage": "set",
                    "way": "hob",
                    "copies": ids,
                    "phases": [{"starts": at(start), "ends": at(end)} for start, end in phases],
                }
            ],
            "copies": [
                {
                    "id": id,
                    "tag": f"CU-{n}",
                    "demonstration": "custard",
                    "stage": "set",
                    "staged_at": at(phases[-1][1]),
                    "made_by": {"batch": "b1"},
                    "role": role,
                    "taken_by": [{"use": ["tasting", "taste"]}] if n == 1 else [],
                    "places": [place | {"slot": n}],
                }
                for n, (id, role) in enumerate(zip(ids, roles, strict=False), 1)
            ],
            "uses": [
                {
                    "run": "tasting",
                    "beat": "taste",
                    "stage": "set",
                    "copies": ids[:1],
                    "backups": ids[1:2],
                }
            ],
        }
    )


def read(*readings: tuple[str, float], copy: int = 1, house: House | None = None) -> Watch:
    """Return what a thermometer showed in a copy."""
    told = tuple(Reading(minute(hour), celsius) for hour, celsius in readings)
    watch = Watch(readings={f"custard/set/{copy}": told})
    return watch if house is None else Watch(house, watch.readings)


def told(watch: Watch | None = None, *, now: str = "12:00", **facts: Any) -> Eating:
    """Return what is said of the first copy."""
    plan = plan_with()
    return Eatings(day_with(**facts), plan, watch).of(plan.copies[0], minute(now))


def test_a_chilled_copy_is_safe_for_seven_days_at_most() -> None:
    """Food Code 3-501.17: made on Thursday, last eaten on Wednesday; the day itself says longer."""
    eating = told(safety_min=30 * 1440)
    assert eating.is_safe
    assert Clock("Europe/Lisbon").text(eating.until or 0) == "2027-03-10T23:59"
    assert "3-501.17" in eating.why


def test_the_day_s_own_limit_binds_where_it_ends_first() -> None:
    """Staged at 10:40, safe for two days."""
    assert Clock("Europe/Lisbon").text(told().until or 0) == "2027-03-06T10:40"


def test_while_it_cools_it_says_what_must_be_cold_by_when() -> None:
    """Off the hob at 09:30: 21 °C by 11:30, 5 °C by 15:30."""
    dues = [(due.celsius, due.by) for due in told().dues]
    assert dues == [(21, minute("11:30")), (5, minute("15:30"))]


def test_what_was_due_and_nobody_measured_is_to_be_measured_first() -> None:
    """It is believed that the chill did its work; whoever wants to eat it is told that."""
    assert told(now="11:30").why == "The stage is ready to eat."
    late = told(now="12:00")
    assert late.is_safe
    assert late.why.endswith("Nobody has measured that it was at 21 °C by 11:30: measure it first.")


def test_a_reading_that_is_too_warm_too_late_says_why() -> None:
    eating = told(read(("11:45", 28)))
    assert not eating.is_safe
    assert eating.is_found
    assert eating.why == (
        "It cooled too slowly: still 28 °C at 11:45; 21 °C was due by 11:30 (3-501.14)."
    )


def test_a_house_with_fahrenheit_reads_fahrenheit() -> None:
    house = House(limits("us"), in_fahrenheit=True)
    assert "still 86 °F at 11:45; 70 °F was due" in told(read(("11:45", 30), house=house)).why


def test_a_fridge_that_failed_gives_four_hours_from_when_it_was_last_cold() -> None:
    """Cold at 12:00, 9 °C at 13:00 (Food Code 3-501.16, 3-501.19)."""
    eating = told(read(("12:00", 4), ("13:00", 9)), now="13:05")
    assert eating.is_safe
    assert eating.until == minute("16:00")
    assert eating.on_label == (minute("16:00"),)
    plan, warm = plan_with(), read(("12:00", 4), ("13:00", 9), copy=2)
    over = Eatings(day_with(), plan, warm).of(plan.copies[1], minute("16:01"))
    assert not over.is_safe
    assert over.why.startswith("Its time was over at 16:00, out of the cold since 12:00")


def test_a_batch_that_was_staged_late_is_late_by_the_clock() -> None:
    """All of it an hour later: the cooling counts from an hour later."""
    watch = Watch(late_min={"b1": 60})
    plan = plan_with()
    eating = Eatings(day_with(), plan, watch).of(plan.copies[0], minute("12:00"))
    assert [due.by for due in eating.dues] == [minute("12:30"), minute("16:30")]


def test_what_needs_no_cold_has_no_clock() -> None:
    eating = told(read(("11:45", 28)), needs_temperature_control=False, safety_min=600)
    assert eating.is_safe
    assert eating.until == minute("20:40")


def test_what_is_ready_to_eat_though_raw_and_never_heated_is_not_for_eating() -> None:
    """Food Code 3-401.14; a first stage of raw meat goes into one that says ready to eat."""
    document = json.loads(json.dumps(CUSTARD))
    cold = [{"id": "cut", "batch_max": 4, "phases": [{"lasts_min": 10, "hands": 1}]}]
    top = document["demonstrations"][0]["stages"][0]
    raw = {"id": "raw", "keeps_min": 60, "raw_animal": True, "zone": "chill", "ways": cold}
    document["demonstrations"][0]["stages"] = [
        raw,
        top | {"from": [{"stage": "raw"}], "ways": cold},
    ]
    plan = plan_with([("09:00", "09:10")])
    whole = plan.model_dump(mode="json", by_alias=True)
    whole["batches"][0]["way"] = "cut"
    whole["batches"][0]["consumes"] = ["custard/raw/1"]
    whole["batches"].insert(
        0,
        whole["batches"][0]
        | {"id": "b0", "stage": "raw", "consumes": [], "copies": ["custard/raw/1"]}
        | {"phases": [{"starts": at("08:30"), "ends": at("08:40")}]},
    )
    whole["copies"].append(
        whole["copies"][0]
        | {"id": "custard/raw/1", "tag": "CU-9", "stage": "raw", "staged_at": at("08:40")}
        | {"made_by": {"batch": "b0"}, "taken_by": [{"batch": "b1"}]}
    )
    mixed = Plan.model_validate(whole)
    eating = Eatings(Day.model_validate(document), mixed).of(mixed.copies[0], minute("12:00"))
    assert eating.why == "Raw animal food is in it, and no stage since has heated it."


def found(watch: Watch, *, lost: tuple[str, ...] = (), copies: int = 3) -> list[Spoilt]:
    """Return what is found spoilt at one o'clock."""
    return Spoiling(day_with(), plan_with(copies=copies), watch, lost).found(minute("13:00"))


def test_a_copy_that_cooled_too_slowly_is_taken_out_and_the_next_best_named() -> None:
    """The backup of that very tasting comes first, and says where it stands."""
    (spoilt,) = found(read(("11:45", 28)))
    assert (spoilt.copy.tag, spoilt.is_found) == ("CU-1", True)
    assert spoilt.next_best is not None
    assert spoilt.next_best.tag == "CU-2"
    assert lost_because(day_with(), spoilt).endswith("Next best: CU-2, fridge, level 1, slot 2.")


def test_a_spare_comes_next_when_the_backup_is_lost_or_spoilt() -> None:
    (spoilt,) = found(read(("11:45", 28)), lost=("custard/set/2",))
    assert spoilt.next_best is not None
    assert spoilt.next_best.tag == "CU-3"


def test_where_there_is_no_other_copy_that_is_said() -> None:
    (spoilt,) = found(read(("11:45", 28)), copies=1)
    assert lost_because(day_with(), spoilt).endswith("No other copy can be eaten in its place.")


def test_a_spare_that_nobody_eats_is_not_told() -> None:
    assert found(read(("11:45", 28), copy=3)) == []


def test_a_lost_copy_is_not_found_again() -> None:
    assert found(read(("11:45", 28)), lost=("custard/set/1",)) == []


def test_what_cools_well_is_not_told() -> None:
    assert found(read(("11:00", 30), ("11:25", 20))) == []


def test_a_plan_that_keeps_it_too_long_is_told_as_the_plan_s_own() -> None:
    """In the chill only three hours after the hob: nobody measured, the plan itself is late."""
    phases = [("09:00", "09:30"), ("09:30", "12:40"), ("12:40", "13:40")]
    spoiling = Spoiling(day_with(), plan_with(phases), Watch(), ())
    told = spoiling.found(minute("09:00"))
    assert [(each.copy.tag, each.is_found) for each in told] == [("CU-1", False), ("CU-2", False)]
    assert "out of the heat since 09:30" in told[0].why


@pytest.mark.parametrize("now", ["16:00", "16:01"])
def test_a_tasting_that_is_over_is_left_alone(now: str) -> None:
    told = Spoiling(day_with(), plan_with(), read(("11:45", 28)), ()).found(minute(now))
    assert len(told) == (1 if now == "16:00" else 0)


def test_seven_days_end_at_the_end_of_the_day_when_the_clocks_change() -> None:
    """Lisbon changes on 28 March 2027; made on Thursday the 25th, last eaten on the 31st."""
    text = (
        json.dumps(CUSTARD).replace("2027-03-04", "2027-03-25").replace('"safety_min": 2880,', "")
    )
    document = json.loads(text)
    document["demonstrations"][0]["stages"][0]["safety_min"] = 30 * 1440
    plan = Plan.model_validate_json(plan_with().model_dump_json().replace("03-04", "03-25"))
    copy: Copy = plan.copies[0]
    told = Eatings(Day.model_validate(document), plan).of(copy, 0)
    assert Clock("Europe/Lisbon").text(told.until or 0) == "2027-03-31T23:59"


@pytest.mark.parametrize("has_written", [False, True])
def test_time_as_the_control_wants_a_written_procedure(has_written: bool) -> None:
    """Food Code 3-501.19: told at each verdict of it until the house says that it has one."""
    house = House(limits("us"), has_time_control=has_written)
    why = told(Watch(house), zone="ambient").why
    assert "out of the heat since 09:30, for 4 hours at most (3-501.19" in why
    assert ("by a written procedure" in why) is not has_written


def test_part_cooked_raw_food_says_why_it_is_not_for_eating() -> None:
    """Food Code 3-401.14: heated and still raw."""
    eating = told(raw_animal=True)
    assert not eating.is_safe
    assert eating.why == (
        "It was part-cooked while it was raw, and that wants an approved procedure."
    )
