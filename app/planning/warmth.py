"""When an item can be at a setting: hot already, or brought to it from now on."""

from collections.abc import Iterable

from app.planning.frozen import Lit
from app.planning.holds import Hold
from app.planning.hours import EVER, Spans, joined
from app.planning.kitchen import Equipment


class Warmth:
    """What is known of the settings of items before anything is planned.

    Parameters
    ----------
    since
        The minute from which items can be lit: the start of the prep, or now.
    holds, lit
        What batches that have begun hold, or held; what is being lit.
    """

    def __init__(self, since: int, holds: Iterable[Hold], lit: Iterable[Lit]) -> None:
        self.since = since
        self.holds: dict[str, list[Hold]] = {}
        for hold in holds:
            self.holds.setdefault(hold.item, []).append(hold)
        self.lit = {each.item: each for each in lit}

    def starts(self, item: Equipment, setting: int | None) -> Spans:
        """Return when the first use of an item at a setting can start, as far as heat goes.

        Parameters
        ----------
        item
            An item; one without settings is always ready.
        setting
            What a phase asks for.
        """
        if item.settings is None:
            return ((self.since, EVER),)
        spans = [(self.since + item.settings.change_min, EVER)]
        holds = self.holds.get(item.id, [])
        for hold in holds:
            if hold.setting == setting:
                until = hold.ends + item.settings.cold_after
                others = [
                    each.starts
                    for each in holds
                    if each.setting != setting and each.starts >= hold.ends
                ]
                spans.append((max(hold.starts, self.since), min([until, *others])))
        lit = self.lit.get(item.id)
        if lit is not None and lit.setting == setting:
            spans.append((max(lit.ends, self.since), lit.ends + item.settings.cold_after))
        return joined(span for span in spans if span[0] <= span[1])

    def from_(self, item: Equipment, setting: int | None) -> int:
        """Return the first minute at which an item can be at a setting."""
        return self.starts(item, setting)[0][0]
