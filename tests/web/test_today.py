"""On the day: what does not go as planned is told in two taps, and the plan is mended."""

import html
import json
import re
import time
from typing import Any, cast

import pytest
from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.events import Moved
from app.planning.minutes import Clock
from app.planning.plan import Lack, Plan
from app.storage.engine import reading
from app.storage.log import append
from app.storage.queries import plans
from app.storage.queries.ticks import of_plan, states
from app.storage.ticks import tick_of
from app.web.desk import Desk
from app.web.jobs import PlanJob, Told
from app.web.mending import Mends, mends_of
from app.web.offers import Offer
from tests.web.desk import QuietJob

PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
ON = "2027-03-04T"
NOW = f"{ON}12:05"
PATIENCE_S = 60


TAPS: list[tuple[str, str, dict[str, Any]]] = [
    (
        "/run/knots-take-1",
        "10 min later: 14:10",
        {"event": "moved", "run": "knots-take-1", "starts": f"{ON}14:10"},
    ),
    ("/run/knots-take-2", "Drop", {"event": "dropped", "run": "knots-take-2"}),
    (
        "/item/deck-oven",
        "1 h: to 13:05",
        {"event": "closed", "equipment": "deck-oven", "from": NOW, "to": f"{ON}13:05"},
    ),
    (
        "/cook/cook-1",
        "the rest of the shift",
        {"event": "absent", "crew": "cook-1", "from": NOW, "to": f"{ON}17:00"},
    ),
    ("/batch/b1", "KN-1 is lost", {"event": "lost", "copy": "knots/scaled/1", "why": ""}),
]


def at(client: TestClient, clock: str = NOW) -> None:
    """Set the clock of the app."""
    app: Any = client.app
    app.state.now_s = lambda: Clock("Europe/Lisbon").minute(clock) * 60.0


@pytest.fixture
def today(client: TestClient, production: int) -> str:
    """Return the address of the day of the knots production, at noon."""
    at(client)
    return f"/productions/{production}/today"


@pytest.fixture
def jobs(client: TestClient) -> list[QuietJob]:
    """Return the mendings that the app's desk is given; the test holds them in its hands."""
    made: list[QuietJob] = []

    def mend(mends: Mends) -> PlanJob:
        made.append(QuietJob(mends.day, mends.mender.plan.number + 1))
        return cast(PlanJob, made[-1])

    app: Any = client.app
    app.state.desk = Desk(mender=mend)
    return made


def begun(production: int, batch: str = "b1") -> None:
    """Let a batch be started and staged as the plan says."""
    said = {"batch": batch, "by": "Ada", "at": "2027-03-04T11:30"}
    ticks = [{"event": "started", **said}, {"event": "staged", **said}]
    append(production, [tick_of({**each, "once": f"{batch}{n}"}) for n, each in enumerate(ticks)])


def choices(page: str) -> dict[str, str]:
    """Return what the buttons of a page send, by their words."""
    found = re.findall(r'name="say" value=(?:"([^"]*)"|\'([^\']*)\')>(.*?)</button>', page, re.S)
    return {
        re.sub(r"<[^>]*>", "", words).strip(): html.unescape(double or single)
        for double, single, words in found
    }


def tap(client: TestClient, today: str, page: str, words: str) -> None:
    """Go to a page of choices and press the button that begins with some words."""
    shown = client.get(f"{today}{page}")
    assert shown.status_code == 200
    said = choices(shown.text)
    value = next(sent for told, sent in said.items() if told.startswith(words))
    sent = client.post(f"{today}/tell", data={"say": value}, follow_redirects=False)
    assert (sent.status_code, sent.headers["location"]) == (303, today)


def told(production: int) -> list[dict[str, Any]]:
    """Return what the log says of the day, beside who, when and under which key."""
    with reading() as conn:
        ticks = of_plan(conn, production)
    return [{"event": each.event, **each.says()} for each in ticks]


@pytest.mark.parametrize(("page", "words", "says"), TAPS)
def test_an_accident_is_two_taps(
    client: TestClient, production: int, today: str, jobs: list[QuietJob],
    page: str, words: str, says: dict[str, Any],
) -> None:  # fmt: skip
    """The page of choices, the choice: then it is told, and the plan is being mended."""
    begun(production)
    tap(client, today, page, words)
    assert told(production)[-1] == says
    assert len(jobs) == 1
    shown = client.get(today).text
    assert "The plan is being mended" in shown
    assert 'hx-trigger="every 1s"' in shown


def test_a_batch_in_the_making_takes_longer_or_is_staged_early(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """From when it would be staged by its length."""
    said = {"event": "started", "batch": "b2", "by": "Ada", "at": "2027-03-04T12:01", "once": "s"}
    append(production, [tick_of(said)])
    tap(client, today, "/batch/b2", "15 min: 12:28")
    assert told(production)[-1] == {
        "event": "expected", "batch": "b2", "ends": "2027-03-04T12:28",
    }  # fmt: skip
    tap(client, today, "/batch/b2", "It is staged now")
    assert told(production)[-1]["event"] == "staged"
    assert (jobs[0].asked, len(jobs)) == (["kill"], 2)
    assert "The plan is being mended" in client.get(today).text


def test_what_is_staged_early_and_changes_nothing_leaves_the_plan(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """No new number, so that no paper is void for nothing; what was told is told."""
    begun(production)
    said = {"event": "started", "batch": "b2", "by": "Ada", "at": f"{ON}11:41", "once": "s"}
    append(production, [tick_of(said)])
    at(client, f"{ON}11:55")
    tap(client, today, "/batch/b2", "It is staged now")
    jobs[0].plan = knots_plan
    shown = client.get(today).text
    assert "Nothing changes: plan 1 still holds" in shown
    assert "mixed KN-1: staged 6 min early" in shown
    client.post(f"{today}/refuse")
    assert "still holds" not in client.get(today).text


def test_what_is_staged_too_early_for_its_keeping_is_told_on_every_screen(
    client: TestClient, production: int, today: str
) -> None:
    """Dough that keeps 20 min was mixed 9 min early, and its rest is planned for 12:13."""
    begun(production)
    said = {"event": "staged", "batch": "b2", "by": "Ada", "at": f"{ON}11:52", "once": "s"}
    append(production, [tick_of(said)])
    page = client.get(f"/productions/{production}/board").text
    assert "1 thing happened that plan 1 does not know." in page
    assert "mixed KN-1: staged 9 min early" in client.get(today).text
    rest = {"event": "started", "batch": "b4", "by": "Ada", "at": f"{ON}12:05", "once": "r"}
    append(production, [tick_of(rest)])
    with reading() as conn:
        assert states(conn, production).unknown == ()


def test_a_batch_that_has_not_started_is_late_without_a_word(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """Nobody ticks what has not happened: the plan is mended from now."""
    page = client.get(f"{today}/batch/b2").text
    assert "It should have started at" in page
    client.post(f"{today}/mend")
    assert len(jobs) == 1
    assert told(production) == []


def test_what_is_of_another_day_is_told_with_it(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """The evening before, the hours of tomorrow bear their day; so do those of yesterday after."""
    at(client, "2027-03-03T20:00")
    assert "Thu 11:49. If it has not by then" in client.get(f"{today}/batch/b2").text
    page = client.get(f"{today}/run/knots-take-1").text
    assert "knots-take-1, Thu 14:00" in page
    assert {"5 min later: Thu 14:05", "at Thu 14:15"} <= choices(page).keys()
    at(client, "2027-03-05T08:00")
    assert "scaled at Thu 11:30" in client.get(today).text
    assert "It should have started at Thu 11:49" in client.get(f"{today}/batch/b2").text


def test_what_nobody_ticked_is_ticked_as_planned(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """Crew forget; one tap, and the plan need not be mended for that."""
    shown = client.get(today).text
    assert "nobody ticked" in shown
    client.post(f"{today}/as-planned")
    with reading() as conn:
        ticked = states(conn, production)
    assert ticked.of("b1").state == "staged"
    assert ticked.of("b2").state in ("started", "staged")
    assert "nobody ticked" not in client.get(today).text
    assert jobs == []


def test_copies_that_may_be_lost_stand_by_their_numbers(
    client: TestClient, production: int, today: str
) -> None:
    """As people look for them on the shelf, whatever order they were made in."""
    begun(production, "b8")
    said = choices(client.get(f"{today}/batch/b8").text)
    lost = [int(words.split()[0][3:]) for words in said if words.endswith("is lost")]
    assert lost == list(range(6, 24))


def test_a_run_is_added_like_another(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """With all that its like says, under an id of its own."""
    tap(client, today, "/run/knots-take-2", "at 16:15")
    added = told(production)[-1]["run"]
    assert (added["id"], added["name"]) == ("knots-take-2-again-2", "knots-take-2, 2")
    assert (added["demonstration"], added["starts"]) == ("knots", "2027-03-04T16:15")
    tap(client, today, "/run/knots-take-2", "at 16:15")
    assert told(production)[-1]["run"]["id"] == "knots-take-2-again-3"


def test_what_changes_is_told_and_accepted(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Then it is the plan on every screen, with the next number, and the day is another one."""
    begun(production)
    tap(client, today, "/run/knots-take-2", "Drop")
    jobs[0].plan = knots_plan
    part = client.get(f"{today}/mend", headers=PART).text
    assert "What changes with plan 2" in part
    assert "knots-take-2 is gone" in part
    sent = {"began_from": "1", "once": "tap"}
    for _ in range(2):
        client.post(f"{today}/accept", data=sent)
    with reading() as conn:
        assert plans.newest_number(conn, production) == 2
        assert states(conn, production).unknown == ()
        assert [run.id for run in plans.day_planned(conn, production).runs] == ["knots-take-1"]
    shown = client.get(today).text
    assert "Plan 2 takes it in." in shown
    rundown = client.get(f"/productions/{production}/rundown").text
    assert "run-knots-take-2" not in rundown


def test_a_mended_plan_names_each_need_that_lacks_something(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Before anybody accepts it they know which take it is, and on which day, if there are two."""
    lack = Lack(run="knots-take-1", beat="tie", stage="rested", kind="copies", count=1)
    short = knots_plan.model_copy(update={"unmet": (lack,)})
    tap(client, today, "/run/knots-take-2", "Drop")
    jobs[0].plan = short
    part = client.get(f"{today}/mend", headers=PART).text
    assert "short</span> Cardamom knots, knots-take-1 at 14:00, tie: 1 rested" in part


def test_what_was_told_is_taken_back(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """Before a plan takes it in, nothing is left to mend."""
    tap(client, today, "/item/deck-oven", "1 h")
    tap(client, today, "", "Undo")
    assert jobs[0].asked == ["kill"]
    shown = client.get(today).text
    assert "all goes as planned" in shown
    assert "is being mended" not in shown


def test_what_a_plan_has_taken_in_is_taken_back(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Then the plan is mended once more, and the run comes back."""
    tap(client, today, "/run/knots-take-2", "Drop")
    jobs[0].plan = knots_plan
    client.post(f"{today}/accept", data={"began_from": "1", "once": "tap"})
    tap(client, today, "", "Undo")
    assert len(jobs) == 2
    jobs[1].plan = knots_plan
    assert "knots-take-2 is new" in client.get(f"{today}/mend", headers=PART).text


def test_refusing_leaves_the_plan_and_what_was_told(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Every screen says that the plan does not know it."""
    tap(client, today, "/item/deck-oven", "1 h")
    jobs[0].plan = knots_plan
    client.post(f"{today}/refuse")
    shown = client.get(today).text
    assert "Plan 1 does not know all that happened" in shown
    assert "deck-oven is down from 12:05 to 13:05" in shown
    for screen in ("board", "list?cook=cook-1", "copies/KN-1"):
        page = client.get(f"/productions/{production}/{screen}").text
        assert "1 thing happened that plan 1 does not know." in page


def test_a_mended_plan_that_was_overtaken_is_mended_once_more(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Somebody lost a copy while others looked at the changes."""
    tap(client, today, "/run/knots-take-2", "Drop")
    jobs[0].plan = knots_plan
    said = {"event": "lost", "copy": "knots/scaled/1", "by": "Bo", "at": NOW, "once": "l"}
    append(production, [tick_of(said)])
    refused = client.post(f"{today}/accept", data={"began_from": "1", "once": "tap"})
    assert refused.status_code == 409
    assert "Bo told something at 12:05 that this plan does not know" in refused.text
    assert len(jobs) == 2


def test_another_way_to_go_on_is_accepted_instead(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """A run starts later: that is told as well, and the plan takes it in."""
    tap(client, today, "/item/deck-oven", "1 h")
    jobs[0].plan = knots_plan
    app: Any = client.app
    draft = app.state.desk.draft(production)
    before = draft.mends
    moved = Moved(n=2, at=NOW, once="slip", by="Bo", run="knots-take-2", starts="2027-03-04T15:45")
    events = (*before.mender.events, moved)
    after = mends_of(before.mender.day, before.planned, knots_plan, events, NOW, before.told)
    words = "Let knots-take-2 start 15 min later"
    draft.offers.append(Offer("slip-knots-take-2-15", words, after, knots_plan, moved))
    part = client.get(f"{today}/mend", headers=PART).text
    assert f"Or: {words}" in part
    assert "knots-take-2 moves from 15:30 to 15:45" in part
    sent = {"began_from": "1", "once": "tap", "offer": "slip-knots-take-2-15"}
    for _ in range(2):
        client.post(f"{today}/accept", data=sent)
    assert [each["event"] for each in told(production)] == ["closed", "moved"]
    with reading() as conn:
        assert plans.newest_number(conn, production) == 2
        assert states(conn, production).unknown == ()
        assert plans.day_planned(conn, production).run("knots-take-2").starts.endswith("15:45")


def test_an_offer_counts_the_batches_that_only_make_fewer(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """They start when they did, so it costs little; but they are changed."""
    tap(client, today, "/run/knots-take-2", "Drop")
    app: Any = client.app
    mends = app.state.desk.draft(production).mends
    batches = tuple(
        batch.model_copy(update={"copies": batch.copies[:12]}) if batch.id == "b8" else batch
        for batch in knots_plan.batches
    )
    plan = knots_plan.model_copy(update={"batches": batches})
    assert Offer("backups", "Use backups", mends, plan).told == "1 batch of the plan changed"


def test_what_is_not_offered_any_more_is_refused(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """Nothing is published in its place."""
    tap(client, today, "/item/deck-oven", "1 h")
    jobs[0].plan = knots_plan
    sent = {"began_from": "1", "once": "tap", "offer": "slip-knots-take-2-15"}
    refused = client.post(f"{today}/accept", data=sent)
    assert refused.status_code == 409
    assert "That is not offered any more" in refused.text


def test_stopping_keeps_the_best(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], knots_plan: Plan
) -> None:
    """And while it works it tells how far it is."""
    client.post(f"{today}/mend")
    jobs[0].told = Told("changes", 3.0, 1.0, 0.4)
    assert "changes" in client.get(f"{today}/mend", headers=PART).text
    assert "Stopping" in client.post(f"{today}/stop", headers=PART).text
    assert jobs[0].asked == ["stop"]
    jobs[0].plan = knots_plan
    part = client.get(f"{today}/mend", headers=PART).text
    assert "Nothing changes: plan 1 still holds" in part


def test_a_mending_that_fails_says_why(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """The wrong state: what, why, and what now."""
    client.post(f"{today}/mend")
    jobs[0].failed = "The planner's process is gone. Nothing was changed."
    part = client.get(f"{today}/mend", headers=PART).text
    assert "There is no mended plan" in part
    assert "process is gone" in part
    assert "Try again" in part


def test_a_run_moves_on_the_rundown_once_the_day_is_under_way(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """The same form as before tells it, and leads to what changes."""
    begun(production)
    address = f"/productions/{production}/rundown/knots-take-1"
    form = {"date": "2027-03-04", "hour": "14:20", "which": "after", "began_from": ""}
    sent = client.post(address, data=form, follow_redirects=False)
    assert sent.headers["location"] == today
    moved = [(each["run"], each["starts"][11:]) for each in told(production)[2:]]
    assert moved == [("knots-take-1", "14:20"), ("knots-take-2", "15:50")]
    assert len(jobs) == 1


def test_under_way_too_what_starts_in_the_same_minute_moves_along(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """Each run is told once."""
    begun(production)
    address = f"/productions/{production}/rundown/knots-take-1"
    for hour, which in (("15:30", "one"), ("15:40", "after")):
        form = {"date": "2027-03-04", "hour": hour, "which": which, "began_from": ""}
        client.post(address, data=form, follow_redirects=False)
    moved = [(each["run"], each["starts"][11:]) for each in told(production)[3:]]
    assert moved == [("knots-take-1", "15:40"), ("knots-take-2", "15:40")]


def test_a_run_that_is_dragged_then_is_told_as_well(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """From the time line; the page goes to where the mended plan is accepted."""
    at(client)
    begun(production)
    data = {"run": "knots-take-1", "by": "15", "seen": f"{ON}14:00", "which": "one"}
    address = f"/productions/{production}/edit/shift"
    answer = client.post(address, data=data, headers={"Accept": "application/json"})
    assert (answer.status_code, answer.json()["go"]) == (200, today)
    assert [each["starts"][11:] for each in told(production)[-1:]] == ["14:15"]
    assert len(jobs) == 1


def test_a_rundown_that_was_changed_before_the_first_tick_is_told(
    client: TestClient, production: int, today: str, jobs: list[QuietJob]
) -> None:
    """Mending takes it in; taken back, it is not told again."""
    address = f"/productions/{production}/rundown/knots-take-1"
    form = {"date": "2027-03-04", "hour": "14:20", "which": "one"}
    client.post(address, data={**form, "began_from": "2027-03-04T14:00"})
    begun(production)
    page = client.get(f"/productions/{production}/count").text
    assert "Mend the plan" in page
    client.post(f"{today}/mend")
    assert told(production)[-1]["event"] == "moved"
    tap(client, today, "", "Undo")
    client.post(f"{today}/mend")
    assert told(production)[-1]["event"] == "undone"


@pytest.mark.parametrize(
    "sent", ["", "[]", "{", '{"event": "closed"}', '{"event": "moved", "run": "x", "starts": "9"}']
)
def test_what_no_button_sends_is_refused(
    client: TestClient, production: int, today: str, jobs: list[QuietJob], sent: str
) -> None:
    """In a sentence, and nothing is told."""
    assert client.post(f"{today}/tell", data={"say": sent}).status_code == 422
    assert told(production) == []


@pytest.mark.parametrize("page", ["/batch/b99", "/run/x", "/item/x", "/cook/x"])
def test_what_is_not_there_is_not_found(client: TestClient, today: str, page: str) -> None:
    """With the way back to the day."""
    shown = client.get(f"{today}{page}")
    assert shown.status_code == 404
    assert today in shown.text


def test_without_a_plan_there_is_nothing_to_tell(client: TestClient, knots_day: Day) -> None:
    """The page says what comes first."""
    from tests.live import stored

    today = f"/productions/{stored(knots_day, None)}/today"
    assert "No plan is published yet" in client.get(today).text
    for page in ("/run/knots-take-1", "/mend"):
        assert client.get(f"{today}{page}").status_code in (200, 409)
    say = json.dumps({"event": "dropped", "run": "knots-take-1"})
    assert client.post(f"{today}/tell", data={"say": say}).status_code == 409
    assert client.post(f"{today}/mend").status_code == 409


def test_a_plan_is_really_mended(client: TestClient, production: int, today: str) -> None:
    """From a tap to the changes, with the planner in a process of its own."""
    begun(production)
    tap(client, today, "/run/knots-take-2", "15 min later")
    until = time.monotonic() + PATIENCE_S
    while "is being mended" in (part := client.get(f"{today}/mend", headers=PART).text):
        assert time.monotonic() < until
        time.sleep(0.05)
    assert "knots-take-2 moves from 15:30 to 15:45" in part
    client.post(f"{today}/accept", data={"began_from": "1", "once": "tap"})
    assert "Plan 2 takes it in." in client.get(today).text
