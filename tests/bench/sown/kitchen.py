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
        "                room * parts,\n",
        "                (room + 1) * parts,\n",
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
    Bug(
        "work goes on after the shift",
        f"{MODEL}/crew.py",
        "for start, end in off_shift(team.shifts):",
        "for start, end in ():",
    ),
    Bug(
        "work in the kitchen already needs no hands",
        f"{MODEL}/crew.py",
        "in scope.occupied.busy.get(team.name, ()):",
        "in ():",
    ),
    Bug(
        "what stands in an oven already takes no room",
        f"{MODEL}/equipment.py",
        "        if each.item == item.id:\n            spans.append",
        "        if each.item == item.units:\n            spans.append",
    ),
    Bug(
        "change-over from what is in already forgotten",
        f"{MODEL}/equipment.py",
        "        gap_min = change_min if differ else 0\n",
        "        gap_min = 0\n",
    ),
    Bug(
        "change-over forgotten one way round",
        f"{MODEL}/equipment.py",
        "sheet.model.add(other.last.ends + gap_min <= one.first.starts)",
        "sheet.model.add(other.last.ends <= one.first.starts)",
    ),
    Bug(
        "a batch moves from oven to oven",
        f"{MODEL}/equipment.py",
        "yield [(span, entry) for span, entry in row if entry is not None]",
        "yield from ([(span, entry)] for span, entry in row if entry is not None)",
    ),
    Bug(
        "no cook goes on from one thing to the next",
        "app/planning/crewing.py",
        "if free_from[cook] <= work.starts]",
        "if free_from[cook] < work.starts]",
    ),
    Bug(
        "an oven cools a minute too soon",
        "app/planning/heats.py",
        "each.starts - used_until > item.settings.cold_after",
        "each.starts - used_until >= item.settings.cold_after",
    ),
    Bug(
        "an oven that is hot counts as cold",
        "app/planning/warmth.py",
        "            if hold.setting == setting:\n",
        "            if hold.setting != setting:\n",
        "tests/planning/test_frozen.py",
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
    Bug(
        "phases all at once",
        f"{MODEL}/batches.py",
        "        at = ends\n        earliest",
        "        at = starts\n        earliest",
    ),
    Bug(
        "a large batch as short as a small one",
        f"{MODEL}/batches.py",
        "if phase.length_min(least) == phase.length_min(most):",
        "if least <= most:",
    ),
    Bug(
        "a phase that fills a gap does not fit in",
        "app/planning/gaps.py",
        "for start, end in free if end - start >= lasts_min)",
        "for start, end in free if end - start > lasts_min)",
        "tests/planning/test_gaps.py",
    ),
    Bug(
        "a gap beside another setting for a phase that shares it",
        "app/planning/gaps.py",
        "gap_min = change_min if differs else 0",
        "gap_min = change_min",
        "tests/planning/test_gaps.py",
    ),
    Bug(
        "an oven that is shared counts as full in gaps",
        "app/planning/gaps.py",
        "units = item.units if differs or hold.falls else hold.units",
        "units = item.units",
        "tests/planning/test_gaps.py",
    ),
    Bug(
        "a loose kitchen with one cook too few",
        f"{MODEL}/loose.py",
        "sum(len(team.cooks) for team in teams), _busy(scope, teams))",
        "sum(len(team.cooks) for team in teams) - 1, _busy(scope, teams))",
        "tests/planning/test_gaps.py",
    ),
    Bug(
        "a loose kitchen in which a skill takes all hands of a phase",
        f"{MODEL}/loose.py",
        "(span, 1) for span in spans if span.phase.skill == skill",
        "(span, span.phase.hands) for span in spans if span.phase.skill == skill",
        "tests/planning/test_gaps.py",
    ),
    Bug(
        "a skill of a loose kitchen that none but the skilled may help",
        f"{MODEL}/loose.py",
        "able = [team for team in scope.teams if skill in team.skills]",
        "able = [team for team in scope.teams if skill in team.skills][1:]",
        "tests/planning/test_gaps.py",
    ),
)
