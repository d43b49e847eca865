"""Who changed what, as it is listed: also of a kitchen that another production shares."""

from fastapi.testclient import TestClient

from tests.web.editing import Editing


def listed(client: TestClient, production: int, before: int = 0) -> str:
    """Return a page of the history."""
    return client.get(f"/productions/{production}/history", params={"before": before}).text


def test_what_another_production_changed_of_the_kitchen_is_listed(
    ada: Editing, client: TestClient
) -> None:
    """Told where it was changed, to be taken back there; what is older than this one is not."""
    place = f"equipment/{ada.id('equipment', 'deck-oven')}"
    assert ada.fill(place, "units", "5", 2)[0] == 200
    client.post(f"/productions/{ada.production}/copy", data={"title": "Next week", "once": "c"})
    assert ada.fill(place, "units", "7", 5)[0] == 200
    stage = f"stages/{ada.id('stages', 'rested')}"
    assert ada.fill(stage, "cost", "2", 1)[0] == 200
    page = listed(client, 2)
    assert "changed deck-oven: units from 5 to 7, in “Harvest hour”." in page
    assert page.count("data-n=") == 0
    assert "rested" not in page
    assert "changed deck-oven: units from 5 to 7." in listed(client, ada.production)


def test_a_long_text_is_cut_short_in_the_list(ada: Editing) -> None:
    """Tests that whoever pastes a page into a field does not fill the list with it."""
    place = f"stages/{ada.id('stages', 'rested')}"
    ada.fill(place, "look", "soft " * 200, "")
    page = listed(ada.client, ada.production)
    assert f"look from nothing to {'soft ' * 15}soft…." in page
