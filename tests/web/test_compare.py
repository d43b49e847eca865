"""What a draft changes is told on the board."""

from fastapi.testclient import TestClient

from app.planning.day import Day
from app.planning.plan import Plan
from app.planning.solve import solve
from tests.web.desk import quiet_desk
from tests.web.editing import Editing


def test_the_board_tells_what_is_kept_moved_new_and_gone(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """Tests a stage that keeps too short for both takes, and back again once that is published."""
    address = f"/productions/{production}/plan"
    assert client.get(f"{address}/board").status_code == 404
    ada = Editing(client, production)
    baked = f"stages/{ada.id('stages', 'baked')}"
    with quiet_desk(client) as jobs:
        ada.fill(baked, "keeps_min", "20 min", 240)
        client.post(address, data={"once": "1"})
        jobs[0].plan = solve(jobs[0].day, number=2)
        page = client.get(f"{address}/board").text
        assert "See it on the board" in client.get(f"/productions/{production}/count").text
        shown = client.get(f"/productions/{production}/demonstrations/knots").text
        assert "Drawn from the draft of plan 2." in shown
        client.post(f"{address}/accept", data={"once": "2", "began_from": "1"})
        ada.fill(baked, "keeps_min", "4 h", 20)
        client.post(address, data={"once": "3"})
        assert jobs[1].day == knots_day
        jobs[1].plan = knots_plan.model_copy(update={"number": 3})
        back = client.get(f"{address}/board").text
    assert all(f"{fate}</span>" in page for fate in ("kept", "moved", "new", "gone"))
    assert "<strong>new:</strong>" in page
    assert "<strong>gone:</strong>" not in page
    assert "<strong>gone:</strong>" in back


def test_runs_and_shelves_that_change_are_told_of_a_draft(
    client: TestClient, production: int, knots_plan: Plan
) -> None:
    """Also where the kitchen does the same work at the same times."""
    ada = Editing(client, production)
    seen = next(row["starts"] for row in ada.rows().all("runs") if row["key"] == "knots-take-2")
    ada.post("shift", run="knots-take-2", by=5, seen=seen, which="one")
    copies = tuple(each.model_copy(update={"places": ()}) for each in knots_plan.copies)
    with quiet_desk(client) as jobs:
        client.post(f"/productions/{production}/plan", data={"once": "1"})
        jobs[0].plan = knots_plan.model_copy(update={"copies": copies})
        part = client.get(f"/productions/{production}/plan").text
    assert "Cardamom knots, knots-take-2 moves from 15:30 to 15:35" in part
    assert "rack-1: nothing stands there any more, before " in part
    assert "The kitchen does the same work at the same times." in part
    assert "Nothing: the same work" not in part
