"""Tiny random days with every word and food fact filled in: for what must come back unchanged."""

import random
from typing import Any

from hypothesis import strategies as st

from app.planning.day import Day
from app.planning.reading import read_day
from tests.random_days import Tiny

Document = dict[str, Any]
WORDS = (
    "roll it thin", "crème fraîche", "two lines\nof text", 'a "quoted" word', "Ζύμη", "жаркое",
    "a; b, c", "=1+1", "<b>not bold</b>", "½ tsp", "back\\slash", " spaced ", "🥐", "don’t",
)  # fmt: skip
ALLERGENS = ("wheat", "milk", "egg", "sesame", "crustaceans", "molluscs")


def rich_day(seed: int) -> Document:
    """Return the rich day of a seed, as a document."""
    return Rich(random.Random(seed)).document()


def rich_days() -> st.SearchStrategy[Day]:
    """Return a strategy of tiny valid days whose words and food facts are filled in."""
    rolls = st.randoms(use_true_random=False)
    return rolls.map(lambda roll: read_day(Rich(roll).document()))


class Rich(Tiny):
    """A tiny day, then words for everything that may have words."""

    def document(self) -> Document:
        """Return the whole day."""
        day = super().document()
        day["title"] = self.words()
        day["kind"] = self.roll.choice(("broadcast", "class"))
        day["policy"]["spread"] = self.roll.choice((0, 0.1, 0.25, 0.3))
        kitchen = day["kitchen"]
        for named in (*kitchen["equipment"], *kitchen["crew"], *kitchen["shelves"], *day["stock"]):
            self.named(named)
        for demo in day["demonstrations"]:
            self.named(demo)
            self.perhaps(demo, "code", self.roll.choice(("A", "Bq", "Z")))
            for stage in demo["stages"]:
                self._stage_words(stage)
            for beat in demo.get("beats", []):
                self._beat_words(beat)
        for run in day["runs"]:
            self.named(run)
            self.perhaps(run, "people", [self._person() for _ in range(self.roll.randint(1, 2))])
        return day

    def words(self) -> str:
        """Return some words."""
        return self.roll.choice(WORDS)

    def perhaps(self, thing: Document, key: str, value: object, chance: float = 0.6) -> None:
        """Give a thing a value, or leave it out."""
        if self.chance(chance):
            thing[key] = value

    def named(self, thing: Document) -> None:
        """Give a thing a name for people, or none."""
        self.perhaps(thing, "name", self.words())

    def _texts(self) -> list[str]:
        return [self.words() for _ in range(self.roll.randint(1, 3))]

    def _person(self) -> Document:
        person: Document = {"name": self.words()}
        self.perhaps(person, "avoids", self.roll.sample(ALLERGENS, 2))
        return person

    def _ingredient(self) -> Document:
        ingredient: Document = {"name": self.words()}
        self.perhaps(ingredient, "amount", self.roll.choice((1, 2.5, 0.25, 1000, 1 / 3, 0)), 0.8)
        self.perhaps(ingredient, "unit", self.roll.choice(("g", "ml", "cup", "bunch")))
        self.perhaps(ingredient, "per", self.roll.choice(("copy", "set", "batch")))
        self.perhaps(ingredient, "contains", self.roll.sample(ALLERGENS, 2))
        self.perhaps(ingredient, "note", self.words())
        return ingredient

    def _ingredients(self, thing: Document) -> None:
        self.perhaps(
            thing, "ingredients", [self._ingredient() for _ in range(self.roll.randint(1, 3))]
        )

    def _stage_words(self, stage: Document) -> None:
        self.named(stage)
        self.perhaps(stage, "code", self.roll.choice(("aa", "b1", "zz")))
        self._ingredients(stage)
        self.perhaps(stage, "tools", self._texts())
        for key in ("container", "look", "caution"):
            self.perhaps(stage, key, self.words())
        self.perhaps(stage, "photo", "photo.jpg")
        self.perhaps(stage, "cook_to_c", self.roll.choice((63, 68, 74)), 0.2)
        self.perhaps(stage, "safety_min", self.roll.randint(3, 240), 0.1)
        for way in stage["ways"]:
            self.named(way)
            for phase in way["phases"]:
                self.perhaps(phase, "does", self.words())

    def _beat_words(self, beat: Document) -> None:
        self.named(beat)
        self._ingredients(beat)
        self.perhaps(beat, "tools", self._texts())
        self.perhaps(beat, "dressing", self._texts())
        self.perhaps(beat, "note", self.words())
