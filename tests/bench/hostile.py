"""How soon a hostile file is refused, and the largest day read: `python -m tests.bench.hostile`.

Prints seconds of the processor for each file of `tests/exchange/test_hostile_files.py`, and the
longest; two are promised. A measurement and not a test.
"""

import time

from app.exchange.dayfile import load_day
from app.planning.reading import Refused
from tests.exchange.test_hostile_files import HOSTILE, largest_day


def main() -> None:
    """Print a line for each file, the slowest last."""
    files = [(name, make) for name, make, *_ in HOSTILE] + [("the largest day", largest_day)]
    took = []
    for name, make in files:
        data = make()
        began = time.process_time()
        try:
            load_day(data)
        except Refused as refused:
            told = f"{len(refused.faults) + refused.more} faults"
        else:
            told = "read"
        took.append((time.process_time() - began, len(data) / 1e6, name, told))
    for seconds, size, name, told in sorted(took):
        print(f"{seconds:5.2f} s  {size:5.1f} MB  {name}: {told}")


if __name__ == "__main__":
    main()
