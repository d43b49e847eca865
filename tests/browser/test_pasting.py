"""A block of cells from a spreadsheet, pasted into every table of the editors."""

from typing import TYPE_CHECKING

from playwright.sync_api import expect

from tests.browser.looking import findings, is_too_wide
from tests.browser.test_editing import field, paste, saved
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Page

HERE = "/productions/1"


def test_a_rundown_is_pasted_from_a_spreadsheet(server: Server, browser_page: "Page") -> None:
    """Over runs and beyond them; what is not understood is told beside its cell."""
    page = browser_page
    page.goto(f"{server.url}{HERE}/rundown")
    page.get_by_role("link", name="All runs as a table").click()
    field(page, "knots-take-1: starts at").focus()
    paste(page, "14:10\n16.00\n")
    saved(page)
    assert field(page, "knots-take-2: starts at").input_value() == "16.00"
    field(page, "knots-take-2: name").focus()
    paste(
        page,
        "Second\tFri 5 March\t9:00\nThird\tsome day\t10:30\tCardamom knots\tpickup\t2\n"
        '"Dry, \n""all"" of it"\t2027-03-05\t8:15\tBread\trehearsal\t1\t\tno\tyes\tall\tIda\tmore'
        "\n",
    )
    saved(page)
    assert field(page, "Second: date").input_value() == "Fri 5 March"
    third = field(page, "Third: date")
    assert third.input_value() == "some day"
    assert "Such as Thu 4 March" in page.locator(".cell", has=third).inner_text()
    dry = field(page, 'Dry, "all" of it: demonstration')
    assert "There is no “Bread” here" in page.locator(".cell", has=dry).inner_text()
    expect(page.locator("#banner")).to_contain_text("not pasted: “more”")
    field(page, "Second: kind").press("ArrowLeft")
    assert page.evaluate("document.activeElement.ariaLabel") == "Second: demonstration"
    page.keyboard.press("Control+z")
    saved(page)
    expect(third).to_have_count(0)
    assert findings(page) == []
    page.set_viewport_size({"width": 360, "height": 740})
    page.emulate_media(color_scheme="dark")
    assert not is_too_wide(page)
    assert findings(page) == []


def test_a_kitchen_is_pasted_from_a_spreadsheet(server: Server, browser_page: "Page") -> None:
    """Equipment, crew with shifts, shelves and stock, each over its rows and beyond."""
    page = browser_page
    page.goto(f"{server.url}{HERE}/kitchen")
    field(page, "Add an item, its name").focus()
    paste(page, "Big oven\toven\t2\t15 min\nBlast chiller\tchiller\tmany\n")
    saved(page)
    assert field(page, "Blast chiller: units").input_value() == "many"
    field(page, "Add a person, its name").focus()
    paste(page, "Ines\tpastry, sugar\nBen\t\n")
    saved(page)
    assert field(page, "Ines: skills").input_value() == "pastry, sugar"
    field(page, "cook-1, works Thu 4 March: start").focus()
    paste(page, "Thu 4 March, 6:00\t15:00\nFri 5 March, 7:00\t12:30\n")
    saved(page)
    assert field(page, "cook-1, works Fri 5 March: end").input_value() == "12:30"
    page.get_by_label("rack-1: name").focus()
    paste(page, "Rack\tambient\t6, 6\nFridge\tchill\t3 levels of 2\nCupboard\tambient\t4\n")
    saved(page)
    assert field(page, "Cupboard: slots of each level from the top").input_value() == "4"
    page.get_by_role("button", name="Add to stock").click()
    saved(page)
    page.locator("[data-row^='stock/'] input").first.focus()
    paste(page, "4\tbaked of Cardamom knots\n2\tsomething\tThu 4 March, 8:00\n")
    saved(page)
    expect(page.locator("[data-row^='stock/']")).to_have_count(2)
    assert "There is no “something” here" in page.locator("[data-row^='stock/']").last.inner_text()


def test_a_demonstration_is_pasted_from_a_spreadsheet(server: Server, browser_page: "Page") -> None:
    """Beats, needs, steps and what goes in: new rows come below the rows that they belong to."""
    page = browser_page
    page.goto(f"{server.url}{HERE}/demonstrations/knots")
    field(page, "Add a beat, its name").focus()
    paste(page, "Taste\t7 min\t45 s\tforks, plates\nBow\t8:00\t30 s\n")
    saved(page)
    assert field(page, "Bow: at").input_value() == "8:00"
    page.locator("[data-row^='needs/'] input").first.focus()
    paste(page, "2\tscaled\t1\n1\tbaked\n")
    saved(page)
    first = page.locator("tr", has=field(page, "mix: name"))
    expect(first.locator("[data-row^='needs/']")).to_have_count(2)
    steps = page.locator("[data-row^='phases/'] textarea")
    count = steps.count()
    steps.first.focus()
    paste(page, "Scale the flour\t5 min\nScale the rest\t6 min\n")
    saved(page)
    assert steps.count() == count + 1
    assert steps.nth(1).input_value() == "Scale the rest"


def test_lines_inside_a_cell_are_pasted_from_a_spreadsheet(
    server: Server, browser_page: "Page"
) -> None:
    """What a stage is made from, what a beat leaves, ingredients, spans when an oven is closed."""
    page = browser_page
    page.goto(f"{server.url}{HERE}/demonstrations/knots")
    baked, tie = page.locator("#stage-baked"), page.locator("tr", has=field(page, "tie: name"))
    baked.locator("[data-row^='inputs/'] input").focus()
    paste(page, "2\ttied\n1\tscaled\n")
    saved(page)
    entries = baked.locator("[data-row^='inputs/']")
    expect(entries).to_have_count(2)
    expect(entries.nth(1).locator("select")).to_have_value("scaled")
    tie.locator("[data-row^='leavings/'] input").first.focus()
    paste(page, "8\ttied\n4\tjam\n")
    saved(page)
    expect(tie.locator("[data-row^='leavings/']")).to_have_count(2)
    expect(tie).to_contain_text("There is no “jam” here")
    field(page, "scaled: add an ingredient").first.focus()
    paste(page, "1 ½ cups\tflour\ta copy\twheat\n250 g\tbutter\ta batch\tmilk\tcold\n")
    saved(page)
    much = page.locator("[data-row^='ingredients/'] [data-field=much] input")
    expect(much).to_have_count(2)
    much.first.focus()
    paste(page, "500 g\n300 g\n10 g\tsalt\n")
    saved(page)
    assert [each.input_value() for each in much.all()] == ["500 g", "300 g", "10 g"]
    page.keyboard.press("Control+z")
    saved(page)
    expect(much).to_have_count(2)
    page.goto(f"{server.url}{HERE}/kitchen")
    page.get_by_role("button", name="deck-oven: closed Thu 4 March").click()
    start = page.locator("[data-row^='closures/'] [data-field=starts] input")
    expect(start).to_have_count(1)
    start.focus()
    paste(page, "Thu 4 March, 7:00\t8:15\nThu 4 March, 18:00\tlate\n")
    saved(page)
    expect(start).to_have_count(2)
    late = page.locator("[data-row^='closures/'] [data-field=ends] input").last
    assert late.input_value() == "late"
    assert findings(page) == []


def test_lines_with_nothing_in_them_are_no_rows(server: Server, browser_page: "Page") -> None:
    """A block from a spreadsheet often ends in empty lines, or has some between."""
    page = browser_page
    page.goto(f"{server.url}{HERE}/demonstrations/knots")
    stages = page.locator("tr[id^=stage-]")
    count = stages.count()
    field(page, "Add a stage, its name").focus()
    paste(page, "Cooled\t\t\t2 h\n\t\t\t\nGlazed\t\t\t1 h\n\t\t\t\n")
    saved(page)
    expect(stages).to_have_count(count + 2)
