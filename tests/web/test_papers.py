"""Papers in the browser: links, progress, the PDF, and a sentence where there is none."""

import threading

import pytest
from fastapi.testclient import TestClient

from app.paper.drawn import Drawn
from app.planning.day import Day
from app.planning.plan import Plan
from app.storage.changes.plans import publish_plan
from app.storage.engine import writing
from app.web.jobs import NotDrawn
from app.web.printing import Printing, file_name
from tests.live import stored
from tests.paper.opened import Opened

UPRIGHT: tuple[str, ...] = ("pulls", "shelves", "runsheet", "breakdown")


def test_the_page_offers_each_paper_in_its_sizes(client: TestClient, production: int) -> None:
    """Each a plain link that works without script; a board or a map is worth a large sheet."""
    page = client.get(f"/productions/{production}/papers").text
    large = {paper: ["a3", "tabloid"] for paper in ("board", "shelves")}
    large |= {paper: [] for paper in UPRIGHT if paper not in large}
    for paper, more in large.items():
        for size in ["a4", "letter", *more]:
            assert f'href="/productions/{production}/papers/{paper}.pdf?size={size}"' in page
    assert page.count(".pdf?size=a3") == 2


@pytest.mark.parametrize(
    ("paper", "size", "wide_mm"), [("board", "A4", 297.0), ("pulls", "letter", 215.9)]
)
def test_a_paper_comes_as_pdf(
    client: TestClient, production: int, paper: str, size: str, wide_mm: float
) -> None:
    """Drawn in a process of its own, of the published plan."""
    answer = client.get(f"/productions/{production}/papers/{paper}.pdf?size={size}")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert f"harvest-hour-{paper}-plan-1" in answer.headers["content-disposition"]
    opened = Opened(answer.content)
    assert "plan 1" in opened.words
    assert {wide for wide, _ in opened.sizes_mm} == {wide_mm}


def test_a_long_drawing_tells_how_far_it_is_and_then_gives_the_link(
    client: TestClient, production: int
) -> None:
    """The part asks again until the paper is there; the link fetches that very print."""
    asked: list[str] = []
    dry = threading.Event()

    def slow(paper: str, *given: object, **more: object) -> Drawn:
        asked.append(paper)
        dry.wait(60)
        return Drawn(b"%PDF-drawn", ("one",), 1)

    client.app.state.printing = Printing(slow)
    address = f"/productions/{production}/papers/board/drawing?size=a4"
    part = {"HX-Request": "true", "HX-Request-Type": "partial"}
    first = client.get(address, headers=part).text
    assert "is being drawn" in first
    assert 'hx-trigger="load delay:1s"' in first
    again_at = first.split('hx-get="')[1].split('"')[0].replace("&amp;", "&")
    # The drawing ends in another minute than it began in.
    (asked_for,) = client.app.state.printing._kept.values()
    asked_for.printed_at = "2027-03-04T06:59"
    again_at = again_at[: again_at.index("printed=")] + "printed=2027-03-04T06:59"
    dry.set()
    second = first
    while "is being drawn" in second:
        second = client.get(again_at, headers=part).text
    link = second.split('href="')[1].split('"')[0].replace("&amp;", "&")
    assert client.get(link).content == b"%PDF-drawn"
    assert asked == ["board"]


def test_a_paper_that_cannot_be_drawn_says_why(client: TestClient, production: int) -> None:
    """The sentence of the drawer in place of the PDF; the next try is a new one."""

    def broken(*given: object, **more: object) -> Drawn:
        raise NotDrawn("Paper can't be drawn here: no pango.")

    client.app.state.printing = Printing(broken)
    answer = client.get(f"/productions/{production}/papers/board.pdf")
    assert answer.status_code == 503
    assert "no pango" in answer.text
    client.app.state.printing = Printing(lambda *given, **more: Drawn(b"%PDF-again", (), 1))
    assert client.get(f"/productions/{production}/papers/board.pdf").content == b"%PDF-again"


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("board.pdf?size=A7", 422, "no sheet"),
        ("hats.pdf", 404, "no paper"),
        ("labels.pdf?sheet=none", 404, "no label sheet"),
        ("board.pdf?since=3", 404, "older plan 3"),
        ("board/drawing?size=", 422, "no sheet"),
    ],
)
def test_a_wrong_address_is_told_in_a_sentence(
    client: TestClient, production: int, address: str, status: int, words: str
) -> None:
    """What there is instead stands in the sentence."""
    answer = client.get(f"/productions/{production}/papers/{address}")
    assert answer.status_code == status
    assert words in answer.text


def test_there_is_nothing_to_print_before_the_first_plan(
    client: TestClient, knots_day: Day
) -> None:
    """The page says what to do first; the PDF's address says it too."""
    unplanned = stored(knots_day, None)
    assert "nothing to print" in client.get(f"/productions/{unplanned}/papers").text
    answer = client.get(f"/productions/{unplanned}/papers/board.pdf")
    assert answer.status_code == 409
    assert "no published plan yet" in answer.text


def test_a_production_that_is_not_there_has_no_papers(client: TestClient) -> None:
    """A sentence, not a fault."""
    assert client.get("/productions/77/papers").status_code == 404
    assert client.get("/productions/77/papers/board.pdf").status_code == 404


def test_a_file_name_is_plain() -> None:
    """Nothing of a title can leave the name."""
    assert file_name('Soups & "More"/../x', "board", 3, "A4") == "soups-more-x-board-plan-3-a4.pdf"
    assert file_name("汤", "board", 3, "a4") == "board-plan-3-a4.pdf"


def again(production: int, day: Day, plan: Plan) -> None:
    """Publish the same plan once more, under the next number."""
    with writing() as conn:
        publish_plan(conn, production, plan, by="Ada", once=f"again-{production}-{day.title}")


def test_what_was_printed_is_told_with_its_plan(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """When, of which plan; after the next plan it is void, and what changed can be printed."""
    assert "Nothing yet." in client.get(f"/productions/{production}/papers").text
    assert client.get(f"/productions/{production}/papers/pulls.pdf?size=a4").status_code == 200
    page = client.get(f"/productions/{production}/papers").text
    assert page.count("<b>Pull list</b>, A4, plan <b>1</b>") == 1
    assert "void: plan" not in page
    assert "since=1" not in page
    again(production, knots_day, knots_plan)
    page = client.get(f"/productions/{production}/papers").text
    assert page.count("void: plan 2 holds") == 1
    assert f"/productions/{production}/papers/pulls.pdf?size=a4&amp;since=1" in page
    changed = client.get(f"/productions/{production}/papers/pulls.pdf?size=a4&since=1")
    words = Opened(changed.content).words
    assert "What changed since plan 1" in words
    assert "nothing of this paper changed" in words
    page = client.get(f"/productions/{production}/papers").text
    assert "plan <b>2</b>, only what changed since plan 1" in page
    assert page.count("void: plan 2 holds") == 1


def test_a_later_change_is_told_from_a_print_of_changes(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """A print of changes alone knows the marks of the whole paper."""
    client.get(f"/productions/{production}/papers/pulls.pdf?size=a4")
    again(production, knots_day, knots_plan)
    client.get(f"/productions/{production}/papers/pulls.pdf?size=a4&since=1")
    again(production, knots_day.model_copy(update={"title": "x"}), knots_plan)
    answer = client.get(f"/productions/{production}/papers/pulls.pdf?size=a4&since=2")
    assert "nothing of this paper changed" in Opened(answer.content).words
    wrong = client.get(f"/productions/{production}/papers/pulls.pdf?size=letter&since=2")
    assert wrong.status_code == 404


def test_labels_that_changed_are_counted(
    client: TestClient, production: int, knots_day: Day, knots_plan: Plan
) -> None:
    """On whichever sheet they were printed before."""
    client.get(f"/productions/{production}/papers/labels.pdf?sheet=Roll, 100 by 60 mm")
    assert "Only the" not in client.get(f"/productions/{production}/labels").text
    again(production, knots_day, knots_plan)
    page = client.get(f"/productions/{production}/labels").text
    assert "Only the 0 that changed since plan 1" in page
    changed = client.get(f"/productions/{production}/papers/labels.pdf?since=1")
    assert "0 labels of plan 2" in Opened(changed.content).words
