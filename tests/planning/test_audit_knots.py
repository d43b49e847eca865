"""The worked example: its plan breaks nothing, and each change of it breaks what it should."""

import re
from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from app.planning import audit as audit_module
from app.planning.audit import RULES, audit
from app.planning.day import Day
from app.planning.plan import Plan
from tests.planning.drafts import Facts, codes

Change = Callable[[Facts], Any]


def test_the_plan_of_the_worked_example_breaks_nothing(knots_day: Day, knots_plan: Plan) -> None:
    assert audit(knots_day, knots_plan) == []


def test_there_is_one_rule_for_each_code() -> None:
    wanted = "unserved late stale double lineage touched unsafe backups spares goals phases"
    wanted += " equipment crew shelf before"
    assert [rule.__name__ for rule in RULES] == wanted.split()


def test_the_audit_shares_only_the_facts_the_answer_and_the_minutes_with_the_planner() -> None:
    planning = Path(audit_module.__file__).parent
    files = [planning / "audit.py", *(planning / "auditing").glob("*.py")]
    shared = re.compile(r"app\.planning\.(day|plan|minutes|events|auditing\.\w+)\b")
    for file in files:
        for module in re.findall(r"^(?:from|import) (app[.\w]*)", file.read_text("utf-8"), re.M):
            assert shared.fullmatch(module), (file.name, module)


def _copy(plan: Facts, name: str) -> Facts:
    found: Facts = next(each for each in plan["copies"] if each["id"] == f"knots/{name}")
    return found


def _batch(plan: Facts, name: str) -> Facts:
    found: Facts = next(each for each in plan["batches"] if each["id"] == name)
    return found


def _use(plan: Facts, take: int, beat: str) -> Facts:
    key = f"knots-take-{take}", beat
    found: Facts = next(each for each in plan["uses"] if (each["run"], each["beat"]) == key)
    return found


def _shift(plan: Facts, name: str, min_later: int, *, phase: int | None = None) -> None:
    phases = _batch(plan, name)["phases"]
    for each in phases if phase is None else [phases[phase]]:
        for end in ("starts", "ends"):
            minute = int(each[end][11:13]) * 60 + int(each[end][14:]) + min_later
            each[end] = f"2027-03-04T{minute // 60:02}:{minute % 60:02}"


def _swap_uses(plan: Facts) -> None:
    """Let each take have the other's scaled copy in its list alone."""
    one, other = _use(plan, 1, "mix"), _use(plan, 2, "mix")
    one["copies"], other["copies"] = other["copies"], one["copies"]


def _show_before(plan: Facts) -> None:
    """Let the reveal of take 2 take what take 1 has shown and used up."""
    _use(plan, 2, "reveal")["copies"] = list(_use(plan, 1, "reveal")["copies"])


def _lack_one(plan: Facts) -> None:
    _use(plan, 1, "reveal")["copies"].pop()


CHANGES: list[tuple[str, str, Change]] = [
    ("a copy fewer at a use", "unserved", _lack_one),
    ("a use fewer", "unserved", lambda p: p["uses"].pop(0)),
    ("a use of a stranger", "unserved", lambda p: _use(p, 1, "mix").update(run="knots-take-3")),
    ("a copy that is not there", "unserved", lambda p: _use(p, 1, "mix").update(copies=["x"])),
    ("a copy of another stage", "unserved",
     lambda p: _use(p, 1, "mix").update(copies=["knots/mixed/1"])),
    ("a lack that is none", "unserved",
     lambda p: p["unmet"].append(_lack("copies"))),
    ("baked too late", "late", lambda p: _shift(p, "b8", 1)),
    ("rested too late for the camera", "late", lambda p: _shift(p, "b9", 1)),
    ("mixed too early", "stale", lambda p: _shift(p, "b2", -9)),
    ("carried for too long", "stale", lambda p: _shift(p, "b9", 1)),
    ("what was shown and used up", "double", _show_before),
    ("one copy in two batches", "double",
     lambda p: _batch(p, "b3").update(consumes=["knots/scaled/1"])),
    ("one input fewer", "lineage", lambda p: _batch(p, "b7")["consumes"].pop()),
    ("one input of another stage", "lineage",
     lambda p: _batch(p, "b2").update(consumes=["knots/rested/1"])),
    ("takers that disagree", "lineage", _swap_uses),
    ("a batch before its inputs", "lineage", lambda p: _shift(p, "b8", -1)),
    ("a role", "lineage", lambda p: _copy(p, "scaled/4").update(role="backup")),
    ("a tag", "lineage", lambda p: _copy(p, "mixed/4").update(tag="KN-5")),
    ("two tags exchanged", "lineage",
     lambda p: (_copy(p, "mixed/1").update(tag="KN-2"), _copy(p, "mixed/2").update(tag="KN-1"))),
    ("a left copy staged early", "lineage",
     lambda p: _copy(p, "mixed/4").update(staged_at="2027-03-04T14:02")),
    ("a copy left by the other take", "lineage",
     lambda p: _copy(p, "mixed/4").update(made_by={"use": ["knots-take-2", "mix"]})),
    ("what is shown to the untouched", "touched",
     lambda p: _batch(p, "b7").update(consumes=["knots/rested/3", "knots/rested/4"])),
    ("a backup fewer", "backups", lambda p: _use(p, 1, "reveal")["backups"].pop()),
    ("a backup that is taken", "backups",
     lambda p: _use(p, 1, "reveal")["backups"].append("knots/baked/1")),
    ("a backup twice", "backups",
     lambda p: _use(p, 1, "reveal").update(backups=["knots/baked/7"] * 6)),
    ("a lack of backups that is none", "backups", lambda p: p["unmet"].append(_lack("backups"))),
    ("a spare without losses", "spares",
     lambda p: (_use(p, 2, "reveal")["backups"].pop(), _copy(p, "baked/18").update(role="spare"))),
    ("a phase longer", "phases",
     lambda p: _batch(p, "b9")["phases"][0].update(starts="2027-03-04T14:22")),
    ("a gap", "phases", lambda p: _shift(p, "b8", 1, phase=2)),
    ("a phase fewer", "phases", lambda p: _batch(p, "b8")["phases"].pop()),
    ("another way", "phases", lambda p: _batch(p, "b6").update(way="overnight")),
    ("a unit fewer", "equipment",
     lambda p: _batch(p, "b8")["phases"][0]["equipment"][0].update(units=1)),
    ("another item", "equipment",
     lambda p: _batch(p, "b2")["phases"][0]["equipment"][0].update(id="deck-oven")),
    ("no item", "equipment", lambda p: _batch(p, "b2")["phases"][0].update(equipment=[])),
    ("no heat", "equipment", lambda p: p["heats"].clear()),
    ("a heat too late", "equipment",
     lambda p: p["heats"][0].update(starts="2027-03-04T13:22")),
    ("nobody", "crew", lambda p: _batch(p, "b7")["phases"][0].update(crew=[])),
    ("a stranger", "crew", lambda p: _batch(p, "b7")["phases"][0].update(crew=["cook-9"])),
    ("two things at once", "crew", lambda p: _shift(p, "b3", -1)),
    ("another level that is not there", "shelf",
     lambda p: _copy(p, "scaled/4")["places"][0].update(level=5)),
    ("another zone", "shelf",
     lambda p: _copy(p, "scaled/4")["places"][0].update(shelf="fridge-1", slot=1)),
    ("somebody else's slot", "shelf", lambda p: _copy(p, "scaled/4")["places"][0].update(slot=4)),
    ("a slot of another batch", "shelf",
     lambda p: _copy(p, "mixed/4")["places"][0].update(slot=1)),
    ("a place too short", "shelf",
     lambda p: _copy(p, "baked/18")["places"][0].update(to="2027-03-04T15:34")),
    ("no place", "shelf", lambda p: _copy(p, "scaled/4")["places"].clear()),
    ("no place in a phase", "shelf", lambda p: _batch(p, "b4")["phases"][0].pop("places")),
    ("too many in a slot of a phase", "shelf",
     lambda p: _batch(p, "b4")["phases"][0].update(
         places=[_batch(p, "b4")["phases"][0]["places"][0] | {"copies": 2}])),
    ("before the prep", "before", lambda p: _shift(p, "b1", -300)),
]  # fmt: skip


def _lack(kind: str) -> Facts:
    return {
        "run": "knots-take-1",
        "beat": "reveal",
        "stage": "baked",
        "kind": kind,
        "count": 1,
    }


@pytest.mark.parametrize(
    ("code", "change"),
    [pytest.param(code, change, id=f"{code}: {name}") for name, code, change in CHANGES],
)
def test_a_change_of_the_plan_is_caught(
    code: str, change: Change, knots_day: Day, golden: Callable[[str], Any]
) -> None:
    plan = deepcopy(golden("knots.plan.json"))
    change(plan)
    assert code in codes(knots_day, plan)


DAYS: list[tuple[str, str, Change]] = [
    ("one more copy needed", "unserved",
     lambda d: d["demonstrations"][0]["beats"][0]["needs"][0].update(count=2)),
    ("a longer margin", "late", lambda d: d["policy"].update(ready_margin_min=11)),
    ("a longer return", "late", lambda d: d["policy"].update(return_min=21)),
    ("slack", "late", lambda d: d["policy"].update(step_slack_min=1)),
    ("a shorter keeping time", "stale",
     lambda d: d["demonstrations"][0]["stages"][1].update(keeps_min=19)),
    ("no reuse", "double", lambda d: d["policy"].update(reuse=False)),
    ("another yield", "lineage", lambda d: d["demonstrations"][0]["stages"][3].update(yields=6)),
    ("nothing left", "lineage", lambda d: d["demonstrations"][0]["beats"][0].pop("leaves")),
    ("tasting what is not to eat", "unsafe",
     lambda d: d["demonstrations"][0]["beats"][2]["needs"][0].update(tasting=True)),
    ("more backups", "backups",
     lambda d: d["demonstrations"][0]["beats"][2]["needs"][0].update(backups=13)),
    ("losses", "spares", lambda d: d["demonstrations"][0]["stages"][4].update(loss=0.01)),
    ("dearer copies", "goals", lambda d: d["demonstrations"][0]["stages"][4].update(cost=2)),
    ("smaller batches", "phases",
     lambda d: d["demonstrations"][0]["stages"][4]["ways"][0].update(batch_max=17)),
    ("a smaller oven", "equipment", lambda d: d["kitchen"]["equipment"][0].update(units=1)),
    ("a closed mixer", "equipment",
     lambda d: d["kitchen"]["equipment"][1].update(
         closed=[["2027-03-04T12:52", "2027-03-04T12:55"]])),
    ("a slower oven", "equipment",
     lambda d: d["kitchen"]["equipment"][0]["settings"].update(change_min=16)),
    ("a shorter shift", "crew",
     lambda d: d["kitchen"]["crew"][0].update(shifts=[["2027-03-04T07:00", "2027-03-04T13:54"]])),
    ("a skill nobody has", "crew",
     lambda d: d["demonstrations"][0]["stages"][4]["ways"][0]["phases"][0].update(skill="bread")),
    ("fewer slots", "shelf", lambda d: d["kitchen"]["shelves"][0].update(levels=[3, 4, 4, 4])),
    ("no shelves", "shelf", lambda d: d["kitchen"].update(shelves=[])),
    ("a later prep", "before", lambda d: d.update(prep_from="2027-03-04T11:31")),
    ("a run moved", "late", lambda d: d["runs"][0].update(starts="2027-03-04T13:59")),
    ("a dry run", "unserved", lambda d: d["runs"][0].update(dry=True)),
]  # fmt: skip


@pytest.mark.parametrize(
    ("code", "change"),
    [pytest.param(code, change, id=f"{code}: {name}") for name, code, change in DAYS],
)
def test_the_plan_of_another_day_is_caught(
    code: str, change: Change, golden: Callable[[str], Any]
) -> None:
    facts = deepcopy(golden("knots.day.json"))
    change(facts)
    assert code in codes(Day.model_validate(facts), golden("knots.plan.json"))
