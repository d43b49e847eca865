"""The sheets of a day and their columns: a sheet a noun, a row each, found by the ids before it."""

from dataclasses import dataclass

Path = tuple[str, ...]
_UNITS = {"_min": " (min)", "_s": " (s)", "_c": " (°C)"}


@dataclass(frozen=True)
class Column:
    """A column: the key of the day that it holds, and the form of its cells."""

    path: Path
    form: str

    @property
    def head(self) -> str:
        """Return the name that stands above it: `keeps_min` is *Keeps (min)*."""
        words = self.path[-1]
        for ending, unit in _UNITS.items():
            if words.endswith(ending):
                words = words.removesuffix(ending) + unit
        words = words.replace("_", " ")
        return words[:1].upper() + words[1:]


@dataclass(frozen=True)
class Noun:
    """What one sheet holds.

    `path` leads from the parent to the list; `address` names the columns by which a row finds its
    parent; `called` is the column by which others find a row, or nothing if they count.
    """

    sheet: str
    path: Path
    address: tuple[str, ...]
    columns: tuple[Column, ...]
    called: str = "Id"
    parts: tuple["Noun", ...] = ()
    is_needed: bool = False

    @property
    def heads(self) -> tuple[str, ...]:
        """Return the first row of the sheet."""
        return (*self.address, *(column.head for column in self.columns))


def _columns(**forms: str) -> tuple[Column, ...]:
    """Return columns by the form of their cells; `a__b` is the key `b` of the object `a`."""
    return tuple(
        Column(tuple(key.split("__")), form) for form, keys in forms.items() for key in keys.split()
    )


def _ordered(order: str, **forms: str) -> tuple[Column, ...]:
    """Return columns in an order of their own."""
    known = {".".join(column.path): column for column in _columns(**forms)}
    assert set(known) == set(order.split())
    return tuple(known[key] for key in order.split())


_INGREDIENT = _ordered(
    "name amount unit per contains note",
    text="name unit note", number="amount", word="per", texts="contains",
)  # fmt: skip
_ONE = ("Demonstration",)
_STAGE = ("Demonstration", "Stage")
_WAY = ("Demonstration", "Stage", "Way")
_BEAT = ("Demonstration", "Beat")

HELD = Noun(
    "Phase equipment", ("equipment",), (*_WAY, "Phase"),
    _ordered("kind per_batch copies_per_unit setting",
             text="kind", number="per_batch copies_per_unit setting"),
    called="",
)  # fmt: skip
PHASES = Noun(
    "Phases", ("phases",), _WAY,
    _ordered("does lasts_min per_copy_min per_copy_s hands skill zone",
             text="does skill", number="lasts_min per_copy_min per_copy_s hands", word="zone"),
    called="", parts=(HELD,), is_needed=True,
)  # fmt: skip
WAYS = Noun(
    "Ways", ("ways",), _STAGE,
    _ordered("id name batch_max from yields cost loss",
             word="id", text="name", number="batch_max yields cost loss", inputs="from"),
    parts=(PHASES,),
)  # fmt: skip
STAGES = Noun(
    "Stages", ("stages",), _ONE,
    _ordered(
        "id name code from yields zone keeps_min copies_per_slot slots cost loss tools container "
        "look caution photo raw_animal ready_to_eat needs_temperature_control cook_to_c safety_min",
        word="id zone", text="name code container look caution photo", texts="tools", inputs="from",
        number="yields keeps_min copies_per_slot slots cost loss cook_to_c safety_min",
        truth="raw_animal ready_to_eat needs_temperature_control",
    ),
    parts=(Noun("Ingredients", ("ingredients",), _STAGE, _INGREDIENT, called=""), WAYS),
    is_needed=True,
)  # fmt: skip
BEATS = Noun(
    "Beats", ("beats",), _ONE,
    _ordered("id name starts_s lasts_s kinds tools dressing note",
             word="id", text="name note", number="starts_s lasts_s", texts="kinds tools dressing"),
    parts=(
        Noun("Needs", ("needs",), _BEAT,
             _ordered("stage count backups untouched tasting ready_margin_min per_station",
                      word="stage", number="count backups ready_margin_min",
                      truth="untouched tasting per_station"), called=""),
        Noun("Leavings", ("leaves",), _BEAT,
             _ordered("stage count per_station",
                      word="stage", number="count", truth="per_station"), called=""),
        Noun("Beat ingredients", ("ingredients",), _BEAT, _INGREDIENT, called=""),
    ),
)  # fmt: skip
DEMONSTRATIONS = Noun(
    "Demonstrations", ("demonstrations",), (),
    _ordered("id name title code", word="id", text="name title code"),
    parts=(STAGES, BEATS),
)  # fmt: skip
RUNS = Noun(
    "Runs", ("runs",), (),
    _ordered(
        "id name demonstration kind starts starts_at_first_beat beats stations ready_margin_min "
        "dry",
        word="id demonstration kind starts", text="name", truth="starts_at_first_beat dry",
        texts="beats", number="stations ready_margin_min",
    ),
    parts=(Noun("People", ("people",), ("Run",),
                _ordered("name avoids", text="name", texts="avoids"), called=""),),
)  # fmt: skip
DAY = Noun(
    "Production", (), (),
    _columns(text="title", word="kind timezone prep_from",
             number="policy__ready_margin_min policy__return_min policy__step_slack_min "
                    "policy__confidence policy__spread",
             truth="policy__reuse") + _columns(word="policy__prefer"),
    called="",
    parts=(
        DEMONSTRATIONS,
        RUNS,
        Noun("Stock", ("stock",), (),
             _ordered("id name demonstration stage count staged",
                      word="id demonstration stage staged", text="name", number="count")),
        Noun("Equipment", ("kitchen", "equipment"), (),
             _columns(word="id", text="name kind", number="units", spans="closed")
             + _columns(number="settings__change_min settings__cold_after_min")),
        Noun("Crew", ("kitchen", "crew"), (),
             _columns(word="id", text="name", spans="shifts", texts="skills")),
        Noun("Shelves", ("kitchen", "shelves"), (),
             _ordered("id name zone levels", word="id zone", text="name", numbers="levels")),
    ),
)  # fmt: skip


def nouns(root: Noun = DAY) -> list[Noun]:
    """Return all sheets, parents before what is found by them."""
    return [root, *(each for part in root.parts for each in nouns(part))]
