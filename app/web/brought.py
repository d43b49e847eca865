"""What somebody brings to begin a demonstration from: previewed, then added as it was shown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import PurePath

from app.exchange.beginning import Beginning
from app.exchange.breakdown import read_breakdown
from app.exchange.dayfile import load_day
from app.exchange.incoming import is_day_file, load_any_day
from app.exchange.meanings import KEYS, MEANINGS, SKIP, guessed, head_row, heads_of, widest
from app.exchange.outgoing import with_all_it_takes
from app.exchange.recipe import read_recipe
from app.exchange.sheets import Cell, Sheet
from app.exchange.spreadsheet import day_of_sheets, is_day, load_sheets
from app.planning.day import Day, Demonstration
from app.planning.ids import id_from
from app.planning.reading import read_unfinished_day
from app.storage.brought import brought as kept
from app.web.errors import Told
from seed_demo import skeletons

SAMPLES, LONGEST_SAMPLE, SHOWN_COLUMNS = 3, 40, 60
PRACTICE = "common practice"


@dataclass(frozen=True)
class Column:
    """A column of a spreadsheet: its name, what stands in it, what it is taken to mean."""

    number: int
    head: str
    samples: str
    meaning: str


@dataclass(frozen=True)
class Mapped:
    """How a spreadsheet is read: which sheet, which row has the names, what the columns mean."""

    sheets: tuple[str, ...]
    sheet: int
    head: int
    columns: tuple[Column, ...]
    left_out: int
    name: str

    @property
    def meanings(self) -> list[tuple[str, str]]:
        """Return what a column may mean, for a choice."""
        return [(each.key, each.called) for each in (SKIP, *MEANINGS)]


@dataclass(frozen=True)
class Brought:
    """What would be added, from where, and what could not be read.

    `mark` is said of every time; `can_be_named` tells whether its name may be another; `pictures`
    are the photographs that came along, by the names that the stages give them.
    """

    heading: str
    source: str
    address: str
    beginnings: tuple[Beginning, ...]
    unread: tuple[str, ...] = ()
    mapped: Mapped | None = None
    mark: str = ""
    can_be_named: bool = False
    is_last_shown: bool = False
    pictures: Mapping[str, bytes] = field(default_factory=dict)

    def called(self, shown: Demonstration, title: str) -> Demonstration:
        """Return a demonstration under the name that a person chose, and an id like it."""
        return shown.model_copy(update={"title": title, "id": id_from(title)})


@lru_cache(maxsize=1)
def skeletons_by_id() -> Mapping[str, Demonstration]:
    """Return the skeletons of stages, by their ids."""
    return {each.id: each for each in load_day(skeletons()).demonstrations}


def of_skeleton(name: str) -> Brought:
    """Return a skeleton; Told if there is none of this name."""
    shown = skeletons_by_id().get(name)
    if shown is None:
        raise Told(404, "There is no such skeleton.")
    return Brought(
        heading=f"A skeleton: {shown.title}",
        source="from a skeleton",
        address=f"skeleton/{name}",
        beginnings=(Beginning(shown),),
        mark=PRACTICE,
        can_be_named=True,
    )


def of_earlier(day: Day, production: int, demonstration: str) -> Brought:
    """Return a demonstration of another production, with what it is made from."""
    if demonstration not in {each.id for each in day.demonstrations}:
        raise Told(404, "There is no such demonstration in that production.")
    shown = with_all_it_takes(day, demonstration)
    return Brought(
        heading=f"{shown[-1].title}, of {day.title}",
        source=f"from “{day.title}”",
        address=f"earlier/{production}/{demonstration}",
        beginnings=tuple(Beginning(each) for each in shown),
        is_last_shown=True,
    )


def of_recipe(data: bytes, name: str) -> Brought:
    """Return what a recipe becomes.

    Raises
    ------
    Refused
        If it is none.
    """
    begun = read_recipe(data)
    return Brought(
        heading=f"From a recipe: {begun.demonstration.title}",
        source="from a recipe",
        address=f"recipe/{name}",
        beginnings=(begun,),
        unread=begun.unread,
        can_be_named=True,
    )


def of_sheet(data: bytes, name: str, asked: Mapping[str, str], kept_as: str) -> Brought:
    """Return what the rows of a spreadsheet, or the demonstrations of a day file, become.

    Parameters
    ----------
    data, name
        The file, and what it is called.
    asked
        `sheet` and `head`, and `c0`, `c1` … for what the columns mean; absent: a guess.
    kept_as
        The name that it is kept under until somebody decides.

    Raises
    ------
    Refused
        If it can't be read.
    """
    address = f"sheet/{kept_as}"
    if is_day_file(data):
        day, pictures = load_any_day(data, read=read_unfinished_day)
        return _whole_day("From a day file", "from a day file", address, day, pictures)
    sheets = _sheets(data)
    if is_day(sheets):
        day = day_of_sheets(sheets, read_unfinished_day)
        heading = "From a spreadsheet of this program"
        return _whole_day(heading, "from a spreadsheet", address, day, {})
    mapped = _mapped(sheets, name, asked)
    meanings = {column.number: column.meaning for column in mapped.columns}
    title = PurePath(name).stem.strip() or "Breakdown"
    read = read_breakdown(sheets[mapped.sheet], mapped.head - 1, meanings, title)
    return Brought(
        heading="From a spreadsheet",
        source="from a spreadsheet",
        address=address,
        beginnings=read.beginnings,
        unread=read.unread,
        mapped=mapped,
        can_be_named=len(read.beginnings) == 1,
    )


def _whole_day(
    heading: str, source: str, address: str, day: Day, pictures: Mapping[str, bytes]
) -> Brought:
    begun = tuple(Beginning(each) for each in day.demonstrations)
    return Brought(heading, source, address, begun, pictures=pictures)


def looked_at(name: str) -> bytes:
    """Return a file that was brought; NotThere if it is not kept any more."""
    return kept(name)


@lru_cache(maxsize=2)
def _sheets(data: bytes) -> tuple[Sheet, ...]:
    return tuple(load_sheets(data))


def _mapped(sheets: Sequence[Sheet], name: str, asked: Mapping[str, str]) -> Mapped:
    chosen = _whole(asked.get("sheet"), len(sheets) - 1, 0)
    sheet = sheets[chosen]
    # The fewest words are of the row that was looked at: another sheet has others.
    is_same = asked.get("was", str(chosen)) == str(chosen)
    head = _whole(asked.get("head") if is_same else None, len(sheet.rows), head_row(sheet) + 1)
    heads = heads_of(sheet, head - 1)
    guess = guessed(heads)
    columns = tuple(
        Column(
            number=number,
            head=_shown(heads[number]) if number < len(heads) else "",
            samples=_samples(sheet, head, number),
            meaning=_meaning(asked.get(f"c{number}") if is_same else None, guess.get(number, "")),
        )
        for number in range(min(widest(sheet.rows), SHOWN_COLUMNS))
    )
    left_out = widest(sheet.rows) - len(columns)
    return Mapped(tuple(each.name for each in sheets), chosen, head, columns, left_out, name)


def _samples(sheet: Sheet, head: int, column: int) -> str:
    cells = (row[column] for row in sheet.rows[head:] if column < len(row))
    told = dict.fromkeys(filter(None, map(_shown, cells)))
    return "; ".join(list(told)[:SAMPLES])


def _shown(cell: Cell) -> str:
    return "" if cell is None else str(cell).strip()[:LONGEST_SAMPLE]


def _meaning(asked: str | None, guess: str) -> str:
    return guess if asked is None else asked if asked in KEYS else ""


def _whole(asked: str | None, most: int, otherwise: int) -> int:
    said = asked or ""
    fits = said.isascii() and said.isdecimal() and len(said) < 6
    return min(int(said), max(most, 0)) if fits else otherwise
