"""What the house buys and holds as a file, `larder/1`: read with suspicion, written by name."""

import json
from collections.abc import Iterable, Mapping

from app.exchange.suspicion import parsed
from app.food.densities import same
from app.food.larder import FIELDS, Good, Larder, read_good
from app.food.rounding import SYSTEMS
from app.planning.refusals.fault import DayFault, Refused

FORMAT = "larder/1"
MOST_MB = 4
MOST_GOODS = 10_000
KEYS = {"format", "units", "currency", "goods"}
LONGEST_CURRENCY = 8


def load_larder(data: bytes) -> Larder:
    """Return the larder of a file.

    Parameters
    ----------
    data
        The bytes of the file, from whomever: an object with `format`, `units`, `currency` and
        `goods`, each of these with a `name` and some of `food.larder.FIELDS`.

    Raises
    ------
    Refused
        With all that is wrong.
    """
    document = parsed(data, MOST_MB)
    faults: list[DayFault] = []
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise Refused([DayFault("format", f'a larder starts with {{"format": "{FORMAT}"}}')])
    for key in sorted(set(map(str, document)) - KEYS):
        faults.append(DayFault(key[:60], f"there is no such key; there are {', '.join(KEYS)}"))
    units = document.get("units", SYSTEMS[0])
    if units not in SYSTEMS:
        faults.append(DayFault("units", f"one of {', '.join(SYSTEMS)}"))
    currency = document.get("currency", "")
    if not isinstance(currency, str) or len(currency) > LONGEST_CURRENCY:
        faults.append(DayFault("currency", f"a text of at most {LONGEST_CURRENCY} signs"))
    goods = _goods(document.get("goods", []), faults)
    if faults:
        raise Refused(faults[:100], max(0, len(faults) - 100))
    system = next(each for each in SYSTEMS if each == units)
    return Larder(tuple(goods), system, str(currency))


def dump_larder(
    goods: Iterable[Mapping[str, str]], units: str = SYSTEMS[0], currency: str = ""
) -> bytes:
    """Return the file of what is said of goods, a line each; what says nothing is left out."""
    lines = [
        json.dumps({key: each[key] for key in ("name", *FIELDS) if each[key]}, ensure_ascii=False)
        for each in goods
    ]
    head = {"format": FORMAT, "units": units, "currency": currency}
    written = json.dumps(head, ensure_ascii=False)[:-1]
    listed = "[\n  " + ",\n  ".join(lines) + "]" if lines else "[]"
    return f'{written},\n "goods": {listed}}}\n'.encode()


def _goods(told: object, faults: list[DayFault]) -> list[Good]:
    if not isinstance(told, list) or len(told) > MOST_GOODS:
        faults.append(DayFault("goods", f"a list of at most {MOST_GOODS}"))
        return []
    found: dict[str, Good] = {}
    for index, each in enumerate(told):
        place = f"goods[{index}]"
        if not isinstance(each, dict):
            faults.append(DayFault(place, "an object with a name"))
            continue
        good = _good(each, place, faults)
        if same(good.name) in found:
            faults.append(DayFault(f"{place}.name", f"“{good.name}” is there twice"))
        found[same(good.name)] = good
    return list(found.values())


def _good(each: Mapping[object, object], place: str, faults: list[DayFault]) -> Good:
    texts = {}
    for key, value in each.items():
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if key not in ("name", *FIELDS):
            faults.append(DayFault(f"{place}.{str(key)[:60]}", "there is no such key"))
        elif not (isinstance(value, str) or is_number):
            faults.append(DayFault(f"{place}.{key}", "a text or a number"))
        else:
            texts[str(key)] = str(value)
    good, wrong = read_good(texts.get("name", ""), texts)
    faults += [DayFault(f"{place}.{field}", words) for field, words in wrong.items()]
    return good
