"""Bugs in what waits where, and how many of it share a slot."""

from tests.bench.sown.bug import MODEL, Bug

SHELVES = (
    Bug(
        "copies never share a slot",
        f"{MODEL}/shelf.py",
        "else (parts // stay.shared) * stay.copies for",
        "else parts * stay.copies for",
    ),
    Bug(
        "a level that is narrower than a copy counts",
        f"{MODEL}/shelf.py",
        "sum(slots // wide for",
        "sum(-(-slots // wide) for",
    ),
    Bug(
        "a slot's worth of copies rounded down",
        f"{MODEL}/batches.py",
        "    sheet.model.add(by * whole >= times * amount)\n",
        "    sheet.model.add(by * whole >= times * amount - by + 1)\n",
    ),
    Bug(
        "a phase that takes room stands nowhere",
        f"{MODEL}/stays.py",
        "                if span.phase.zone == zone:\n",
        "                if span.phase.zone == zone and span.phase.zone is None:\n",
    ),
    Bug(
        "idle backups stand nowhere",
        f"{MODEL}/stays.py",
        "    if not backing:\n",
        "    if backing:\n",
    ),
    Bug(
        "what waits for a batch stands nowhere",
        f"{MODEL}/stays.py",
        "if flow.source is source and (not",
        "if flow.source is source and flow.use is not None and (not",
    ),
    Bug(
        "what stays on set and backs a use stands nowhere",
        f"{MODEL}/stays.py",
        "(not flow.handed_over or (strict and flow.after is None))",
        "not flow.handed_over",
        "tests/planning/test_stays_on_set.py",
    ),
    Bug(
        "what stays on set must back what lacks a backup",
        f"{MODEL}/stays.py",
        "    if not on_set and not isinstance",
        "    if not isinstance",
        "tests/planning/test_stays_on_set.py",
    ),
    Bug(
        "a level too long",
        f"{MODEL}/shelf.py",
        "        width = shelf.levels[level]\n",
        "        width = shelf.levels[level] + 1\n",
    ),
    Bug(
        "raw food above other raw food that is cooked less",
        "app/planning/raw.py",
        "return upper.cook_to_c <= lower.cook_to_c",
        "return upper.cook_to_c >= lower.cook_to_c",
        "tests/planning/test_sown_kitchens.py",
    ),
)
