"""Only the pages that changed, and the list that says what to do with the others."""

from app.paper import pulls
from app.paper.changes import changes, in_words
from app.paper.drawn import Earlier
from app.planning.day import Day
from app.planning.plan import Plan
from tests.paper.opened import Opened

FIRST, LATER = "2027-03-03T18:05", "2027-03-04T06:40"


def with_look(day: Day, stage: str, look: str) -> Day:
    """Return the day with another look of a stage."""
    knots = day.demonstrations[0]
    stages = tuple(
        each.model_copy(update={"look": look}) if each.id == stage else each
        for each in knots.stages
    )
    changed = knots.model_copy(update={"stages": stages})
    return day.model_copy(update={"demonstrations": (changed, *day.demonstrations[1:])})


def test_pages_of_one_content_are_kept_wherever_they_come() -> None:
    """A page that moved is kept under its new number; each old page is kept once."""
    found = changes(["a", "new", "b", "b", "b"], Earlier(3, ("b", "old", "a", "b")))
    assert found.new == (2, 5)
    assert found.kept == ((3, 1), (1, 3), (4, 4))
    assert found.gone == (2,)
    assert found.before == 3


def test_pages_are_told_in_spans() -> None:
    """Two in a row are named, three and more are a span."""
    assert in_words([]) == ""
    assert in_words([4]) == "4"
    assert in_words([1, 2]) == "1 and 2"
    assert in_words([1, 3, 4, 5, 8]) == "1, 3 to 5 and 8"


def test_only_the_page_that_changed_is_printed(knots_day: Day, knots_plan: Plan) -> None:
    """With the list before it; the page keeps its number among all, the others are to be kept."""
    before = pulls.PAPER.drawn(knots_day, knots_plan, FIRST, "A4")
    later = knots_plan.model_copy(update={"number": 2})
    day = with_look(knots_day, "rested", "Soft, and slow to spring back.")
    drawn = pulls.PAPER.drawn(day, later, LATER, "A4", earlier=Earlier(1, before.marks))
    opened = Opened(drawn.pdf)
    of = before.sheets
    assert len(before.marks) == len(drawn.marks) == of
    same = [one == other for one, other in zip(before.marks, drawn.marks, strict=True)]
    assert same == [number != 3 for number in range(1, of + 1)]
    assert len(opened.pages) == drawn.sheets == 2
    cover, page = opened.pages
    assert "What changed since plan 1" in cover
    assert f"page 3 of {of}" in cover
    assert "strike out 1 on them and write 2" in cover
    assert "Throw away page 3 of plan 1" in cover
    assert "1 and 2 of plan 1" in cover
    assert f"4 to {of} of plan 1" in cover
    assert "list of changes" in cover
    assert "Soft, and slow to spring back." in page
    assert f"page 3 of {of}" in page
    assert opened.words.count("Local food law") == 1


def test_the_number_of_the_plan_alone_changes_nothing(knots_day: Day, knots_plan: Plan) -> None:
    """The same content under another number and another time: nothing to print but the list."""
    before = pulls.PAPER.drawn(knots_day, knots_plan, FIRST, "A4")
    later = knots_plan.model_copy(update={"number": 2})
    drawn = pulls.PAPER.drawn(knots_day, later, LATER, "A4", earlier=Earlier(1, before.marks))
    opened = Opened(drawn.pdf)
    assert len(opened.pages) == 1
    assert "nothing of this paper changed" in opened.words


def test_a_list_of_changes_is_a_tagged_paper(knots_day: Day, knots_plan: Plan) -> None:
    """Pages of two layouts in one document keep title, language, structure and fonts."""
    later = knots_plan.model_copy(update={"number": 2})
    drawn = pulls.PAPER.drawn(knots_day, later, LATER, "A4", earlier=Earlier(1, ("x",)))
    opened = Opened(drawn.pdf)
    assert len(opened.pages) == 1 + len(drawn.marks)
    assert opened.root["/Lang"] == "en"
    assert opened.root["/MarkInfo"]["/Marked"]
    assert opened.root["/StructTreeRoot"]["/K"]
    assert all(opened.fonts().values())
    assert opened.reader.metadata is not None
    assert "Harvest hour" in str(opened.reader.metadata.title)
