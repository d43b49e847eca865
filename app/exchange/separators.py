"""Numbers with separators: *1,250* and *1.250,5* are both more than a thousand, *7,5* is not."""

import re
from collections.abc import Iterable

_NUMBER = re.compile(r"\s*(\d+(?:[.,]\d+)+)(?![.,]?\d)")
_IN_GROUPS = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")
_DECIMAL_COMMA = re.compile(r"\s*\d{1,3}(?:\.?\d{3})*,(?:\d{1,2}|\d{4,})(?![.,]?\d)")


def has_decimal_commas(texts: Iterable[str]) -> bool:
    """Tell whether some text begins with a number whose comma can only be that of decimals."""
    return any(_DECIMAL_COMMA.match(text) for text in texts)


def unseparated(text: str, by_comma: bool) -> str:
    """Return a text whose leading number has no separators but a point before its decimals.

    Parameters
    ----------
    by_comma
        Whether whoever wrote it puts a comma before decimals: *1.250* is then over a thousand, and
        else *1,250* is.
    """
    found = _NUMBER.match(text)
    if found is None:
        return text
    number = found[1]
    last = max(number.rfind("."), number.rfind(","))
    is_one = number.count(".") + number.count(",") == 1
    is_all_groups = _IN_GROUPS.fullmatch(number) and len(set(number) & set(".,")) == 1
    if is_all_groups and not (is_one and (number[last] == ",") == by_comma):
        whole, rest = number, ""
    elif is_one or (_IN_GROUPS.fullmatch(number[:last]) and number[last] not in number[:last]):
        whole, rest = number[:last], f".{number[last + 1 :]}"
    else:
        return text
    return f"{re.sub('[.,]', '', whole)}{rest}{text[found.end() :]}"
