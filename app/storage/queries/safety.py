"""The limits that the house works by: a law's, with what it has changed in its own copy."""

from collections.abc import Mapping

from sqlalchemy import Connection

from app.food import allergens
from app.food.limits import LAWS, NAMES, House, limits
from app.storage.queries.goods import choices

PLACE = "safety."
LAW, ALLERGENS, NONE = f"{PLACE}law", f"{PLACE}allergens", "none"
YES = "yes"


def house(connection: Connection) -> House:
    """Return what the house has decided for itself; what it has not is as the law has it."""
    return house_of(choices(connection))


def house_of(chosen: Mapping[str, str]) -> House:
    """Return the house of its choices, by key; texts that nothing can be made of count as none."""
    law = chosen.get(LAW, "")
    own = {name: chosen.get(PLACE + name, "") for name in NAMES}
    read = {name: None if text == NONE else float(text) for name, text in own.items() if text}
    under = chosen.get(ALLERGENS, "")
    plain = House(limits(law if law in LAWS else LAWS[0], read))
    return House(
        limits=plain.limits,
        allergen_law=under if under in allergens.LAWS else plain.allergen_law,
        room_c=float(chosen.get(f"{PLACE}room_c") or plain.room_c),
        chill_air_c=float(chosen.get(f"{PLACE}chill_air_c") or plain.chill_air_c),
        has_part_cooking=chosen.get(f"{PLACE}has_part_cooking") == YES,
        has_time_control=chosen.get(f"{PLACE}has_time_control") == YES,
        in_fahrenheit=chosen.get(f"{PLACE}in_fahrenheit") == YES,
    )
