"""How a kitchen sum is asked for and answered: fields with texts in, words and a table out."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from app.food.measures import read_number

FieldKind = Literal["number", "text", "lines", "choice"]
MOST = Fraction(10**9)
LONGEST = 2_000
MOST_LINES = 60


@dataclass(frozen=True)
class Field:
    """One thing to say: its name, its label, and what stands there at first."""

    name: str
    label: str
    first: str = ""
    kind: FieldKind = "number"
    choices: tuple[str, ...] = ()
    is_needed: bool = True


@dataclass(frozen=True)
class Answer:
    """What a sum comes to: sentences, and a table with its heads where one is needed.

    `degrees` is a mixer's friction, to be kept.
    """

    said: tuple[str, ...]
    degrees: int | None = None
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


class Wrong(ValueError):
    """A sum that cannot be worked out; its text is the sentence to show."""


@dataclass
class Asked:
    """The texts of a sum's fields; `faults` holds a sentence for each that can't be used."""

    texts: Mapping[str, str]
    faults: dict[str, str] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """Return a text without blanks around it."""
        return " ".join(self.texts.get(name, "").split())

    def number(self, name: str, *, is_needed: bool = True, is_signed: bool = False) -> Fraction:
        """Return a number; 0, and a fault, where it is none."""
        said = self.text(name).replace("−", "-")
        if not said and not is_needed:
            return Fraction(0)
        sign = -1 if is_signed and said.startswith("-") else 1
        try:
            value = read_number(said[1:] if sign < 0 else said)
        except ValueError:
            self.faults[name] = f"A number such as 2.5 or 1 1/2, not {said[:40] or 'nothing'}."
            return Fraction(0)
        if value > MOST:
            self.faults[name] = "That is more than any kitchen holds."
        return sign * value

    def above_zero(self, name: str) -> Fraction:
        """Return a number above zero; 1, and a fault, where it is none."""
        value = self.number(name)
        if value > 0:
            return value
        self.faults.setdefault(name, "This has to be above 0.")
        return Fraction(1)

    def parts(self, name: str) -> dict[str, Fraction]:
        """Return lines of a name and a number: *bread flour 500*."""
        lines = [line for line in self.texts.get(name, "").splitlines() if line.strip()]
        found: dict[str, Fraction] = {}
        for line in lines[:MOST_LINES]:
            said, _, number = line.strip().rstrip("%g").strip().rpartition(" ")
            try:
                value = read_number(number)
            except ValueError:
                words = f"A name and a number on each line, not “{line.strip()[:60]}”."
                self.faults.setdefault(name, words)
                continue
            found[said.strip()] = found.get(said.strip(), Fraction(0)) + value
        if not found or "" in found or len(lines) > MOST_LINES:
            self.faults.setdefault(name, "A name and a number on each line, such as: water 67")
        return found


@dataclass(frozen=True)
class Sum:
    """One kind of sum: what it asks for, and how it is worked out."""

    key: str
    title: str
    words: str
    fields: tuple[Field, ...]
    work: Callable[[Asked], Answer]

    def first(self) -> dict[str, str]:
        """Return what stands in the fields at first."""
        return {each.name: each.first for each in self.fields}

    def answer(self, texts: Mapping[str, str]) -> tuple[Answer | None, dict[str, str]]:
        """Return what the sum comes to, or what is wrong with the fields."""
        asked = Asked(texts)
        for each in self.fields:
            self._check(each, asked)
        try:
            answer = self.work(asked)
        except (Wrong, ValueError) as sentence:
            if not asked.faults:
                asked.faults[self.fields[0].name] = str(sentence)
        return (None, asked.faults) if asked.faults else (answer, {})

    def _check(self, each: Field, asked: Asked) -> None:
        said = asked.texts.get(each.name, "")
        if len(said) > LONGEST:
            asked.faults[each.name] = f"At most {LONGEST} characters."
        elif each.is_needed and not said.strip():
            asked.faults[each.name] = "Something is missing here."
        elif each.choices and said not in each.choices:
            asked.faults[each.name] = f"One of: {', '.join(each.choices)}."


def keyed(sums: Iterable[Sum]) -> dict[str, Sum]:
    """Return sums by their keys."""
    return {each.key: each for each in sums}
