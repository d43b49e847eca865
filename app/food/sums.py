"""The kitchen sums that a person can ask for, on a screen or by a command."""

from collections.abc import Iterable
from fractions import Fraction

from app.food.asking import Answer, Asked, Field, Sum, Wrong, keyed
from app.food.densities import Weight, turned, weight_of
from app.food.doughs import friction_degrees, ice, percents, water_degrees, weights
from app.food.measures import Quantity, counted, kind_of, read_number, unit_of
from app.food.pans import fitting, levels, pans
from app.food.rounding import decimal, nearest, shown, text
from app.food.yields import dough_for, edible, known_yield, purchased

BUY, USE = "what to buy", "what can be used"
CELSIUS, FAHRENHEIT = "°C", "°F"
IN_MM = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction("25.4")}
SMALL = {"mm": "mm", "cm": "cm", "in": "in"}
COLDEST_C, COLDEST_F = 0, 32
TENTH = Fraction(1, 10)


def sums(own: Iterable[Weight] = ()) -> dict[str, Sum]:
    """Return every sum by its key; `own` are the house's rows of what measures weigh."""
    weighed = tuple(own)
    return keyed(
        (
            Sum(
                "weigh",
                "Volume and weight",
                "From one measure into another, by your own row or the USDA table.",
                (
                    Field("of", "Ingredient", "bread flour", "text", is_needed=False),
                    Field("amount", "How much", "1 1/2"),
                    Field("unit", "of what (none: pieces)", "cup", "text", is_needed=False),
                    Field("to", "In", "g", "text", is_needed=False),
                ),
                lambda asked: _weigh(asked, weighed),
            ),
            FORMULA,
            PERCENTS,
            YIELD,
            LOSS,
            WATER,
            FRICTION,
            ICE,
            PANS,
        )
    )


def _weigh(asked: Asked, own: tuple[Weight, ...]) -> Answer:
    name, unit, to = asked.text("of"), asked.text("unit"), asked.text("to")
    quantity = Quantity(asked.number("amount"), unit)
    found = turned(name, quantity, to, own)
    called = f" of {name}" if name else ""
    if found is None:
        measure = unit if kind_of(unit) != "mass" else to
        one = (unit_of(measure) or counted(measure) or "piece").replace("_", " ")
        raise Wrong(
            f"Not known: what a {one}{called} weighs. "
            "Weigh one, and put your own row into the larder."
        )
    said = [f"{_exactly(quantity)}{called} = {_exactly(found)}"]
    rounded = text(found)
    if rounded != _exactly(found):
        tool = "On the scale" if found.kind == "mass" else "Measured out"
        said.append(f"{tool}: {rounded}")
    if quantity.kind != found.kind:
        said += [
            f"By {row.source}."
            for each in (unit, to)
            if kind_of(each) != "mass" and (row := weight_of(name, each, own)) is not None
        ]
    return Answer(tuple(said))


def _formula(asked: Asked) -> Answer:
    pieces, each, parts = asked.above_zero("pieces"), asked.above_zero("each"), asked.parts("parts")
    total = pieces * each
    found = weights(total, parts)
    rows = tuple((part, f"{decimal(parts[part])} %", _grams(found[part])) for part in parts)
    whole = f"{decimal(sum(parts.values(), Fraction(0)))} %"
    return Answer(
        (f"{decimal(pieces)} × {_grams(each)} = {_grams(total)} of dough at {whole}.",),
        heads=("Part", "Of the flour", "Weighs"),
        rows=rows,
    )


def _percents(asked: Asked) -> Answer:
    parts = asked.parts("parts")
    named = [each.strip().lower() for each in asked.text("flours").split(",") if each.strip()]
    flours = [each for each in parts if any(name in each.lower() for name in named or ["flour"])]
    found = percents(parts, flours)
    total = sum(found.values(), Fraction(0))
    rows = tuple((part, _grams(parts[part]), f"{_tenths(found[part])} %") for part in parts)
    return Answer(
        (f"Flour: {', '.join(flours)}. All of it is {_tenths(total)} % of the flour.",),
        heads=("Part", "Weighs", "Of the flour"),
        rows=rows,
    )


def _yield(asked: Asked) -> Answer:
    name, unit = asked.text("of"), asked.text("unit") or "g"
    amount, told = asked.number("amount"), known_yield(name)
    percent = asked.number("percent", is_needed=False)
    source = "as you say"
    if not percent and told is not None:
        percent, source = told.percent, told.source
    if not percent:
        raise Wrong(f"Not known: what trimming leaves of {name or 'it'}. Write the percentage.")
    find = purchased if asked.text("find") == BUY else edible
    found = Quantity(find(amount, percent), unit)
    before, after = ("to use", "to buy") if find is purchased else ("bought", "to use")
    given = _exactly(Quantity(amount, unit))
    return Answer(
        (f"{given} {before} = {_exactly(found)} {after}, at {decimal(percent)} % ({source}).",)
    )


def _loss(asked: Asked) -> Answer:
    unit, baked = asked.text("unit"), asked.number("baked")
    losses = []
    for each in asked.text("losses").replace("%", " ").replace(";", " ").split():
        try:
            losses.append(read_number(each.rstrip(",")))
        except ValueError:
            asked.faults["losses"] = "Percentages with blanks between them, such as 2 11."
    found = Quantity(dough_for(baked, losses), unit)
    listed = " then ".join(f"{decimal(each)} %" for each in losses)
    return Answer(
        (f"{_exactly(found)} of dough gives {_exactly(Quantity(baked, unit))}, less {listed}.",)
    )


def _water(asked: Asked) -> Answer:
    scale = asked.text("scale")
    told = [asked.number(each, is_signed=True) for each in ("wanted", "flour", "room", "friction")]
    more = [asked.number("more", is_signed=True)] if asked.text("more") else []
    found = water_degrees(*(told[0], told[1], told[2], told[3]), *more)
    said = [f"Water at {_tenths(found)} {scale}."]
    if found < (COLDEST_C if scale == CELSIUS else COLDEST_F):
        said.append("That is colder than water can be: take ice, and chill the flour.")
    return Answer(tuple(said))


def _friction(asked: Asked) -> Answer:
    dough, flour, room, water = (
        asked.number(each, is_signed=True) for each in ("dough", "flour", "room", "water")
    )
    found = friction_degrees(dough, flour, room, water)
    words = f"This mixer’s friction is {_tenths(found)} {asked.text('scale')}."
    return Answer((words,), degrees=round(found))


def _ice(asked: Asked) -> Answer:
    water, tap = asked.above_zero("water"), asked.number("tap")
    wanted = asked.number("wanted", is_signed=True)
    found = ice(water, tap, wanted)
    return Answer((f"{_grams(found)} of ice and {_grams(water - found)} of water from the tap.",))


def _pans(asked: Asked) -> Answer:
    unit = asked.text("unit")
    each_mm = IN_MM.get(unit, Fraction(1))
    long_mm, wide_mm = asked.above_zero("long") * each_mm, asked.above_zero("wide") * each_mm
    high_mm = asked.number("high", is_needed=False) * each_mm
    pan_mm, air_mm = (
        asked.number("pan_high", is_needed=False) * each_mm,
        asked.number("air", is_needed=False) * each_mm,
    )
    many = levels(high_mm, pan_mm, air_mm) if high_mm else 1
    rows = []
    for pan in pans():
        flat = fitting(pan.long_mm, pan.wide_mm, long_mm, wide_mm)
        size = f"{decimal(pan.long_mm)} × {decimal(pan.wide_mm)} mm"
        holds = str(flat * many) if flat else "does not fit"
        rows.append((pan.name, size, str(flat or "none"), holds, pan.source))
    said = f"{many} levels." if high_mm else "On one shelf."
    heads = ("Pan", "Size", "On a shelf", "In all", "Size by")
    return Answer((said,), heads=heads, rows=tuple(rows))


def _exactly(quantity: Quantity) -> str:
    """Return a quantity to a hundredth, in its own unit."""
    number = decimal(nearest(quantity.number, Fraction(1, 100)))
    return f"{number} {quantity.unit}".strip()


def _grams(grams: Fraction) -> str:
    return " ".join(shown(Quantity(grams, "g")))


def _tenths(value: Fraction) -> str:
    sign = "−" if value < 0 else ""
    return f"{sign}{decimal(nearest(abs(value), TENTH))}"


SCALE = Field("scale", "Degrees", CELSIUS, "choice", (CELSIUS, FAHRENHEIT))
FORMULA = Sum(
    "formula",
    "Baker’s percentages into weights",
    "Each part in percent of all flour; the flours together are 100.",
    (
        Field("pieces", "Pieces", "12"),
        Field("each", "Grams of dough each", "390"),
        Field("parts", "Percentages", "flour 100\nwater 67\nsalt 2\nyeast 1", "lines"),
    ),
    _formula,
)
PERCENTS = Sum(
    "percents",
    "Weights into baker’s percentages",
    "What a recipe weighs, in grams, as percentages of its flour.",
    (
        Field(
            "parts", "Weights, in g", "wheat flour 750\nrye flour 250\nwater 680\nsalt 20", "lines"
        ),
        Field("flours", "Which are flour (none: those called flour)", "", "text", is_needed=False),
    ),
    _percents,
)
YIELD = Sum(
    "yield",
    "As bought and as used",
    "What trimming, peeling and boning leave.",
    (
        Field("find", "Find", BUY, "choice", (BUY, USE)),
        Field("of", "Ingredient", "potatoes", "text", is_needed=False),
        Field("amount", "How much", "500"),
        Field("unit", "of what", "g", "text", is_needed=False),
        Field("percent", "Percent left (none: by the table)", "", is_needed=False),
    ),
    _yield,
)
LOSS = Sum(
    "loss",
    "Dough for a baked weight",
    "Losses one after the other: handling, oven, cooling. They compound.",
    (
        Field("baked", "Baked weight", "500"),
        Field("unit", "of what", "g", "text"),
        Field("losses", "Percent lost, one after the other", "2 11", "text"),
    ),
    _loss,
)
WATER = Sum(
    "water",
    "Water for a dough’s temperature",
    "Three times the wanted temperature, less flour, room and what the mixer adds.",
    (
        SCALE,
        Field("wanted", "Dough wanted", "26"),
        Field("flour", "Flour", "20"),
        Field("room", "Room", "22"),
        Field("friction", "Mixer’s friction", "24"),
        Field("more", "Starter (if any)", "", is_needed=False),
    ),
    _water,
)
FRICTION = Sum(
    "friction",
    "A mixer’s own friction",
    "From a dough that came out of it.",
    (
        SCALE,
        Field("dough", "Dough came out at", "27"),
        Field("flour", "Flour", "20"),
        Field("room", "Room", "22"),
        Field("water", "Water", "15"),
    ),
    _friction,
)
ICE = Sum(
    "ice",
    "Ice in the water",
    "How much of the water goes in as ice, in °C; by heat balance, common practice.",
    (
        Field("water", "Water in all, in g", "1000"),
        Field("tap", "From the tap, in °C", "18"),
        Field("wanted", "Wanted, in °C", "4"),
    ),
    _ice,
)
PANS = Sum(
    "pans",
    "Pans on a shelf",
    "How many stand flat side by side, and in all levels.",
    (
        Field("unit", "Measured in", "mm", "choice", tuple(SMALL)),
        Field("long", "Shelf, long", "650"),
        Field("wide", "Shelf, wide", "530"),
        Field("high", "Cupboard, high (if any)", "", is_needed=False),
        Field("pan_high", "Pan, high", "65", is_needed=False),
        Field("air", "Air above it", "35", is_needed=False),
    ),
    _pans,
)
