"""Bugs in crew, equipment, shelves and batches."""

from tests.bench.sown.bug import MODEL, Bug

KITCHEN = (
    Bug(
        "a cook too many",
        f"{MODEL}/crew.py",
        "    if len(team.cooks) == 1:\n        sheet.model.add_no_overlap(intervals)\n    else:\n"
        "        sheet.model.add_cumulative(intervals, amounts, len(team.cooks))",
        "    sheet.model.add_cumulative(intervals, amounts, len(team.cooks) + 1)",
    ),
    Bug(
        "skill ignored",
        f"{MODEL}/crew.py",
        "        if span.phase.skill in team.skills:\n",
        "        if True:\n",
    ),
    Bug(
        "one pair of hands for two",
        f"{MODEL}/crew.py",
        "sheet.model.add(total(hands) == span.phase.hands * span.chosen)",
        "sheet.model.add(total(hands) == span.chosen)",
    ),
    Bug(
        "a unit too many in an oven",
        f"{MODEL}/equipment.py",
        "sheet.model.add_cumulative(intervals, demands, item.units)",
        "sheet.model.add_cumulative(intervals, demands, item.units + 1)",
    ),
    Bug(
        "closed span ignored",
        f"{MODEL}/equipment.py",
        "item.units) for a, b in item.closed]",
        "item.units) for a, b in item.closed[:0]]",
    ),
    Bug(
        "change-over forgotten",
        f"{MODEL}/equipment.py",
        "change_min = item.settings.change_min if item.settings else 0",
        "change_min = 0",
    ),
    Bug(
        "falling oven shared",
        f"{MODEL}/equipment.py",
        "alone = (one.falls or other.falls) and one.batch != other.batch",
        "alone = False",
    ),
    Bug(
        "first use of a cold oven",
        f"{MODEL}/equipment.py",
        "if hold.span.earliest < warm[-1][0]:",
        "if hold.span.earliest < 0:",
    ),
    Bug(
        "units of the batch itself forgotten",
        f"{MODEL}/equipment.py",
        "return entry.per_batch + filled",
        "return filled",
    ),
    Bug(
        "a copy too many in a unit",
        f"{MODEL}/equipment.py",
        "    by = entry.copies_per_unit\n",
        "    by = entry.copies_per_unit + 1\n",
    ),
    Bug(
        "last end of a phase taken too early",
        f"{MODEL}/equipment.py",
        "return last.latest + last.phase.length_min(last.started_max)",
        "return last.latest",
    ),
    Bug(
        "a slot too many in a zone",
        f"{MODEL}/shelf.py",
        "demands, room * parts)",
        "demands, (room + 1) * parts)",
    ),
    Bug(
        "raw above what is ready to eat",
        f"{MODEL}/shelf.py",
        "        if may_stand_above(upper.stage, lower.stage):\n            continue\n",
        "        continue\n",
    ),
    Bug(
        "spares take no room",
        f"{MODEL}/stays.py",
        "if choice.method.loss > 0:",
        "if choice.method.loss > 1:",
    ),
)

BATCHES = (
    Bug(
        "a lost spare in a batch of one",
        f"{MODEL}/batches.py",
        "return method.started[1] * good",
        "return good",
    ),
    Bug(
        "a set of inputs too few",
        f"{MODEL}/batches.py",
        "    sheet.model.add(by * whole >= times * amount)\n",
        "    sheet.model.add(by * whole >= times * amount - 1)\n",
    ),
    Bug(
        "minutes per copy forgotten",
        f"{MODEL}/batches.py",
        "phase.per_copy_min * choice.started + seconds",
        "seconds",
    ),
    Bug(
        "small batches start as early as large ones",
        f"{MODEL}/batches.py",
        "latest = call.staged_until - method.shortest_min",
        "latest = call.staged_until - method.longest_min",
    ),
    Bug(
        "copies by a way that is not taken",
        f"{MODEL}/batches.py",
        "        sheet.model.add(good <= most * chosen)\n",
        "",
    ),
)
