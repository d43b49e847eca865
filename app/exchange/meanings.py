"""What the columns of somebody's own spreadsheet can mean, and what their names suggest."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.exchange.sheets import Cell, Cells, Sheet, is_empty


@dataclass(frozen=True)
class Meaning:
    """What a column may hold: its key, how it is called, and the words of heads that suggest it."""

    key: str
    called: str
    words: str


SKIP = Meaning("", "nothing of use", "")
MEANINGS = (
    Meaning("demonstration", "the demonstration", r"demo\w*|dish\w*|recipe\w*|item|segment|title"),
    Meaning("stage", "the stage", r"stage\w*|state|swap\w*|component"),
    Meaning("way", "the way it is made", r"way|variant|by"),
    Meaning("does", "what to do", r"step\w*|method|does|do|task\w*|action|instruction\w*|what"),
    Meaning("lasts", "how long that takes", r"lasts?|time|duration|takes|minutes?|mins?|length"),
    Meaning("hands", "how many people", r"hands?|people|staff|cooks?|crew|persons?"),
    Meaning("kind", "in what equipment", r"equipment|machine|oven|appliance|kit"),
    Meaning("setting", "at how many degrees", r"setting|temp\w*|degrees?|heat"),
    Meaning("keeps", "how long the stage keeps", r"keeps?|holds?|keeping|life|good"),
    Meaning("zone", "where it waits", r"zone|waits?|store\w*|storage|where"),
    Meaning("batch_max", "most in one batch", r"batch\w*|capacity"),
    Meaning("yields", "how many copies one gives", r"yields?|gives|portions?|makes|serves"),
    Meaning("cost", "what a copy costs", r"costs?|price"),
    Meaning("loss", "the share that is lost", r"loss\w*|lost|waste"),
    Meaning("ingredient", "an ingredient", r"ingredients?|product"),
    Meaning("amount", "how much of it", r"amounts?|quantity|quantities|qty|weight"),
    Meaning("unit", "its unit", r"units?|uom|measure"),
    Meaning("contains", "its allergens", r"allergens?|contains"),
    Meaning("note", "a note on it", r"notes?|remarks?|comments?"),
    Meaning("tools", "tools", r"tools?|utensils?|smallwares"),
    Meaning("container", "what it stands in", r"containers?|vessel|tray|tin|pan|bowl"),
    Meaning("look", "how it looks when done", r"looks?|cue|done|visual|appearance"),
    Meaning("caution", "a caution", r"cautions?|safety|warning|danger"),
)
KEYS = frozenset(meaning.key for meaning in MEANINGS)
_IN_HOURS = re.compile(r"\b(?:h|hrs?|hours?|std|stunden?|heures?|horas?|ore)\b", re.IGNORECASE)
_IN_DAYS = re.compile(r"\b(?:d|days?|tagen?|tage?|jours?|d[ií]as?|giorni)\b", re.IGNORECASE)
_LOOKED_AT, _LONGEST = 20, 40


def head_row(sheet: Sheet) -> int:
    """Return the place of the row with the names of the columns.

    It is the first of which most is understood; where nothing is, the first with three texts.
    """
    rows = [
        [cell if isinstance(cell, str) and len(cell.strip()) <= _LONGEST else None for cell in row]
        for row in sheet.rows[:_LOOKED_AT]
    ]
    understood = [len(guessed(row)) for row in rows]
    texts = [sum(not is_empty(cell) for cell in row) for row in rows]
    ranks = [
        (known, min(count, 3), -at)
        for at, (known, count) in enumerate(zip(understood, texts, strict=True))
    ]
    return -max(ranks, default=(0, 0, 0))[2]


def heads_of(sheet: Sheet, at: int) -> Cells:
    """Return the names of the columns in a row; a cell that is empty has the name above it."""
    if not 0 <= at < len(sheet.rows):
        return ()
    own, above = sheet.rows[at], sheet.rows[at - 1] if at else ()
    wide = max(len(own), len(above))
    rows = [(*row, *[None] * (wide - len(row))) for row in (own, above)]
    return tuple(up if is_empty(cell) else cell for cell, up in zip(*rows, strict=True))


def guessed(heads: Sequence[Cell]) -> dict[int, str]:
    """Return what the columns may mean by their names; no meaning is guessed twice."""
    found: dict[int, str] = {}
    for wholly in (True, False):
        for column, head in enumerate(heads):
            key = _meaning(str(head or ""), found, wholly)
            if column not in found and key:
                found[column] = key
    return dict(sorted(found.items()))


def _meaning(head: str, found: Mapping[int, str], wholly: bool) -> str:
    said = re.sub(r"\([^)]*\)|\[[^]]*\]", "", head).strip().lower()
    for meaning in MEANINGS:
        pattern = meaning.words if wholly else rf".*\b(?:{meaning.words})\b.*"
        if meaning.key not in found.values() and re.fullmatch(rf"(?:{pattern})", said[:80]):
            return meaning.key
    return ""


def unit_min(head: Cell) -> int:
    """Return what a bare number below such a name counts, in minutes: *Keeps (h)* counts hours."""
    said = str(head or "")
    return 60 if _IN_HOURS.search(said) else 1440 if _IN_DAYS.search(said) else 1


def widest(rows: Sequence[Cells]) -> int:
    """Return how many columns rows have."""
    return max(map(len, rows), default=0)
