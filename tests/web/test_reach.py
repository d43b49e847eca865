"""Undo reaches back through a hundred changes; whoever asks for one more is told so."""

from app.storage.changes.undo import REACH
from tests.web.editing import Editing, day


def test_the_change_before_the_last_hundred_stays(ada: Editing) -> None:
    """Tests a hundred and one changes from a screen, a hundred steps back, and the sentence."""
    place = f"stages/{ada.id('stages', 'rested')}"
    for step in range(REACH + 1):
        assert ada.fill(place, "keeps_min", f"{121 + step}", 120 + step, _typed(step))[0] == 200
    for _ in range(REACH):
        assert ada.post("undo")[0] == 200
    status, said = ada.post("undo")
    assert (status, day(ada).stage("knots", "rested").keeps_min) == (409, 121)
    assert "nothing of yours among the last 100 changes" in said["error"]
    page = ada.client.get(f"/productions/{ada.production}/demonstrations/knots").text
    assert 'data-undo="undo" disabled' in page
    assert 'data-undo="redo" disabled' not in page


def _typed(step: int) -> str | None:
    """Return what the form showed before a step: what was typed, where it says more."""
    return str(120 + step) if step else None
