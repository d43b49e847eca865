"""Relief: work that for the time being asks for no hands and no oven.

A plan that was made for an endless kitchen fits a loose one if enough of its work is relieved of
asking. Making that overload small, down to nothing, is how such a plan is eased into the kitchen.
"""

from collections.abc import Iterator

from app.planning.model.batches import Maybe, Span
from app.planning.model.sheet import Expr, Lit, Sheet
from app.planning.needs import StageKey


class Relief:
    """Which phases count in a loose kitchen: all that are chosen, but those that are relieved."""

    def __init__(
        self, sheet: Sheet, batches: dict[StageKey, list[Maybe]], relieved: frozenset[str]
    ) -> None:
        self.sheet = sheet
        self.counted: dict[str, Lit] = {}
        self.overload: list[tuple[str, Expr]] = []
        for key, maybes in batches.items():
            if key[0] in relieved:
                for span in (span for maybe in maybes for span in _busy(maybe)):
                    self._relieve(key[0], span)

    def counts(self, span: Span) -> Lit:
        """Return whether a phase asks for its hands and its oven."""
        return self.counted.get(span.name, span.chosen)

    def _relieve(self, demonstration: str, span: Span) -> None:
        counted = self.sheet.either(f"{span.name} counts")
        spared = self.sheet.either(f"{span.name} spared")
        self.sheet.model.add(counted + spared == span.chosen)
        self.counted[span.name] = counted
        weight = max(1, span.phase.length_min(1))
        self.overload.append((demonstration, weight * spared))


def _busy(maybe: Maybe) -> Iterator[Span]:
    for choice in maybe.choices:
        for span in choice.spans:
            if span.phase.hands or span.phase.equipment:
                yield span
