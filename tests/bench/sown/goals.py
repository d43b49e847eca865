"""Bugs in what is made small, and in what is proven."""

from tests.bench.sown.bug import MODEL, Bug

UNATTENDED = "tests/planning/test_unattended.py"
GOALS = (
    Bug(
        "spares cost nothing",
        f"{MODEL}/goals.py",
        "* scale) * choice.started for choice",
        "* scale) * choice.good for choice",
    ),
    Bug(
        "a goal's cost doubled",
        f"{MODEL}/goals.py",
        "* scale) * choice.started for choice",
        "* scale) * 2 * choice.started for choice",
    ),
    Bug(
        "parts of a cost cut off",
        f"{MODEL}/goals.py",
        "return lcm(*(Fraction(str(cost)).denominator for cost in costs)) if costs else 1",
        "return 1",
    ),
    Bug(
        "two hands counted as one",
        f"{MODEL}/goals.py",
        "        span.phase.hands * (span.lasts",
        "        1 * (span.lasts",
    ),
    Bug(
        "waiting of what was handed over counted",
        f"{MODEL}/waiting.py",
        "if flow.use is not None and not flow.handed_over:",
        "if flow.use is not None:",
    ),
    Bug(
        "waiting of stock not counted",
        f"{MODEL}/waiting.py",
        "        return total((_due(flow) - staged) * flow.amount for flow in served)\n",
        "        return 0\n",
    ),
    Bug(
        "staged early for nothing",
        f"{MODEL}/waiting.py",
        "sheet.model.add(early >= latest[due] - staged).only_enforce_if(anchor)",
        "sheet.model.add(early >= latest[due] - staged - 1).only_enforce_if(anchor)",
    ),
    Bug(
        "waiting before hands",
        "app/planning/solve.py",
        'HANDS_FIRST = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")',
        'HANDS_FIRST = ("unmet", "unbacked", "cost", "waiting_min", "hands_min")',
        "tests/planning/test_sown_ways.py",
    ),
    Bug(
        "hands before waiting, where freshness is preferred",
        "app/planning/solve.py",
        'FRESH_FIRST = ("unmet", "unbacked", "cost", "waiting_min", "hands_min")',
        'FRESH_FIRST = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")',
        "tests/planning/test_sown_ways.py",
    ),
    Bug(
        "copies before backups",
        "app/planning/solve.py",
        'HANDS_FIRST = ("unmet", "unbacked", "cost", "hands_min", "waiting_min")',
        'HANDS_FIRST = ("unmet", "cost", "unbacked", "hands_min", "waiting_min")',
    ),
    Bug(
        "waiting beyond the first use not counted",
        f"{MODEL}/waiting.py",
        "minutes.append((_due(flow) - latest[due]) * part)",
        "minutes.append(0 * part)",
    ),
)

LOTS = "tests/planning/test_lots.py"

PROOFS = (
    Bug(
        "a floor of hands too high: batches of one",
        f"{MODEL}/lots.py",
        "sheet.model.add(good <= method.good_max * batches)",
        "sheet.model.add(good <= batches)",
    ),
    Bug(
        "a floor of hands too high: each copy by itself",
        f"{MODEL}/lots.py",
        "whole = phase.lasts_min * batches + phase",
        "whole = phase.lasts_min * started + phase",
    ),
    Bug(
        "a floor of backups too high: nothing kept for later",
        f"{MODEL}/lots.py",
        "if taken == stage and size.last_start > minute",
        "if taken == stage and size.last_start > minute + 10**6",
    ),
    Bug(
        "a floor too high: nothing shown goes on",
        f"{MODEL}/lots.py",
        "for shown in (False, True) if is_shy else (False,):",
        "for shown in (False,):",
        LOTS,
    ),
    Bug(
        "proven though more batches were never looked at",
        "app/planning/proving.py",
        "        if not self.is_cut:\n            return True\n",
        "        return True\n",
        LOTS,
    ),
    Bug(
        "more batches looked for in vain",
        "app/planning/proving.py",
        "limits | {goal: told - 1}, of_time",
        "limits | {goal: told - 2}, of_time",
        LOTS,
    ),
    Bug(
        "a rest more never looked for",
        "app/planning/proving.py",
        "if told <= sure or not free:",
        "if told <= sure or free:",
        UNATTENDED,
    ),
    Bug(
        "rests that start late left out",
        f"{MODEL}/timing.py",
        "flow.batch.starts_until <= staged + keeps_min",
        "flow.batch.starts_until <= staged",
        UNATTENDED,
    ),
    Bug(
        "rests of what comes back from a beat left out",
        f"{MODEL}/unattended.py",
        "for giver in givers if scope.day.policy.reuse else ():",
        "for giver in ():",
        UNATTENDED,
    ),
)
