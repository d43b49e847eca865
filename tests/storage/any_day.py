"""Days of any values that the form allows field by field, whether or not they make sense.

They are wilder than days that can be planned: any text, any whole number up to a million, any
fraction, absent and empty apart. The store must not care.
"""

from typing import Any

from hypothesis import strategies as st

from app.planning import day as facts
from app.storage.tables.kitchens import ZONES
from app.storage.tables.runs import KINDS

IDS = [f"id-{at}" for at in range(4)] + ["a", "0", "x" * 48]
TIMES = ["2027-03-04T07:00", "2027-10-31T01:30+01:00", "2027-10-31T01:30+00:00"]

ids = st.sampled_from(IDS)
texts = st.one_of(st.text(st.characters(exclude_categories=["Cs"]), max_size=12), st.just("0"))
names = st.none() | texts
wholes = st.one_of(st.integers(0, 3), st.integers(0, 1_000_000))
counts = st.one_of(st.integers(1, 3), st.integers(1, 1_000_000))
chances = st.floats(0, 1, exclude_max=True)
amounts = st.floats(0, 1_000_000)
times = st.sampled_from(TIMES)
zones = st.sampled_from(ZONES)
settings = st.none() | st.integers(-30, 500)


def some(each: st.SearchStrategy[Any], by: str | None = None) -> st.SearchStrategy[Any]:
    """Return a strategy of up to three, told apart by one of their fields."""
    unique = None if by is None else (lambda fact: getattr(fact, by))
    return st.lists(each, max_size=3, unique_by=unique).map(tuple)


spans = some(st.tuples(times, times))
words = some(texts)
ingredients = some(
    st.builds(
        facts.Ingredient,
        name=texts,
        amount=st.none() | amounts,
        unit=texts,
        per=st.sampled_from(["copy", "set", "batch"]),
        contains=words,
        note=texts,
    )
)
inputs = some(st.builds(facts.Input, stage=ids, count=counts, demonstration=st.none() | ids))
phases = st.builds(
    facts.Phase,
    lasts_min=wholes,
    per_copy_min=wholes,
    per_copy_s=wholes,
    does=texts,
    hands=wholes,
    skill=names,
    equipment=some(
        st.builds(
            facts.PhaseEquipment,
            kind=texts,
            per_batch=wholes,
            copies_per_unit=st.none() | counts,
            setting=settings,
        ),
        by="kind",
    ),
    zone=st.none() | zones,
)
ways = st.builds(
    facts.Way,
    id=ids,
    name=names,
    batch_max=counts,
    phases=some(phases),
    takes=st.none() | inputs,
    yields=st.none() | counts,
    cost=st.none() | amounts,
    loss=st.none() | chances,
)
rooms = st.one_of(
    st.just({}),
    counts.map(lambda n: {"copies_per_slot": n}),
    counts.map(lambda n: {"slots": n}),
)


@st.composite
def stages(draw: st.DrawFn) -> facts.Stage:
    """Draw a stage."""
    told = st.fixed_dictionaries(
        {"id": ids, "name": names, "code": names, "takes": inputs, "yields": counts, "zone": zones}
        | {"keeps_min": wholes, "cost": amounts, "loss": chances, "ways": some(ways, by="id")}
        | {"ingredients": ingredients, "tools": words, "cook_to_c": settings}
        | {"safety_min": st.none() | wholes}
        | dict.fromkeys(("container", "look", "caution", "photo"), texts)
        | dict.fromkeys(("raw_animal", "ready_to_eat"), st.booleans())
        | {"needs_temperature_control": st.booleans()}
    )
    return facts.Stage(**draw(told), **draw(rooms))


needs = st.builds(
    facts.Need,
    stage=ids,
    count=counts,
    backups=wholes,
    untouched=st.booleans(),
    tasting=st.booleans(),
    ready_margin_min=st.none() | wholes,
    per_station=st.booleans(),
)
leavings = st.builds(facts.Leaving, stage=ids, count=counts, per_station=st.booleans())
beats = st.builds(
    facts.Beat,
    id=ids,
    name=names,
    starts_s=wholes,
    lasts_s=counts,
    kinds=st.none() | some(st.sampled_from(KINDS)),
    needs=some(needs, by="stage"),
    leaves=some(leavings, by="stage"),
    ingredients=ingredients,
    tools=words,
    dressing=words,
    note=texts,
)
demonstrations = st.builds(
    facts.Demonstration,
    id=ids,
    name=names,
    title=texts,
    code=names,
    stages=some(stages(), by="id"),
    beats=some(beats, by="id"),
)
runs = st.builds(
    facts.Run,
    id=ids,
    name=names,
    demonstration=ids,
    kind=st.sampled_from(KINDS),
    starts=times,
    starts_at_first_beat=st.booleans(),
    beats=st.none() | some(ids),
    stations=counts,
    ready_margin_min=st.none() | wholes,
    dry=st.booleans(),
    people=some(st.builds(facts.Person, name=texts, avoids=words)),
)
kitchens = st.builds(
    facts.Kitchen,
    equipment=some(
        st.builds(
            facts.Equipment,
            id=ids,
            name=names,
            kind=texts,
            units=counts,
            closed=spans,
            settings=st.none()
            | st.builds(facts.Settings, change_min=wholes, cold_after_min=st.none() | wholes),
        ),
        by="id",
    ),
    crew=some(st.builds(facts.Cook, id=ids, name=names, shifts=spans, skills=words), by="id"),
    shelves=some(
        st.builds(facts.Shelf, id=ids, name=names, zone=zones, levels=some(counts)), by="id"
    ),
)
stock = st.builds(
    facts.Stock, id=ids, name=names, demonstration=ids, stage=ids, count=counts, staged=times
)
policies = st.builds(
    facts.Policy,
    ready_margin_min=wholes,
    return_min=wholes,
    step_slack_min=wholes,
    confidence=st.floats(0, 1, exclude_min=True, exclude_max=True),
    reuse=st.booleans(),
    prefer=st.sampled_from(["hands", "fresh"]),
    spread=amounts,
)
any_days = st.builds(
    facts.Day,
    title=texts,
    kind=st.sampled_from(["broadcast", "class"]),
    timezone=st.sampled_from(["Europe/Lisbon", "Asia/Kathmandu"]),
    prep_from=times,
    policy=policies,
    kitchen=kitchens,
    stock=some(stock, by="id"),
    demonstrations=some(demonstrations, by="id"),
    runs=some(runs, by="id"),
)
