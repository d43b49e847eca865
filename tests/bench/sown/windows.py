"""Bugs in when what could be made, and how much of it."""

from tests.bench.sown.bug import Bug

WINDOWS = (
    Bug(
        "last minute of a call's window lost",
        "app/planning/calls.py",
        "call.widen(use.due, use.start - use.oldest_min)",
        "call.widen(use.due - 1, use.start - use.oldest_min)",
    ),
    Bug(
        "first minute of a call's window lost",
        "app/planning/calls.py",
        "call.widen(use.due, use.start - use.oldest_min)",
        "call.widen(use.due, use.start - use.oldest_min + 1)",
    ),
    Bug(
        "keeping time of an input left out of its window",
        "app/planning/calls.py",
        "first_start - other.stage.keeps_min",
        "first_start - other.slack_min",
    ),
    Bug(
        "backups not called for",
        "app/planning/calls.py",
        "copies = use.count + use.backups",
        "copies = use.count",
    ),
    Bug(
        "inputs called for one by one",
        "app/planning/calls.py",
        "min(single, pooled) * count)",
        "min(single, pooled))",
    ),
    Bug(
        "later runs not counted into a batch",
        "app/planning/calls.py",
        "for other in calls[i:] if other.useful_from",
        "for other in calls[i : i + 1] if other.useful_from",
    ),
    Bug(
        "largest batch one copy too small",
        "app/planning/scope.py",
        "started_for(len(started), loss, confidence)) <= most",
        "started_for(len(started), loss, confidence)) < most",
    ),
    Bug(
        "slack forgotten",
        "app/planning/scope.py",
        "min(self.day.policy.step_slack_min, stage.keeps_min // 2)",
        "0",
    ),
    Bug(
        "inputs ready only as long as they are made",
        "app/planning/scope.py",
        "(first + slack_min, last + keeps_min)",
        "(first + slack_min, last + slack_min)",
    ),
    Bug(
        "sets of inputs rounded down",
        "app/planning/scope.py",
        "return -(-started // self.yields)",
        "return started // self.yields",
    ),
    Bug(
        "a lost shift",
        "app/planning/hours.py",
        "joined(clock.spans(cook.shifts))",
        "joined(clock.spans(cook.shifts[:1]))",
    ),
    Bug(
        "no spare where none is likely to be lost",
        "app/planning/spares.py",
        "    started = good + 1\n",
        "    started = good\n",
    ),
    Bug(
        "one loss too many allowed for",
        "app/planning/spares.py",
        "lost_at_most = started - good",
        "lost_at_most = started - good + 1",
        "tests/published/test_spares.py",
    ),
    Bug(
        "work before the prep begins",
        "app/planning/scope.py",
        "self.prep_from = self.clock.minute(day.prep_from)",
        "self.prep_from = self.clock.minute(day.prep_from) - 1",
    ),
    Bug(
        "last minute of a shift lost",
        "app/planning/hours.py",
        "(start, end - lasts_min) for start, end in self.shifts if",
        "(start, end - lasts_min - 1) for start, end in self.shifts if",
    ),
    Bug(
        "only one of those who are alike",
        "app/planning/hours.py",
        "* min(len(team.cooks), phase.hands)",
        "* 1",
    ),
    Bug(
        "a shift ends where the next one begins",
        "app/planning/hours.py",
        "if whole and start <= whole[-1][1]:",
        "if whole and start < whole[-1][1]:",
    ),
    Bug(
        "a way's own inputs forgotten",
        "app/planning/day.py",
        "return self.takes if way.takes is None else way.takes",
        "return self.takes",
    ),
    Bug(
        "a way's own yield forgotten",
        "app/planning/day.py",
        "return self.yields if way.yields is None else way.yields",
        "return self.yields",
    ),
    Bug(
        "a way's own cost forgotten",
        "app/planning/day.py",
        "return self.cost if way.cost is None else way.cost",
        "return self.cost",
    ),
    Bug(
        "a way's own loss forgotten",
        "app/planning/day.py",
        "return self.loss if way.loss is None else way.loss",
        "return self.loss",
    ),
)
