"""How soon a hostile file is refused, and the largest day read: `python -m tests.bench.hostile`.

Prints seconds of the processor for each day and plan of `tests/exchange/test_hostile_files.py`,
for a plan as large as may be and its audit, and the longest; two are promised. A measurement and
not a test.
"""

import json
import time
from collections.abc import Callable
from typing import Any

from app.exchange.dayfile import load_day, load_plan
from app.planning.audit import audit
from app.planning.reading import Refused
from tests.exchange.test_hostile_files import GOLDEN, HOSTILE, HOSTILE_PLANS, largest_day

Load = Callable[[bytes], object]
CROWDS = {"batches": 20_000, "copies": 34_000, "uses": 90_000, "heats": 150_000, "unmet": 120_000}


def crowd(key: str) -> bytes:
    """Return the golden plan with as much of one list as may be, nothing else being wrong."""
    plan: dict[str, Any] = json.loads((GOLDEN / "knots.plan.json").read_text("utf-8"))
    lack = {"run": "r", "beat": "b", "stage": "s", "kind": "copies", "count": 1}
    plan[key] = [(plan[key] or [lack])[0]] * CROWDS[key]
    return json.dumps(plan).encode("utf-8")


def audited(data: bytes) -> None:
    """Audit a plan that was read, as the command does."""
    day = load_day((GOLDEN / "knots.day.json").read_bytes())
    audit(day, load_plan(data))


def main() -> None:
    """Print a line for each file, the slowest last."""
    files: list[tuple[str, Load, bytes]] = [(name, load_day, make()) for name, make, *_ in HOSTILE]
    files += [("the largest day", load_day, largest_day())]
    files += [(f"plan: {name}", load_plan, make()) for name, make, *_ in HOSTILE_PLANS]
    files += [(f"audit of a crowd of {key}", audited, crowd(key)) for key in CROWDS]
    took = []
    for name, load, data in files:
        began = time.process_time()
        try:
            load(data)
        except Refused as refused:
            told = f"{len(refused.faults) + refused.more} faults"
        else:
            told = "read"
        took.append((time.process_time() - began, len(data) / 1e6, name, told))
    for seconds, size, name, told in sorted(took):
        print(f"{seconds:5.2f} s  {size:5.1f} MB  {name}: {told}")


if __name__ == "__main__":
    main()
