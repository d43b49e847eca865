"""Hands on a keyboard, and on a mouse where the way by Tab is too long: what they do is counted.

The seconds that a person would need are reckoned by the keystroke-level model.

Source
------
Card, Moran and Newell, *The keystroke-level model for user performance time with interactive
systems*, Communications of the ACM 23 (7), 1980, pages 396–410: K 0.28 s for an average typist who
is no secretary, P 1.1 s, H 0.4 s, M 1.35 s; the button of the mouse counts as a key.
Brysbaert, *How many words do we read per minute?*, Journal of Memory and Language 109, 2019: 238
words of a text that is no fiction, by silent reading.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Page, expect

KEY_S, POINT_S, HOME_S, THINK_S, READ_A_MINUTE = 0.28, 1.1, 0.4, 1.35, 238
MOST_TABS = 400
NAMED = """
  const said = each => (each.ariaLabel || (each.labels && each.labels[0] || each).textContent)
    .replace(/\\s+/g, ' ').trim();
  const stops = [...document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]')]
    .filter(each => each.tabIndex >= 0 && !each.disabled && each.checkVisibility());
"""
AWAY = f"""name => {{
  {NAMED}
  const active = document.activeElement, here = stops.indexOf(active);
  const before = each => active.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_PRECEDING;
  const at = here >= 0 ? here : active === document.body ? -1 : stops.filter(before).length - 0.5;
  const found = stops.map((each, n) => said(each) === name ? n - at : null)
    .filter(each => each !== null);
  return found.length ? found.reduce((a, b) => Math.abs(b) < Math.abs(a) ? b : a) : null;
}}"""
IS_THERE = f"name => {{ {NAMED} return said(document.activeElement) === name; }}"
WORDS = "document.getElementById('main').innerText"


@dataclass
class Hands:
    """One person's hands; `reach` is how many presses of Tab they take before the mouse."""

    page: Page
    pictures: Path | None = None
    reach: int = MOST_TABS
    keys: int = 0
    clicks: int = 0
    homings: int = 0
    thoughts: int = 0
    read: set[str] = field(default_factory=set)
    steps: int = 0
    is_on_mouse: bool = False

    def seconds(self) -> dict[str, float]:
        """Return what a person needs who knows the way, and what reading every word adds."""
        known = KEY_S * (self.keys + self.clicks) + POINT_S * self.clicks
        known += HOME_S * self.homings + THINK_S * self.thoughts
        return {"known": known, "reading": len(self.read) / READ_A_MINUTE * 60}

    def press(self, key: str) -> None:
        """Press one key; a key that is held down with it counts as well."""
        self._on(mouse=False)
        self.keys += 1 + key.count("+")
        self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        """Type a text into the field in hand; a capital is a second key."""
        self._on(mouse=False)
        self.thoughts += 1
        self.keys += len(text) + sum(each.isupper() for each in text)
        self.page.keyboard.type(text)

    def to(self, name: str) -> None:
        """Go to what bears a name, by Tab or by a click."""
        self.page.wait_for_function(f"name => ({AWAY})(name) !== null", arg=name)
        away = self.page.evaluate(AWAY, name)
        self.thoughts += away != 0
        if abs(away) > self.reach:
            self._click(name)
            return
        for _ in range(MOST_TABS):
            if self.page.evaluate(IS_THERE, name):
                return
            self.press("Tab" if away > 0 else "Shift+Tab")
        raise AssertionError(f"{name} is not reached by Tab")

    def fill(self, name: str, text: str) -> None:
        """Go to a field and type into it; what it held is marked, as Tab does."""
        self.to(name)
        if self.page.evaluate("document.activeElement.matches('select')"):
            self._choose(text)
            return
        if self.page.evaluate("(document.activeElement.value || '') !== ''"):
            self.press("Control+a")
        self.type(text)

    def use(self, name: str) -> None:
        """Go to a button or a link and press it; a click does both."""
        clicks = self.clicks
        self.to(name)
        if self.clicks == clicks:
            self.press("Enter")

    def settle(self) -> None:
        """Wait until what was typed is saved."""
        self.page.wait_for_timeout(60)
        expect(self.page.locator("#saved")).to_have_text("All saved", timeout=30_000)

    def picture(self, name: str) -> None:
        """Take a picture of a step, and count the words of it that nobody has read yet."""
        self.steps += 1
        self.read |= {f"{each}" for each in re.findall(r"\w+", self.page.evaluate(WORDS))}
        if self.pictures is not None:
            file = self.pictures / f"{self.steps:02d}-{name}.png"
            self.page.screenshot(path=file, full_page=True)

    def _choose(self, text: str) -> None:
        """Type the first letters of a choice until it stands there."""
        self.thoughts += 1
        chosen = "document.activeElement.selectedOptions[0].textContent.trim()"
        for letter in text:
            if self.page.evaluate(chosen) == text:
                return
            self.press(letter)
        assert self.page.evaluate(chosen) == text

    def _click(self, name: str) -> None:
        self._on(mouse=True)
        self.clicks += 1
        spot = self.page.get_by_label(name, exact=True).or_(
            self.page.get_by_role("button", name=name, exact=True)
        )
        spot = spot.or_(self.page.get_by_role("link", name=name, exact=True))
        spot.filter(visible=True).first.click()

    def _on(self, *, mouse: bool) -> None:
        self.homings += mouse != self.is_on_mouse
        self.is_on_mouse = mouse
