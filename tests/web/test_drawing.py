"""Papers drawn in a process of their own."""

import threading
import time
from collections.abc import Iterator

import pytest

from app.paper.drawn import Drawn
from app.planning.day import Day
from app.planning.plan import Plan
from app.web import drawing
from app.web.drawing import Drawer, NotDrawn

AT = "2027-03-04T06:30"
PAPER = Drawn(b"%PDF", ("mark",), 1)


@pytest.fixture
def drawer() -> Iterator[Drawer]:
    """Yield a drawer of the test's own."""
    own = Drawer()
    yield own
    own.close()


def test_a_paper_is_drawn_once_for_the_same_content(
    drawer: Drawer, knots_day: Day, knots_plan: Plan
) -> None:
    """A second wish for the same paper costs nothing; another size is another paper."""
    first = drawer.draw("board", knots_day, knots_plan, AT, "A4")
    assert first.pdf.startswith(b"%PDF")
    assert drawer.draw("board", knots_day, knots_plan, AT, "A4") is first
    assert drawer.draw("board", knots_day, knots_plan, AT, "letter") != first


def test_a_sheet_that_nobody_prints_on_is_refused_in_a_sentence(
    drawer: Drawer, knots_day: Day, knots_plan: Plan
) -> None:
    """And the drawer still draws afterwards."""
    with pytest.raises(NotDrawn, match="no sheet 'B5'"):
        drawer.draw("board", knots_day, knots_plan, AT, "B5")
    assert drawer.draw("shelves", knots_day, knots_plan, AT, "A4")


def test_a_drawer_that_died_is_replaced(drawer: Drawer, knots_day: Day, knots_plan: Plan) -> None:
    """A machine without memory may kill it; the next paper is drawn all the same."""
    drawer.draw("board", knots_day, knots_plan, AT, "A4")
    assert drawer._child is not None
    drawer._child.kill()
    drawer._child.ended()
    assert drawer.draw("pulls", knots_day, knots_plan, AT, "A4").pdf.startswith(b"%PDF")


def test_a_paper_that_takes_too_long_is_given_up(knots_day: Day, knots_plan: Plan) -> None:
    """Nobody waits for ever, and the next one starts afresh."""
    hasty = Drawer(longest_s=0.0)
    with pytest.raises(NotDrawn, match="too long"):
        hasty.draw("board", knots_day, knots_plan, AT, "A4")
    assert hasty._child is None


def test_a_long_queue_is_refused_in_a_sentence(
    drawer: Drawer, knots_day: Day, knots_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the queue is full nobody is added to it; those who wait are served."""
    monkeypatch.setattr(drawer, "_waiting", threading.Semaphore(1))
    waiting = threading.Event()

    def slowly(*given: object) -> Drawn:
        waiting.set()
        time.sleep(0.5)
        return PAPER

    monkeypatch.setattr(drawer, "_ask", slowly)
    drawn: list[Drawn] = []
    first = threading.Thread(
        target=lambda: drawn.append(drawer.draw("board", knots_day, knots_plan, AT, "A4"))
    )
    first.start()
    assert waiting.wait(10)
    with pytest.raises(NotDrawn, match="Many papers"):
        drawer.draw("pulls", knots_day, knots_plan, AT, "A4")
    first.join()
    assert drawn == [PAPER]


def test_old_papers_make_room(
    drawer: Drawer, knots_day: Day, knots_plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is kept is bounded: a server may stand for weeks."""
    monkeypatch.setattr(drawer, "_ask", lambda *given: PAPER)
    for minute in range(drawing.KEPT + 5):
        drawer.draw("board", knots_day, knots_plan, f"2027-03-04T06:{minute:02}", "A4")
    assert len(drawer._kept) == drawing.KEPT
