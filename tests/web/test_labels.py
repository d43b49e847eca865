"""Labels in the browser: their sheets, the preview, where their codes lead, what changed."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from app.paper.drawn import Drawn
from app.paper.label_sheets import A4, SHEETS, LabelSheet
from app.paper.label_texts import labels
from app.planning.day import Day
from app.planning.plan import Plan
from app.web.printing import Printing
from tests.live import stored

OWN = {
    "name": "Freezer, 3 by 7",
    "version": "0",
    "sheet_wide_mm": "210",
    "sheet_high_mm": "297",
    "left_mm": "7,5",
    "top_mm": "15",
    "across": "3",
    "down": "7",
    "label_wide_mm": "63",
    "label_high_mm": "38.1",
    "gap_across_mm": "2.5",
    "gap_down_mm": "0",
}


def kept(client: TestClient, production: int, **changes: str) -> Any:
    """Send the form of a sheet and return the answer."""
    address = f"/productions/{production}/labels/sheets"
    return client.post(address, data=OWN | changes, follow_redirects=False)


def test_the_first_sheet_is_shown_as_it_will_be(client: TestClient, production: int) -> None:
    """Labels that are used up are struck out; the first one printed stands after them."""
    page = client.get(f"/productions/{production}/labels?start=4").text
    assert page.count('class="spot used-up"') == 3
    assert page.count('class="tags"') == A4.labels - 3
    assert "KN-1" in page


def test_this_machine_alone_is_told_apart(client: TestClient, production: int) -> None:
    """A code with 127.0.0.1 in it opens nothing on a phone."""
    at_home = client.get(f"/productions/{production}/labels").text
    assert "no phone can open the codes" in at_home
    typed = client.get(f"/productions/{production}/labels?address=http://10.0.0.7:8000").text
    assert "no phone can open the codes" not in typed
    assert "address=http%3A%2F%2F10.0.0.7%3A8000" in typed


def test_an_address_that_is_none_is_told_beside_its_field(
    client: TestClient, production: int
) -> None:
    """What was typed stays in the field."""
    page = client.get(f"/productions/{production}/labels?address=kitchen").text
    assert 'value="kitchen"' in page
    assert "An address as a browser has it" in page
    drawn = client.get(f"/productions/{production}/papers/labels.pdf?address=ftp://x")
    assert drawn.status_code == 422


def test_what_is_asked_for_reaches_the_paper(client: TestClient, production: int) -> None:
    """The sheet by its name, the first label, and the production's address."""
    given: dict[str, Any] = {}

    def drawing(*_: object, **more: object) -> Drawn:
        given.update(more)
        return Drawn(b"%PDF-labels", ("a",), 1)

    client.app.state.printing = Printing(drawing)
    roll = list(SHEETS)[-1]
    query = f"sheet={roll}&start=3&address=http://10.0.0.7:8000/"
    answer = client.get(f"/productions/{production}/papers/labels.pdf?{query}")
    assert answer.content == b"%PDF-labels"
    assert given["sheet"] == SHEETS[roll]
    assert given["start"] == 3
    assert given["address"] == f"http://10.0.0.7:8000/productions/{production}"


def test_a_sheet_of_the_house_is_kept(client: TestClient, production: int) -> None:
    """It can be chosen from then on, in every production, and forgotten again."""
    answer = kept(client, production)
    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert "<option selected>Freezer, 3 by 7</option>" in page
    assert page.count('class="spot') == 21
    gone = client.post(
        f"/productions/{production}/labels/sheets/forgotten", data={"name": OWN["name"]}
    )
    assert "Freezer" not in gone.text


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("name", " ", "must not be empty"),
        ("left_mm", "much", "Millimetres from 0 to 1000"),
        ("left_mm", "-1", "Millimetres from 0 to 1000"),
        ("across", "4", "mm wider than the sheet"),
        ("down", "8", "mm higher than the sheet"),
        ("label_high_mm", "12", "needs 34 mm"),
        ("label_wide_mm", "40", "needs 60 mm"),
        ("sheet_wide_mm", "0", "More than 0"),
        ("down", "seven", "A whole number from 1 to 50"),
    ],
)
def test_a_sheet_that_cannot_be_is_told_beside_its_field(
    client: TestClient, production: int, field: str, value: str, words: str
) -> None:
    """Nothing typed is lost, and nothing is kept."""
    answer = kept(client, production, **{field: value})
    assert answer.status_code == 422
    assert f'id="fault-{field}"' in answer.text
    assert words in answer.text
    assert 'value="38.1"' in answer.text or field == "label_high_mm"
    assert "Freezer, 3 by 7</option>" not in answer.text


def test_two_people_change_the_same_sheet(client: TestClient, production: int) -> None:
    """The second is told, and keeps what they typed; the same twice is no conflict."""
    assert kept(client, production).status_code == 303
    assert kept(client, production).status_code == 303
    assert kept(client, production, version="1", top_mm="12").status_code == 303
    late = kept(client, production, version="1", top_mm="14")
    assert late.status_code == 422
    assert "was changed while you typed" in late.text
    assert 'value="14"' in late.text


def test_before_the_first_plan_there_are_no_labels(client: TestClient, knots_day: Day) -> None:
    """The sentence says where to go."""
    unplanned = stored(knots_day, None)
    answer = client.get(f"/productions/{unplanned}/labels")
    assert answer.status_code == 409
    assert "no labels" in answer.text


def test_corners_count_margins_and_gaps() -> None:
    """The second row of a sheet begins a label and a gap below the first."""
    sheet = LabelSheet("x", 210, 297, 5, 8, 2, 3, 90, 50, 4, 6)
    assert [sheet.corner_mm(at) for at in (0, 1, 2, 5)] == [(5, 8), (99, 8), (5, 64), (99, 120)]
    assert list(sheet.faults()) == []


def test_a_code_opens_the_screen_of_its_copy(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """The address on the label is one that this server answers, for every label."""
    for ref in {each.ref for each in labels(knots_day, knots_plan)}:
        answer = client.get(f"/productions/{production}/copies/{ref}")
        assert answer.status_code == 200
        assert ref in answer.text
