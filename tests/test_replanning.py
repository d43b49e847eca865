"""The command `replan`: a plan mended on the day, from an accident to a day that is written."""

import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app.__main__ import main
from app.arguments import BREACHES, DONE, FAILED, REFUSED, UNMET
from app.exchange.dayfile import load_day, load_plan
from app.planning.canonical import canonical, fingerprint
from app.planning.day import Day
from tests.live import GOLDEN
from tests.paper.opened import Opened
from tests.planning.test_clocks import day_with

DAY, PLAN = GOLDEN / "knots.day.json", GOLDEN / "knots.plan.json"
ON = "2027-03-04T"
STARTED = [
    {"event": "started", "batch": "b1", "at": f"{ON}11:40"},
    {"event": "staged", "batch": "b1", "at": f"{ON}11:49"},
    {"event": "started", "batch": "b2", "at": f"{ON}11:49"},
]
ACCIDENTS: dict[str, tuple[str, list[dict[str, Any]]]] = {
    "started late": ("12:20", []),
    "takes longer": ("12:00", [{"event": "expected", "batch": "b2", "ends": f"{ON}12:30"}]),
    "lost": ("12:00", [{"event": "lost", "copy": "knots/scaled/2"}]),
    "staged early": ("11:55", [{"event": "staged", "batch": "b2", "at": f"{ON}11:55"}]),
    "run moved": ("12:00", [{"event": "moved", "run": "knots-take-2", "starts": f"{ON}15:50"}]),
    "run added": (
        "12:00",
        [{"event": "added", "run": {"id": "more", "demonstration": "knots", "kind": "take",
          "starts": f"{ON}16:40"}}],
    ),
    "run dropped": ("12:00", [{"event": "dropped", "run": "knots-take-2"}]),
    "oven down": (
        "12:00",
        [{"event": "closed", "equipment": "deck-oven", "from": f"{ON}12:00", "to": f"{ON}13:30"}],
    ),
    "cook gone": (
        "12:00",
        [{"event": "absent", "crew": "cook-1", "from": f"{ON}12:05", "to": f"{ON}12:25"}],
    ),
}  # fmt: skip


@pytest.fixture
def mended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    """Return what mends the knots after some events, and writes plan and day beside them."""

    def mend(now: str, events: list[dict[str, Any]], *more: str) -> int:
        lines = [
            json.dumps({"at": ON + now, "once": f"k{n}", "by": "Ada", **event, "n": n})
            for n, event in enumerate(events, 1)
        ]
        (tmp_path / "events").write_text("\n".join(lines), "utf-8")
        files = ["-o", tmp_path / "plan", "--day", tmp_path / "day"]
        given = ["replan", DAY, PLAN, tmp_path / "events", "--now", ON + now, *files, *more]
        # A command that fails closes stdout, as the last thing before the process ends.
        with monkeypatch.context() as patch, open(os.dup(1), "w", encoding="utf-8") as stdout:
            patch.setattr(sys, "stdout", stdout)
            return main([str(each) for each in given])

    return mend


@pytest.mark.parametrize("accident", ACCIDENTS)
def test_an_accident_is_mended(
    accident: str, mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The plan keeps every rule in the light of what happened, and the day is read back."""
    now, events = ACCIDENTS[accident]
    status = mended(now, [*STARTED, *events])
    told = capfd.readouterr().out.splitlines()
    day = load_day((tmp_path / "day").read_bytes())
    plan = load_plan((tmp_path / "plan").read_bytes())
    assert (tmp_path / "day").read_bytes() == canonical(day) + b"\n"
    assert (plan.number, plan.day) == (2, fingerprint(day))
    assert status == (UNMET if plan.objective.unmet else DONE)
    assert told
    audited = [tmp_path / "day", tmp_path / "plan", "--events", tmp_path / "events"]
    assert main(["audit", *map(str, audited), "--now", ON + now]) == DONE
    assert main(["audit", *map(str, audited)]) == DONE


def test_a_loss_told_before_the_prep_begins_is_mended(
    mended: Callable[..., int], tmp_path: Path
) -> None:
    """What was made so early stands from then on."""
    lost = {"event": "lost", "copy": "knots/scaled/2", "at": f"{ON}06:30"}
    assert mended("06:30", [lost]) in (DONE, UNMET)
    audited = [tmp_path / "day", tmp_path / "plan", "--events", tmp_path / "events"]
    assert main(["audit", *map(str, audited), "--now", f"{ON}06:30"]) == DONE


def test_a_mended_plan_is_printed_in_the_light_of_what_happened(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Kept tags need not count up, so the events go along; only what changed is in it."""
    now, events = ACCIDENTS["lost"]
    mended(now, [*STARTED, *events])
    capfd.readouterr()
    given = ["print", tmp_path / "day", tmp_path / "plan", "-o", tmp_path / "paper.pdf"]
    given += ["--paper", "runsheet", "--since", DAY, PLAN]
    given += ["--events", tmp_path / "events", "--now", ON + now]
    assert main([str(each) for each in given]) == DONE
    words = Opened((tmp_path / "paper.pdf").read_bytes()).words
    assert "What changed since plan 1" in words


def test_a_mended_plan_is_played_in_the_light_of_what_happened(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A batch that takes longer than its way keeps no rule of a plan that is made fresh."""
    now, events = ACCIDENTS["takes longer"]
    mended(now, [*STARTED, *events])
    given = ["risk", *(str(tmp_path / name) for name in ("day", "plan")), "--plays", "200"]
    assert main(given) == BREACHES
    capfd.readouterr()
    assert main([*given, "--events", str(tmp_path / "events"), "--now", ON + now]) == DONE
    assert "Played 200 times from 12:00 on" in capfd.readouterr().out


def test_a_plan_is_played_from_the_moment_that_is_now(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Published or mended a while ago; without a time now, from the last event on."""
    late = {"event": "staged", "batch": "b2", "at": f"{ON}12:04"}
    mended("12:05", [*STARTED, late])
    events = ["--events", str(tmp_path / "events"), "--plays", "200"]
    capfd.readouterr()
    for day, plan in ((DAY, PLAN), (tmp_path / "day", tmp_path / "plan")):
        given = ["risk", str(day), str(plan), *events]
        assert main([*given, "--now", f"{ON}12:20"]) == DONE
        told = capfd.readouterr().out
        assert "Played 200 times from 12:20 on, with all that was told by then" in told
        assert main(given) == DONE
        assert "Played 200 times from 12:04 on" in capfd.readouterr().out
        assert main([*given, "--now", f"{ON}20:00"]) == DONE
        assert capfd.readouterr().out.startswith("At 20:00 all that the plan serves is over.")


def test_a_plan_that_never_was_right_is_not_played(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Whatever was told since: it broke the rules before all of it."""
    mended("12:05", STARTED)
    plan = json.loads(PLAN.read_text("utf-8"))
    plan["batches"][-1]["phases"][0]["ends"] = plan["batches"][-1]["phases"][0]["starts"]
    (tmp_path / "wrong").write_text(json.dumps(plan), "utf-8")
    events = ["--events", str(tmp_path / "events"), "--now", f"{ON}12:05"]
    capfd.readouterr()
    assert main(["risk", str(DAY), str(tmp_path / "wrong"), *events]) == BREACHES
    assert "phases: " in capfd.readouterr().out


def test_what_lacks_is_offered_another_way(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A run may start later: the day that is written says so, and what to tell is told."""
    lost = [{"event": "lost", "copy": f"knots/scaled/{n}", "at": f"{ON}12:30"} for n in (1, 2, 3)]
    gone = {"event": "absent", "crew": "cook-1", "from": f"{ON}12:00", "to": f"{ON}13:00"}
    assert mended("12:30", [*STARTED, *lost, gone], "--offers") == UNMET
    offers = [line for line in capfd.readouterr().out.splitlines() if line.startswith("offer ")]
    names = [line.split()[1].rstrip(":") for line in offers]
    slip = next(name for name in names if name.startswith("slip-knots-take-1-"))
    short = load_plan((tmp_path / "plan").read_bytes()).objective.unmet
    mended("12:30", [*STARTED, *lost, gone], "--take", slip)
    told = capfd.readouterr().out.splitlines()
    moved = json.loads(told[-1].removeprefix("tell as well: "))
    assert load_plan((tmp_path / "plan").read_bytes()).objective.unmet < short
    assert load_day((tmp_path / "day").read_bytes()).run("knots-take-1").starts == moved["starts"]


def test_each_need_that_lacks_something_is_named(
    mended: Callable[..., int], capfd: pytest.CaptureFixture[str]
) -> None:
    """How much lacks is not enough: somebody has to tell the presenter which take it is."""
    lost = [{"event": "lost", "copy": f"knots/scaled/{n}", "at": f"{ON}12:30"} for n in (1, 2, 3)]
    gone = {"event": "absent", "crew": "cook-1", "from": f"{ON}12:00", "to": f"{ON}13:00"}
    assert mended("12:30", [*STARTED, *lost, gone]) == UNMET
    told = capfd.readouterr().out.splitlines()
    short = [line for line in told if line.startswith("short: ")]
    assert "short: Cardamom knots, knots-take-1 at 14:00, tie: 1 rested" in short


def test_what_should_have_begun_is_told_and_may_be_taken_as_done(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Whoever writes one accident into a file need not write every tick of the day before it."""
    dropped = {"event": "dropped", "run": "knots-take-2"}
    mended("12:00", [STARTED[0], dropped])
    told = capfd.readouterr().out.splitlines()
    assert told[0] == (
        "1 batch should have started, and no event says so, so it is taken as not begun "
        "(see --as-planned): b2"
    )
    assert mended("12:00", [STARTED[0], dropped], "--as-planned", str(tmp_path / "told")) == DONE
    assert "taken as not begun" not in capfd.readouterr().out
    log = [json.loads(line) for line in (tmp_path / "told").read_text("utf-8").splitlines()]
    assert [(each["n"], each["event"], each["at"]) for each in log[2:]] == [
        (3, "started", f"{ON}11:49")
    ]
    audited = [str(tmp_path / name) for name in ("day", "plan")]
    assert main(["audit", *audited, "--events", str(tmp_path / "told")]) == DONE


def test_no_two_files_are_written_to_one_place(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The second would be written over the first."""
    assert mended("12:00", STARTED, "--as-planned", str(tmp_path / "day")) == FAILED
    assert "The plan, day and events need a file each." in capfd.readouterr().err


def test_a_run_may_slip_by_more_than_an_hour(
    mended: Callable[..., int], capfd: pytest.CaptureFixture[str]
) -> None:
    """Dough that is dropped just before its take is made anew in 88 min."""
    said = [
        {"event": "staged", "batch": "b8", "at": f"{ON}13:55"},
        {"event": "lost", "copy": "knots/rested/3", "at": f"{ON}13:56"},
    ]
    assert mended("13:57", said, "--offers") == UNMET
    assert "offer slip-knots-take-1-120: " in capfd.readouterr().out


def test_an_offer_that_is_not_there_is_refused(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Nothing is written."""
    assert mended("12:00", STARTED, "--take", "slip-knots-take-1-5") == FAILED
    assert "There is no offer 'slip-knots-take-1-5' here" in capfd.readouterr().err
    assert not (tmp_path / "plan").exists()


def test_an_event_of_what_is_not_there_is_refused(
    mended: Callable[..., int], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """By its line, and nothing is written."""
    assert mended("12:00", [*STARTED, {"event": "dropped", "run": "knots-take-9"}]) in (
        DONE,
        REFUSED,
    )
    assert mended("12:00", [*STARTED, {"event": "lost", "copy": "knots/scaled/99"}]) == REFUSED
    assert "line 4" in capfd.readouterr().err


def test_what_readings_find_spoilt_is_taken_out(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A custard cools too slowly: the backup stands in, and what to tell as well is said."""
    first = _custard(tmp_path)
    measured = {"event": "measured", "copy": "custard/set/1", "celsius": 30, "n": 1}
    said = {"at": f"{ON}14:00", "by": "Ada", "once": "k1"}
    (tmp_path / "events").write_text(json.dumps(measured | said), "utf-8")
    written = ["-o", str(tmp_path / "plan"), "--day", str(tmp_path / "day")]
    main(["replan", *first, str(tmp_path / "events"), "--now", f"{ON}14:00", *written])
    told = capfd.readouterr().out
    assert "custard/set/1 is lost: It cooled too slowly: still 30 °C at 14:00" in told
    assert "Next best: CU-2" in told
    assert 'tell as well: {"n":2' in told
    (use,) = load_plan((tmp_path / "plan").read_bytes()).uses
    assert use.copies == ("custard/set/2",)


def _custard(tmp_path: Path) -> list[str]:
    """Write a day of custards that four hours in the chill make, and its plan; return both."""
    document = day_with().model_dump(mode="json", by_alias=True, exclude_unset=True)
    document["kitchen"] |= {
        "equipment": [{"id": "hob", "kind": "hob"}],
        "crew": [{"id": "ada", "shifts": [[f"{ON}08:00", f"{ON}18:00"]]}],
    }
    stage = document["demonstrations"][0]["stages"][0]
    stage["ways"][0]["phases"][2]["lasts_min"] = 240
    (tmp_path / "first").write_bytes(canonical(Day.model_validate(document)))
    first = [str(tmp_path / name) for name in ("first", "published")]
    assert main(["plan", first[0], "-o", first[1]]) == DONE
    return first


def test_a_mistyped_reading_that_is_taken_back_gives_its_copy_back(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Both from the first plan and from the one mended meanwhile; how sure it is, is as before."""
    first = _custard(tmp_path)
    events, mended = tmp_path / "events", [str(tmp_path / "day"), str(tmp_path / "plan")]
    said = {"at": f"{ON}14:00", "by": "Ada"}
    begun = {"n": 1, "once": "k1", "event": "started", "batch": "b1", "at": f"{ON}11:10"}
    warm = {"n": 2, "once": "k2", "event": "measured", "celsius": 30.0, "copy": "custard/set/1"}
    log = [json.dumps(said | begun), json.dumps(said | warm)]

    def replanned(day: str, plan: str) -> list[str]:
        events.write_text("\n".join(log), "utf-8")
        given = ["replan", day, plan, str(events), "--now", f"{ON}14:05"]
        main([*given, "--day", mended[0], "-o", mended[1]])
        return capfd.readouterr().out.splitlines()

    def risk(day: str, plan: str) -> str:
        capfd.readouterr()
        main(["risk", day, plan, "--plays", "200"])
        return capfd.readouterr().out

    sure = risk(*first)
    lost = replanned(*first)
    log.append(next(line.removeprefix("tell as well: ") for line in lost if "tell" in line))
    log.append(json.dumps(said | {"n": 4, "once": "k4", "event": "undone", "undoes": 2}))
    unsure = risk(*mended)
    for before in (first, mended):
        back = replanned(*before)
        assert "custard/set/1 is not lost after all: no reading that stands says so." in back
        taken = next(line.removeprefix("tell as well: ") for line in back if "tell" in line)
        assert (json.loads(taken)["event"], json.loads(taken)["undoes"]) == ("undone", 3)
        (use,) = load_plan(Path(mended[1]).read_bytes()).uses
        assert {*use.copies, *use.backups} == {"custard/set/1", "custard/set/2"}
        assert risk(*mended) == sure != unsure
    log.append(taken)
    assert not any("tell" in line for line in replanned(*mended))
