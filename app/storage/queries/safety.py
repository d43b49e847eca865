"""The limits that the house works by: a law's, with what it has changed in its own copy."""

from collections.abc import Mapping

from sqlalchemy import Connection

from app.food import allergens
from app.food.limits import LAWS, NAMES, House, limits
from app.storage.queries.goods import choices

# The keys of the house's choices, in words: the record of the house tells them.
LAW, ALLERGENS = "law of limits", "law of allergens"
ROOM, CHILL_AIR = "air of the kitchen (°C)", "air of the chill (°C)"
PART_COOKING = "approved procedure for part-cooked raw food"
TIME_CONTROL = "written procedure for time as control"
FAHRENHEIT = "thermometers in °F"
OWN = {name: f"own limit {name}".replace("_", " ") for name in NAMES}
SET_ASIDE, YES = "set aside", "yes"


def house(connection: Connection) -> House:
    """Return what the house has decided for itself; what it has not is as the law has it."""
    return house_of(choices(connection))


def house_of(chosen: Mapping[str, str]) -> House:
    """Return the house of its choices, by key; texts that nothing can be made of count as none."""
    law = chosen.get(LAW, "")
    own = {name: chosen.get(key, "") for name, key in OWN.items()}
    read = {name: None if text == SET_ASIDE else float(text) for name, text in own.items() if text}
    under = chosen.get(ALLERGENS, "")
    plain = House(limits(law if law in LAWS else LAWS[0], read))
    return House(
        limits=plain.limits,
        allergen_law=under if under in allergens.LAWS else plain.allergen_law,
        room_c=float(chosen.get(ROOM) or plain.room_c),
        chill_air_c=float(chosen.get(CHILL_AIR) or plain.chill_air_c),
        has_part_cooking=chosen.get(PART_COOKING) == YES,
        has_time_control=chosen.get(TIME_CONTROL) == YES,
        in_fahrenheit=chosen.get(FAHRENHEIT) == YES,
    )
