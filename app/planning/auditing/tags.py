"""The name on each label: kept from the one copy that it was made from, else the next number."""

import re
from collections.abc import Callable
from itertools import product
from typing import NamedTuple

from app.planning.auditing.breach import Breach, Breaches, tidy
from app.planning.auditing.ledger import Ledger
from app.planning.auditing.moments import NeedKey
from app.planning.auditing.parts import Item, Making
from app.planning.day import Input

Parents = dict[str, tuple[str, ...]]
Numbering = Callable[[Ledger, list[Item]], Breaches]
TAG = re.compile(r"([^\W_]{1,2})-([1-9][0-9]{0,8})")


class Reading(NamedTuple):
    """How to take "one copy of its first `from` alone, one for one" where it can be taken
    in two ways: a plan that holds to any one reading throughout is right.
    """

    only_input: bool
    by_number: bool
    used_up: bool


def tags(ledger: Ledger) -> Breaches:
    """Yield the tags that are not as lineage and the order of staging give them.

    Parameters
    ----------
    ledger
        The day and the plan side by side.
    """
    by_reading = [_parents(ledger, Reading(*each)) for each in product((False, True), repeat=3)]
    items: dict[str, list[Item]] = {each.id: [] for each in ledger.day.demonstrations}
    for item in ledger.items.values():
        items.setdefault(item.copy.demonstration, []).append(item)
    for demonstration in ledger.day.demonstrations:
        own = items[demonstration.id]
        yield from _badly_formed(own, demonstration.code)
        number = _apart if ledger.history.now is not None else _numbers
        found = [list(_wrong(ledger, own, parents, number)) for parents in by_reading]
        if all(found):
            yield from min(found, key=len)


def _badly_formed(items: list[Item], code: str | None) -> Breaches:
    """Yield tags that are not the code of the demonstration and a number."""
    codes = {found[1] for item in items if (found := TAG.fullmatch(item.copy.tag))}
    for item in items:
        found = TAG.fullmatch(item.copy.tag)
        odd = len(codes) > 1 or (code and found and found[1].casefold() != code.casefold())
        if not found or odd:
            yield Breach(
                "lineage",
                (item.copy.id,),
                f"{tidy(item.copy.id)} bears {tidy(item.copy.tag)}, not one code and a number.",
            )


def _wrong(ledger: Ledger, items: list[Item], parents: Parents, number: Numbering) -> Breaches:
    fresh = [item for item in items if item.copy.id not in parents]
    for item in items:
        wanted = parents.get(item.copy.id)
        if wanted and item.copy.tag not in wanted:
            yield Breach(
                "lineage",
                (item.copy.id,),
                f"{tidy(item.copy.id)} bears {tidy(item.copy.tag)}, but was made one for one from "
                f"{tidy(wanted[0])}.",
            )
    yield from number(ledger, fresh)


def _apart(ledger: Ledger, fresh: list[Item]) -> Breaches:
    """Yield new numbers that two copies bear: after a change of plan they need not be in order."""
    seen: set[str] = set()
    for item in fresh:
        if item.copy.tag in seen:
            yield Breach(
                "lineage",
                (item.copy.id,),
                f"{tidy(item.copy.id)}, staged {ledger.at(item.staged)}, bears "
                f"{tidy(item.copy.tag)} like another copy.",
            )
        seen.add(item.copy.tag)


def _numbers(ledger: Ledger, fresh: list[Item]) -> Breaches:
    """Yield where new numbers do not count up from 1 in the order of staging."""
    found = ((TAG.fullmatch(item.copy.tag), item) for item in fresh)
    numbered = sorted(((int(tag[2]), item) for tag, item in found if tag), key=lambda pair: pair[0])
    latest: int | None = None
    for wanted, (number, item) in enumerate(numbered, start=1):
        early = latest is not None and item.staged is not None and item.staged < latest
        if number != wanted or early:
            yield Breach(
                "lineage",
                (item.copy.id,),
                f"{tidy(item.copy.id)}, staged {ledger.at(item.staged)}, bears "
                f"{tidy(item.copy.tag)}, which is not its turn.",
            )
            return
        latest = item.staged if item.staged is not None else latest


def _parents(ledger: Ledger, reading: Reading) -> Parents:
    """Return the tags that each copy made one for one may bear."""
    parents: Parents = {}
    for making in ledger.makings:
        inputs = _one_for_one(ledger, making, reading)
        parents |= {copy: (tag,) for copy, tag in zip(making.batch.copies, inputs, strict=False)}
    for key, left in _left(ledger).items():
        inputs = _shown_one_for_one(ledger, key, reading)
        exact = len(inputs) == len(left)
        for place, copy in enumerate(left):
            if inputs:
                parents[copy] = (inputs[place],) if exact else tuple(inputs)
    return parents


def _single(
    takes: tuple[Input, ...], yields: int, own: str, reading: Reading, numbers: tuple[int, int]
) -> bool:
    """Tell whether a copy is made from one copy of its first input, in its own demonstration."""
    if not takes or (reading.only_input and len(takes) > 1):
        return False
    if takes[0].demonstration not in (None, own) or takes[0].count != 1:
        return False
    return numbers[0] == numbers[1] if reading.by_number else yields == 1


def _one_for_one(ledger: Ledger, making: Making, reading: Reading) -> list[str]:
    """Return the tags of the first input of a batch, none where it is not one for one."""
    if making.stage is None or making.way is None:
        return []
    takes, own = making.stage.takes_by(making.way), making.batch.demonstration
    items = (ledger.items.get(copy) for copy in making.batch.consumes)
    inputs = [
        item.copy.tag
        for item in items
        if item and takes and (item.copy.demonstration, item.copy.stage) == (own, takes[0].stage)
    ]
    numbers = len(inputs), len(making.batch.copies)
    single = _single(takes, making.stage.yields_by(making.way), own, reading, numbers)
    return inputs if single else []


def _left(ledger: Ledger) -> dict[NeedKey, list[str]]:
    left: dict[NeedKey, list[str]] = {}
    for item in ledger.items.values():
        if item.left_by:
            left.setdefault((*item.left_by.key, item.copy.stage), []).append(item.copy.id)
    return left


def _shown_one_for_one(ledger: Ledger, key: NeedKey, reading: Reading) -> list[str]:
    """Return the tags of what a beat made a leaving from, none where not one for one."""
    moment = ledger.programme.moments[key[:2]]
    own = moment.run.demonstration
    stage = ledger.stages.get((own, key[2]))
    if stage is None or not stage.takes:
        return []
    source: NeedKey = (*key[:2], stage.takes[0].stage)
    used = ledger.served.get(source, ())
    numbers = len(used), ledger.new_left(key)
    if numbers[0] != numbers[1] or not _single(stage.takes, stage.yields, own, reading, numbers):
        return []
    if reading.used_up and ledger.programme.left.get(source):
        return []
    return [ledger.items[copy].copy.tag for copy in used]
