"""A swap chart or a time line that is wider than the screen: it begins where the next run is."""

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from playwright.sync_api import expect

from tests.browser.test_editing import KNOTS, field, saved
from tests.live import Server

if TYPE_CHECKING:
    from playwright.sync_api import Browser

BETWEEN_RUNS = datetime(2027, 3, 4, 14, 40, tzinfo=UTC)
MOVED = "document.querySelector('.swap-scroll').scrollLeft"


def test_a_swap_chart_begins_at_the_next_run_and_stays_where_it_is_moved(
    server: Server, browser: "Browser"
) -> None:
    """On the demonstration and the count; edits that redraw it leave it where somebody moved it."""
    phone = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    first, second = (phone.locator(".swap-run", has_text=f"knots-take-{n}") for n in (1, 2))
    for screen in (KNOTS, "/productions/1/count"):
        phone.goto(server.url + screen)
        phone.locator(".swap-scroll").scroll_into_view_if_needed()
        expect(first).to_be_in_viewport(ratio=0.9)
    phone.clock.set_fixed_time(BETWEEN_RUNS)
    phone.goto(server.url + KNOTS)
    expect(second).to_be_in_viewport(ratio=0.9)
    phone.evaluate(f"{MOVED} = 40")
    field(phone, "rested: keeps").fill("100 min")
    field(phone, "rested: keeps").press("Enter")
    saved(phone)
    expect(phone.get_by_text("Drawn from plan 1.")).to_have_count(0)
    assert phone.evaluate(MOVED) == 40
    phone.context.close()


def test_a_time_line_on_a_phone_begins_at_the_next_run_with_its_date(
    server: Server, browser: "Browser"
) -> None:
    """The dates stay at the left edge, wherever the line is moved to."""
    size = {"width": 360, "height": 740}
    phone = browser.new_context(viewport=size, has_touch=True, is_mobile=True).new_page()
    date = phone.locator(".runline-date")
    for hour, shown in ((None, "14:00 knots-take-1"), (BETWEEN_RUNS, "15:30 knots-take-2")):
        if hour:
            phone.clock.set_fixed_time(hour)
        phone.goto(f"{server.url}/productions/1/rundown")
        expect(phone.locator(".runline-said", has_text=shown)).to_be_in_viewport(ratio=0.9)
        expect(date).to_be_in_viewport(ratio=0.9)
    phone.context.close()
