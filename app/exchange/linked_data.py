"""A schema.org Recipe in what somebody pasted or sent: JSON-LD alone, or a web page around it."""

import html
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

from app.exchange.sheets import refusal
from app.exchange.suspicion import TooMuch, check_size, value_of, why_no_json

MOST_MB = 4
MOST_LOOKED_AT = 20_000
LONGEST_TEXT = 5_000
_TAG = re.compile(r"<[^<>]{0,400}>")
_INLINE = re.compile(
    r"</?(?:a|abbr|b|em|i|small|span|strong|sub|sup|u)\b[^<>]{0,400}>", re.IGNORECASE
)
_BREAK = re.compile(r"<(?:br|/p|/li|/div)\b[^<>]{0,100}>", re.IGNORECASE)
_BLANKS = re.compile(r"[^\S\n]+")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")


def recipes_in(data: bytes) -> list[dict[str, Any]]:
    """Return the Recipes that a text holds, one at least, and one of each name.

    Parameters
    ----------
    data
        JSON-LD, or a page with JSON-LD in it, from whomever.

    Raises
    ------
    Refused
        If it holds none, or is not safe to read.
    """
    check_size(data, MOST_MB)
    text = _CONTROL.sub(" ", data.decode("utf-8-sig", errors="replace")).strip()
    if not text:
        raise refusal("the recipe", "it is empty; paste the JSON-LD of a recipe, or its whole page")
    scripts = [text] if text[0] in "{[" else _scripts(text)
    if not scripts:
        raise refusal("the recipe", "it holds no JSON-LD; a page has it in its source text")
    found, why = dict[str, dict[str, Any]](), ""
    for script in scripts:
        try:
            told = value_of(script, script.encode(), MOST_MB)
        except json.JSONDecodeError as error:
            why = f"line {error.lineno}: {why_no_json(error, 'text')}"
        except TooMuch as error:
            why = str(error)
        else:
            for each in _recipes(told):
                found.setdefault(words(each.get("name")), each)
    if not found:
        raise refusal("the recipe", why or 'nothing in it says "@type": "Recipe"')
    return list(found.values())


class _Scripts(HTMLParser):
    """Gathers the JSON-LD of a page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[str] = []
        self.is_in = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin to gather where a script says that it is JSON-LD."""
        kind = (dict(attrs).get("type") or "").lower()
        if tag == "script":
            self.is_in = "ld+json" in kind
            if self.is_in:
                self.found.append("")

    def handle_endtag(self, tag: str) -> None:
        """End to gather."""
        self.is_in = self.is_in and tag != "script"

    def handle_data(self, data: str) -> None:
        """Gather."""
        if self.is_in:
            self.found[-1] += data


def _scripts(page: str) -> list[str]:
    reader = _Scripts()
    try:
        reader.feed(page)
        reader.close()
    except AssertionError:
        pass  # What the reader makes of a page that is none.
    return [script.strip() for script in reader.found if script.strip()]


def _recipes(told: object) -> Iterator[dict[str, Any]]:
    waiting, looked = [told], 0
    while waiting and looked < MOST_LOOKED_AT:
        here = waiting.pop(0)
        looked += 1
        if isinstance(here, dict):
            if is_a(here, "Recipe"):
                yield here
                continue
            waiting += [each for each in here.values() if isinstance(each, dict | list)]
        elif isinstance(here, list):
            waiting += [each for each in here if isinstance(each, dict | list)]


def is_a(told: dict[str, Any], *kinds: str) -> bool:
    """Tell whether an object is of one of these types of schema.org."""
    types = told.get("@type", told.get("type"))
    said = types if isinstance(types, list) else [types]
    return any(isinstance(each, str) and each.rsplit("/", 1)[-1] in kinds for each in said)


def entries(told: object) -> list[object]:
    """Return what stands in a place that may hold one thing, a list of them, or an ItemList."""
    if told is None:
        return []
    if isinstance(told, dict) and is_a(told, "ItemList"):
        return entries(told.get("itemListElement"))
    return [_item(each) for each in (told if isinstance(told, list) else [told])]


def _item(told: object) -> object:
    """Return what an entry of a list stands for."""
    return told.get("item", told) if isinstance(told, dict) and is_a(told, "ListItem") else told


def words(told: object) -> str:
    """Return a text without its markup; of an object its text, else its name, with its amount."""
    if isinstance(told, dict) and is_a(told, "PropertyValue") and "value" in told:
        parts = (words(told.get(key)) for key in ("value", "unitText", "name"))
        return " ".join(filter(None, parts))
    if isinstance(told, dict):
        told = next((told[key] for key in ("text", "name", "@value") if told.get(key)), "")
    if isinstance(told, bool | dict | list) or told is None:
        return ""
    bare = _TAG.sub(
        " ", _BREAK.sub("\n", _INLINE.sub("", html.unescape(str(told)[: 4 * LONGEST_TEXT])))
    )
    lines = (_BLANKS.sub(" ", line).strip() for line in html.unescape(bare).split("\n"))
    return "\n".join(line for line in lines if line)


def lines(told: object) -> Iterator[str]:
    """Yield the lines of texts, whether each is an entry of a list or all are one text."""
    for each in entries(told):
        yield from filter(None, words(each).split("\n"))
