"""Bugs in what runs need."""

from tests.bench.sown.bug import Bug

NEEDS = (
    Bug(
        "margin of the policy forgotten",
        "app/planning/needs.py",
        "return self.day.policy.ready_margin_min",
        "return 0",
    ),
    Bug(
        "margin of the run before that of the need",
        "app/planning/needs.py",
        "(need.ready_margin_min, self.run.ready_margin_min)",
        "(self.run.ready_margin_min, need.ready_margin_min)",
    ),
    Bug(
        "per-station forgotten",
        "app/planning/needs.py",
        "(self.run.stations if part.per_station else 1)",
        "self.run.stations",
    ),
    Bug(
        "return time forgotten",
        "app/planning/needs.py",
        "back=ceil_minute(self.end_s) + self.day.policy.return_min",
        "back=ceil_minute(self.end_s)",
    ),
    Bug(
        "return time of what is left forgotten",
        "app/planning/needs.py",
        "back=staged + self.day.policy.return_min",
        "back=staged",
    ),
    Bug(
        "tasted though it was on camera",
        "app/planning/needs.py",
        "untouched=need.untouched or need.tasting",
        "untouched=need.untouched",
    ),
    Bug(
        "eaten after the safe time",
        "app/planning/needs.py",
        "oldest = min(oldest, stage.safety_min)",
        "oldest = max(oldest, stage.safety_min)",
    ),
    Bug(
        "needs of a dry run served",
        "app/planning/needs.py",
        "        if run.dry:\n            continue\n",
        "",
    ),
    Bug(
        "more handed back than was needed",
        "app/planning/needs.py",
        "return min(needed, given)",
        "return given if needed else 0",
    ),
    Bug(
        "ready by the next full minute",
        "app/planning/needs.py",
        "return floor_minute(self.start_s)",
        "return ceil_minute(self.start_s)",
    ),
)
